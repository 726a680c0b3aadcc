package bench

import (
	"context"
	"io/fs"
	"strconv"
	"testing"

	"bandwright/curve"
	"bandwright/demo"
	"bandwright/equaliser"
)

// demoCase opens the demo job.
func demoCase(tb testing.TB) *Case {
	tb.Helper()
	files := demo.BassHead()
	text, err := fs.ReadFile(files, "job.toml")
	if err != nil {
		tb.Fatal(err)
	}
	c, found := Open(context.Background(), "job.toml", text, files)
	if err := found.Err(); err != nil {
		tb.Fatal(err)
	}
	return c
}

// fiveHundred is the grid the figures people wait for are given on.
func fiveHundred() []float64 {
	hz := curve.Grid(20, 20e3, 50)
	return hz[:500]
}

// BenchmarkCurve is a 500-point curve of the demo: gains alone as the
// spread and the searches take them, then refined with its backward error as
// it is reported, each on a kept plan; and with the operating point and a new
// plan, as after a slider has moved.
func BenchmarkCurve(b *testing.B) {
	ctx, c, hz := context.Background(), demoCase(b), fiveHundred()
	boost := c.equaliser.Boost("400")
	st, err := c.equaliser.Solve(ctx, boost)
	if err != nil {
		b.Fatal(err)
	}
	gain := make([]complex128, len(hz))
	b.Run("kept", func(b *testing.B) {
		for b.Loop() {
			if err := st.Gain(ctx, equaliser.Source, equaliser.OutputPoint, hz, gain); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(st.Unknowns()), "unknowns")
	})
	b.Run("refined", func(b *testing.B) {
		for b.Loop() {
			if _, err := st.Response(ctx, equaliser.Source, []string{equaliser.OutputPoint}, hz); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("moved", func(b *testing.B) {
		for b.Loop() {
			st, err := c.equaliser.Solve(ctx, boost)
			if err != nil {
				b.Fatal(err)
			}
			if err := st.Gain(ctx, equaliser.Source, equaliser.OutputPoint, hz, gain); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("moved-refined", func(b *testing.B) {
		for b.Loop() {
			st, err := c.equaliser.Solve(ctx, boost)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := st.Response(ctx, equaliser.Source, []string{equaliser.OutputPoint}, hz); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkMoving is a curve under a hand: each time another setting, at every
// frequency that the page draws.
func BenchmarkMoving(b *testing.B) {
	c := demoCase(b)
	for i := 0; b.Loop(); i++ {
		set := "400=" + strconv.FormatFloat(float64(i%2000)/2000, 'f', 4, 64)
		if _, err := c.Moving(context.Background(), set, nil); err != nil {
			b.Fatal(err)
		}
	}
}
