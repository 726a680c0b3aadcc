package leastsq

import (
	"math"
	"math/rand/v2"
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
