package stock

import (
	"slices"

	"bandwright/quantity"
)

// Kind is what a part is.
type Kind string

// The kinds the drawer knows.
const (
	Coil      Kind = "coil"
	Capacitor Kind = "capacitor"
	Resistor  Kind = "resistor"
)

// Unit names the unit of the kind's value: "henry", "farad", "ohm".
func (k Kind) Unit() string {
	switch k {
	case Coil:
		return "henry"
	case Capacitor:
		return "farad"
	case Resistor:
		return "ohm"
	}
	panic("stock: kind " + string(k))
}

// Display writes a value of the kind for people, with its unit.
func (k Kind) Display(value float64, digits int) string {
	switch k {
	case Coil:
		return quantity.Henries(value).Display(digits)
	case Capacitor:
		return quantity.Farads(value).Display(digits)
	}
	return quantity.Ohms(value).Display(digits)
}

// Mode says which pair a meter took the part for; "" is "not written".
type Mode string

// The modes of a meter.
const (
	Series   Mode = "series"
	Parallel Mode = "parallel"
)

// Reading is what a meter said of a part at one time. What was not read is 0
// (Celsius nil).
type Reading struct {
	Value   float64  `json:"value,omitempty"` // henry, farad or ohm, as shown in Mode
	Hertz   float64  `json:"hertz,omitempty"`
	Mode    Mode     `json:"mode,omitempty"`
	Q       float64  `json:"q,omitempty"`
	D       float64  `json:"d,omitempty"`       // tan δ
	DCR     float64  `json:"dcr,omitempty"`     // ohm, read at DC, of a coil
	Level   float64  `json:"level,omitempty"`   // volt rms
	Celsius *float64 `json:"celsius,omitempty"` // of the part when it was read
	Meter   string   `json:"meter,omitempty"`
	Line    int      `json:"-"` // in the file it was read from, 0 is not known
}

// loss gives tan δ, from D or from Q; known is false when neither was read.
func (r Reading) loss() (d float64, known bool) {
	switch {
	case r.Q > 0:
		return 1 / r.Q, true
	case r.D > 0:
		return r.D, true
	}
	return 0, false
}

// same says whether two readings are the same in every respect but the line.
func (r Reading) same(other Reading) bool {
	return r.Value == other.Value && r.Q == other.Q && r.D == other.D && r.DCR == other.DCR && r.alike(other)
}

// alike says whether two readings were taken in the same way.
func (r Reading) alike(other Reading) bool {
	a, b := r.Celsius, other.Celsius
	warm := a == nil && b == nil || a != nil && b != nil && *a == *b
	return warm && r.Hertz == other.Hertz && r.Mode == other.Mode && r.Level == other.Level && r.Meter == other.Meter
}

// Part is one part of the drawer, or Count like ones that nobody measured.
// Marked is 0 when nothing can be read on it; then it has a reading.
type Part struct {
	ID            string              `json:"id"`
	Kind          Kind                `json:"kind"`
	Marked        float64             `json:"marked,omitempty"` // henry, farad or ohm
	Tolerance     *quantity.Tolerance `json:"tolerance,omitempty"`
	Readings      []Reading           `json:"readings,omitempty"`
	SelfFarads    float64             `json:"self_farads,omitempty"`    // of a coil, across the whole of it
	SelfResonance float64             `json:"self_resonance,omitempty"` // hertz, of a coil
	Count         int                 `json:"count"`                    // 0: none left
	Place         string              `json:"place,omitempty"`
	Price         string              `json:"price,omitempty"`
	Notes         string              `json:"notes,omitempty"`
	Line          int                 `json:"-"` // in the file it was read from, 0 is not known
}

// Measured says whether a value was read on the part itself. One reading says
// nothing of the others in a bag.
func (p Part) Measured() bool {
	return p.Count <= 1 && slices.ContainsFunc(p.Readings, func(r Reading) bool { return r.Value > 0 })
}

// at gives the reading with a value that serves best at a frequency: one not
// in doubt before one that is, then the nearest by ratio, the last of equals.
func (p Part) at(hertz float64) (best Reading, ok bool) {
	for _, r := range p.Readings {
		if r.Value == 0 {
			continue
		}
		a, b := p.doubtful(r), p.doubtful(best)
		nearer := nearness(r.Hertz, hertz) <= nearness(best.Hertz, hertz)
		if !ok || b && !a || a == b && nearer {
			best, ok = r, true
		}
	}
	return best, ok
}

// doubtful says whether a coil's reading was taken below the Q at which meters
// err, or at a frequency nobody wrote down.
func (p Part) doubtful(r Reading) bool {
	if p.Kind != Coil {
		return false
	}
	d, _ := p.lossOf(r)
	return d > 1/lowQ || r.Hertz == 0
}

// dcr gives the last reading with a DCR.
func (p Part) dcr() (r Reading, ok bool) {
	for _, one := range p.Readings {
		if one.DCR > 0 {
			r, ok = one, true
		}
	}
	return r, ok
}

// self gives the self-capacitance, from the self-resonance where only that is
// known, of a coil that a meter shows as henries.
func (p Part) self(henries float64) float64 {
	switch {
	case p.SelfFarads > 0:
		return p.SelfFarads
	case p.SelfResonance > 0 && henries > 0:
		return ResonantFarads(henries, p.SelfResonance)
	}
	return 0
}
