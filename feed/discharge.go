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
	start := Case{Name: ColdStart, Rail: s.cold() * (1 + s.mains())}
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

// Ripple is the alternating voltage of the rail as it arrives at the output.
type Ripple struct {
	Hertz   float64 `json:"hertz"`
	AtRail  float64 `json:"at_rail"` // volts rms
	Gain    float64 `json:"gain"`    // volts at the output per volt of the rail
	AtOut   float64 `json:"at_out"`  // volts rms
	Setting string  `json:"setting"`
}

// RippleAt carries the rail's ripple, at twice the mains frequency, through the
// whole circuit to a point.
func RippleAt(ctx context.Context, st *circuit.State, s Supply, rms float64, out string) (Ripple, error) {
	hz := 2 * s.Hertz
	if hz == 0 {
		hz = 100
	}
	response, err := st.Response(ctx, s.Rail, []string{out}, []float64{hz})
	if err != nil {
		return Ripple{}, err
	}
	g := response.Gains[0][0]
	gain := math.Hypot(real(g), imag(g))
	return Ripple{Hertz: hz, AtRail: rms, Gain: gain, AtOut: rms * gain, Setting: st.Setting().String()}, nil
}
