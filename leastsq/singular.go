package leastsq

import "math"

// singular gives the singular values of the matrix with these columns, which
// it spends, and the right singular vectors, by one-sided Jacobi rotations
// (Hestenes 1958): small values come out with small relative error if the
// columns are of one length. Values are not sorted.
func singular(cols [][]float64) (values []float64, vectors [][]float64) {
	n := len(cols)
	v := make([][]float64, n) // v[c] is the c-th column of V
	for c := range v {
		v[c] = make([]float64, n)
		v[c][c] = 1
	}
	for range 60 {
		turned := false
		for a := range n {
			for b := a + 1; b < n; b++ {
				if rotate(cols[a], cols[b], v[a], v[b]) {
					turned = true
				}
			}
		}
		if !turned {
			break
		}
	}
	values = make([]float64, n)
	for c := range cols {
		values[c] = norm(cols[c])
	}
	return values, v
}

// rotate makes two columns orthogonal, unless they are.
func rotate(a, b, va, vb []float64) bool {
	aa, bb, ab := dot(a, a), dot(b, b), dot(a, b)
	if math.Abs(ab) <= 1e-15*math.Sqrt(aa*bb) {
		return false
	}
	zeta := (bb - aa) / (2 * ab)
	t := math.Copysign(1/(math.Abs(zeta)+math.Hypot(1, zeta)), zeta)
	cos := 1 / math.Hypot(1, t)
	turn(a, b, cos, cos*t)
	turn(va, vb, cos, cos*t)
	return true
}

func turn(a, b []float64, cos, sin float64) {
	for i, x := range a {
		a[i], b[i] = cos*x-sin*b[i], sin*x+cos*b[i]
	}
}

// ChiSquareAbove is the chance that chi-square with so many degrees of
// freedom is x or more: the incomplete gamma function Q(freedom/2, x/2), by
// its series below and its continued fraction above (Abramowitz and Stegun
// 6.5.29, 6.5.31).
func ChiSquareAbove(x float64, freedom int) float64 {
	a, z := float64(freedom)/2, x/2
	if z <= 0 {
		return 1
	}
	logGamma, _ := math.Lgamma(a)
	front := math.Exp(a*math.Log(z) - z - logGamma)
	if z < a+1 {
		return min(max(1-front*series(a, z), 0), 1)
	}
	return min(max(front*fraction(a, z), 0), 1)
}

func series(a, z float64) float64 {
	term := 1 / a
	sum := term
	for n := 1.0; term > 1e-17*sum && n < 1e6; n++ {
		term *= z / (a + n)
		sum += term
	}
	return sum
}

// fraction is evaluated by Lentz's method.
func fraction(a, z float64) float64 {
	const tiny = 1e-300
	b := z + 1 - a
	c, d := 1/tiny, 1/b
	h := d
	for n := 1.0; n < 1e6; n++ {
		an := -n * (n - a)
		b += 2
		d = an*d + b
		if math.Abs(d) < tiny {
			d = tiny
		}
		c = b + an/c
		if math.Abs(c) < tiny {
			c = tiny
		}
		d = 1 / d
		h *= d * c
		if math.Abs(d*c-1) < 1e-16 {
			break
		}
	}
	return h
}
