package leastsq

import "math"

// walls puts the bounds, seen from x, into the box.
func (f *fit) walls() {
	f.box.bound = false
	for i, k := range f.order {
		f.box.lo[i] = (f.Lower[k] - f.x[k]) / f.weight[k]
		f.box.hi[i] = (f.Upper[k] - f.x[k]) / f.weight[k]
		f.box.bound = f.box.bound || !math.IsInf(f.box.lo[i], -1) || !math.IsInf(f.box.hi[i], 1)
	}
}

// seek leaves in the box a step about as long as the radius, or the whole
// undamped step if that is shorter; it tells whether damping was needed. λ is
// found by Hebden's iteration between bounds (Moré 1978, section 5).
func (f *fit) seek() (damped bool) {
	b := f.box
	copy(b.y, f.moved)
	if norm(b.y) <= 1.1*f.radius {
		return false
	}
	lower, upper := 0.0, f.steepest()/f.radius
	lambda := 1e-3 * upper
	for range 20 {
		b.solve(lambda)
		size := norm(b.y)
		if math.Abs(size-f.radius) <= 0.1*f.radius || upper-lower <= 1e-12*upper {
			break
		}
		if size > f.radius {
			lower = lambda
		} else {
			upper = lambda
		}
		next := lambda
		if bend := b.bend(); bend > 0 {
			next += (size - f.radius) / f.radius * size * size / bend
		}
		if !(next > lower && next < upper) {
			next = max(1e-3*upper, math.Sqrt(lower*upper))
		}
		lambda = next
	}
	return true
}

// steepest is the length of half the slope of the sum at x, in the box.
func (f *fit) steepest() float64 {
	b := f.box
	clear(b.slope)
	for i := range b.n {
		axpy(b.q[i], b.t[i*b.n+i:(i+1)*b.n], b.slope[i:])
	}
	return norm(b.slope)
}

// place puts the trial where the box's step leads. A coordinate held at a
// bound gets the bound itself, not a sum that rounds beside it.
func (f *fit) place() {
	copy(f.trial, f.x)
	for i, k := range f.order {
		switch f.box.side[i] {
		case -1:
			f.trial[k] = f.Lower[k]
		case 1:
			f.trial[k] = f.Upper[k]
		default:
			f.trial[k] = min(max(f.x[k]+f.box.y[i]*f.weight[k], f.Lower[k]), f.Upper[k])
		}
	}
}

// resize changes the radius by the share of the promised gain that came true;
// NaN stands for a trial that could not be evaluated. A refused step has a
// share of a quarter at most, and always shrinks the region.
func (f *fit) resize(share, size float64, damped bool) {
	switch {
	case f.polishing:
	case share > 0.75 || share > 0.25 && !damped:
		f.radius = max(f.radius, 2*size)
	case share > 0.25:
	case share > 0:
		f.radius = min(f.radius, size) / 2
	default:
		f.radius = min(f.radius, size) / 4
	}
}

// slopes fills the columns at p, where the residuals are r, and gives the
// first parameter whose slopes are not finite, or −1.
func (f *fit) slopes(p, r []float64) int {
	for _, column := range f.full {
		clear(column)
	}
	if f.Jacobian != nil {
		f.Jacobian(p, f.view)
	} else {
		f.differences(p, r)
	}
	row := f.Rows
	for k, prior := range f.Priors {
		if prior.SD > 0 {
			f.full[k][row] = 1 / prior.SD
			row++
		}
	}
	for _, k := range f.vary {
		column := f.full[k]
		if f.Jacobian != nil {
			for i, w := range f.inverse {
				column[i] *= w
			}
		}
		if sum := dot(column, column); math.IsNaN(sum) || math.IsInf(sum, 0) {
			return k
		}
	}
	return -1
}

// differences fills the columns from the residuals around p: central, or of
// one side at a bound and where one side cannot be evaluated.
func (f *fit) differences(p, r []float64) {
	copy(f.probe, p)
	for _, k := range f.vary {
		h := f.stride(p[k], k)
		up, down := min(p[k]+h, f.Upper[k]), max(p[k]-h, f.Lower[k])
		column := f.full[k]
		f.probe[k] = up
		if _, ok := f.residuals(f.probe, column); !ok {
			copy(column, r)
			up = p[k]
		}
		f.probe[k] = down
		if _, ok := f.residuals(f.probe, f.ahead); !ok {
			copy(f.ahead, r)
			down = p[k]
		}
		f.probe[k] = p[k]
		for i, behind := range f.ahead[:f.Rows] {
			column[i] = (column[i] - behind) / (up - down) // 0/0 if neither side is there
		}
		clear(column[f.Rows:])
	}
}

// stride is the difference step: about the cube root of rounding, as central
// differences want, times the parameter's size.
func (f *fit) stride(x float64, k int) float64 {
	const root = 6e-6
	return root * max(math.Abs(x), f.Typical[k])
}

// faint is the length of a column that counts as none: beyond it squares
// would leave the range of numbers.
const faint = 1e-140

// factor turns the columns and r into the box's triangle. Scale lengths grow
// and never shrink, so that the region does not swing (Moré 1978, section 6).
func (f *fit) factor() {
	for _, k := range f.vary {
		f.length[k] = max(f.length[k], norm(f.full[k]))
		f.weight[k] = 1
		if f.length[k] > faint {
			f.weight[k] = 1 / f.length[k]
		}
	}
	f.tall.order = append(f.tall.order[:0], f.vary...)
	copy(f.spent, f.r)
	f.tall.factor(f.full, f.weight, f.spent)
	copy(f.order, f.tall.order)
	b := f.box
	clear(b.t)
	clear(b.q)
	copy(b.q, f.spent)
	for j, k := range f.order {
		for i := range min(j+1, f.rows) {
			b.t[i*b.n+j] = f.full[k][i] * f.weight[k]
		}
	}
}
