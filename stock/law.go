package stock

import (
	"math"

	"bandwright/finding"
	"bandwright/quantity"
)

// Shape is the form of a law.
type Shape string

// The shapes.
const (
	Flat         Shape = "flat"     // every value from Low to High alike
	Normal       Shape = "normal"   // of SD about Nominal, cut at Low and High
	Skewed       Shape = "skewed"   // a triangle from Low over Nominal to High
	FromReadings Shape = "measured" // of SD about Nominal, cut at Low and High, which lie 3 SD away
)

// Law says how the true value of a part may lie: data to draw samples by. SD
// is the standard deviation, of Normal and FromReadings before the cut.
type Law struct {
	Nominal float64 `json:"nominal"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	SD      float64 `json:"sd"`
	Shape   Shape   `json:"shape"`
}

// Assumed tolerances where none is written. Common practice, no source.
const (
	assumedCoil      = 0.2
	assumedCapacitor = 0.1
	assumedResistor  = 0.05
	cutAt            = 3 // standard deviations in a normal law's half width
)

// FlatLaw is uniform within the tolerance: SD is (high − low)/√12, worked out
// from the definition.
func FlatLaw(nominal float64, t quantity.Tolerance) Law {
	low, high := quantity.Range(nominal, t)
	return Law{nominal, low, high, (high - low) / math.Sqrt(12), Flat}
}

// NormalLaw is a normal law cut at the tolerance, which lies three deviations
// out on its wider side (common practice, no source).
func NormalLaw(nominal float64, t quantity.Tolerance) Law {
	low, high := quantity.Range(nominal, t)
	return Law{nominal, low, high, nominal * max(t.Minus, t.Plus) / cutAt, Normal}
}

// SkewedLaw is a triangle with its top at the nominal value, for tolerances
// like −20/+80 %. SD by the triangle's variance
// (a² + b² + c² − ab − ac − bc)/18, worked out from the definition.
func SkewedLaw(nominal float64, t quantity.Tolerance) Law {
	low, high := quantity.Range(nominal, t)
	down, up := nominal-low, high-nominal
	return Law{nominal, low, high, math.Sqrt((down*down + up*up + down*up) / 18), Skewed}
}

// Law gives the law of the part's inductance, capacitance or resistance as
// its Model has it: measured parts by their readings and the meter, others by
// what is marked on them.
func (p Part) Law(hertz, celsius float64, m Meter) (Law, finding.List) {
	if !p.Measured() {
		return p.markedLaw()
	}
	e := p.SeriesAt(hertz, celsius, m)
	v := max(e.Model.Henries, e.Model.Farads, e.Model.Ohms)
	return Law{v, max(v-cutAt*e.ModelSE, v/1000), v + cutAt*e.ModelSE, e.ModelSE, FromReadings}, e.Findings
}

// markedLaw gives the law of a part by its marking, or by the reading that
// must stand for it where nothing is marked.
func (p Part) markedLaw() (Law, finding.List) {
	nominal, t := p.Marked, p.Tolerance
	if nominal == 0 {
		if r, ok := p.at(0); ok {
			nominal = r.Value
		}
	}
	var list finding.List
	if t == nil {
		assumed := p.Kind.tolerance()
		t = &quantity.Tolerance{Minus: assumed, Plus: assumed}
		list = finding.List{finding.New(IDNoTolerance, finding.Warning, finding.Place{Part: p.ID}, finding.Args{"tolerance": assumed})}
	}
	if t.Minus != t.Plus {
		return SkewedLaw(nominal, *t), list
	}
	return FlatLaw(nominal, *t), list
}

// tolerance is what is assumed of a kind.
func (k Kind) tolerance() float64 {
	switch k {
	case Coil:
		return assumedCoil
	case Capacitor:
		return assumedCapacitor
	}
	return assumedResistor
}
