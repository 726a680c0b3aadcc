package fit_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fit"
	"bandwright/trials"
)

// TestSaid: weak answers carry their findings.
func TestSaid(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 51), 1))
	u := demoUnit()
	hz := curve.Grid(20, 20e3, 30)
	all := takesOf(u, threeSettings(u), hz, rng, 0.05)
	for _, c := range []struct {
		name   string
		change func(p *fit.Plan)
		want   string
	}{
		{"a bound in the way", func(p *fit.Plan) { p.Unknowns[1].Low = 3 }, "fit.at-bound"},
		{"another leg is drawn wrong", func(p *fit.Plan) { p.Unknowns = p.Unknowns[3:]; p.Circuit = drawnWrong(t, u) }, "fit.lack-of-fit"},
		{"the same, noise not stated", func(p *fit.Plan) {
			p.Unknowns, p.Circuit, p.NoiseDB = p.Unknowns[3:], drawnWrong(t, u), 0
		}, "fit.lack-of-fit"},
		{"a slider that no take moves", func(p *fit.Plan) {
			p.FromNothing = true
			p.Takes = takesOf(u, []curve.Setting{{}, sliders(u, "+0++++"), sliders(u, "+00+++")}, hz, rng, 0.05)
			for _, l := range u.legs {
				p.Legs = append(p.Legs, fit.Leg{Band: l.band, Slider: l.band, Resistor: l.band + ".resistor",
					Coil: l.band + ".coil", Capacitor: l.band + ".capacitor"})
			}
		}, "fit.leg-unseen"},
	} {
		p := plan(t, u, all)
		p.NoiseDB = 0.05
		c.change(&p)
		r := solved(t, p)
		found := false
		for _, f := range r.Findings {
			found = found || string(f.ID) == c.want
		}
		if !found {
			t.Errorf("%s: %v", c.name, r.Findings)
		}
		for _, v := range r.Values {
			if !(v.Low <= v.Value && v.Value <= v.High) || math.IsInf(v.High, 0) || !(v.LogSD >= 0) {
				t.Errorf("%s: %+v", c.name, v)
			}
		}
	}
}

// drawnWrong has a first coil a third too large.
func drawnWrong(t *testing.T, u unit) *circuit.Circuit {
	return moved(u, 1, math.Log(4.0/3)).build(t).Circuit()
}

// TestCancelled: a fit ends when it is asked to.
func TestCancelled(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 52), 1))
	u := demoUnit()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := fit.Solve(ctx, plan(t, u, takesOf(u, threeSettings(u), curve.Grid(20, 20e3, 30), rng, 0.05))); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// TestLossesAsked: copper, core loss and end resistance are found where they are
// asked for, as well as the curves tell them.
func TestLossesAsked(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 53), 1))
	u := demoUnit()
	truth := demoUnit()
	truth.legs[2].coreOhms, truth.legs[2].end, truth.legs[4].track = 40e3, 60, 9e3
	settings := append(threeSettings(u), sliders(u, "00+0+0").WithSlider("2500", 0.5), sliders(u, "00-00+").WithSlider("2500", -0.3))
	p := plan(t, u, takesOf(truth, settings, curve.Grid(20, 20e3, 50), rng, 0.02))
	p.NoiseDB = 0.02
	p.Unknowns = []fit.Unknown{
		{Knob: circuit.Knob{Part: "400.coil", Value: "CoreOhms"}},
		{Knob: circuit.Knob{Part: "400.coil", Value: "Henries"}},
		{Knob: circuit.Knob{Part: "400.coil", Value: "DCR"}},
		{Knob: circuit.Knob{Part: "400", Value: "BoostEnd"}},
		{Knob: circuit.Knob{Part: "400", Value: "CutEnd"}},
		{Knob: circuit.Knob{Part: "2500", Value: "Track"}},
	}
	r := solved(t, p)
	for k, want := range []float64{40e3, 0.39, 82, 60, 60, 9e3} {
		if v := r.Values[k]; math.Abs(math.Log(v.Value/want)) > 4*v.LogSD || v.LogSD > 0.4 {
			t.Errorf("%+v, want %g", v, want)
		}
	}
	for _, f := range r.Findings {
		if f.ID != fit.IDTogether { // core loss and copper are alike near resonance
			t.Errorf("%v", f)
		}
	}
}

// TestUnexplained: a difference that the fitted parts do not make is left over and
// said; one that is lost has no account.
func TestUnexplained(t *testing.T) {
	u := demoUnit()
	e := u.build(t)
	a := &fit.Account{Circuit: e.Circuit(), Source: "source", Out: "return", Owner: map[string]string{"400.coil": "400", "400.capacitor": "400"}}
	a.Knobs = []circuit.Knob{{Part: "400.coil", Value: "Henries"}, {Part: "400.capacitor", Value: "Farads"}}
	s, _, err := e.Sampling(t.Context(), e.Solve, a.Knobs)
	if err != nil {
		t.Fatal(err)
	}
	a.From.Values, a.To.Values = []float64{0.39, 390e-9}, []float64{0.39 * 1.02, 390e-9}
	list, found, err := a.Figures(t.Context(), s.Ensemble, s.Measure(), map[string]fit.Measured{"400 centre_hz": {From: 400, To: 380}})
	if err != nil || len(found) != 1 || found[0].ID != fit.IDUnexplained {
		t.Errorf("%v %v", found, err)
	}
	for _, f := range list {
		if f.Figure == "400 centre_hz" && (math.Abs(f.Difference+0.05) > 1e-12 || math.Abs(f.Explained.Share+0.01) > 0.003 ||
			math.Abs(f.Explained.Share+f.NotExplained-f.Difference) > 1e-12 || f.All[0].Part != "400.coil") {
			t.Errorf("%+v", f)
		}
	}
	a.To.Values = []float64{0.39 * 1e4, 390e-9} // its top is gone
	if _, found, _ = a.Figures(t.Context(), s.Ensemble, s.Measure(), nil); !says(found, fit.IDNoFigure) {
		t.Errorf("%v", found)
	}
}

// TestPositionShare: a slider that stands elsewhere on the second side has its
// share of the curves' difference, and all is explained.
func TestPositionShare(t *testing.T) {
	u := demoUnit()
	hz := curve.Grid(20, 20e3, 10)
	a := &fit.Account{Circuit: u.build(t).Circuit(), Source: "source", Out: "return"}
	a.Knobs = []circuit.Knob{{Part: "400", Value: "Position"}, {Part: "1000.coil", Value: "Henries"}}
	s := curve.Setting{}.WithSlider("1000", 1)
	a.From.Values, a.To.Values = []float64{0, 0.17}, []float64{0.1, 0.18}
	from := u.curve(s, hz)
	v := demoUnit()
	v.legs[3].henries = 0.18
	to := v.curve(s.WithSlider("400", 0.1), hz)
	c, err := a.Curve(t.Context(), s, hz, from.DB, to.DB)
	if err != nil {
		t.Fatal(err)
	}
	largest := 0.0
	for i := range hz {
		largest = max(largest, math.Abs(c.Shares[0].DB[i]))
		if math.Abs(c.NotExplained[i]) > 1e-3 {
			t.Errorf("%g Hz: %g dB not explained", hz[i], c.NotExplained[i])
		}
	}
	if largest < 0.3 {
		t.Errorf("the slider's largest share is %g dB", largest)
	}
}
