package leastsq

import "math"

// newFit makes all the slices a run needs, and checks what the bounds and
// the start say.
func newFit(p Problem, start []float64, o Options) *fit {
	n := len(start)
	f := &fit{Problem: p, Options: o, n: n, rows: p.Rows}
	for _, prior := range o.Priors {
		if prior.SD > 0 {
			f.rows++
		}
	}
	wide := func() []float64 { return make([]float64, n) }
	tall := func() []float64 { return make([]float64, f.rows) }
	f.x, f.trial, f.probe, f.length, f.weight, f.moved = wide(), wide(), wide(), wide(), wide(), wide()
	f.r, f.next, f.spent, f.ahead = tall(), tall(), tall(), tall()
	f.bounds(start)
	for range n {
		column := tall()
		f.full = append(f.full, column)
		f.view = append(f.view, column[:p.Rows:p.Rows])
	}
	if p.SD != nil {
		f.inverse = make([]float64, p.Rows)
		for i, sd := range p.SD {
			f.inverse[i] = 1 / sd
		}
	}
	if o.Typical == nil {
		f.Typical = wide()
		for k, x := range f.x {
			if f.Typical[k] = 1e-3 * math.Abs(x); x == 0 {
				f.Typical[k] = 1e-3
			}
		}
	}
	f.tall, f.box = newQR(n), newBox(len(f.vary))
	f.order = make([]int, len(f.vary))
	return f
}

// bounds fills in what was not given, and brings the start within.
func (f *fit) bounds(start []float64) {
	lower, upper := make([]float64, f.n), make([]float64, f.n)
	for k := range start {
		lower[k], upper[k] = math.Inf(-1), math.Inf(1)
		if f.Lower != nil {
			lower[k] = f.Lower[k]
		}
		if f.Upper != nil {
			upper[k] = f.Upper[k]
		}
		if !(lower[k] <= upper[k]) {
			panic("leastsq: a lower bound above its upper bound")
		}
		f.x[k] = min(max(start[k], lower[k]), upper[k])
		if math.IsNaN(f.x[k]) || math.IsInf(f.x[k], 0) {
			panic("leastsq: a start that is not finite")
		}
		if lower[k] < upper[k] {
			f.vary = append(f.vary, k)
		}
	}
	f.Lower, f.Upper = lower, upper
}
