package leastsq

import "math"

// fit is one run: everything it needs is made by newFit, nothing after.
type fit struct {
	Problem
	Options
	n, rows int   // all parameters; residuals and the priors' rows
	vary    []int // parameters that are not held by equal bounds

	x, trial []float64
	r, next  []float64   // weighted residuals, then priors, at x and at trial
	spent    []float64   // a copy of r that the factorisation turns into Qᵀr
	full     [][]float64 // columns of the Jacobian, priors' rows below
	view     [][]float64 // the same, as long as the caller knows them
	inverse  []float64   // 1/sd by row, nil if all are 1
	probe    []float64   // parameters moved for a difference
	ahead    []float64   // residuals there

	tall   *qr
	length []float64 // greatest length each column has had: Moré's scale
	weight []float64 // its inverse
	box    *box      // over vary, in the order of box.order
	order  []int     // parameter of each coordinate of the box
	moved  []float64 // the box's answer at λ = 0

	sum         float64 // of r²
	first       float64 // the start's sum
	radius      float64
	offset      float64
	polishing   bool // the last step was too small for the sum to show
	iterations  int
	evaluations int
}

// residuals fills r at p and gives the sum of squares; false if any is not
// finite.
func (f *fit) residuals(p, r []float64) (float64, bool) {
	f.evaluations++
	f.Residuals(p, r[:f.Rows:f.Rows])
	for i, w := range f.inverse {
		r[i] *= w
	}
	i := f.Rows
	for k, prior := range f.Priors {
		if prior.SD > 0 {
			r[i] = (p[k] - prior.Mean) / prior.SD
			i++
		}
	}
	sum := dot(r, r)
	return sum, !math.IsNaN(sum) && !math.IsInf(sum, 0)
}

// begin evaluates the start.
func (f *fit) begin() error {
	sum, ok := f.residuals(f.x, f.r)
	if !ok {
		return &BadStart{Row: notFinite(f.r), Parameter: -1}
	}
	f.sum, f.first = sum, sum
	if k := f.slopes(f.x, f.r); k >= 0 {
		return &BadStart{Row: notFinite(f.full[k]), Parameter: k}
	}
	f.factor()
	scaled := 0.0
	for _, k := range f.vary {
		scaled = math.Hypot(scaled, f.length[k]*f.x[k])
	}
	f.radius = f.Reach * scaled
	if f.radius == 0 {
		f.radius = f.Reach * math.Sqrt(f.sum)
	}
	return nil
}

// notFinite finds the first that is not, or whose square is not.
func notFinite(v []float64) int {
	for i, x := range v {
		if math.IsNaN(x) || math.Abs(x) > 1e150 {
			return i
		}
	}
	return 0
}

// run iterates until there is a reason to end.
func (f *fit) run() Reason {
	for {
		if reason, end := f.arrived(); end {
			return reason
		}
		if f.Continue != nil && !f.Continue(f.iterations, f.x, f.sum) {
			return Stopped
		}
		if f.iterations >= f.Iterations {
			return Limit
		}
		if reason, end := f.advance(); end {
			return reason
		}
		f.iterations++
	}
}

// arrived judges the point x by what the linear model could still gain.
func (f *fit) arrived() (Reason, bool) {
	before := f.offset
	f.offset = 0
	if f.sum == 0 || math.Sqrt(f.sum) <= 1e-50*math.Sqrt(f.first) {
		return Exact, true
	}
	f.walls()
	f.box.solve(0)
	copy(f.moved, f.box.y)
	f.offset = math.Sqrt(max(0, f.box.gain()) / f.sum)
	switch {
	case f.offset <= f.Offset:
		return Stationary, true
	case f.polishing && f.offset > 0.9*before:
		return Rounding, true
	}
	return 0, false
}

// advance tries steps in ever smaller regions until one is accepted.
func (f *fit) advance() (Reason, bool) {
	floor := f.floor()
	for {
		damped := f.seek()
		promised, size := f.box.gain(), norm(f.box.y)
		if !(promised > 0) || size <= floor {
			return f.dead(floor), true
		}
		f.place()
		gained := math.NaN()
		sum, ok := f.residuals(f.trial, f.next)
		if ok {
			gained = less(f.r, f.next)
		}
		noise := f.noise(floor)
		f.polishing = !damped && promised <= 10*noise && gained > -noise
		if (f.polishing || gained > 1e-4*promised) && f.slopes(f.trial, f.next) < 0 {
			f.accept(sum)
			f.resize(gained/promised, size, damped)
			return 0, false
		}
		f.resize(math.Min(gained/promised, 0.25), size, damped)
		if f.offset*math.Sqrt(f.sum) <= 10*floor {
			return Rounding, true
		}
	}
}

// noise is what rounding may do to the sum. A gain about as small cannot be
// seen in it; steps are then judged by whether the offset falls.
func (f *fit) noise(floor float64) float64 {
	relative := 4 * floor / math.Sqrt(f.sum)
	return f.sum * min(max(relative, 1e-13), 1e-9)
}

// accept moves to the trial.
func (f *fit) accept(sum float64) {
	f.x, f.trial = f.trial, f.x
	f.r, f.next = f.next, f.r
	f.sum = sum
	f.factor()
}

// dead says what it means that no step is left to try. The offset promises
// too much where the Jacobian is all but singular; the slope of the sum then
// tells whether there is any way down.
func (f *fit) dead(floor float64) Reason {
	if f.offset <= 1e-6 || f.offset*math.Sqrt(f.sum) <= 1e3*floor || f.tilt() <= 1e-6 {
		return Rounding
	}
	return Stalled
}

// tilt is the largest cosine between the residuals and a column, of those
// parameters that no bound keeps from following it.
func (f *fit) tilt() float64 {
	b := f.box
	f.steepest()
	most := 0.0
	for i, g := range b.slope {
		if g > 0 && b.lo[i] == 0 || g < 0 && b.hi[i] == 0 {
			continue
		}
		square := 0.0
		for row := range i + 1 {
			square += b.t[row*b.n+i] * b.t[row*b.n+i]
		}
		if square > 0 {
			most = max(most, math.Abs(g)/math.Sqrt(square*f.sum))
		}
	}
	return most
}

// floor is the change of the residuals that rounding the parameters makes.
func (f *fit) floor() float64 {
	scaled := 0.0
	for _, k := range f.vary {
		scaled = math.Hypot(scaled, f.length[k]*f.x[k])
	}
	return 0x1p-52 * scaled
}

// less is how much smaller the sum of b² is than that of a², without the
// cancellation of two sums.
func less(a, b []float64) float64 {
	gain := 0.0
	for i, x := range a {
		gain += (x - b[i]) * (x + b[i])
	}
	return gain
}
