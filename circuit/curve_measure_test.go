package circuit_test

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"bandwright/circuit"
	"bandwright/known"
	"bandwright/trials"
)

// TestCurveMeasure: the curve of a build is that of the closed form with the
// build's own values.
func TestCurveMeasure(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 303), 3))
	for trial := range trials.Count(6) {
		ohms, legs := known.RandomCell(rng, 1+trial)
		parts, setting := known.IdealCellParts(ohms, legs)
		c, err := circuit.New(parts...)
		if err != nil {
			t.Fatal(err)
		}
		st, err := c.Solve(context.Background(), setting, circuit.Conditions{})
		if err != nil {
			t.Fatal(err)
		}
		e, err := c.Ensemble([]*circuit.State{st}, []circuit.Knob{{Part: "1.coil", Value: "Henries"}, {Part: "1.capacitor", Value: "Farads"}}, "source", "out")
		if err != nil {
			t.Fatal(err)
		}
		hz := []float64{20, 63.5, 1000, 20e3}
		m, b := e.CurveMeasure(0, hz), e.NewBuilds()
		figures := make([][circuit.BuildCount]float64, len(hz))
		const builds = 17
		var turned [builds]known.Leg
		for k := range turned {
			turned[k] = legs[0]
			turned[k].Henries *= 0.5 + rng.Float64()
			turned[k].Farads *= 0.5 + rng.Float64()
			b.Set(k, 0, turned[k].Henries)
			b.Set(k, 1, turned[k].Farads)
		}
		b.Turn(builds)
		m.Take(b, builds, figures)
		for i, name := range m.Figures() {
			if f, err := strconv.ParseFloat(name, 64); err != nil || f != hz[i] {
				t.Errorf("figure %q for %g Hz", name, hz[i])
			}
			for k := range turned {
				with := append([]known.Leg{turned[k]}, legs[1:]...)
				want, _ := circuit.Decibels(known.IdealCell(ohms, with, hz[i]))
				if !(math.Abs(figures[i][k]-want) < 1e-8) {
					t.Errorf("%d legs, build %d at %g Hz: %.12g dB, want %.12g", len(legs), k, hz[i], figures[i][k], want)
				}
			}
		}
		if n := testing.AllocsPerRun(5, func() { m.Take(b, builds, figures) }); n != 0 {
			t.Errorf("%g allocations a round", n)
		}
	}
}
