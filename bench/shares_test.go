package bench

import (
	"context"
	"math"
	"testing"
)

// A slider alone has all that the total has over flat; with others up each
// share is the total less the total without it, and those do not add up.
func TestSharesAreDifferencesOfTotals(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	at := func(set string, hz float64) float64 {
		t.Helper()
		a, _, err := c.Predict(ctx, set, []float64{hz})
		if err != nil || a.Rows[0].DB == nil {
			t.Fatalf("%s: %v", set, err)
		}
		return *a.Rows[0].DB
	}
	for _, tc := range []struct {
		set     string
		hz      float64
		flat    string
		without map[string]string
	}{
		{"400=+1", 400, "flat", map[string]string{"400": "flat"}},
		{"160=0.5,400=+1,1000=-0.25", 400, "flat",
			map[string]string{"160": "400=+1,1000=-0.25", "400": "160=0.5,1000=-0.25", "1000": "160=0.5,400=+1"}},
		{"63=-1,lift", 63, "lift", map[string]string{"63": "lift"}},
		{"bypass", 1000, "bypass", nil},
	} {
		a, _, err := c.Shares(ctx, tc.set, tc.hz)
		if err != nil {
			t.Fatalf("%s: %v", tc.set, err)
		}
		total := at(tc.set, tc.hz)
		if *a.TotalDB != total || *a.FlatDB != at(tc.flat, tc.hz) || len(a.Sliders) != 6 {
			t.Errorf("%s: total %g (want %g), flat %g, %d sliders", tc.set, *a.TotalDB, total, *a.FlatDB, len(a.Sliders))
		}
		for _, s := range a.Sliders {
			want := 0.0
			if without, moved := tc.without[s.Band]; moved {
				want = total - at(without, tc.hz)
			}
			if *s.DB != want {
				t.Errorf("%s: share of %s is %g, not %g", tc.set, s.Band, *s.DB, want)
			}
		}
	}
	for _, hz := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, _, err := c.Shares(ctx, "flat", hz); err == nil {
			t.Errorf("an answer at %g Hz", hz)
		}
	}
}

// The range at a setting holds the prediction there, is the same however many
// work on it, and stopped gives nothing or what it has.
func TestRangeAtHoldsThePrediction(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	for _, set := range []string{"flat", "400=+1,1000=-0.4", "63=+1,lift", "bypass"} {
		q := RangeAtQuestion{Set: set, Builds: 256}
		a, _, err := c.RangeAt(ctx, q, nil)
		if err != nil {
			t.Fatalf("%s: %v", set, err)
		}
		q.Workers = 2
		b, _, err := c.RangeAt(ctx, q, func(done, total int) {
			if done > total || total != 256 {
				t.Errorf("%d of %d", done, total)
			}
		})
		if err != nil || len(a.Hz) != len(b.Hz) || len(a.Hz) < 100 {
			t.Fatalf("%s: %v, %d and %d points", set, err, len(a.Hz), len(b.Hz))
		}
		nominal, _, err := c.Predict(ctx, set, a.Hz)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range nominal.Rows {
			// A hundredth of a dB for the median of few builds beside the nominal one.
			if *row.DB < a.Low[i]-0.01 || *row.DB > a.High[i]+0.01 {
				t.Errorf("%s at %g Hz: %g dB not in %g to %g", set, row.Hz, *row.DB, a.Low[i], a.High[i])
			}
			if a.Low[i] != b.Low[i] || a.High[i] != b.High[i] {
				t.Errorf("%s at %g Hz: two workers give another range", set, row.Hz)
			}
		}
	}
	stopped, stop := context.WithCancel(ctx)
	stop()
	if _, _, err := c.RangeAt(stopped, RangeAtQuestion{Set: "flat"}, nil); err == nil {
		t.Error("an answer after the end")
	}
}
