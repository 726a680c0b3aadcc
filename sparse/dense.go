package sparse

import (
	"fmt"
	"math"
)

// Number is what a Dense matrix is made of.
type Number interface{ float64 | complex128 }

// Dense is a full matrix with its LU factors by partial pivoting: slow, and
// right wherever the matrix is not singular. It is its own workspace.
type Dense[T Number] struct {
	N int
	// A is the matrix, row by row. Factor leaves it as it is.
	A    []T
	lu   []T
	perm []int // row of A that became row i
	odd  bool
	work []T
	fix  []T
}

// NewDense makes an n×n matrix of zeros.
func NewDense[T Number](n int) *Dense[T] {
	return &Dense[T]{
		N: n, A: make([]T, n*n), lu: make([]T, n*n), perm: make([]int, n),
		work: make([]T, n), fix: make([]T, n),
	}
}

// Factor finds the LU factors of A. The pivot of each column is its largest
// entry. A column with nothing but zeros left (or with a number that is not
// finite) is a *Singular.
func (d *Dense[T]) Factor() error {
	n, lu := d.N, d.lu
	copy(lu, d.A)
	d.odd = false
	for i := range d.perm {
		d.perm[i] = i
	}
	for k := range n {
		p := d.pivot(k)
		if m := magnitude(lu[p*n+k]); !(m > 0) || math.IsInf(m, 1) {
			return &Singular{Columns: []int{k}, Rows: append([]int(nil), d.perm[k:]...)}
		}
		if p != k {
			d.swap(p, k)
		}
		top := lu[k*n:][:n]
		inverse := 1 / top[k]
		for i := k + 1; i < n; i++ {
			row := lu[i*n:][:n]
			m := row[k] * inverse
			row[k] = m
			if m == 0 {
				continue
			}
			for j := k + 1; j < n; j++ {
				row[j] -= m * top[j]
			}
		}
	}
	return nil
}

// pivot finds the largest entry at or below the diagonal of column k.
func (d *Dense[T]) pivot(k int) int {
	p, most := k, magnitude(d.lu[k*d.N+k])
	for i := k + 1; i < d.N; i++ {
		if m := magnitude(d.lu[i*d.N+k]); m > most {
			p, most = i, m
		}
	}
	return p
}

func (d *Dense[T]) swap(i, k int) {
	a, b := d.lu[i*d.N:][:d.N], d.lu[k*d.N:][:d.N]
	for j := range a {
		a[j], b[j] = b[j], a[j]
	}
	d.perm[i], d.perm[k] = d.perm[k], d.perm[i]
	d.odd = !d.odd
}

// magnitude is |re| + |im|.
func magnitude[T Number](v T) float64 {
	switch v := any(v).(type) {
	case float64:
		return math.Abs(v)
	case complex128:
		return math.Abs(real(v)) + math.Abs(imag(v))
	}
	panic("sparse: not a number type")
}

func (d *Dense[T]) check(b, x []T) {
	if len(b) != d.N || len(x) != d.N {
		panic(fmt.Sprintf("sparse: vectors of %d and %d for %d unknowns", len(b), len(x), d.N))
	}
}

// Solve finds x in A·x = b from the factors. b and x may be the same.
func (d *Dense[T]) Solve(b, x []T) {
	d.check(b, x)
	n, w := d.N, d.work
	for i := range n {
		v := b[d.perm[i]]
		for j, m := range d.lu[i*n:][:i] {
			v -= m * w[j]
		}
		w[i] = v
	}
	for i := n - 1; i >= 0; i-- {
		row := d.lu[i*n:][:n]
		v := w[i]
		for j := i + 1; j < n; j++ {
			v -= row[j] * w[j]
		}
		w[i] = v / row[i]
	}
	copy(x, w)
}

// SolveTransposed finds x in Aᵀ·x = b from the factors (no conjugation).
func (d *Dense[T]) SolveTransposed(b, x []T) {
	d.check(b, x)
	n, w := d.N, d.work
	copy(w, b)
	for i := range n {
		row := d.lu[i*n:][:n]
		w[i] /= row[i]
		for j := i + 1; j < n; j++ {
			w[j] -= row[j] * w[i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j, m := range d.lu[i*n:][:i] {
			w[j] -= m * w[i]
		}
	}
	for i := range n {
		x[d.perm[i]] = w[i]
	}
}

// Refine improves x in A·x = b, or Aᵀ·x = b, by one step of iterative
// refinement in working precision (Skeel 1980). b and x must be distinct.
func (d *Dense[T]) Refine(b, x []T, transposed bool) {
	d.check(b, x)
	copy(d.fix, b)
	for i := range d.N {
		for j, a := range d.A[i*d.N:][:d.N] {
			if transposed {
				d.fix[j] -= a * x[i]
			} else {
				d.fix[i] -= a * x[j]
			}
		}
	}
	if transposed {
		d.SolveTransposed(d.fix, d.fix)
	} else {
		d.Solve(d.fix, d.fix)
	}
	for i, v := range d.fix {
		x[i] += v
	}
}

// LogDet gives the logarithm of the determinant's magnitude and its angle in
// radians, −π to π, without forming the determinant.
func (d *Dense[T]) LogDet() (logAbs, angle float64) {
	if d.odd {
		angle = math.Pi
	}
	for i := range d.N {
		re, im := split(d.lu[i*d.N+i])
		logAbs += math.Log(math.Hypot(re, im))
		angle += math.Atan2(im, re)
	}
	return logAbs, math.Remainder(angle, 2*math.Pi)
}

func split[T Number](v T) (re, im float64) {
	switch v := any(v).(type) {
	case float64:
		return v, 0
	case complex128:
		return real(v), imag(v)
	}
	panic("sparse: not a number type")
}
