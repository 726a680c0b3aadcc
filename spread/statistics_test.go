package spread_test

import (
	"math"
	"testing"

	"bandwright/spread"
)

// Wilks: 59 builds one-sided, 93 two-sided at 95/95 (numbers from memory,
// arithmetic worked out: 0.95⁵⁸ = 0.05105, 0.95⁵⁹ = 0.04849; 0.94786 at 92,
// 0.95002 at 93).
func TestBuildsNeeded(t *testing.T) {
	for _, c := range []struct {
		cover, level float64
		ends, want   int
	}{{0.95, 0.95, 1, 59}, {0.95, 0.95, 2, 93}, {0.9, 0.95, 1, 29}, {0.5, 0.5, 1, 1}} {
		if got := spread.BuildsNeeded(c.cover, c.level, c.ends); got != c.want {
			t.Errorf("%+v: %d builds", c, got)
		}
	}
}

// Binomial yields, worked out from the definition: ten good boards at 0.9
// each; no failure in 30 is compatible with 9.503 % at 95 %; the wait for
// the third good one at 0.5.
func TestKitYield(t *testing.T) {
	for _, c := range []struct {
		need, made int
		good, want float64
	}{
		{10, 11, 0.9, 0.69736}, {10, 12, 0.9, 0.88913}, {10, 13, 0.9, 0.96584}, {10, 14, 0.9, 0.99077},
		{30, 30, 1 - 0.09503, 0.05}, {10, 9, 0.9, 0}, {0, 5, 0.3, 1}, {3, 3, 1, 1}, {1, 3, 0, 0},
	} {
		if got := spread.KitYield(c.need, c.made, c.good); math.Abs(got-c.want) > 1e-5 {
			t.Errorf("%+v: %.6f", c, got)
		}
	}
	before := 0.0
	for failures, want := range []float64{0.125, 0.1875, 0.1875, 0.15625} {
		now := spread.KitYield(3, 3+failures, 0.5)
		if math.Abs(now-before-want) > 1e-12 {
			t.Errorf("%d failures before the third good one: %g, want %g", failures, now-before, want)
		}
		before = now
	}
}

// Wilson's ends are where the score test turns: |p̂ − p| = z·√(p(1−p)/n).
func TestWilson(t *testing.T) {
	for _, c := range [][2]int{{0, 30}, {30, 30}, {1, 2}, {7, 10}, {950, 1000}, {99_990, 100_000}} {
		for _, level := range []float64{0.6827, 0.95, 0.99} {
			low, high := spread.Wilson(c[0], c[1], level)
			n, p := float64(c[1]), float64(c[0])/float64(c[1])
			z := spread.NormalQuantile((1 + level) / 2)
			for _, end := range []float64{low, high} {
				if got := math.Abs(p - end); math.Abs(got-z*math.Sqrt(end*(1-end)/n)) > 1e-9 && end != p {
					t.Errorf("%v at %g: end %g", c, level, end)
				}
			}
			if !(0 <= low && low <= p && p <= high && high <= 1) {
				t.Errorf("%v at %g: %g to %g about %g", c, level, low, high, p)
			}
		}
	}
}

// The normal law's points, from memory.
func TestNormalQuantile(t *testing.T) {
	for p, z := range map[float64]float64{0.5: 0, 0.975: 1.959963984540054, 0.95: 1.6448536269514722, 0.995: 2.5758293035489004, 1e-9: -5.9978070150076865} {
		if got := spread.NormalQuantile(p); math.Abs(got-z) > 1e-7*math.Abs(z)+1e-15 {
			t.Errorf("%g: %.16g, want %.16g", p, got, z)
		}
	}
	for z := -6.0; z <= 6; z += 0.125 {
		if back := spread.NormalQuantile(spread.NormalShare(z)); math.Abs(back-z) > 1e-7 {
			t.Errorf("%g came back as %g", z, back)
		}
	}
}
