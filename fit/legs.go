package fit

import (
	"math"
	"slices"

	"bandwright/circuit"
)

// Span is a figure with its 95 % interval.
type Span struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// LegSpans is what a whole leg is known by, which is often far better than its
// parts are.
type LegSpans struct {
	Band      string `json:"band"`
	Resonance Span   `json:"resonance_hz"` // 1/(2π√(LC))
	Ohms      Span   `json:"ohms"`         // of resistor and copper together
}

// Legs gives the spans of legs whose parts are a resistor, an inductor and a
// capacitor; others are left out. What was not fitted counts as exact.
func (r *Result) Legs(c *circuit.Circuit, legs []Leg) []LegSpans {
	var list []LegSpans
	for _, l := range legs {
		resistor, coil := circuit.Knob{Part: l.Resistor, Value: "Ohms"}, circuit.Knob{Part: l.Coil, Value: "Henries"}
		copper, capacitor := circuit.Knob{Part: l.Coil, Value: "DCR"}, circuit.Knob{Part: l.Capacitor, Value: "Farads"}
		henries, ok := r.at(c, coil)
		farads, also := r.at(c, capacitor)
		ohms, too := r.at(c, resistor)
		if !ok || !also || !too {
			continue
		}
		dcr, _ := r.at(c, copper)
		whole := ohms + dcr
		list = append(list, LegSpans{Band: l.Band,
			Resonance: r.span(1/(2*math.Pi*math.Sqrt(henries*farads)), map[circuit.Knob]float64{coil: -0.5, capacitor: -0.5}),
			Ohms:      r.span(whole, map[circuit.Knob]float64{resistor: ohms / whole, copper: dcr / whole})})
	}
	return list
}

// at gives a value as found, else the circuit's own.
func (r *Result) at(c *circuit.Circuit, k circuit.Knob) (float64, bool) {
	if i := r.place(k); i >= 0 {
		return r.Values[i].Value, true
	}
	v, err := c.Value(k)
	return v, err == nil
}

func (r *Result) place(k circuit.Knob) int {
	return slices.IndexFunc(r.Values, func(v Value) bool { return v.Part == k.Part && v.Field == k.Value })
}

// span is a figure whose logarithm moves with the values' by the slopes.
func (r *Result) span(value float64, slopes map[circuit.Knob]float64) Span {
	variance := 0.0
	for i, a := range r.Values {
		for j, b := range r.Values {
			variance += slopes[circuit.Knob{Part: a.Part, Value: a.Field}] * r.Covariance[i][j] * slopes[circuit.Knob{Part: b.Part, Value: b.Field}]
		}
	}
	half := min(ninetyFive*math.Sqrt(max(0, variance)), widest)
	return Span{value, value * math.Exp(-half), value * math.Exp(half)}
}

// Within is the standard deviation of a slider's position that stands anywhere
// within a share of its travel of where it should.
func Within(travel float64) float64 { return 2 * travel / math.Sqrt(3) }

// Ninety5 is half of the 95 % interval of a figure by its variance.
func Ninety5(variance float64) float64 { return ninetyFive * math.Sqrt(variance) }
