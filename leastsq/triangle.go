package leastsq

import "math"

// least finds z, the least over the free coordinates with the others held.
func (b *box) least(lambda float64) {
	b.free = b.free[:0]
	for k, s := range b.side {
		if s == 0 {
			b.free = append(b.free, k)
		}
	}
	if len(b.free) == b.n {
		copy(b.r, b.t)
		copy(b.c, b.q)
	} else {
		b.narrow()
	}
	nf := len(b.free)
	if lambda > 0 {
		b.damp(nf, math.Sqrt(lambda))
	}
	b.back(nf)
}

// narrow makes the triangle of the free columns alone; what the held ones do
// goes to the right side. It reorders b.free as the columns were chosen.
func (b *box) narrow() {
	b.slopes(0) // for T·y, taken with all of y …
	for i := range b.n {
		b.c[i] = b.q[i] + b.ty[i]
	}
	for _, k := range b.free {
		col := b.part[k]
		for i := range b.n {
			col[i] = b.t[i*b.n+k]
			b.c[i] -= col[i] * b.y[k] // … less the free ones
		}
	}
	b.small.order = append(b.small.order[:0], b.free...)
	b.small.factor(b.part, b.ones, b.c)
	copy(b.free, b.small.order)
	nf := len(b.free)
	for i := range nf {
		for j := i; j < nf; j++ {
			b.r[i*nf+j] = b.part[b.free[j]][i]
		}
	}
}

// damp rotates √λ times the unit matrix into the triangle (Moré 1978, sec. 3).
func (b *box) damp(nf int, root float64) {
	for k := range nf {
		extra := b.extra[:nf]
		clear(extra)
		extra[k] = root
		carried := 0.0
		for i := k; i < nf; i++ {
			if extra[i] == 0 {
				continue
			}
			row := b.r[i*nf : (i+1)*nf]
			h := math.Hypot(row[i], extra[i])
			cos, sin := row[i]/h, extra[i]/h
			for j := i; j < nf; j++ {
				row[j], extra[j] = cos*row[j]+sin*extra[j], cos*extra[j]-sin*row[j]
			}
			b.c[i], carried = cos*b.c[i]+sin*carried, cos*carried-sin*b.c[i]
		}
	}
}

// back solves R·z = −c. A diagonal that is nothing beside the largest leaves
// its coordinate at zero: a basic solution.
func (b *box) back(nf int) {
	top := 0.0
	for i := range nf {
		top = max(top, math.Abs(b.r[i*nf+i]))
	}
	for i := nf - 1; i >= 0; i-- {
		row := b.r[i*nf : (i+1)*nf]
		if math.Abs(row[i]) <= 1e-15*top {
			b.z[i] = 0
			continue
		}
		b.z[i] = -(b.c[i] + dot(row[i+1:], b.z[i+1:nf])) / row[i]
	}
}

// bend is yᵀ(RᵀR)⁻¹y over the free coordinates, R the damped triangle of the
// last solve: how the length of y falls with λ.
func (b *box) bend() float64 {
	nf := len(b.free)
	w := b.extra[:nf]
	for i, k := range b.free {
		w[i] = b.y[k]
	}
	sum := 0.0
	for i := range nf { // forward substitution with Rᵀ
		row := b.r[i*nf : (i+1)*nf]
		w[i] /= row[i]
		axpy(-w[i], row[i+1:], w[i+1:])
		sum += w[i] * w[i]
	}
	return sum
}
