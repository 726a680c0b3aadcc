package fit

import (
	"math"
	"testing"
)

// TestStops: six points integrate powers up to the eleventh exactly, on any number
// of panels; that is what makes them Gauss's and no others.
func TestStops(t *testing.T) {
	for panels := 1; panels <= mostPanels; panels *= 2 {
		at, weight := stops(panels)
		for power := range 12 {
			sum := 0.0
			for i, x := range at {
				sum += weight[i] * math.Pow(x, float64(power))
			}
			if want := 1 / float64(power+1); math.Abs(sum-want) > 1e-14 {
				t.Errorf("x^%d on %d panels: %.17g, want %.17g", power, panels, sum, want)
			}
		}
	}
}

// TestWander: a run whose neighbours lie together is far out, one whose
// neighbours alternate on the other side, and the least that counts is not met by
// a short one.
func TestWander(t *testing.T) {
	slow, quick := make([]float64, 200), make([]float64, 200)
	for i := range slow {
		slow[i], quick[i] = math.Sin(float64(i)/10), math.Cos(math.Pi*float64(i))
	}
	if z := wander(slow); z < 10 {
		t.Errorf("slow: %g", z)
	}
	if z := wander(quick); z > -10 {
		t.Errorf("quick: %g", z)
	}
	if z := wander(slow[:9]); z != 0 {
		t.Errorf("short: %g", z)
	}
	if z := wander(make([]float64, 100)); z != 0 {
		t.Errorf("nothing: %g", z)
	}
}
