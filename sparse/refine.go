package sparse

import (
	"fmt"
	"math"
)

// RefinePlan is the residual b − A·x of a solve that wants every unknown, and
// the solve that corrects x by it. It never changes.
type RefinePlan struct {
	solve, correct *SolvePlan
	found          []int   // unknown → its place among the wanted
	rows           []int32 // first place of each row in terms
	terms          []residualTerm
	given          []int // row → right-side entry, or −1
}

// residualTerm is cell·x[col] in one row's sum.
type residualTerm struct {
	class   Class
	col     int32
	value   value
	opposed bool // Fixed −1
	unit    bool // Fixed ±1
}

// NewRefine plans the refinement of s, which must want all unknowns, each
// once.
func (p *Plan) NewRefine(s *SolvePlan) *RefinePlan {
	if s.plan != p || len(s.wanted) != p.n {
		panic(fmt.Sprintf("sparse: refining %d of %d unknowns", len(s.wanted), p.n))
	}
	all := make([]RHS, p.n)
	for i := range all {
		all[i] = RHS{Row: i, Class: Complex}
	}
	r := &RefinePlan{solve: s, correct: p.NewSolve(all, p.All(), s.transposed),
		found: make([]int, p.n), rows: make([]int32, p.n+1), given: make([]int, p.n)}
	for k, j := range s.wanted {
		r.found[j] = k
	}
	for i := range r.given {
		r.given[i] = -1
	}
	for k, b := range s.rhs {
		r.given[b.Row] = k
	}
	r.sortTerms(p)
	return r
}

// sortTerms lists the cells row by row, of A or of its transpose.
func (r *RefinePlan) sortTerms(p *Plan) {
	place := func(c Cell) (row, col int) {
		if r.solve.transposed {
			return c.Col, c.Row
		}
		return c.Row, c.Col
	}
	for _, c := range p.cells {
		row, _ := place(c)
		r.rows[row+1]++
	}
	for i := range p.n {
		r.rows[i+1] += r.rows[i]
	}
	next := append([]int32(nil), r.rows...)
	r.terms = make([]residualTerm, len(p.cells))
	for i, c := range p.cells {
		row, col := place(c)
		v := p.values[i]
		r.terms[next[row]] = residualTerm{class: c.Class, col: int32(col), value: v,
			unit: v.re.unit() && c.Class == Fixed, opposed: v.re.val < 0}
		next[row]++
	}
}

// Refiner is a RefinePlan bound to a solver.
type Refiner struct {
	plan    *RefinePlan
	solver  *Solver
	correct *Solver
	sizes   []Vector // |x| of each unknown
	total   Vector   // |A|·|x| + |b| of the row at hand
	errors  Vector
}

// NewRefiner makes the workspace of a refinement of s's solutions.
func (s *Solver) NewRefiner(plan *RefinePlan) *Refiner {
	if plan.solve != s.plan {
		panic("sparse: a refinement of another solve")
	}
	return &Refiner{plan: plan, solver: s, correct: s.lanes.NewSolver(plan.correct),
		sizes: make([]Vector, s.plan.plan.n)}
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
	return r.backward(1000 * float64(len(r.sizes)) * rounding)
}

// backward measures against the row's own scale where that is at least this
// share of ‖row of A‖∞·‖x‖∞, and against both together where it is less.
func (r *Refiner) backward(share float64) *Vector {
	for j, k := range r.plan.found {
		re, im := r.solver.X(k)
		sizeLanes(&r.sizes[j], re, im)
	}
	r.errors = Vector{}
	for i := range r.plan.found {
		re, im := r.correct.B(i)
		r.row(i, re, im)
		for lane := range Block {
			t, scale := math.Abs(re[lane])+math.Abs(im[lane]), r.total[lane]
			if t <= r.errors[lane]*scale {
				continue
			}
			if t > doubtful*scale {
				scale += r.floor(i, lane, scale, share)
			}
			if r.errors[lane] = t / scale; math.IsNaN(r.errors[lane]) {
				r.errors[lane] = math.Inf(1)
			}
		}
	}
	return &r.errors
}

// doubtful is a backward error that a row of numbers at their proper scale
// does not reach after refinement.
const doubtful = 0x1p-48

// floor gives what a row's scale is raised by: ‖row of A‖∞·‖x‖∞ if the scale
// is below a share of that, else nothing.
func (r *Refiner) floor(row, lane int, scale, share float64) float64 {
	var largest, entry float64
	for j := range r.sizes {
		largest = max(largest, r.sizes[j][lane])
	}
	for k := r.plan.rows[row]; k < r.plan.rows[row+1]; k++ {
		t := &r.plan.terms[k]
		re, im := r.solver.lanes.part(t.value.re), r.solver.lanes.part(t.value.im)
		entry = max(entry, math.Abs(re.lane(lane))+math.Abs(im.lane(lane)))
	}
	if size := entry * largest; scale < share*size {
		return size
	}
	return 0
}

// row leaves row i of b − A·x in re, im and its size in total.
func (r *Refiner) row(i int, re, im *Vector) {
	r.begin(i, re, im)
	lanes := r.solver.lanes
	for k := r.plan.rows[i]; k < r.plan.rows[i+1]; k++ {
		t := &r.plan.terms[k]
		x, y := r.solver.X(r.plan.found[t.col])
		size := &r.sizes[t.col]
		switch {
		case t.unit && t.opposed:
			residualAdd(re, im, &r.total, x, y, size)
		case t.unit:
			residualSub(re, im, &r.total, x, y, size)
		case t.class <= Const:
			residualConst(re, im, &r.total, x, y, size, lanes.part(t.value.re).same)
		case t.class == Real:
			residualReal(re, im, &r.total, x, y, size, lanes.store.array(t.value.re.id))
		case t.class == Imag:
			residualImag(re, im, &r.total, x, y, size, 0, lanes.store.array(t.value.im.id))
		case t.class == ConstImag:
			residualImag(re, im, &r.total, x, y, size, lanes.part(t.value.re).same, lanes.store.array(t.value.im.id))
		default:
			residualComplex(re, im, &r.total, x, y, size, lanes.store.array(t.value.re.id), lanes.store.array(t.value.im.id))
		}
	}
}

// begin puts b into the row's sums.
func (r *Refiner) begin(i int, re, im *Vector) {
	fillLanes(re, 0)
	fillLanes(im, 0)
	if k := r.plan.given[i]; k >= 0 {
		br, bi := r.solver.B(k)
		if b := r.solver.plan.rhs[k]; b.Class == Fixed {
			fillLanes(re, b.Value)
		}
		if br != nil {
			*re = *br
		}
		if bi != nil {
			*im = *bi
		}
	}
	sizeLanes(&r.total, re, im)
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
	for j, k := range r.plan.found {
		re, im := r.solver.X(k)
		dr, di := r.correct.X(j)
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

func sizeLanes(d, x, y *Vector) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = math.Abs(x[i]) + math.Abs(y[i])
	}
}

func residualAdd(re, im, total, x, y, size *Vector) {
	_, _, _, _, _, _ = re[0], im[0], total[0], x[0], y[0], size[0]
	for i := range re {
		re[i] += x[i]
		im[i] += y[i]
		total[i] += size[i]
	}
}

func residualSub(re, im, total, x, y, size *Vector) {
	_, _, _, _, _, _ = re[0], im[0], total[0], x[0], y[0], size[0]
	for i := range re {
		re[i] -= x[i]
		im[i] -= y[i]
		total[i] += size[i]
	}
}

func residualConst(re, im, total, x, y, size *Vector, k float64) {
	_, _, _, _, _, _ = re[0], im[0], total[0], x[0], y[0], size[0]
	a := math.Abs(k)
	for i := range re {
		re[i] -= k * x[i]
		im[i] -= k * y[i]
		total[i] += a * size[i]
	}
}

func residualReal(re, im, total, x, y, size, a *Vector) {
	_, _, _, _, _, _, _ = re[0], im[0], total[0], x[0], y[0], size[0], a[0]
	for i := range re {
		re[i] -= a[i] * x[i]
		im[i] -= a[i] * y[i]
		total[i] += math.Abs(a[i]) * size[i]
	}
}

func residualImag(re, im, total, x, y, size *Vector, k float64, b *Vector) {
	_, _, _, _, _, _, _ = re[0], im[0], total[0], x[0], y[0], size[0], b[0]
	a := math.Abs(k)
	for i := range re {
		re[i] -= k*x[i] - b[i]*y[i]
		im[i] -= k*y[i] + b[i]*x[i]
		total[i] += (a + math.Abs(b[i])) * size[i]
	}
}

func residualComplex(re, im, total, x, y, size, a, b *Vector) {
	_, _, _, _, _, _, _, _ = re[0], im[0], total[0], x[0], y[0], size[0], a[0], b[0]
	for i := range re {
		re[i] -= a[i]*x[i] - b[i]*y[i]
		im[i] -= a[i]*y[i] + b[i]*x[i]
		total[i] += (math.Abs(a[i]) + math.Abs(b[i])) * size[i]
	}
}
