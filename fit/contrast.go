package fit

import "math"

// contrast takes a response out that all takes share. Weighted by 1/sd, a shared
// response moves the takes' residuals along u = (1/sd …), normalised. The
// reflection that carries the first axis to u leaves the others as an
// orthonormal basis of all that is across u (Householder 1958).
type contrast struct{ v []float64 }

func newContrast(takes []*take) *contrast {
	v, length := make([]float64, len(takes)), 0.0
	for _, k := range takes {
		length = math.Hypot(length, 1/k.sd)
	}
	for i, k := range takes {
		v[i] = -1 / k.sd / length
	}
	v[0]++
	size := 0.0
	for _, x := range v {
		size = math.Hypot(size, x)
	}
	for i := range v {
		v[i] /= size
	}
	return &contrast{v}
}

// gather reflects the takes' residuals at each frequency and drops the first.
func (c *contrast) gather(takes []*take, to []float64, of func(k *take) []float64) {
	n := len(takes[0].hz)
	along := make([]float64, n)
	for i, k := range takes {
		for j, x := range of(k) {
			along[j] += c.v[i] * x
		}
	}
	for i, k := range takes[1:] {
		from, rows := of(k), to[i*n:i*n+n]
		for j := range rows {
			rows[j] = -2 * c.v[i+1] * along[j]
			if from != nil {
				rows[j] += from[j]
			}
		}
	}
}
