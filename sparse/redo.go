package sparse

import "math/bits"

// FillDense copies the matrix of one lane, as the caller set it, to d.
func (l *Lanes) FillDense(d *Dense[complex128], lane int) {
	clear(d.A)
	for i, v := range l.plan.values {
		c := l.plan.cells[i]
		d.A[c.Row*d.N+c.Col] = complex(l.part(v.re).lane(lane), l.part(v.im).lane(lane))
	}
}

// rhsLane is the solver's right side in one lane.
func (s *Solver) rhsLane(b []complex128, lane int) {
	clear(b)
	for i, r := range s.plan.rhs {
		re, im := s.B(i)
		var x, y float64
		if r.Class == Fixed {
			x = r.Value
		}
		if re != nil {
			x = re[lane]
		}
		if im != nil {
			y = im[lane]
		}
		b[r.Row] = complex(x, y)
	}
}

// Redo solves the flagged lanes again, by dense elimination with partial
// pivoting and refinement, over what Solve left in X. It gives how many
// lanes it redid, and a bit for each lane that is singular even so, whose X
// is left as it was. d has the plan's size; b and x are workspace of that
// length.
func (s *Solver) Redo(d *Dense[complex128], b, x []complex128) (redone int, singular uint64) {
	for flags := s.lanes.flags; flags != 0; flags &= flags - 1 {
		lane := bits.TrailingZeros64(flags)
		s.lanes.FillDense(d, lane)
		if d.Factor() != nil {
			singular |= 1 << lane
			continue
		}
		s.rhsLane(b, lane)
		if s.plan.transposed {
			d.SolveTransposed(b, x)
		} else {
			d.Solve(b, x)
		}
		// A lane that needs redoing is seldom well conditioned: twice.
		d.Refine(b, x, s.plan.transposed)
		d.Refine(b, x, s.plan.transposed)
		for k, j := range s.plan.wanted {
			re, im := s.X(k)
			re[lane], im[lane] = real(x[j]), imag(x[j])
		}
		redone++
	}
	return redone, singular
}
