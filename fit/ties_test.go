package fit_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/fit"
	"bandwright/trials"
)

// TestTie: of a leg seen only near its resonance, with its slider half way up, the
// curve tells coil times capacitor and neither by itself. It is said, the take
// that would part them is named, and with it they come out as promised.
func TestTie(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 95), 1))
	hz := curve.Grid(200, 800, 50)
	u := demoUnit()
	for range trials.Count(10) {
		truth := u.off(rng, 0)
		truth.legs[2] = u.off(rng, 0.05).legs[2]
		half := curve.Setting{}.WithSlider("400", 0.5)
		p := plan(t, u, takesOf(truth, []curve.Setting{half}, hz, rng, 0.05))
		p.NoiseDB, p.Unknowns = 0.05, p.Unknowns[6:9]
		r := solved(t, p)
		if len(r.Ties) != 1 || r.Ties[0].Settle == nil {
			t.Fatalf("ties %+v; %v", r.Ties, r.Findings)
		}
		said := r.Findings[len(r.Findings)-1]
		if said.ID != fit.IDTogether || !strings.HasPrefix(said.Args["known"].(string), "400.coil × 400.capacitor") || said.Args["settle"] != "400=-1" {
			t.Errorf("%v", said)
		}
		p.Takes = append(p.Takes, takesOf(truth, []curve.Setting{*r.Ties[0].Settle}, hz, rng, 0.05)...)
		after := solved(t, p)
		if len(after.Ties) > 0 {
			t.Errorf("still tied: %v", after.Findings)
		}
		worst := 0.0
		for _, i := range r.Ties[0].Values {
			worst = max(worst, after.Values[i].LogSD)
		}
		if ratio := worst / r.Ties[0].Then; ratio < 0.2 || ratio > 2 { // reckoned with values that are themselves loose
			t.Errorf("%.3f promised, %.3f came", r.Ties[0].Then, worst)
		}
	}
}

// TestScale: with feed and feedback unknown too, and every track nearly out of the
// way, all impedances may grow by one factor.
func TestScale(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 96), 1))
	u := original(rng)
	r := solved(t, fromNothing(t, u, closedBox(u, curve.Grid(20, 20e3, 20), rng, 0.05)))
	if len(r.Ties) != 1 || !r.Ties[0].Scale || r.Ties[0].Known[0].LogSD > 0.01 {
		t.Errorf("ties %+v", r.Ties)
	}
}

// TestNotTold: a flat take alone tells nothing of legs between equal buses; what
// was believed beforehand comes back, and it is said.
func TestNotTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 97), 1))
	u := demoUnit()
	p := plan(t, u, takesOf(u, []curve.Setting{{}}, curve.Grid(20, 20e3, 20), rng, 0.05))
	p.NoiseDB = 0.05
	p.Unknowns[0].Prior = 0.05
	r := solved(t, p)
	if r.Values[0].Told || math.Abs(r.Values[0].LogSD-0.05) > 1e-3 {
		t.Errorf("%+v", r.Values[0])
	}
	told := 0
	for _, f := range r.Findings {
		if f.ID == fit.IDNotTold {
			told++
		}
	}
	if told != len(r.Values)-1 {
		t.Errorf("%d said of %d", told, len(r.Values)-1)
	}
}

// TestRefused: what cannot be asked is refused by name.
func TestRefused(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 98), 1))
	u := demoUnit()
	hz := curve.Grid(20, 20e3, 20)
	for _, c := range []struct {
		name   string
		change func(p *fit.Plan)
		want   finding.ID
	}{
		{"no curves", func(p *fit.Plan) { p.Takes = nil }, fit.IDNothing},
		{"no unknowns", func(p *fit.Plan) { p.Unknowns = nil }, fit.IDNothing},
		{"one take past a stage", func(p *fit.Plan) { p.Stage, p.Takes = true, p.Takes[:1] }, fit.IDOneTake},
		{"other frequencies", func(p *fit.Plan) {
			p.Stage = true
			p.Takes[1] = takesOf(u, threeSettings(u)[1:2], hz[1:], rng, 0)[0]
		}, fit.IDGrids},
		{"few points", func(p *fit.Plan) { p.Takes = takesOf(u, threeSettings(u), hz[:7], rng, 0.05) }, fit.IDFewPoints},
		{"no such part", func(p *fit.Plan) { p.Unknowns[3].Part = "64.resistor" }, "circuit.no-part"},
		{"no such value", func(p *fit.Plan) { p.Unknowns[3].Value = "Farads" }, "circuit.no-knob"},
		{"nought", func(p *fit.Plan) { p.Unknowns[3].Part, p.Unknowns[3].Value = "63.coil", "SelfFarads" }, fit.IDNoLog},
		{"no such point", func(p *fit.Plan) { p.Out = "nowhere" }, "circuit.no-point"},
	} {
		p := plan(t, u, takesOf(u, threeSettings(u), hz, rng, 0.05))
		c.change(&p)
		_, err := fit.Solve(t.Context(), p)
		list, _ := finding.From(err)
		if !says(list, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
