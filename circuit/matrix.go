package circuit

import (
	"fmt"
	"sync"

	"bandwright/sparse"
)

// matrix is the small-signal equations of one state: the cells, the
// elimination planned for them, and the workers that run it.
type matrix struct {
	cells []entry
	size  int
	all   []int // every unknown

	mu     sync.Mutex // guards what follows
	judges []float64  // angular frequencies that the pivots are compared at
	plan   *sparse.Plan
	asks   map[string]*ask
}

// question is one solution wanted of the equations: for a right side (terms
// that do not grow with ω), or of the transposed equations, these unknowns.
type question struct {
	rhs        []term
	wanted     []int
	transposed bool
	refined    bool // with one step of iterative refinement; wants every unknown
}

// ask is some questions answered from one elimination, planned, with the
// workers that are idle.
type ask struct {
	plans   []*sparse.SolvePlan
	refines []*sparse.RefinePlan // nil where none is asked
	cells   []entry              // of the matrix
	idle    sync.Pool
}

// newMatrix gathers the state's equations and plans their elimination.
func (st *State) newMatrix() (*matrix, error) {
	m := &matrix{cells: st.signalEntries(), size: st.net.size, judges: st.judges()}
	if err := m.makePlan(); err != nil {
		return nil, st.net.singular(err)
	}
	m.all = m.plan.All()
	return m, nil
}

// makePlan plans for the judges there are; an error leaves the plan as it was.
func (m *matrix) makePlan() error {
	pattern := make([]sparse.Cell, len(m.cells))
	for i, c := range m.cells {
		pattern[i] = sparse.Cell{Row: c.row, Col: c.col, Class: c.class()}
	}
	var samples [][]complex128
	for _, omega := range m.judges {
		sample := make([]complex128, len(m.cells))
		for i, c := range m.cells {
			sample[i] = c.at(omega)
		}
		samples = append(samples, sample)
	}
	plan, err := sparse.NewPlan(m.size, pattern, samples, sparse.Options{})
	if err != nil {
		return err
	}
	m.plan, m.asks = plan, map[string]*ask{}
	return nil
}

// A plan that one lane in this many distrusts is made anew, and the
// frequencies that distrusted it are among its judges then.
const (
	replanShare  = 100
	replanJudges = 8  // judges added at a time, at most
	mostJudges   = 40 // beyond this the plan stays as it is
)

// replan makes the plan anew after a sweep that had distrusted frequencies.
// Answers do not change by more than rounding, since every distrusted lane
// was solved with full pivoting; later sweeps are faster.
func (m *matrix) replan(distrusted []float64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.judges)+replanJudges > mostJudges {
		return
	}
	for k := range min(replanJudges, len(distrusted)) {
		m.judges = append(m.judges, distrusted[k*len(distrusted)/min(replanJudges, len(distrusted))])
	}
	// Judges that make a plan impossible leave the one there is.
	_ = m.makePlan()
}

// class says what of g + ω·c varies with frequency. A lone ±1 is a
// connection and stays what it is whatever the parts' values.
func (e entry) class() sparse.Class {
	switch {
	case e.c == 0 && (e.g == 1 || e.g == -1):
		return sparse.Fixed
	case e.c == 0:
		return sparse.Const
	case real(e.c) != 0:
		return sparse.Complex
	case e.g != 0:
		return sparse.ConstImag
	}
	return sparse.Imag
}

// worker is one goroutine's workspace for one question.
type worker struct {
	lanes   *sparse.Lanes
	solvers []*sparse.Solver // one a question
	refine  []*sparse.Refiner
	vary    []varying
	dense   *sparse.Dense[complex128] // made when a lane must be redone
	b, x    []complex128
	raw     float64 // largest backward error before refinement
}

// varying is a cell that changes with frequency and where its lanes are.
type varying struct {
	entry
	re, im *sparse.Vector
}

// asking gives the plan of some questions, made when they are first asked.
func (m *matrix) asking(questions ...question) *ask {
	key := fmt.Sprint(questions)
	m.mu.Lock()
	defer m.mu.Unlock()
	if a, ok := m.asks[key]; ok {
		return a
	}
	a := &ask{cells: m.cells}
	for _, q := range questions {
		plan := m.plan.NewSolve(rhsOf(q.rhs), q.wanted, q.transposed)
		var refine *sparse.RefinePlan
		if q.refined {
			refine = m.plan.NewRefine(plan)
		}
		a.plans, a.refines = append(a.plans, plan), append(a.refines, refine)
	}
	plan := m.plan
	a.idle.New = func() any { return a.hire(plan) }
	m.asks[key] = a
	return a
}

// hire makes a worker.
func (a *ask) hire(plan *sparse.Plan) *worker {
	w := &worker{lanes: plan.NewLanes()}
	for i, c := range a.cells {
		if class := c.class(); class == sparse.Const || class == sparse.ConstImag {
			w.lanes.SetConst(i, c.g)
		}
		if re, im := w.lanes.Cell(i); re != nil || im != nil {
			w.vary = append(w.vary, varying{c, re, im})
		}
	}
	w.lanes.Fold()
	for i, p := range a.plans {
		solver := w.lanes.NewSolver(p)
		w.solvers = append(w.solvers, solver)
		if r := a.refines[i]; r != nil {
			w.refine = append(w.refine, solver.NewRefiner(r))
		}
	}
	w.b, w.x = make([]complex128, plan.Size()), make([]complex128, plan.Size())
	return w
}

// load fills the lanes for up to Block angular frequencies and eliminates.
func (w *worker) load(omegas []float64) {
	for _, v := range w.vary {
		if v.re != nil {
			g, c := v.g, real(v.c)
			for k, omega := range omegas {
				v.re[k] = g + omega*c
			}
		}
		if v.im != nil {
			c := imag(v.c)
			for k, omega := range omegas {
				v.im[k] = omega * c
			}
		}
	}
	w.lanes.Factor(len(omegas))
}

// solve answers every question in the loaded lanes. Lanes whose pivots had
// grown are solved again with full pivoting; singular has a bit for each lane
// that has no answer even so.
func (w *worker) solve(count int) (redone int, singular uint64) {
	for _, s := range w.solvers {
		s.Solve()
	}
	for _, r := range w.refine {
		flagged := w.lanes.Flagged()
		for k, e := range r.Refine()[:count] {
			if flagged>>k&1 == 0 { // else solved again below
				w.raw = max(w.raw, e)
			}
		}
	}
	if w.lanes.Flagged() == 0 {
		return 0, 0
	}
	if w.dense == nil {
		w.dense = sparse.NewDense[complex128](len(w.b))
	}
	for _, s := range w.solvers {
		redone, singular = s.Redo(w.dense, w.b, w.x)
	}
	return redone, singular
}

// rhsOf says the right side's terms to the solver.
func rhsOf(terms []term) []sparse.RHS {
	var rhs []sparse.RHS
	for _, t := range terms {
		if t.c != 0 {
			panic("circuit: a right side that depends on frequency")
		}
		rhs = append(rhs, sparse.RHS{Row: t.row, Class: sparse.Fixed, Value: t.g})
	}
	return rhs
}
