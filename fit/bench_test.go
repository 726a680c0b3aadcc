package fit_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/fit"
)

// BenchmarkFit is 18 leg values from three curves of 500 points, everything
// counted, from nominal values 5 % off. "ideal" has the bare drawing; "driver"
// the two-transistor one with the coils' and capacitors' losses.
func BenchmarkFit(b *testing.B) {
	b.Run("ideal", func(b *testing.B) { benchmarkFit(b, equaliser.DrawingIdeal) })
	b.Run("driver", func(b *testing.B) { benchmarkFit(b, equaliser.DrawingTwoTransistor) })
}

func benchmarkFit(b *testing.B, drawing string) {
	ctx := context.Background()
	rng := rand.New(rand.NewPCG(5, 1))
	nominal := demoUnit()
	hz := curve.Grid(20, 20e3, 50)[:500]
	build := func(u unit) *equaliser.Equaliser {
		spec := u.spec()
		spec.Drawing, spec.SourceOhms, spec.Feed, spec.LoadOhms = drawing, 1000, 1200, 470e3
		for i := range spec.Bands {
			spec.Bands[i].Coil.SelfFarads, spec.Bands[i].Capacitor.Loss, spec.Bands[i].Capacitor.ESR = 200e-12, 0.004, 0.1
		}
		e, err := equaliser.Build(spec)
		if err != nil {
			b.Fatal(err)
		}
		return e
	}
	truth := build(nominal.off(rng, 0.05))
	var takes []fit.Take
	for _, s := range threeSettings(nominal) {
		st, err := truth.Solve(ctx, s)
		if err != nil {
			b.Fatal(err)
		}
		gain := make([]complex128, len(hz))
		if err := st.Gain(ctx, equaliser.Source, equaliser.OutputPoint, hz, gain); err != nil {
			b.Fatal(err)
		}
		c := curve.Curve{Setting: s, Hz: hz, DB: make([]float64, len(hz))}
		for i, g := range gain {
			c.DB[i], _ = circuit.Decibels(g)
		}
		takes = append(takes, fit.Take{Curve: noisy(c, rng, 0.05, 1)})
	}
	e := build(nominal)
	p := fit.Plan{Circuit: e.Circuit(), Conditions: e.Conditions(), Source: equaliser.Source, Out: equaliser.OutputPoint,
		Unknowns: legUnknowns(nominal), Takes: takes, NoiseDB: 0.05}
	b.ReportAllocs()
	for b.Loop() {
		r, err := fit.Solve(ctx, p)
		if err != nil {
			b.Fatal(err)
		}
		if len(r.Findings) > 0 {
			b.Fatal(r.Findings)
		}
	}
}
