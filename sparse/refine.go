package sparse

import (
	"fmt"
	"math"
)

// RefinePlan is the residual b − A·x of a solve that wants every unknown,
// with the backward error, and the solve that corrects x by it. It never
// changes.
type RefinePlan struct {
	solve    *SolvePlan
	residual *program // continues the solve's program
	sizes    []int32  // arrays of |x|, by unknown
	rows     []rowArrays
	correct  *SolvePlan // continues the residual's; finds x's correction in x's order
}

// rowArrays name a row's residual and its size |A|·|x| + |b|, and list the
// row's cells.
type rowArrays struct {
	re, im, total int32
	cells         []value
}

// NewRefine plans the refinement of s, which must want all unknowns, each
// once.
func (p *Plan) NewRefine(s *SolvePlan) *RefinePlan {
	if s.plan != p || len(s.wanted) != p.n {
		panic(fmt.Sprintf("sparse: refining %d of %d unknowns", len(s.wanted), p.n))
	}
	r := &RefinePlan{solve: s, residual: s.prog.after()}
	b := r.writeResidual()
	r.correct = &SolvePlan{plan: p, transposed: s.transposed, wanted: s.wanted, prog: r.residual.after()}
	r.correct.write(b, substitute)
	return r
}

// writeResidual writes every row of b − A·x, and its size beside it.
func (r *RefinePlan) writeResidual() []value {
	s, p := r.solve, r.residual
	x, b := make([]value, s.plan.n), make([]value, s.plan.n)
	for k, j := range s.wanted {
		x[j] = value{s.found[2*k], s.found[2*k+1]}
	}
	for k, v := range s.given {
		b[s.rhs[k].Row] = v
	}
	r.rows = make([]rowArrays, len(b))
	r.writeTotals(x, b)
	terms := make([][]pair, len(b))
	for i, c := range s.plan.cells {
		row, col := s.place(c)
		terms[row] = append(terms[row], pair{s.plan.values[i], x[col]})
		r.rows[row].cells = append(r.rows[row].cells, s.plan.values[i])
	}
	for i := range b {
		b[i] = p.less(b[i], terms[i])
		r.rows[i].re, r.rows[i].im = p.array(b[i].re).id, p.array(b[i].im).id
	}
	return b
}

// writeTotals writes |A|·|x| + |b| of every row.
func (r *RefinePlan) writeTotals(x, b []value) {
	s, p := r.solve, r.residual
	sizes, terms := make([]ref, len(x)), make([][]product, len(b))
	for j, v := range x {
		sizes[j] = p.size(v)
		r.sizes = append(r.sizes, sizes[j].id)
	}
	for i, v := range b {
		terms[i] = append(terms[i], product{x: p.size(v), y: one()})
	}
	for i, c := range s.plan.cells {
		row, col := s.place(c)
		for _, part := range [...]ref{s.plan.values[i].re, s.plan.values[i].im} {
			if part.kind != none {
				terms[row] = append(terms[row], product{x: p.abs(part), y: sizes[col]})
			}
		}
	}
	for i := range r.rows {
		r.rows[i].total = p.array(p.sum(terms[i]...)).id
	}
}

// place is where a cell stands in the system solved.
func (s *SolvePlan) place(c Cell) (row, col int) {
	if s.transposed {
		return c.Col, c.Row
	}
	return c.Row, c.Col
}

// Ops is the work of Residual, and of the correction Refine adds to it, a
// lane.
func (r *RefinePlan) Ops() (residual, correct Count) {
	return r.residual.count(), r.correct.prog.count()
}

// Refiner is a RefinePlan bound to a solver.
type Refiner struct {
	plan    *RefinePlan
	solver  *Solver
	store   store
	correct *Solver
	errors  Vector
}

// NewRefiner makes the workspace of a refinement of s's solutions.
func (s *Solver) NewRefiner(plan *RefinePlan) *Refiner {
	if plan.solve != s.plan {
		panic("sparse: a refinement of another solve")
	}
	r := &Refiner{plan: plan, solver: s, store: newStore(plan.residual, &s.store)}
	r.correct = &Solver{plan: plan.correct, lanes: s.lanes, store: newStore(plan.correct.prog, &r.store)}
	return r
}

// Residual gives the componentwise backward error of the solver's X in each
// lane, max over rows of |b − A·x| / (|A|·|x| + |b|) (Oettli and Prager
// 1964): the least relative change of A's and b's entries that makes X exact.
// |z| is taken as |re| + |im|, which moves the figure by a factor of √2 at
// most. A row whose whole scale is rounding noise of larger unknowns is
// measured against the row's size times the largest unknown besides (Arioli,
// Demmel and Duff 1989): what should be zero there cannot be told from zero.
// What is not finite gives +Inf. The array is overwritten by the next call.
func (r *Refiner) Residual() *Vector {
	const rounding = 0x1p-53
	return r.backward(1000 * float64(len(r.plan.rows)) * rounding)
}

// backward measures against the row's own scale where that is at least this
// share of ‖row of A‖∞·‖x‖∞, and against both together where it is less.
func (r *Refiner) backward(share float64) *Vector {
	r.store.follow(r.solver.lanes.folded)
	r.errors = Vector{}
	for i := range r.plan.rows {
		r.raise(&r.plan.rows[i], share)
	}
	return &r.errors
}

// doubtful is a backward error that a row of numbers at their proper scale
// does not reach after refinement.
const doubtful = 0x1p-48

// raise raises the errors to those of a row. Most lanes leave at the first
// test.
func (r *Refiner) raise(row *rowArrays, share float64) {
	re, im, total := r.store.array(row.re), r.store.array(row.im), r.store.array(row.total)
	_, _, _ = re[0], im[0], total[0]
	for i := range r.errors {
		t, scale := math.Abs(re[i])+math.Abs(im[i]), total[i]
		if t <= r.errors[i]*scale {
			continue
		}
		if t > doubtful*scale {
			scale += r.floor(row, i, scale, share)
		}
		if t <= r.errors[i]*scale {
			continue
		}
		if r.errors[i] = t / scale; math.IsNaN(r.errors[i]) {
			r.errors[i] = math.Inf(1)
		}
	}
}

// floor gives what a row's scale is raised by: ‖row of A‖∞·‖x‖∞ if the scale
// is below a share of that, else nothing.
func (r *Refiner) floor(row *rowArrays, lane int, scale, share float64) float64 {
	var largest, entry float64
	for _, id := range r.plan.sizes {
		largest = max(largest, r.store.array(id)[lane])
	}
	for _, v := range row.cells {
		re, im := r.solver.lanes.part(v.re), r.solver.lanes.part(v.im)
		entry = max(entry, math.Abs(re.lane(lane))+math.Abs(im.lane(lane)))
	}
	if size := entry * largest; scale < share*size {
		return size
	}
	return 0
}

// Refine does one step of iterative refinement in working precision, which
// is enough to make the backward error small componentwise (Skeel 1980). It
// gives the backward errors before the step, as Residual does but with rows
// 100 dB below the largest measured against both: elimination by itself, in
// any order and with any pivoting, leaves errors of the large unknowns'
// roundings in the rows of the small. Flagged lanes are left alone.
func (r *Refiner) Refine() *Vector {
	const hundredDecibels = 1e-5
	before := r.backward(hundredDecibels)
	r.correct.Solve()
	flags := r.solver.lanes.flags
	for k := range r.plan.solve.wanted {
		re, im := r.solver.X(k)
		dr, di := r.correct.X(k)
		correctLanes(re, dr, flags)
		correctLanes(im, di, flags)
	}
	return before
}

func correctLanes(x, d *Vector, flags uint64) {
	if flags == 0 {
		addLanes(x, x, d)
		return
	}
	for i := range x {
		if flags>>i&1 == 0 {
			x[i] += d[i]
		}
	}
}
