package bench

import (
	"math"
	"testing"
)

// A curve that moves is the curve that stands, to what no screen shows: what is
// said of it, and its refinement, are left out.
func TestMovingIsGains(t *testing.T) {
	c := demoCase(t)
	for _, set := range []string{"", "400=+0.37", "63=-1,6300=+1", "lift", "bypass"} {
		moving, err := c.Moving(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		stands, _, err := c.Gains(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		if moving.Residual != nil || stands.Residual == nil {
			t.Errorf("%q: residuals %v and %v", set, moving.Residual, stands.Residual)
		}
		for i, row := range moving.Rows {
			is := stands.Rows[i]
			if row.Hz != is.Hz || math.Abs(*row.DB-*is.DB) > 1e-6 || math.Abs(row.Degrees-is.Degrees) > 1e-5 {
				t.Errorf("%q: a moving curve differs from the one that stands: %+v, %+v", set, row, is)
			}
		}
	}
	if _, err := c.Moving(t.Context(), "400=+2", nil); err == nil {
		t.Error("a slider beyond its travel is asked without complaint")
	}
	if _, err := c.Moving(t.Context(), "", []float64{-1}); err == nil {
		t.Error("a frequency below nothing is asked without complaint")
	}
}
