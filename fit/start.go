package fit

import (
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
)

// From nothing means: how the circuit is joined up is known, its legs' values are
// not. Where each leg resonates is read off the curves: two takes that differ in
// its slider alone differ most there. If there are none, of two takes that differ
// in several sliders the tops are given to those turned up and the dips to those
// turned down, in the order of the legs. How large the legs' ohms and reactances
// are is tried out on the circuit itself, for all legs at once, on a coarse grid;
// from the likeliest corners of it the fit sets out with few points, and the best
// end is the start for all.

// Reactance at resonance and ohms of legs that are tried: any leg that works with
// buses of a few kilohms lies between (worked out: outside, boosts are under 1 dB
// or widths over three decades).
var (
	triedOhms      = []float64{100, 300, 1000, 3000}
	triedReactance = []float64{150, 400, 1000, 2500, 6000, 15000}
)

const (
	goodRatio   = 1.5 // mean square of what is left, in noises, at which no more corners are tried
	roughOffset = 0.05
)

// fromNothing replaces the search's start.
func (s *search) fromNothing() (finding.List, error) {
	m := s.model
	thin := m.thinned(max(1, m.longest()/coarsePoints))
	places, unseen := s.resonances()
	var corners []corner
	for _, ohms := range triedOhms {
		for _, x := range triedReactance {
			p := s.placed(places, ohms, x)
			corners = append(corners, corner{p, thin.levelled(p)})
		}
	}
	best := corner{sum: math.Inf(1)}
	for _, c := range likeliest(corners) {
		s.begin(c.p)
		r, err := s.solve(thin, roughOffset, reaches[0])
		if err != nil {
			if s.ctx.Err() != nil {
				return nil, err
			}
			continue // a corner without an answer
		}
		if r.Sum < best.sum {
			best = corner{r.P, r.Sum}
		}
		if best.sum < goodRatio*float64(thin.rows()) {
			break
		}
	}
	if best.p == nil {
		return nil, m.noGain()
	}
	s.begin(best.p)
	return unseen, nil
}

// begin sets out from p. What is not believed beforehand is believed weakly about
// there, and bounded about there.
func (s *search) begin(p []float64) {
	s.start = slices.Clone(p)
	for i, u := range s.model.plan.Unknowns {
		if u.Prior == 0 {
			s.priors[i].Mean = p[i]
		}
		if s.model.plan.ofLeg(u.Knob) && u.Low == 0 && u.High == 0 {
			s.lower[i], s.upper[i] = p[i]-math.Log(1000), p[i]+math.Log(1000)
			if u.Value == "Ohms" {
				s.lower[i] = max(s.lower[i], 0)
			}
		}
	}
}

// ofLeg says whether a knob is one of the three values of a leg.
func (p *Plan) ofLeg(k circuit.Knob) bool {
	return slices.ContainsFunc(p.Legs, func(l Leg) bool { return slices.Contains(l.knobs(), k) })
}

// knobs are the leg's ohms, henries and farads.
func (l Leg) knobs() []circuit.Knob {
	return []circuit.Knob{{Part: l.Resistor, Value: "Ohms"}, {Part: l.Coil, Value: "Henries"}, {Part: l.Capacitor, Value: "Farads"}}
}

// placed gives the parameters with every leg at its resonance.
func (s *search) placed(places []float64, ohms, reactance float64) []float64 {
	p := slices.Clone(s.start)
	for i, l := range s.model.plan.Legs {
		if places[i] == 0 {
			continue
		}
		w := 2 * math.Pi * places[i]
		values := []float64{ohms, reactance / w, 1 / (w * reactance)}
		for k, knob := range l.knobs() {
			at := slices.IndexFunc(s.model.plan.Unknowns, func(u Unknown) bool { return u.Knob == knob })
			if at >= 0 {
				p[at] = math.Log(values[k])
			}
		}
	}
	return p
}

// levelled brings the levels in p to where they leave least, and gives the sum of
// squares then. A level may be shared by takes; past an unknown stage it stands
// against the first take's.
func (m *model) levelled(p []float64) float64 {
	m.ask(p)
	if m.broken {
		return math.Inf(1)
	}
	off, weight := make([]float64, len(p)), make([]float64, len(p))
	for _, k := range m.takes {
		if k.level >= 0 {
			w := float64(len(k.hz)) / (k.sd * k.sd)
			off[k.level] += w * k.off()
			weight[k.level] += w
		}
	}
	for i, w := range weight {
		if w == 0 {
			continue
		}
		if p[i] -= off[i] / w; m.stage != nil {
			p[i] += m.takes[0].off()
		}
	}
	r := make([]float64, m.rows())
	m.residuals(p, r)
	sum := 0.0
	for _, x := range r {
		sum += x * x
	}
	return sum
}

// off is how far the circuit's curve lies above the measured one, dB.
func (k *take) off() float64 { return mean(k.residual) * k.sd }

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
