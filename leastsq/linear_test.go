package leastsq

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/trials"
)

// linear is A·p − y with A by columns.
func linear(a [][]float64, y []float64) Problem {
	return Problem{
		Rows: len(y),
		Residuals: func(p, r []float64) {
			for i := range r {
				r[i] = -y[i]
				for k := range p {
					r[i] += a[k][i] * p[k]
				}
			}
		},
		Jacobian: func(_ []float64, j [][]float64) {
			for k := range j {
				copy(j[k], a[k])
			}
		},
	}
}

func randomLinear(rng *rand.Rand, rows, n int) (a [][]float64, y []float64) {
	y = make([]float64, rows)
	for i := range y {
		y[i] = rng.NormFloat64()
	}
	for range n {
		col := make([]float64, rows)
		unit := math.Pow(10, 6*rng.Float64()-3)
		for i := range col {
			col[i] = unit * rng.NormFloat64()
		}
		a = append(a, col)
	}
	return a, y
}

func mustSolve(t *testing.T, p Problem, start []float64, o Options) *Result {
	t.Helper()
	res, err := Solve(p, start, o)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// The residuals of a linear fit stand at right angles to every column, and
// the covariance is the inverse of AᵀA.
func TestLinear(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 31), 1))
	for range trials.Count(200) {
		n := 1 + rng.IntN(12)
		rows := n + 1 + rng.IntN(60)
		a, y := randomLinear(rng, rows, n)
		res := mustSolve(t, linear(a, y), make([]float64, n), Options{KnownSD: true})
		if res.Reason != Stationary || res.Rank != n || res.Iterations > 12 {
			t.Fatalf("%d×%d: %s after %d steps, rank %d", rows, n, res.Reason, res.Iterations, res.Rank)
		}
		for k := range a {
			if c := math.Abs(dot(a[k], res.Residuals)) / (norm(a[k]) * norm(res.Residuals)); c > 1e-10 {
				t.Errorf("%d×%d: column %d is %g off a right angle", rows, n, k, c)
			}
		}
		for i := range n { // covariance · AᵀA = unit
			for k := range n {
				sum, size := 0.0, 0.0
				for l := range n {
					sum += res.Covariance[i][l] * dot(a[l], a[k])
					size += math.Abs(res.Covariance[i][l] * dot(a[l], a[k]))
				}
				want := 0.0
				if i == k {
					want = 1
				}
				if math.Abs(sum-want) > 1e-9*size {
					t.Errorf("%d×%d: covariance by AᵀA gives %g at %d,%d", rows, n, sum, i, k)
				}
			}
		}
	}
}

// NIST StRD, linear regression, Norris. Data from memory; since they give the
// certified values (read) to eleven digits, memory serves.
func TestNorris(t *testing.T) {
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
		0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
		0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
		0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
		0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	res := mustSolve(t, linear([][]float64{slices.Repeat([]float64{1}, len(x)), x}, y), []float64{0, 0}, Options{})
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"B0", res.P[0], -0.262323073774029},
		{"B1", res.P[1], 1.00211681802045},
		{"residual standard deviation", res.Sigma, 0.884796396144373},
	} {
		if !(agreeing(c.got, c.want) >= 10) {
			t.Errorf("%s %.15g, certified %.15g", c.what, c.got, c.want)
		}
	}
}

// Priors are the same as rows of data; standard deviations the same as rows
// divided by them, whether slopes are given or taken by differences.
func TestPriorsAndWeights(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 32), 1))
	for range trials.Count(100) {
		n := 1 + rng.IntN(6)
		rows := max(1, n-2+rng.IntN(20)) // fewer than parameters too
		a, y := randomLinear(rng, rows, n)
		p := linear(a, y)
		o := Options{KnownSD: true, Priors: make([]Prior, n)}
		p.SD = make([]float64, rows)
		for i := range p.SD {
			p.SD[i] = math.Exp(rng.NormFloat64())
		}
		more, wider := slices.Clone(y), make([][]float64, n)
		for i := range more {
			more[i] /= p.SD[i]
		}
		for k := range n {
			for i := range rows {
				wider[k] = append(wider[k], a[k][i]/p.SD[i])
			}
		}
		for k := range n {
			o.Priors[k] = Prior{rng.NormFloat64(), math.Exp(rng.NormFloat64())}
			for l := range n {
				wider[l] = append(wider[l], 0)
			}
			wider[k][len(wider[k])-1] = 1 / o.Priors[k].SD
			more = append(more, o.Priors[k].Mean/o.Priors[k].SD)
		}
		got := mustSolve(t, p, make([]float64, n), o)
		want := mustSolve(t, linear(wider, more), make([]float64, n), Options{KnownSD: true})
		sameFit(t, "given slopes", got, want, 1e-9)
		p.Jacobian = nil
		sameFit(t, "differences", mustSolve(t, p, make([]float64, n), o), want, 1e-6)
		if s := got.Sum + got.PriorSum; math.Abs(s-want.Sum) > 1e-9*want.Sum {
			t.Errorf("sums %g and %g", s, want.Sum)
		}
	}
}

// sameFit compares parameters in standard errors, and the errors.
func sameFit(t *testing.T, what string, got, want *Result, near float64) {
	t.Helper()
	if got.Rank != want.Rank || got.Freedom != want.Freedom || math.Abs(got.LackOfFit-want.LackOfFit) > near {
		t.Errorf("%s: rank %d, %d; freedom %d, %d; fit %g, %g", what,
			got.Rank, want.Rank, got.Freedom, want.Freedom, got.LackOfFit, want.LackOfFit)
	}
	for k := range want.P {
		if d := math.Abs(got.P[k]-want.P[k]) / want.SD(k); !(d < near) {
			t.Errorf("%s: parameter %d is %g and %g, %g standard errors apart", what, k, got.P[k], want.P[k], d)
		}
		if d := math.Abs(got.SD(k)/want.SD(k) - 1); !(d < near) {
			t.Errorf("%s: standard error of %d is %g and %g", what, k, got.SD(k), want.SD(k))
		}
	}
}
