package fit_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/fit"
	"bandwright/trials"
)

// TestSameTwice: the same question has the same answer, to the last bit.
func TestSameTwice(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 61), 1))
	u := original(rng)
	p := fromNothing(t, u, closedBox(u, curve.Grid(20, 20e3, 20), rng, 0.05))
	if a, b := solved(t, p), solved(t, p); !reflect.DeepEqual(a, b) {
		t.Error("two answers to one question")
	}
}

// TestExact: without noise the values come back to many digits, and the noise is
// found to be none.
func TestExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 62), 1))
	for range trials.Count(10) {
		u := demoUnit()
		truth := u.off(rng, 0.2)
		r := solved(t, plan(t, u, takesOf(truth, threeSettings(u), curve.Grid(20, 20e3, 20), rng, 0)))
		for k, want := range legValues(truth) {
			if math.Abs(r.Values[k].Value/want-1) > 1e-6 {
				t.Errorf("%s: %.9g, want %.9g", r.Values[k].Part, r.Values[k].Value, want)
			}
		}
		if r.Noise.RMS > 1e-5 {
			t.Errorf("%g dB left", r.Noise.RMS)
		}
	}
}

// TestNoiseFound: noise that is not stated is found, and the curves of the result
// add up: measured is fitted and what is left.
func TestNoiseFound(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 63), 1))
	u := demoUnit()
	for _, sd := range []float64{0.01, 0.1, 0.4} {
		takes := takesOf(u.off(rng, 0.05), threeSettings(u), curve.Grid(20, 20e3, 50), rng, sd)
		r := solved(t, plan(t, u, takes))
		if math.Abs(r.Noise.DB/sd-1) > 0.08 || len(r.Findings) > 0 {
			t.Errorf("%g dB of noise, %.4f found; %v", sd, r.Noise.DB, r.Findings)
		}
		for i, take := range takes {
			for j, db := range take.Curve.DB {
				if math.Abs(r.Fitted[i].DB[j]+r.Residuals[i].DB[j]-db) > 1e-9 {
					t.Fatalf("take %d at %g Hz does not add up", i, take.Curve.Hz[j])
				}
			}
		}
	}
}

// TestStageIsFree: a shared stage taken out by contrasts gives the answer of a fit
// in which the levels differ, whatever the stage; one that is added to all takes
// changes nothing.
func TestStageIsFree(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 64), 1))
	u := demoUnit()
	hz := curve.Grid(20, 20e3, 20)
	p := plan(t, u, takesOf(u.off(rng, 0.05), threeSettings(u), hz, rng, 0.05))
	p.NoiseDB, p.Stage = 0.05, true
	p.Takes[1].NoiseDB = 0.1 // unlike noise too
	before := solved(t, p)
	for i := range p.Takes {
		db := append([]float64(nil), p.Takes[i].Curve.DB...)
		for j := range db {
			db[j] += 20 * math.Sin(float64(j))
		}
		p.Takes[i].Curve.DB = db
	}
	after := solved(t, p)
	for k, v := range before.Values {
		if math.Abs(after.Values[k].Value/v.Value-1) > 1e-6 {
			t.Errorf("%s: %.9g and %.9g", v.Part, v.Value, after.Values[k].Value)
		}
	}
	for j := range hz {
		if d := after.Stage.DB[j] - before.Stage.DB[j] - 20*math.Sin(float64(j)); math.Abs(d) > 1e-3 {
			t.Errorf("stage off by %g dB at %g Hz", d, hz[j])
		}
	}
}

// TestDriver: values that move the operating point are fitted too, the circuit
// being solved anew at every step. The takes are another circuit's own, by the
// engine's refined response.
func TestDriver(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 65), 1))
	spec := demoUnit().spec()
	spec.Drawing, spec.SourceOhms, spec.Feed = equaliser.DrawingTwoTransistor, 1000, 1200
	nominal, err := equaliser.Build(spec)
	if err != nil {
		t.Fatal(err)
	}
	spec.Feed, spec.Feedback = 1400, 2000
	truth, err := equaliser.Build(spec)
	if err != nil {
		t.Fatal(err)
	}
	hz := curve.Grid(20, 20e3, 6)
	p := fit.Plan{Circuit: nominal.Circuit(), Conditions: nominal.Conditions(), Source: equaliser.Source, Out: equaliser.OutputPoint,
		Level: fit.LevelKnown, NoiseDB: 0.05}
	for _, part := range []string{"feed", "feedback"} {
		p.Unknowns = append(p.Unknowns, fit.Unknown{Knob: circuit.Knob{Part: part, Value: "Ohms"}})
	}
	for _, s := range []curve.Setting{truth.AllUp(), truth.AllDown()} {
		st, err := truth.Solve(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		r, err := st.Response(t.Context(), equaliser.Source, []string{equaliser.OutputPoint}, hz)
		if err != nil {
			t.Fatal(err)
		}
		c, err := r.Curve(0, "", s)
		if err != nil {
			t.Fatal(err)
		}
		p.Takes = append(p.Takes, fit.Take{Curve: noisy(c, rng, 0.05, 0)})
	}
	r := solved(t, p)
	for k, want := range []float64{1400, 2000} {
		if v := r.Values[k]; math.Abs(math.Log(v.Value/want)) > 4*v.LogSD || v.LogSD > 0.02 {
			t.Errorf("%+v, want %g", v, want)
		}
	}
}

// TestThreeTakesFromNothing: no take moves one slider alone; tops and dips of
// several are told apart by their order.
func TestThreeTakesFromNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 66), 1))
	for n := range trials.Count(10) {
		u := demoUnit().off(rng, 0.1)
		p := fromNothing(t, u, takesOf(u, threeSettings(u), curve.Grid(20, 20e3, 50), rng, 0.05))
		p.Unknowns, p.Stage, p.Level = legUnknowns(u), false, fit.LevelFree
		e := onlyJoined(u)
		for i, l := range u.legs { // known beside the legs
			e.legs[i].coreOhms, e.legs[i].dcr, e.legs[i].hz = l.coreOhms, l.dcr, l.hz
		}
		p.Circuit = e.build(t).Circuit()
		r := solved(t, p)
		for k, want := range legValues(u) {
			if v := r.Values[k]; math.Abs(math.Log(v.Value/want)) > 5*v.LogSD || v.LogSD > 0.02 {
				t.Errorf("unit %d: %+v, want %g; %v", n, v, want, r.Findings)
			}
		}
	}
}
