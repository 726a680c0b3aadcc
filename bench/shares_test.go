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
