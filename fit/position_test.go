package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/curve"
	"bandwright/fit"
	"bandwright/trials"
)

// slipped gives the setting as it really stands: what is centred is off by up to
// 2 % of the whole travel, which is 0.04 in position, evenly.
func slipped(u unit, s curve.Setting, slips map[string]float64) curve.Setting {
	for _, l := range u.legs {
		if math.Abs(s.Slider(l.band)) < 1 {
			s = s.WithSlider(l.band, s.Slider(l.band)+slips[l.band])
		}
	}
	return s
}

// TestPositions: centred sliders stand off their centres. Fitted under a prior,
// intervals of the legs hold the truth; held fixed, the curves are said not to
// fit.
func TestPositions(t *testing.T) {
	const sd, most = 0.05, 0.04
	n := trials.Count(40)
	rng := rand.New(rand.NewPCG(trials.Seed(t, 73), 1))
	nominal := demoUnit()
	hz := curve.Grid(20, 20e3, 50)[:500]
	settings := []curve.Setting{sliders(nominal, "+0+0+0"), sliders(nominal, "0+0+0+"), sliders(nominal, "000000")}
	for _, reset := range []bool{false, true} {
		held, of, flagged, wrong := 0, 0, 0, 0
		for range n {
			truth := nominal.off(rng, 0.05)
			p := plan(t, nominal, slippedTakes(truth, settings, hz, rng, sd, most, reset))
			p.NoiseDB, p.PositionSD, p.Reset = sd, most/math.Sqrt(3), reset
			for k, v := range solved(t, p).Values {
				of++
				if want := legValues(truth)[k]; v.Low <= want && want <= v.High {
					held++
				}
			}
			p.PositionSD = 0
			if r := solved(t, p); says(r.Findings, fit.IDLackOfFit) {
				flagged++
			}
			p.Takes = takesOf(truth, settings, hz, rng, sd)
			if r := solved(t, p); says(r.Findings, fit.IDLackOfFit) {
				wrong++
			}
		}
		t.Logf("reset %v: intervals hold %.2f %%, fixed ones flagged in %d, exact ones in %d of %d",
			reset, 100*float64(held)/float64(of), flagged, wrong, n)
		if float64(held)/float64(of) < 0.92 || 10*flagged < 9*n || wrong > 1+n/100 {
			t.Error("92 % held, 90 % flagged and hardly a false alarm wanted")
		}
	}
}

// slippedTakes measures with sliders off; with reset each take has its own slips.
func slippedTakes(u unit, settings []curve.Setting, hz []float64, rng *rand.Rand, sd, most float64, reset bool) []fit.Take {
	slips := map[string]float64{}
	var takes []fit.Take
	for i, s := range settings {
		if i == 0 || reset {
			for _, l := range u.legs {
				slips[l.band] = most * (2*rng.Float64() - 1)
			}
		}
		stood := u.curve(slipped(u, s, slips), hz)
		stood.Setting = s
		takes = append(takes, fit.Take{Curve: noisy(stood, rng, sd, rng.NormFloat64())})
	}
	return takes
}
