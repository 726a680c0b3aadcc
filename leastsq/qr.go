package leastsq

import "math"

// qr is Householder's factorisation with column pivoting (Businger and Golub
// 1965), on columns that lie by themselves in memory. It is used for the tall
// Jacobian once an iteration, and for the few free columns of the triangle
// when bounds hold the others.
type qr struct {
	order []int     // order[i] is the column that became the i-th
	left  []float64 // what is left of a column's squared length, scaled
	whole []float64 // its squared length when last summed
}

func newQR(n int) *qr {
	return &qr{order: make([]int, 0, n), left: make([]float64, n), whole: make([]float64, n)}
}

// factor reduces the columns named in f.order and the right side with them:
// element i ≤ j of column order[j] becomes R's, the right side Qᵀb. What lies
// under the diagonal is spent. Pivots are chosen by length times weight.
func (f *qr) factor(cols [][]float64, weight, rhs []float64) {
	for _, k := range f.order {
		f.left[k] = weight[k] * weight[k] * dot(cols[k], cols[k])
		f.whole[k] = f.left[k]
	}
	for i := 0; i < min(len(rhs), len(f.order)); i++ {
		f.choose(i)
		f.raise(i, cols, rhs)
		pivot := cols[f.order[i]][i:]
		beta := reflector(pivot)
		if beta != 0 {
			for _, k := range f.order[i+1:] {
				reflect(pivot, cols[k][i:], beta)
			}
			reflect(pivot, rhs[i:], beta)
			pivot[0] = -math.Copysign(1/(beta*math.Abs(pivot[0])), pivot[0])
		}
		for _, k := range f.order[i+1:] {
			f.shorten(k, i, cols[k], weight[k])
		}
	}
}

// choose brings the longest column that is left to place i.
func (f *qr) choose(i int) {
	best := i
	for j := i + 1; j < len(f.order); j++ {
		if f.left[f.order[j]] > f.left[f.order[best]] {
			best = j
		}
	}
	f.order[i], f.order[best] = f.order[best], f.order[i]
}

// raise swaps the row with the pivot column's largest element to place i.
// Without it, rows of much greater weight than the rest (a tight prior) would
// spoil the rest by rounding (Powell and Reid 1968).
func (f *qr) raise(i int, cols [][]float64, rhs []float64) {
	top, most := i, 0.0
	for row, x := range cols[f.order[i]][i:] {
		if a := math.Abs(x); a > most {
			top, most = i+row, a
		}
	}
	for _, k := range f.order[i:] {
		cols[k][i], cols[k][top] = cols[k][top], cols[k][i]
	}
	rhs[i], rhs[top] = rhs[top], rhs[i]
}

// shorten takes element i out of what is left of column k, and sums anew when
// the difference has lost too many digits to be trusted.
func (f *qr) shorten(k, i int, col []float64, weight float64) {
	f.left[k] -= weight * weight * col[i] * col[i]
	if f.left[k] <= 1e-6*f.whole[k] {
		f.left[k] = weight * weight * dot(col[i+1:], col[i+1:])
		f.whole[k] = f.left[k]
	}
}

// reflector turns v into the vector of the reflection I − β·v·vᵀ that maps it
// on its first axis, and gives β; the image is −sign(v₀)/(β·|v₀|).
func reflector(v []float64) float64 {
	length := norm(v)
	if length == 0 {
		return 0
	}
	v[0] += math.Copysign(length, v[0])
	return 1 / (length * math.Abs(v[0]))
}

func reflect(v, x []float64, beta float64) {
	axpy(-beta*dot(v, x), v, x)
}

// norm is the length of v, safe from overflow and underflow.
func norm(v []float64) float64 {
	sum := dot(v, v)
	if sum > 1e-280 && sum < 1e280 {
		return math.Sqrt(sum)
	}
	top := 0.0
	for _, x := range v {
		top = max(top, math.Abs(x))
	}
	if top == 0 || math.IsInf(top, 1) || math.IsNaN(top) {
		return top
	}
	sum = 0
	for _, x := range v {
		sum += (x / top) * (x / top)
	}
	return top * math.Sqrt(sum)
}

// dot sums in four strands, which is faster than one and no less exact.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+4 <= len(a); i += 4 {
		x, y := a[i:i+4:i+4], b[i:i+4:i+4]
		s0 += x[0] * y[0]
		s1 += x[1] * y[1]
		s2 += x[2] * y[2]
		s3 += x[3] * y[3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}

// axpy adds c·x to y.
func axpy(c float64, x, y []float64) {
	y = y[:len(x)]
	i := 0
	for ; i+4 <= len(x); i += 4 {
		u, v := x[i:i+4:i+4], y[i:i+4:i+4]
		v[0] += c * u[0]
		v[1] += c * u[1]
		v[2] += c * u[2]
		v[3] += c * u[3]
	}
	for ; i < len(x); i++ {
		y[i] += c * x[i]
	}
}
