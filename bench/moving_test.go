package bench

import (
	"reflect"
	"testing"
)

// A curve that moves is the curve that stands: only what is said of it is left
// out.
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
		if !reflect.DeepEqual(moving, stands) {
			t.Errorf("%q: a moving curve differs from the one that stands", set)
		}
	}
	if _, err := c.Moving(t.Context(), "400=+2", nil); err == nil {
		t.Error("a slider beyond its travel is asked without complaint")
	}
	if _, err := c.Moving(t.Context(), "", []float64{-1}); err == nil {
		t.Error("a frequency below nothing is asked without complaint")
	}
}
