package sparse

import (
	"math/big"
	"testing"
)

// A slow exact twin: elimination in 200-bit arithmetic.

const precision = 200

// number is a complex number of 200 bits.
type number struct{ re, im *big.Float }

func exactly(v complex128) number {
	return number{new(big.Float).SetPrec(precision).SetFloat64(real(v)), new(big.Float).SetPrec(precision).SetFloat64(imag(v))}
}

func float() *big.Float { return new(big.Float).SetPrec(precision) }

func (x number) times(y number) number {
	re := float().Sub(float().Mul(x.re, y.re), float().Mul(x.im, y.im))
	im := float().Add(float().Mul(x.re, y.im), float().Mul(x.im, y.re))
	return number{re, im}
}

func (x number) minus(y number) number {
	return number{float().Sub(x.re, y.re), float().Sub(x.im, y.im)}
}

func (x number) norm() *big.Float {
	return float().Add(float().Mul(x.re, x.re), float().Mul(x.im, x.im))
}

func (x number) over(y number) number {
	n := y.norm()
	z := x.times(number{y.re, float().Neg(y.im)})
	return number{float().Quo(z.re, n), float().Quo(z.im, n)}
}

func (x number) round() complex128 {
	re, _ := x.re.Float64()
	im, _ := x.im.Float64()
	return complex(re, im)
}

// bigSolve eliminates with the largest pivot and gives x. It spends a and b.
func bigSolve(n int, a [][]number, b []number) []complex128 {
	for k := range n {
		p := k
		for i := k + 1; i < n; i++ {
			if a[i][k].norm().Cmp(a[p][k].norm()) > 0 {
				p = i
			}
		}
		a[k], a[p], b[k], b[p] = a[p], a[k], b[p], b[k]
		for i := k + 1; i < n; i++ {
			m := a[i][k].over(a[k][k])
			for j := k; j < n; j++ {
				a[i][j] = a[i][j].minus(m.times(a[k][j]))
			}
			b[i] = b[i].minus(m.times(b[k]))
		}
	}
	x := make([]complex128, n)
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] = b[i].minus(a[i][j].times(b[j]))
		}
		b[i] = b[i].over(a[i][i])
		x[i] = b[i].round()
	}
	return x
}

// Up to twelve unknowns, every class mix: refined lanes agree with 200 bits
// to the last few places, on patterns whose condition is decent.
func TestAgainstBig(t *testing.T) {
	rng := seeded(t, 2026, 40)
	worst, made := 0.0, 0
	for trial := range 400 {
		p := scatter(rng, 1+rng.IntN(12), mixes[trial%len(mixes)])
		plan, err := NewPlan(p.n, p.cells, p.samples, Options{})
		if err != nil {
			continue
		}
		made++
		row := rng.IntN(p.n)
		x := refined(p, plan, row)
		for _, k := range []int{0, 1 + rng.IntN(Block-1)} {
			a, b := bigSystem(p, k, row)
			worst = max(worst, distance(x[k], bigSolve(p.n, a, b)))
		}
	}
	t.Logf("%d systems, worst difference %.1e", made, worst)
	if made < 300 || !(worst < 1e-12) {
		t.Errorf("lanes and 200 bits differ by %g on %d systems", worst, made)
	}
}

func bigSystem(p problem, lane, row int) (a [][]number, b []number) {
	a, b = make([][]number, p.n), make([]number, p.n)
	for i := range a {
		b[i] = exactly(0)
		for range p.n {
			a[i] = append(a[i], exactly(0))
		}
	}
	for i, c := range p.cells {
		a[c.Row][c.Col] = exactly(p.lanes[lane][i])
	}
	b[row] = exactly(1)
	return a, b
}
