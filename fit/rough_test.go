package fit_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/fit"
	"bandwright/trials"
)

// TestRough: whatever the curves are, the answer is finite numbers and findings,
// or a finding.
func TestRough(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 41), 1))
	u := demoUnit()
	poor := 0
	for range trials.Count(12) {
		hz := curve.Grid(20, 20e3, 2+rng.IntN(20))
		takes := takesOf(u, threeSettings(u), hz, rng, 0)
		for i := range takes {
			for j := range takes[i].Curve.DB {
				switch rng.IntN(3) {
				case 0:
					takes[i].Curve.DB[j] = 60 * rng.NormFloat64()
				case 1:
					takes[i].Curve.DB[j] = -40
				}
			}
		}
		p := plan(t, u, takes)
		p.NoiseDB = []float64{0, 0.05}[rng.IntN(2)]
		p.Stage, p.PositionSD = rng.IntN(2) == 0, []float64{0, 0.05}[rng.IntN(2)]
		r, err := fit.Solve(t.Context(), p)
		if err != nil {
			if _, ok := finding.From(err); !ok {
				t.Errorf("%v", err)
			}
			continue
		}
		if _, err := json.Marshal(r); err != nil { // refuses what is not finite
			t.Errorf("%v", err)
		}
		if len(r.Findings) > 0 {
			poor++
		}
	}
	if poor == 0 {
		t.Error("nonsense passes for curves")
	}
}

// TestSwitches: takes with the legs lifted and with the panel switch out stand
// beside the others and measure what lies behind.
func TestSwitches(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 42), 1))
	u := demoUnit()
	spec := u.spec()
	spec.Lift, spec.Bypass = &equaliser.Lift{}, &equaliser.Bypass{}
	e, err := equaliser.Build(spec)
	if err != nil {
		t.Fatal(err)
	}
	truth := u.off(rng, 0.05)
	hz := curve.Grid(20, 20e3, 30)
	takes := takesOf(truth, threeSettings(u), hz, rng, 0.05)
	lifted, _ := e.Lifted()
	bypassed, _ := e.Bypassed()
	for _, s := range []curve.Setting{lifted, bypassed} { // equal buses: nothing amplifies, nothing divides
		takes = append(takes, fit.Take{Curve: noisy(curve.Curve{Setting: s, Hz: hz, DB: make([]float64, len(hz))}, rng, 0.05, 0)})
	}
	p := plan(t, u, takes)
	p.Circuit, p.Stage, p.NoiseDB = e.Circuit(), true, 0.05
	r := solved(t, p)
	if len(r.Findings) > 0 {
		t.Errorf("%v", r.Findings)
	}
	for k, want := range legValues(truth) {
		if v := r.Values[k]; math.Abs(math.Log(v.Value/want)) > 4.5*v.LogSD || v.LogSD > 0.02 {
			t.Errorf("%+v, want %g", v, want)
		}
	}
}

// TestOneOhm: a value that has another equation below 1 ohm stays on its side.
func TestOneOhm(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 43), 1))
	u := demoUnit()
	u.legs[0].dcr = 800 // of which the resistor's ohms are asked to be far below nought
	truth := demoUnit()
	truth.legs[0].ohms = 1.2
	p := plan(t, u, takesOf(truth, threeSettings(u), curve.Grid(20, 20e3, 20), rng, 0.05))
	p.NoiseDB = 0.05
	r := solved(t, p)
	if r.Values[0].Value < 1 || r.Values[0].AtBound != -1 || !says(r.Findings, fit.IDAtBound) {
		t.Errorf("%+v %v", r.Values[0], r.Findings)
	}
	spec := u.spec()
	spec.Lift = &equaliser.Lift{OnOhms: 0.5}
	e, err := equaliser.Build(spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range e.Circuit().Parts() {
		if c, ok := part.(circuit.Contact); ok && c.OnOhms > 0 {
			p.Circuit = e.Circuit()
			p.Unknowns = []fit.Unknown{{Knob: circuit.Knob{Part: c.Name, Value: "OnOhms"}, Start: 0.9}}
			if v := solved(t, p).Values[0]; !(v.Value < 1) {
				t.Errorf("%+v", v)
			}
		}
	}
}
