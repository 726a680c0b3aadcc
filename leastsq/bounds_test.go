package leastsq

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/trials"
)

// Rosenbrock's valley with x ≤ ½ ends at (½, ¼) with the sum ¼ (worked out:
// the second residual is 1 − x, the first zero along the valley).
func TestKnownBound(t *testing.T) {
	p := Problem{Rows: 2, Residuals: classics()[0].fill}
	o := Options{Upper: []float64{0.5, math.Inf(1)}}
	for _, start := range [][]float64{{-1.2, 1}, {0.5, 7}, {3, 3}, {-30, -40}} {
		res := mustSolve(t, p, start, o)
		if !res.Reason.Converged() || math.Abs(res.Sum-0.25) > 1e-12 || res.P[0] != 0.5 || math.Abs(res.P[1]-0.25) > 1e-8 {
			t.Errorf("from %v: %v, sum %g, %s", start, res.P, res.Sum, res.Reason)
		}
		if !slices.Equal(res.AtBound, []int8{1, 0}) || res.SD(0) != 0 || res.Rank != 1 {
			t.Errorf("from %v: at bound %v, rank %d, error %g", start, res.AtBound, res.Rank, res.SD(0))
		}
	}
}

// A bound that is not in the way changes nothing; one that is ends the fit at
// a point where no slope leads inward (Karush, Kuhn and Tucker), and no point
// outside is ever evaluated.
func TestBoundsOnReferenceSets(t *testing.T) {
	held := 0
	for n, ref := range references(t) {
		k := n % len(ref.best)
		for _, differences := range []bool{false, true} {
			p := ref.problem()
			if differences {
				p.Jacobian = nil
			}
			n := len(ref.best)
			o := Options{Lower: constants(n, math.Inf(-1)), Upper: constants(n, math.Inf(1))}
			edge := ref.best[k] + 0.01*(ref.start[1][k]-ref.best[k]) // between start and answer
			if ref.start[1][k] > ref.best[k] {
				o.Lower[k] = edge
			} else {
				o.Upper[k] = edge
			}
			fill := p.Residuals
			p.Residuals = func(b, r []float64) {
				for i := range b {
					if !(b[i] >= o.Lower[i] && b[i] <= o.Upper[i]) {
						t.Errorf("%s: evaluated outside, parameter %d at %g", ref.name, i, b[i])
					}
				}
				fill(b, r)
			}
			res := mustSolve(t, p, ref.start[1], o)
			optimal(t, ref.name, res, ref.problem())
			if res.AtBound[k] != 0 {
				held++
			}
			if res.Sum < ref.sum*(1-1e-6) {
				t.Errorf("%s: sum %g is below the certified least %g", ref.name, res.Sum, ref.sum)
			}
		}
	}
	if held < 40 {
		t.Errorf("only %d of 54 fits end at their bound", held)
	}
}

// optimal checks the slopes of the sum at the end of a fit.
func optimal(t *testing.T, name string, res *Result, p Problem) {
	t.Helper()
	if !res.Reason.Converged() {
		t.Errorf("%s: %s, offset %.0e, at %v", name, res.Reason, res.Offset, res.P)
	}
	j := make([][]float64, len(res.P))
	for k := range j {
		j[k] = make([]float64, p.Rows)
	}
	p.Jacobian(res.P, j)
	for k := range j {
		c := dot(j[k], res.Residuals) / (norm(j[k]) * norm(res.Residuals))
		switch at := res.AtBound[k]; {
		case at == 0 && math.Abs(c) > 1e-5, at < 0 && c < -1e-5, at > 0 && c > 1e-5:
			t.Errorf("%s: parameter %d, at bound %d, slope %.1e", name, k, at, c)
		}
	}
}

// Parameters held by equal bounds are as good as left out.
func TestHeld(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 42), 1))
	for range trials.Count(50) {
		n := 2 + rng.IntN(6)
		a, y := randomLinear(rng, n+10, n)
		held := rng.IntN(n)
		o := Options{Lower: constants(n, math.Inf(-1)), Upper: constants(n, math.Inf(1)), KnownSD: true}
		o.Lower[held], o.Upper[held] = 0.3, 0.3
		got := mustSolve(t, linear(a, y), make([]float64, n), o)
		less := slices.Clone(y)
		axpy(-0.3, a[held], less)
		want := mustSolve(t, linear(slices.Delete(slices.Clone(a), held, held+1), less), make([]float64, n-1), Options{KnownSD: true})
		if got.P[held] != 0.3 || got.SD(held) != 0 || got.AtBound[held] != 0 {
			t.Errorf("held parameter: %g ± %g, at bound %d", got.P[held], got.SD(held), got.AtBound[held])
		}
		got.P = slices.Delete(got.P, held, held+1)
		got.Covariance = slices.Delete(got.Covariance, held, held+1)
		for i, row := range got.Covariance {
			got.Covariance[i] = slices.Delete(row, held, held+1)
		}
		sameFit(t, "held", got, want, 1e-9)
	}
}

// A prior a billion times tighter than the data's own knowledge holds its
// parameter, without harm to the others: rows of very different weight.
func TestTightPrior(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 43), 1))
	for range trials.Count(50) {
		n := 2 + rng.IntN(6)
		a, y := randomLinear(rng, n+10, n)
		held := rng.IntN(n)
		o := Options{KnownSD: true, Priors: make([]Prior, n)}
		o.Priors[held] = Prior{0.3, 1e-9 / norm(a[held])}
		tight := mustSolve(t, linear(a, y), make([]float64, n), o)
		o = Options{KnownSD: true, Lower: constants(n, math.Inf(-1)), Upper: constants(n, math.Inf(1))}
		o.Lower[held], o.Upper[held] = 0.3, 0.3
		fixed := mustSolve(t, linear(a, y), make([]float64, n), o)
		for k := range n {
			if k == held {
				continue
			}
			if d := math.Abs(tight.P[k]-fixed.P[k]) / fixed.SD(k); d > 1e-6 || math.Abs(tight.SD(k)/fixed.SD(k)-1) > 1e-6 {
				t.Errorf("parameter %d: %g ± %g and %g ± %g", k, tight.P[k], tight.SD(k), fixed.P[k], fixed.SD(k))
			}
		}
	}
}
