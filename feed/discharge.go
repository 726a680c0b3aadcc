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
	From      float64 `json:"from"`            // volts across it before
	To        float64 `json:"to"`              // volts that are asked for
	Ohms      float64 `json:"ohms"`            // that it discharges through, where they are most
	Where     string  `json:"where,omitempty"` // "board unplugged", "dropper out"; blank: as it stands
	// Seconds until it stands at To; 0: it never stood higher. Never: nothing
	// discharges it.
	Seconds float64 `json:"seconds"`
	Never   bool    `json:"never,omitempty"`
	Joules  float64 `json:"joules"` // stored at From
}

// insulation is above what is put in as a bleed: through it a charge stays.
const insulation = 1e9

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
// knee, so that the resistors alone decide, and the true time is no longer. A
// board that is unplugged and a dropper that has been taken out carry nothing off:
// the longest of these and of the circuit as it stands is given.
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
	paths, err := s.deadPaths(whole)
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
		for _, path := range paths {
			r, err := path.in.Ohms(ctx, curve.Setting{}, circuit.PowerOff{Kelvin: cond.Kelvin}, c.A, c.B)
			if err != nil {
				return nil, err
			}
			if h.Never = r.Open || r.Ohms > insulation; h.Never {
				h.Where, h.Ohms, h.Seconds = path.where, 0, 0
				break
			}
			if r.Ohms > h.Ohms*(1+1e-6) {
				h.Where, h.Ohms, h.Seconds = path.where, r.Ohms, Seconds(r.Ohms, together[pairOf(c)], h.From, to)
			}
		}
		list = append(list, h)
	}
	return list, nil
}

// dead is a circuit that a capacitor may have to discharge through.
type dead struct {
	where string
	in    *circuit.Circuit
}

// deadPaths gives the circuit as it stands, and with what may be off it.
func (s Supply) deadPaths(whole *circuit.Circuit) ([]dead, error) {
	list := []dead{{"", whole}}
	if len(s.Board) > 0 {
		in, err := whole.Edited(s.unplugged()...)
		if err != nil {
			return nil, err
		}
		list = append(list, dead{"board unplugged", in})
	}
	if len(s.Dropper) > 0 {
		in, err := whole.Edited(circuit.Open(s.Dropper[0]))
		if err != nil {
			return nil, err
		}
		list = append(list, dead{"dropper out", in})
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
