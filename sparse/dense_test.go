package sparse

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// solves checks one random Dense: both solves by putting the answer back,
// the refinement, b and x in one place, the determinant by its product with
// that of a row exchange.
func solves[T Number](t *testing.T, rng *rand.Rand, n int, draw func() T) {
	d := NewDense[T](n)
	for i := range d.A {
		if rng.IntN(3) > 0 {
			d.A[i] = draw()
		}
	}
	for i := range n {
		d.A[i*n+(i+1)%n] += 4 * draw()
	}
	kept := slices.Clone(d.A)
	if err := d.Factor(); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(kept, d.A) {
		t.Fatal("Factor changed A")
	}
	b, x := make([]T, n), make([]T, n)
	for i := range b {
		b[i] = draw()
	}
	for _, transposed := range []bool{false, true} {
		solve := d.Solve
		if transposed {
			solve = d.SolveTransposed
		}
		solve(b, x)
		if r := denseResidual(d, b, x, transposed); !(r < 1e-11) {
			t.Fatalf("n=%d transposed %v: backward error %g", n, transposed, r)
		}
		d.Refine(b, x, transposed)
		if r := denseResidual(d, b, x, transposed); !(r < 2e-15) {
			t.Fatalf("n=%d transposed %v: backward error %g refined", n, transposed, r)
		}
		y, z := slices.Clone(b), slices.Clone(b)
		solve(y, y)
		solve(b, z)
		if !slices.Equal(y, z) {
			t.Fatalf("n=%d transposed %v: b and x in one place differ", n, transposed)
		}
	}
	size, angle := d.LogDet()
	if n > 1 { // two rows exchanged turn the determinant's sign
		for j := range n {
			d.A[j], d.A[n+j] = d.A[n+j], d.A[j]
		}
		if err := d.Factor(); err != nil {
			t.Fatal(err)
		}
		s, a := d.LogDet()
		if turn := math.Abs(math.Remainder(a-angle, 2*math.Pi)); math.Abs(s-size) > 1e-9 || math.Abs(turn-math.Pi) > 1e-9 {
			t.Fatalf("n=%d: rows exchanged give %g ∠ %g from %g ∠ %g", n, s, a, size, angle)
		}
	}
}

func denseResidual[T Number](d *Dense[T], b, x []T, transposed bool) (worst float64) {
	for i := range d.N {
		sum, size := b[i], magnitude(b[i])
		for j := range d.N {
			a := d.A[i*d.N+j]
			if transposed {
				a = d.A[j*d.N+i]
			}
			sum -= a * x[j]
			size += magnitude(a) * magnitude(x[j])
		}
		worst = max(worst, magnitude(sum)/size)
	}
	return worst
}

func TestDense(t *testing.T) {
	rng := seeded(t, 2026, 50)
	for trial := range 400 {
		n := 1 + trial%40
		solves(t, rng, n, rng.NormFloat64)
		solves(t, rng, n, func() complex128 { return complex(rng.NormFloat64(), rng.NormFloat64()) })
	}
}

// Small determinants by hand.
func TestDenseLogDet(t *testing.T) {
	cases := []struct {
		a           []complex128
		size, angle float64
	}{
		{[]complex128{-2}, math.Ln2, math.Pi},
		{[]complex128{1i}, 0, math.Pi / 2},
		{[]complex128{0, 1, 1, 0}, 0, math.Pi},
		{[]complex128{1, 2, 3, 4}, math.Ln2, math.Pi}, // 4 − 6
		{[]complex128{0, 0, 1, 1, 0, 0, 0, 1, 0}, 0, 0},
	}
	for _, c := range cases {
		n := int(math.Sqrt(float64(len(c.a))))
		d := NewDense[complex128](n)
		copy(d.A, c.a)
		if err := d.Factor(); err != nil {
			t.Fatal(err)
		}
		size, angle := d.LogDet()
		turn := math.Remainder(angle-c.angle, 2*math.Pi)
		if math.Abs(size-c.size) > 1e-12 || math.Abs(turn) > 1e-12 {
			t.Errorf("%v: %g ∠ %g, want %g ∠ %g", c.a, size, angle, c.size, c.angle)
		}
	}
}

func TestDenseSingular(t *testing.T) {
	nan := math.NaN()
	for _, a := range [][]float64{{0}, {nan}, {1, 2, 2, 4}, {0, 1, 0, 1}, {1, nan, 1, 1}} {
		n := int(math.Sqrt(float64(len(a))))
		d := NewDense[float64](n)
		copy(d.A, a)
		var s *Singular
		if err := d.Factor(); !errors.As(err, &s) {
			t.Errorf("%v: error %v, want a *Singular", a, err)
		}
	}
}
