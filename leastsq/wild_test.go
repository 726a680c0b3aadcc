package leastsq

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/trials"
)

// wild draws a problem of rough pieces: exponentials, roots, logarithms and
// quotients that are not to be had everywhere, in units up to 10¹² apart,
// with bounds, held parameters and priors drawn too.
func wild(rng *rand.Rand) (Problem, []float64, Options) {
	n, rows := 1+rng.IntN(5), 1+rng.IntN(12)
	unit, kind, data := make([]float64, n), make([]int, rows*n), make([]float64, rows)
	for k := range unit {
		unit[k] = math.Pow(10, 12*rng.Float64()-6)
	}
	for i := range kind {
		kind[i] = rng.IntN(7)
	}
	for i := range data {
		data[i] = 3 * rng.NormFloat64()
	}
	pieces := [...]func(x, t float64) float64{
		func(x, t float64) float64 { return x * t },
		func(x, t float64) float64 { return math.Exp(x * t) },
		func(x, t float64) float64 { return math.Sqrt(1 + x*t) },
		func(x, t float64) float64 { return math.Log(2 + x*t) },
		func(x, t float64) float64 { return 1 / (x + t) },
		func(x, t float64) float64 { return x * x * t },
		func(x, t float64) float64 { return 0 },
	}
	p := Problem{Rows: rows, Residuals: func(b, r []float64) {
		for i := range r {
			r[i] = -data[i]
			for k := range b {
				r[i] += pieces[kind[i*n+k]](b[k]/unit[k], float64(i+1)/float64(rows))
			}
		}
	}}
	o := Options{KnownSD: rng.IntN(2) == 0, Iterations: 60}
	start := make([]float64, n)
	o.Lower, o.Upper, o.Priors = constants(n, math.Inf(-1)), constants(n, math.Inf(1)), make([]Prior, n)
	for k := range start {
		start[k] = unit[k] * rng.NormFloat64()
		switch rng.IntN(6) {
		case 0:
			o.Lower[k] = unit[k] * rng.NormFloat64()
		case 1:
			o.Upper[k] = unit[k] * rng.NormFloat64()
		case 2:
			o.Lower[k], o.Upper[k] = start[k], start[k]
		case 3:
			o.Lower[k], o.Upper[k] = -unit[k]/2, unit[k]
		case 4:
			o.Priors[k] = Prior{unit[k] * rng.NormFloat64(), unit[k] * math.Exp(3*rng.NormFloat64())}
		}
	}
	return p, start, o
}

// Whatever is drawn: no panic, nothing but finite numbers, inside the bounds,
// never worse than the start, flags that fit the place, and the same again.
func TestWild(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 61), 1))
	reasons, bad := map[Reason]int{}, 0
	for range trials.Count(4000) {
		p, start, o := wild(rng)
		first, none := 0.0, true
		o.Continue = func(i int, _ []float64, sum float64) bool {
			if i == 0 {
				first, none = sum, false
			}
			return true
		}
		res, err := Solve(p, start, o)
		if err != nil {
			bad++
			continue
		}
		reasons[res.Reason]++
		finite(t, res)
		if !none && res.Sum+res.PriorSum > first*(1+1e-9) {
			t.Errorf("sum %g, at the start %g", res.Sum+res.PriorSum, first)
		}
		for k, v := range res.P {
			at := res.AtBound[k]
			if v < o.Lower[k] || v > o.Upper[k] || at < 0 && v != o.Lower[k] || at > 0 && v != o.Upper[k] {
				t.Errorf("parameter %d at %g, bounds %g … %g, flag %d", k, v, o.Lower[k], o.Upper[k], at)
			}
		}
		if res.Rank+len(res.Undetermined) > len(res.P) || res.LackOfFit < 0 || res.LackOfFit > 1 {
			t.Errorf("rank %d and %d directions of %d, fit %g", res.Rank, len(res.Undetermined), len(res.P), res.LackOfFit)
		}
		again, err := Solve(p, start, o)
		if err != nil || !slices.Equal(again.P, res.P) || again.Reason != res.Reason {
			t.Errorf("again: %v %v %v", again.P, res.P, err)
		}
	}
	t.Logf("%v, %d bad starts", reasons, bad)
	if done := reasons[Stationary] + reasons[Rounding] + reasons[Exact]; done < 1000 {
		t.Errorf("only %d converged", done)
	}
}
