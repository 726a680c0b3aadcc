package leastsq

import (
	"math"
	"slices"
	"testing"
)

// decay is y = p₀·e^(−p₁·t) on 40 points with a ripple as noise.
func decay() Problem {
	const rows = 40
	return Problem{
		Rows: rows,
		Residuals: func(p, r []float64) {
			for i := range r {
				t := float64(i) / 10
				r[i] = p[0]*math.Exp(-p[1]*t) - (3*math.Exp(-0.7*t) + 0.05*math.Sin(17*t))
			}
		},
		Jacobian: func(p []float64, j [][]float64) {
			for i := range j[0] {
				t := float64(i) / 10
				j[0][i] = math.Exp(-p[1] * t)
				j[1][i] = -t * p[0] * j[0][i]
			}
		},
	}
}

// Iterations make no garbage: a fit of many steps allocates what one of few
// steps does.
func TestNoGarbage(t *testing.T) {
	for _, differences := range []bool{false, true} {
		p := Problem{Rows: 31, Residuals: watson}
		if !differences {
			p = Problem{Rows: 2, Residuals: classics()[0].fill, Jacobian: func(p []float64, j [][]float64) {
				j[0][0], j[1][0], j[0][1] = -20*p[0], 10, -1
			}}
		}
		o := Options{Lower: constants(2, -5), Upper: constants(2, 5)}
		start := []float64{-1.2, 1}
		if differences {
			o, start = Options{}, constants(6, 0)
		}
		count := func(most int) (allocs float64, steps int) {
			o := o
			o.Iterations = most
			allocs = testing.AllocsPerRun(20, func() {
				res, err := Solve(p, start, o)
				if err != nil {
					panic(err)
				}
				steps = res.Iterations
			})
			return allocs, steps
		}
		few, a := count(1)
		many, b := count(500)
		if b < a+4 {
			t.Fatalf("%d and %d steps are too alike to tell", a, b)
		}
		if many != few {
			t.Errorf("%g allocations for %d steps, %g for %d", few, a, many, b)
		}
	}
}

func TestStop(t *testing.T) {
	seen := 0
	o := Options{Continue: func(i int, p []float64, sum float64) bool {
		if i != seen || len(p) != 2 || !(sum > 0) {
			t.Errorf("asked at %d, want %d, with %v and %g", i, seen, p, sum)
		}
		seen++
		return i < 2
	}}
	res := mustSolve(t, decay(), []float64{10, 5}, o)
	if res.Reason != Stopped || res.Iterations != 2 || res.Reason.Converged() {
		t.Errorf("%s after %d steps", res.Reason, res.Iterations)
	}
	whole := mustSolve(t, decay(), []float64{10, 5}, Options{Iterations: 2})
	if whole.Reason != Limit || !slices.Equal(whole.P, res.P) || whole.SD(0) != res.SD(0) {
		t.Errorf("stopped with %v, limited with %v (%s)", res.P, whole.P, whole.Reason)
	}
}

// Where residuals or slopes are not to be had, steps are refused and the fit
// goes on. The root of a negative number stands for such a place: the first
// full step leads there.
func TestRefusedTrials(t *testing.T) {
	for name, bad := range map[string]float64{"NaN": math.NaN(), "+Inf": math.Inf(1), "huge": 1e200} {
		refused, inSlopes := 0, 0
		p := Problem{Rows: 1, Residuals: func(p, r []float64) {
			r[0] = math.Log(p[0])
			if p[0] <= 0 {
				r[0] = bad
				refused++
			}
		}}
		for _, given := range []bool{false, true} {
			p.Jacobian = nil
			if given {
				p.Jacobian = func(p []float64, j [][]float64) {
					j[0][0] = 1 / p[0]
					if p[0] < 0.2 { // slopes end before the residuals do
						j[0][0] = bad
						inSlopes++
					}
				}
			}
			res := mustSolve(t, p, []float64{20}, Options{})
			if !res.Reason.Converged() || math.Abs(res.P[0]-1) > 1e-9 {
				t.Errorf("%s: %s at %v", name, res.Reason, res.P)
			}
			finite(t, res)
		}
		if refused == 0 {
			t.Errorf("%s: no trial met it", name)
		}
	}
}

// finite checks the promise that a result holds no NaN and no infinity.
func finite(t *testing.T, res *Result) {
	t.Helper()
	all := slices.Concat(res.P, res.Residuals, []float64{res.Sum, res.PriorSum, res.Offset, res.Sigma, res.LackOfFit})
	all = append(all, slices.Concat(res.Covariance...)...)
	for _, d := range res.Undetermined {
		all = append(all, slices.Concat(d.Share, d.Step, []float64{d.Ratio})...)
	}
	for _, v := range all {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%g in the result %+v", v, res)
			return
		}
	}
}

// Slopes that are wrong are found out, not iterated with for ever.
func TestWrongSlopes(t *testing.T) {
	p := decay()
	right := p.Jacobian
	p.Jacobian = func(q []float64, j [][]float64) {
		right(q, j)
		for k := range j {
			for i := range j[k] {
				j[k][i] = -j[k][i]
			}
		}
	}
	if res := mustSolve(t, p, []float64{1, 1}, Options{}); res.Reason != Stalled {
		t.Errorf("%s after %d evaluations", res.Reason, res.Evaluations)
	}
}

// Counting a parameter in another unit changes nothing else: with powers of
// two, not one bit of the residuals.
func TestUnits(t *testing.T) {
	for _, ref := range references(t) {
		p := ref.problem()
		plain := mustSolve(t, p, ref.start[0], Options{})
		unit, start := make([]float64, len(ref.best)), make([]float64, len(ref.best))
		for k := range unit {
			unit[k] = math.Ldexp(1, 37*(k%3)-40)
			start[k] = ref.start[0][k] / unit[k]
		}
		q, real := p, make([]float64, len(unit))
		scale := func(b []float64) []float64 {
			for k := range real {
				real[k] = b[k] * unit[k]
			}
			return real
		}
		q.Residuals = func(b, r []float64) { p.Residuals(scale(b), r) }
		q.Jacobian = func(b []float64, j [][]float64) {
			p.Jacobian(scale(b), j)
			for k := range j {
				for i := range j[k] {
					j[k][i] *= unit[k]
				}
			}
		}
		other := mustSolve(t, q, start, Options{})
		if !slices.Equal(plain.Residuals, other.Residuals) || plain.Iterations != other.Iterations {
			t.Errorf("%s: sums %.17g and %.17g, steps %d and %d", ref.name, plain.Sum, other.Sum, plain.Iterations, other.Iterations)
		}
	}
}
