package spread_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/quantity"
	"bandwright/spread"
	"bandwright/trials"
)

// below is the share of a law under v, written down from the definitions
// without the quantile that is tested.
func below(l spread.Law, v float64) float64 {
	if v <= l.Low {
		return 0
	}
	if v >= l.High {
		return 1
	}
	switch l.Shape {
	case spread.Flat:
		return (v - l.Low) / (l.High - l.Low)
	case spread.Skewed:
		if v < l.Nominal {
			return (v - l.Low) * (v - l.Low) / ((l.High - l.Low) * (l.Nominal - l.Low))
		}
		return 1 - (l.High-v)*(l.High-v)/((l.High-l.Low)*(l.High-l.Nominal))
	}
	phi := func(x float64) float64 { return 0.5 * (1 + math.Erf((x-l.Nominal)/(l.SD*math.Sqrt2))) }
	return (phi(v) - phi(l.Low)) / (phi(l.High) - phi(l.Low))
}

func someLaws() []spread.Law {
	return []spread.Law{
		spread.Within(spread.Flat, 0.5, even(0.1)),
		spread.Within(spread.Flat, 0.5, quantity.Tolerance{Minus: 0.2, Plus: 0.8}),
		spread.Within(spread.Normal, 0.5, even(0.05)),
		spread.Within(spread.Normal, 0.5, quantity.Tolerance{Minus: 0.01, Plus: 0.2}),
		{Shape: spread.Normal, Nominal: 3, Low: 2.9, High: 3.1, SD: 0.3},
		spread.Within(spread.Skewed, 0.5, quantity.Tolerance{Minus: 0.2, Plus: 0.8}),
		spread.Within(spread.Skewed, 0.5, quantity.Tolerance{Minus: 0.1}),
		spread.Within(spread.Skewed, 0.5, quantity.Tolerance{Plus: 0.1}),
		spread.MeasuredAs(47e-9, 0.3e-9),
	}
}

// The quantile put back into the distribution gives the share, and the moments
// are those of the quantile.
func TestLaws(t *testing.T) {
	for _, l := range someLaws() {
		const n = 200_000
		var sum, square float64
		for i := range n {
			u := (float64(i) + 0.5) / n
			v := l.Quantile(u)
			if got := below(l, v); i%1000 == 0 && math.Abs(got-u) > 1e-12 {
				t.Errorf("%+v: %g of all lie below %g, want %g", l, got, v, u)
			}
			if v < l.Low || v > l.High {
				t.Fatalf("%+v: %g lies outside", l, v)
			}
			sum += v
			square += (v - l.Nominal) * (v - l.Nominal)
		}
		mean, sd := l.Moments()
		gotMean := sum / n
		if gotSD := math.Sqrt(square/n - (gotMean-l.Nominal)*(gotMean-l.Nominal)); !near(gotMean, mean, 1e-6) || !near(gotSD, sd, 1e-4) {
			t.Errorf("%+v: mean %g and deviation %g, want %g and %g", l, mean, sd, gotMean, gotSD)
		}
	}
	fixed := spread.Within(spread.Flat, 7, quantity.Tolerance{})
	if mean, sd := fixed.Moments(); mean != 7 || sd != 0 || fixed.Quantile(0.3) != 7 {
		t.Errorf("a part without tolerance varies: %g %g", mean, sd)
	}
}

// Factors k of two-sided tolerance intervals, 95 % confidence that mean ± k·s of
// n normal values covers 95 % of all (Statistics for Environmental Engineers,
// table 21.1, from the work): drawn from the normal law, that is what
// they do.
func TestNormalLawAgainstToleranceFactors(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 211), 1))
	law := spread.MeasuredAs(100, 2)
	for _, c := range []struct {
		n int
		k float64
	}{{4, 6.34}, {5, 5.08}, {6, 4.42}, {7, 4.02}, {8, 3.75}, {9, 3.55}, {10, 3.39}, {12, 3.17}, {15, 2.96}, {20, 2.76}, {25, 2.64}, {30, 2.55}, {40, 2.45}, {60, 2.34}} {
		const tries = 4000
		covered := 0
		for range tries {
			var sum, square float64
			for range c.n {
				v := law.Quantile(rng.Float64()) - law.Nominal
				sum += v
				square += v * v
			}
			mean := sum / float64(c.n)
			s := math.Sqrt((square - sum*mean) / float64(c.n-1))
			if spread.NormalShare((mean+c.k*s)/law.SD)-spread.NormalShare((mean-c.k*s)/law.SD) >= 0.95 {
				covered++
			}
		}
		share := float64(covered) / tries
		// Four deviations of chance, and what rounding k to two places moves.
		if math.Abs(share-0.95) > 4*math.Sqrt(0.95*0.05/tries)+0.003 {
			t.Errorf("n = %d, k = %g: covers in %.4f of all tries, want 0.95", c.n, c.k, share)
		}
	}
}
