package leastsq

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/trials"
)

// value is what the box makes least.
func (b *box) value(y []float64, lambda float64) float64 {
	sum := lambda * dot(y, y)
	for i := range b.n {
		e := b.q[i] + dot(b.t[i*b.n+i:(i+1)*b.n], y[i:])
		sum += e * e
	}
	return sum
}

// exhaustive tries every choice of held coordinates (3ⁿ), solves the rest by
// normal equations, and gives the least value that lies inside: a slow twin.
func (b *box) exhaustive(lambda float64) float64 {
	best := math.Inf(1)
	sides := make([]int, b.n)
	for {
		if y, ok := b.held(sides, lambda); ok {
			best = min(best, b.value(y, lambda))
		}
		k := 0
		for k < b.n && sides[k] == 2 {
			sides[k] = 0
			k++
		}
		if k == b.n {
			return best
		}
		sides[k]++
	}
}

// held solves with side 0 free, 1 at lo, 2 at hi, by Gauss and Jordan.
func (b *box) held(sides []int, lambda float64) ([]float64, bool) {
	n := b.n
	at := func(i, k int) float64 {
		if i > k {
			return 0
		}
		return b.t[i*n+k]
	}
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n+1)
		if sides[i] > 0 {
			m[i][i], m[i][n] = 1, [...]float64{0, b.lo[i], b.hi[i]}[sides[i]]
			if math.IsInf(m[i][n], 0) {
				return nil, false
			}
			continue
		}
		for row := range n {
			for k := range n {
				m[i][k] += at(row, i) * at(row, k)
			}
			m[i][n] -= at(row, i) * b.q[row]
		}
		m[i][i] += lambda
	}
	for i := range n {
		p := i
		for r := i; r < n; r++ {
			if math.Abs(m[r][i]) > math.Abs(m[p][i]) {
				p = r
			}
		}
		m[i], m[p] = m[p], m[i]
		for r := range n {
			if r != i {
				axpy(-m[r][i]/m[i][i], m[i], m[r])
			}
		}
	}
	y := make([]float64, n)
	for i := range y {
		y[i] = m[i][n] / m[i][i]
		if !(y[i] >= b.lo[i]-1e-9 && y[i] <= b.hi[i]+1e-9) {
			return nil, false
		}
	}
	return y, true
}

func randomBox(rng *rand.Rand, n int) *box {
	b := newBox(n)
	b.bound = true
	for i := range n {
		b.q[i] = rng.NormFloat64()
		for k := i; k < n; k++ {
			b.t[i*n+k] = rng.NormFloat64()
		}
		b.lo[i], b.hi[i] = -math.Abs(rng.NormFloat64()), math.Abs(rng.NormFloat64())
		switch rng.IntN(5) {
		case 0:
			b.lo[i] = 0
		case 1:
			b.hi[i] = 0
		case 2:
			b.lo[i] = math.Inf(-1)
		case 3:
			b.hi[i] = math.Inf(1)
		}
	}
	return b
}

func TestBoxAgainstExhaustive(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 41), 1))
	held := 0
	for trial := range trials.Count(600) {
		b := randomBox(rng, 1+rng.IntN(5))
		lambda := [...]float64{0, 1e-3, 1}[trial%3]
		if b.n > 1 && lambda > 0 && rng.IntN(3) == 0 { // two columns alike
			for i := range b.n {
				b.t[i*b.n+b.n-1] = 0
			}
			for i := range b.n - 1 {
				b.t[i*b.n+b.n-1] = b.t[i*b.n+b.n-2]
			}
		}
		b.solve(lambda)
		for k, y := range b.y {
			if !(y >= b.lo[k] && y <= b.hi[k]) {
				t.Fatalf("trial %d: coordinate %d at %g is outside %g … %g", trial, k, y, b.lo[k], b.hi[k])
			}
			if b.side[k] != 0 {
				held++
			}
		}
		got, want := b.value(b.y, lambda), b.exhaustive(lambda)
		if math.Abs(got-want) > 1e-9*(1+want) {
			t.Errorf("trial %d, n %d, λ %g: value %.12g, least %.12g", trial, b.n, lambda, got, want)
		}
		if g := b.value(make([]float64, b.n), 0) - b.value(b.y, 0); math.Abs(g-b.gain()) > 1e-9*(1+g) {
			t.Errorf("trial %d: gain %g, want %g", trial, b.gain(), g)
		}
	}
	if held < 300 {
		t.Errorf("only %d coordinates held: the bounds are not tried", held)
	}
}

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
