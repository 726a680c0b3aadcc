package sweep

import "math"

// The transform is our own: the library's takes twice as long at a million
// points and as long again to plan, and a take is transformed once.
//
// Sources: Stockham's self-sorting form as given by Van Loan, Computational
// Frameworks for the Fast Fourier Transform, 1992, and the splitting of long
// transforms by rows and columns by Bailey, J. Supercomputing 4, 1990 (both
// from memory); the test compares with the definition.

// columns are how many transforms run side by side: enough to fill the cache
// lines, few enough that both buffers stay in the second-level cache.
const columns = 8

// longest is the longest transform done in one piece.
const longest = 2048

// transform is the plan of one length, a product of 2, 3 and 5.
type transform struct {
	n       int
	factors []int        // 4 as often as possible
	root    []complex128 // exp(−2πi k/n), k = 0 … n−1
}

func newTransform(n int) transform {
	t := transform{n: n, root: make([]complex128, n)}
	rest := n
	for _, r := range [...]int{4, 2, 3, 5} {
		for rest%r == 0 {
			t.factors = append(t.factors, r)
			rest /= r
		}
	}
	if rest != 1 || n < 1 {
		panic("sweep: a transform's length must be a product of 2, 3 and 5")
	}
	for k := range t.root {
		sin, cos := math.Sincos(-2 * math.Pi * float64(k) / float64(n))
		t.root[k] = complex(cos, sin)
	}
	return t
}

// smooth gives the length from n on, a product of 2, 3 and 5 and a multiple of
// 4, that takes the least work; it is at most a third longer than n where n is large.
func smooth(n int) int {
	best, least := 0, math.Inf(1)
	for five, fives := 4, 1.0; five < 2*n+8; five, fives = five*5, fives+1.6 {
		for three, threes := five, 0.0; three < 2*n+8; three, threes = three*3, threes+1.2 {
			two, twos := three, 0.0
			for two < n {
				two, twos = two*2, twos+0.5 // two of them are one step by 4
			}
			if work := float64(two) * (fives + threes + twos); two >= n && work < least {
				best, least = two, work
			}
		}
	}
	return best
}

// forward gives X[k] = Σ x[j] exp(−2πi jk/n) in a new slice; x is used up.
// The length is one that smooth gives.
func forward(x []complex128) []complex128 {
	n := len(x)
	out := make([]complex128, n)
	if n <= longest {
		t := newTransform(n)
		copy(out, t.beside(x, out, 1))
		return out
	}
	first := near(n)
	alongColumns(x, newTransform(first))
	alongRows(x, out, newTransform(n/first))
	return out
}

// backward gives x[j] = 1/n Σ X[k] exp(+2πi jk/n), in a new slice: the forward
// transform with real and imaginary parts exchanged on the way in and out.
func backward(x []complex128) []complex128 {
	for i, v := range x {
		x[i] = complex(imag(v), real(v))
	}
	out := forward(x)
	scale := 1 / float64(len(x))
	for i, v := range out {
		out[i] = complex(imag(v)*scale, real(v)*scale)
	}
	return out
}

// near gives the divisor of n nearest below its square root.
func near(n int) int {
	for d := int(math.Sqrt(float64(n))); ; d-- {
		if n%d == 0 {
			return d
		}
	}
}

// alongColumns transforms every column of x, seen as rows of n/t.n, in place
// and turns each number by its twiddle factor exp(−2πi k·column/n).
func alongColumns(x []complex128, t transform) {
	n, width := len(x), len(x)/t.n
	in, spare := make([]complex128, t.n*columns), make([]complex128, t.n*columns)
	fine := newFine(n)
	for from := 0; from < width; from += columns {
		count := min(columns, width-from)
		for row := range t.n {
			copy(in[row*count:(row+1)*count], x[row*width+from:])
		}
		got := t.beside(in[:t.n*count], spare[:t.n*count], count)
		for row := range t.n {
			line := x[row*width+from:][:count]
			for c := range line {
				line[c] = got[row*count+c] * fine.root(row*(from+c))
			}
		}
	}
}

// alongRows transforms the rows of x and writes them as columns of out.
func alongRows(x, out []complex128, t transform) {
	rows := len(x) / t.n
	in, spare := make([]complex128, t.n*columns), make([]complex128, t.n*columns)
	for from := 0; from < rows; from += columns {
		count := min(columns, rows-from)
		for c := range count {
			for i, v := range x[(from+c)*t.n:][:t.n] {
				in[i*count+c] = v
			}
		}
		got := t.beside(in[:t.n*count], spare[:t.n*count], count)
		for i := range t.n {
			copy(out[i*rows+from:], got[i*count:][:count])
		}
	}
}

// fine gives roots of unity of a long transform from two short tables.
type fine struct {
	n            int
	coarse, step []complex128
}

func newFine(n int) fine {
	f := fine{n: n, coarse: make([]complex128, n/1024+1), step: make([]complex128, 1024)}
	for k := range f.coarse {
		f.coarse[k] = unit(-2 * math.Pi * float64(k*1024) / float64(n))
	}
	for k := range f.step {
		f.step[k] = unit(-2 * math.Pi * float64(k) / float64(n))
	}
	return f
}

// root gives exp(−2πi k/n) for 0 ≤ k < n.
func (f fine) root(k int) complex128 { return f.coarse[k>>10] * f.step[k&1023] }

func unit(angle float64) complex128 {
	sin, cos := math.Sincos(angle)
	return complex(cos, sin)
}

// beside runs count transforms side by side: x[i·count+c] is number i of
// transform c. The result stands in x or in spare; the other is used up.
func (t transform) beside(x, spare []complex128, count int) []complex128 {
	left, stride := t.n, 1
	for _, r := range t.factors {
		left /= r
		switch r {
		case 4:
			t.by4(x, spare, left, stride, count)
		case 2:
			t.by2(x, spare, left, stride, count)
		case 3:
			t.by3(x, spare, left, stride, count)
		case 5:
			t.by5(x, spare, left, stride, count)
		}
		stride *= r
		x, spare = spare, x
	}
	return x
}

func (t transform) by4(x, y []complex128, m, stride, count int) {
	s := stride * count
	for p := range m {
		w1, w2, w3 := t.root[p*stride], t.root[2*p*stride], t.root[3*p*stride]
		a, b, c, d := x[p*s:][:s], x[(p+m)*s:][:s], x[(p+2*m)*s:][:s], x[(p+3*m)*s:][:s]
		y0, y1, y2, y3 := y[4*p*s:][:s], y[(4*p+1)*s:][:s], y[(4*p+2)*s:][:s], y[(4*p+3)*s:][:s]
		for q := range a {
			plus, minus := a[q]+c[q], a[q]-c[q]
			sum, diff := b[q]+d[q], b[q]-d[q]
			turned := complex(imag(diff), -real(diff)) // −i·diff
			y0[q] = plus + sum
			y1[q] = w1 * (minus + turned)
			y2[q] = w2 * (plus - sum)
			y3[q] = w3 * (minus - turned)
		}
	}
}

func (t transform) by2(x, y []complex128, m, stride, count int) {
	s := stride * count
	for p := range m {
		w := t.root[p*stride]
		a, b := x[p*s:][:s], x[(p+m)*s:][:s]
		y0, y1 := y[2*p*s:][:s], y[(2*p+1)*s:][:s]
		for q := range a {
			y0[q] = a[q] + b[q]
			y1[q] = w * (a[q] - b[q])
		}
	}
}

// by3 and by5 are Winograd's short transforms (from memory), turned by their
// twiddle factors.
func (t transform) by3(x, y []complex128, m, stride, count int) {
	const half, root = -0.5, 0.86602540378443864676 // cos and sin of 120°
	s := stride * count
	for p := range m {
		w1, w2 := t.root[p*stride], t.root[2*p*stride]
		a, b, c := x[p*s:][:s], x[(p+m)*s:][:s], x[(p+2*m)*s:][:s]
		y0, y1, y2 := y[3*p*s:][:s], y[(3*p+1)*s:][:s], y[(3*p+2)*s:][:s]
		for q := range a {
			sum, diff := b[q]+c[q], b[q]-c[q]
			middle := complex(real(a[q])+half*real(sum), imag(a[q])+half*imag(sum))
			turned := complex(root*imag(diff), -root*real(diff))
			y0[q] = a[q] + sum
			y1[q] = w1 * (middle + turned)
			y2[q] = w2 * (middle - turned)
		}
	}
}

func (t transform) by5(x, y []complex128, m, stride, count int) {
	const (
		c1, s1 = 0.30901699437494742410, 0.95105651629515357212 // of 72°
		c2, s2 = -0.80901699437494742410, 0.58778525229247312917
	)
	s := stride * count
	for p := range m {
		w1, w2, w3, w4 := t.root[p*stride], t.root[2*p*stride], t.root[3*p*stride], t.root[4*p*stride]
		a, b, c, d, e := x[p*s:][:s], x[(p+m)*s:][:s], x[(p+2*m)*s:][:s], x[(p+3*m)*s:][:s], x[(p+4*m)*s:][:s]
		out := y[5*p*s:][:5*s]
		for q := range a {
			outer, inner := b[q]+e[q], c[q]+d[q]
			far, near := b[q]-e[q], c[q]-d[q]
			m1 := complex(real(a[q])+c1*real(outer)+c2*real(inner), imag(a[q])+c1*imag(outer)+c2*imag(inner))
			m2 := complex(real(a[q])+c2*real(outer)+c1*real(inner), imag(a[q])+c2*imag(outer)+c1*imag(inner))
			t1 := complex(s1*imag(far)+s2*imag(near), -s1*real(far)-s2*real(near))
			t2 := complex(s2*imag(far)-s1*imag(near), -s2*real(far)+s1*real(near))
			out[q] = a[q] + outer + inner
			out[s+q] = w1 * (m1 + t1)
			out[2*s+q] = w2 * (m2 + t2)
			out[3*s+q] = w3 * (m2 - t2)
			out[4*s+q] = w4 * (m1 - t1)
		}
	}
}
