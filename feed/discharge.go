package feed

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/curve"
)

// Held is how long a capacitor keeps its charge once the plug is out.
type Held struct {
	Capacitor string  `json:"capacitor"`
	From      float64 `json:"from"` // volts across it before
	To        float64 `json:"to"`   // volts that are asked for
	Ohms      float64 `json:"ohms"` // that it discharges through
	// Seconds until it stands at To; 0: it never stood higher. Never: nothing
	// discharges it.
	Seconds float64 `json:"seconds"`
	Never   bool    `json:"never,omitempty"`
	Joules  float64 `json:"joules"` // stored at From
}

// Seconds is how long a capacitor takes from one voltage to a lower one through
// a resistance: t = RC·ln(V₀/V).
func Seconds(ohms, farads, from, to float64) float64 {
	if from <= to {
		return 0
	}
	return ohms * farads * math.Log(from/to)
}

// Bleed is the resistance that takes a capacitor from one voltage to another in
// a time; 0 where it stands no higher to begin with.
func Bleed(seconds, farads, from, to float64) float64 {
	if from <= to {
		return 0
	}
	return seconds / (farads * math.Log(from/to))
}

// Discharge says of every capacitor that stands above to how long it keeps its
// charge, at cold-start volts. The path is what an ohmmeter that opens no
// junction sees with the plug out: transistors and zeners let go below their
// knee, so that the resistors alone decide, and the true time is no longer.
// Capacitors are taken one by one; joined ones share a charge, and theirs is
// the sum of what lies at one point.
func Discharge(ctx context.Context, whole *circuit.Circuit, s Supply, to float64, cond circuit.Conditions) ([]Held, error) {
	if !(to > 0) {
		panic("feed: a discharge to nothing takes for ever")
	}
	start := Case{Name: ColdStart, Rail: s.Highest()}
	st, err := start.solve(ctx, whole, s.Rail, cond)
	if err != nil {
		return nil, err
	}
	var list []Held
	together := pooled(whole)
	for _, p := range whole.Parts() {
		c, ok := p.(circuit.Capacitor)
		if !ok {
			continue
		}
		volts := legVolts(st, c)
		h := Held{Capacitor: c.Name, From: math.Abs(volts[0] - volts[1]), To: to}
		if h.From <= to {
			continue
		}
		h.Joules = c.Farads * h.From * h.From / 2
		r, err := whole.Ohms(ctx, curve.Setting{}, circuit.PowerOff{Kelvin: cond.Kelvin}, c.A, c.B)
		if err != nil {
			return nil, err
		}
		if h.Never = r.Open; !r.Open {
			h.Ohms = r.Ohms
			h.Seconds = Seconds(r.Ohms, together[pairOf(c)], h.From, to)
		}
		list = append(list, h)
	}
	return list, nil
}

// pooled sums the capacitors that lie between the same two points.
func pooled(whole *circuit.Circuit) map[[2]string]float64 {
	sum := map[[2]string]float64{}
	for _, p := range whole.Parts() {
		if c, ok := p.(circuit.Capacitor); ok {
			sum[pairOf(c)] += c.Farads
		}
	}
	return sum
}

func pairOf(c circuit.Capacitor) [2]string {
	if c.B < c.A {
		return [2]string{c.B, c.A}
	}
	return [2]string{c.A, c.B}
}
