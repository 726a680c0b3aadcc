package curve

import "math"

// localFit is a least-squares polynomial through the points from…to−1, in
// u = (x − mid)/half so that u runs over −1…+1.
type localFit struct {
	from, to  int
	mid, half float64
	coef      []float64   // of 1, u, u² …
	inverse   [][]float64 // of the normal matrix
	u         []float64   // of each point
	rss       float64     // sum of squared residuals
	miss      float64     // what the polynomial itself is thought to be off by
}

// fitLocal fits a polynomial; false when the points do not carry the degree.
func fitLocal(x, y []float64, from, to, degree int) (localFit, bool) {
	if to-from < degree+1 {
		return localFit{}, false
	}
	f := localFit{from: from, to: to, mid: (x[from] + x[to-1]) / 2, half: (x[to-1] - x[from]) / 2}
	if !(f.half > 0) {
		return localFit{}, false
	}
	size := degree + 1
	normal := make([][]float64, size)
	for i := range normal {
		normal[i] = make([]float64, size)
	}
	right := make([]float64, size)
	powers := make([]float64, size)
	for k := from; k < to; k++ {
		u := (x[k] - f.mid) / f.half
		f.u = append(f.u, u)
		basis(powers, u, 0)
		for i := range size {
			right[i] += powers[i] * y[k]
			for j := range size {
				normal[i][j] += powers[i] * powers[j]
			}
		}
	}
	var ok bool
	if f.inverse, ok = invert(normal); !ok {
		return localFit{}, false
	}
	f.coef = times(f.inverse, right)
	for k, u := range f.u {
		basis(powers, u, 0)
		r := y[from+k] - dot(f.coef, powers)
		f.rss += r * r
	}
	return f, true
}

// basis fills in the derivative-th derivative of 1, u, u² … at u.
func basis(into []float64, u float64, derivative int) {
	power := 1.0
	for i := range into {
		if i < derivative {
			into[i] = 0
			continue
		}
		factor := 1.0
		for j := range derivative {
			factor *= float64(i - j)
		}
		into[i] = factor * power
		power *= u
	}
}

// invert inverts a small symmetric positive definite matrix by Gauss–Jordan;
// with u scaled to ±1 and degree at most 4 its condition stays below 1e5.
func invert(m [][]float64) ([][]float64, bool) {
	n := len(m)
	inv := make([][]float64, n)
	for i := range inv {
		inv[i] = make([]float64, n)
		inv[i][i] = 1
	}
	for c := range n {
		pivot := m[c][c]
		if !(pivot > 1e-12*float64(n)) {
			return nil, false
		}
		for j := range n {
			m[c][j] /= pivot
			inv[c][j] /= pivot
		}
		for r := range n {
			if r == c {
				continue
			}
			factor := m[r][c]
			for j := range n {
				m[r][j] -= factor * m[c][j]
				inv[r][j] -= factor * inv[c][j]
			}
		}
	}
	return inv, true
}

func times(m [][]float64, v []float64) []float64 {
	out := make([]float64, len(m))
	for i := range m {
		out[i] = dot(m[i], v)
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// at gives the polynomial, or a derivative of it in x, at x.
func (f localFit) at(x float64, derivative int) float64 {
	powers := make([]float64, len(f.coef))
	basis(powers, (x-f.mid)/f.half, derivative)
	return dot(f.coef, powers) / math.Pow(f.half, float64(derivative))
}

// weights gives what each of n points contributes to at(x, derivative), which
// is linear in them: noise ε moves it by Σ weight·ε.
func (f localFit) weights(n int, x float64, derivative int) []float64 {
	powers := make([]float64, len(f.coef))
	basis(powers, (x-f.mid)/f.half, derivative)
	lead := times(f.inverse, powers)
	scale := math.Pow(f.half, float64(derivative))
	w := make([]float64, n)
	for k, u := range f.u {
		basis(powers, u, 0)
		w[f.from+k] = dot(lead, powers) / scale
	}
	return w
}

// spread is the standard deviation of the polynomial at x for noise of one:
// √(vᵀ N⁻¹ v), N the normal matrix and v the powers of u.
func (f localFit) spread(x float64) float64 {
	powers := make([]float64, len(f.coef))
	basis(powers, (x-f.mid)/f.half, 0)
	return math.Sqrt(math.Max(dot(powers, times(f.inverse, powers)), 0))
}

// free is the number of points beyond the coefficients.
func (f localFit) free() int { return f.to - f.from - len(f.coef) }

// combine gives a·v + b·w.
func combine(a float64, v []float64, b float64, w []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = a*v[i] + b*w[i]
	}
	return out
}

func norm(v []float64) float64 { return math.Sqrt(dot(v, v)) }
