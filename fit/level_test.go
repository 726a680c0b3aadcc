package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/curve"
	"bandwright/fit"
	"bandwright/trials"
)

// TestAnyLevel: how far off a curve lies changes nothing of what is found, by one
// take alone, with levels of their own, with one for all, and past a stage; but for
// where a search ends, which is within a twentieth of what the noise does.
func TestAnyLevel(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 93), 1))
	u, hz := demoUnit(), curve.Grid(200, 800, 50)
	half := []curve.Setting{curve.Setting{}.WithSlider("400", 0.5)}
	three := append(half, curve.Setting{}.WithSlider("400", 1), curve.Setting{}.WithSlider("400", -1).WithSlider("160", 1))
	for _, c := range []struct {
		name     string
		settings []curve.Setting
		level    fit.Level
		stage    bool
	}{
		{"one take", half, fit.LevelFree, false},
		{"own levels", three, fit.LevelFree, false},
		{"one level", three, fit.LevelShared, false},
		{"a stage", three, fit.LevelFree, true},
	} {
		for range trials.Count(8) {
			truth := u.off(rng, 0)
			truth.legs[2] = u.off(rng, 0.05).legs[2]
			p := plan(t, u, nil)
			p.NoiseDB, p.Unknowns, p.Level, p.Stage, p.Further = 0.05, p.Unknowns[6:9], c.level, c.stage, half
			for _, s := range c.settings {
				p.Takes = append(p.Takes, fit.Take{Curve: noisy(truth.curve(s, hz), rng, 0.05, 0)})
			}
			near := solved(t, p)
			shared := 30 * rng.NormFloat64() // from a microphone's volts to a card's full scale
			for i := range p.Takes {
				by := shared
				if c.level == fit.LevelFree {
					by = 30 * rng.NormFloat64()
				}
				p.Takes[i].Curve = noisy(p.Takes[i].Curve, rng, 0, by)
			}
			far := solved(t, p)
			for i, v := range far.Values {
				if w := near.Values[i]; math.Abs(math.Log(v.Value/w.Value)) > 0.05*w.LogSD || math.Abs(v.LogSD/w.LogSD-1) > 0.05 {
					t.Errorf("%s: %+v, at 0 dB %+v; %v", c.name, v, w, far.Findings)
				}
			}
		}
	}
}

// TestSettleLoose: by one take of a leg half way up, a leg of many ohms and the
// drawn one look almost alike. Were it the first, a neighbour's slider would part
// its values a little better; of the second that take tells little. The take that
// is named serves both, and what it promises holds for both.
func TestSettleLoose(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 94), 1))
	u, hz := demoUnit(), curve.Grid(200, 800, 50)
	loose := demoUnit()
	loose.legs[2].ohms, loose.legs[2].henries, loose.legs[2].farads = 4100, 1.48, 103.7e-9
	for _, truth := range []unit{u, loose} {
		p := plan(t, u, takesOf(truth, []curve.Setting{curve.Setting{}.WithSlider("400", 0.5)}, hz, rng, 0))
		p.NoiseDB, p.Unknowns = 0.05, p.Unknowns[6:9]
		r := solved(t, p)
		if len(r.Ties) != 1 || r.Ties[0].Settle == nil || r.Ties[0].Settle.String() != "400=-1" {
			t.Fatalf("ties %+v; %v", r.Ties, r.Findings)
		}
		p.Takes = append(p.Takes, takesOf(truth, []curve.Setting{*r.Ties[0].Settle}, hz, rng, 0.05)...)
		for _, v := range solved(t, p).Values {
			if v.LogSD > 1.2*r.Ties[0].Then {
				t.Errorf("%.3f promised: %+v", r.Ties[0].Then, v)
			}
		}
	}
}
