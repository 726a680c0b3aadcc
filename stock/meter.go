package stock

import (
	"fmt"
	"math"
)

// Meter is how far an instrument may be off, as its leaflet says: the first
// of Limits that fits a reading counts.
type Meter struct {
	Name   string  `json:"name"`
	Limits []Limit `json:"limits"`
}

// Limit is the accuracy in one field of use. The greatest error of a reading
// v, whose last shown digit is worth s, at Q is
//
//	± [ (Basic·v + Digits·s) (1 + PerQ/Q) + Floor ]
//
// s is the power of ten that shows v in fewer than Counts steps. Q is 1/D for
// capacitors and left out where no Q or D was read.
type Limit struct {
	Kind   Kind    `json:"kind,omitempty"` // "" any
	Mode   Mode    `json:"mode,omitempty"` // "" any
	Low    float64 `json:"low,omitempty"`  // hertz, from
	High   float64 `json:"high,omitempty"` // hertz, to; 0 no end
	Basic  float64 `json:"basic"`          // fraction of the reading
	Digits float64 `json:"digits,omitempty"`
	Counts float64 `json:"counts,omitempty"` // of the display, 2000 for 3½ digits
	Floor  float64 `json:"floor,omitempty"`  // henry, farad or ohm: leads left over
	PerQ   float64 `json:"per_q,omitempty"`
	Loss   float64 `json:"loss,omitempty"` // greatest error of D, and of 1/Q
}

// HandMeter is an ordinary hand meter for L, C and R, used where nothing
// better is known: common practice, no source. It makes a coil good to about
// 2 % and a capacitor to about 1 %.
func HandMeter() Meter {
	return Meter{Name: "hand meter", Limits: []Limit{
		{Kind: Coil, Low: 90, High: 1100, Basic: 0.01, Digits: 5, Counts: 2000, PerQ: 3, Loss: 0.01},
		{Kind: Coil, Basic: 0.02, Digits: 5, Counts: 2000, PerQ: 3, Loss: 0.02},
		{Kind: Capacitor, Basic: 0.007, Digits: 3, Counts: 2000, PerQ: 1, Loss: 0.005},
		{Kind: Resistor, Basic: 0.008, Digits: 2, Counts: 6000, Floor: 0.1},
	}}
}

// limit gives the accuracy for one field of use; what the meter's leaflet
// leaves out is taken from HandMeter and known is false.
func (m Meter) limit(kind Kind, mode Mode, hertz float64) (l Limit, known bool) {
	for _, l := range m.Limits {
		if (l.Kind == "" || l.Kind == kind) && (l.Mode == "" || l.Mode == mode) &&
			hertz >= l.Low && (l.High == 0 || hertz <= l.High) {
			return l, true
		}
	}
	for _, l := range HandMeter().Limits {
		if l.Kind == kind && hertz >= l.Low && (l.High == 0 || hertz <= l.High) {
			return l, false
		}
	}
	panic("stock: no limit for kind " + string(kind))
}

// Greatest gives the greatest error of a reading in its own unit; loss is D or
// 1/Q, 0 where it was not read.
func (l Limit) Greatest(value, loss float64) float64 {
	for _, v := range [...]float64{l.Basic, l.Digits, l.Counts, l.Floor, l.PerQ, l.Loss} {
		if !(v >= 0) || math.IsInf(v, 0) {
			panic(fmt.Sprintf("stock: limit %+v", l))
		}
	}
	return (l.Basic*value+l.Digits*step(value, l.Counts))*(1+l.PerQ*loss) + l.Floor
}

// step is what the last digit of a display of so many counts is worth: the
// power of ten s with value/s < counts ≤ 10·value/s; 0 for a display without
// end.
func step(value, counts float64) float64 {
	if value <= 0 || counts <= 0 {
		return 0
	}
	return math.Pow(10, math.Floor(math.Log10(value/counts))+1)
}

// standard is the standard uncertainty of a limit ±a of which nothing more is
// known: uniform, a/√3 (JCGM 100:2008 4.3.7, from memory).
func standard(a float64) float64 { return a / math.Sqrt(3) }
