package sparse

import "fmt"

// RHS is one entry of the right side that may be other than zero. Value is
// the entry's for good if Class is Fixed, and unused otherwise; Const and
// ConstImag are not for right sides.
type RHS struct {
	Row   int
	Class Class
	Value float64
}

// SolvePlan is forward and back substitution written out for one pattern of
// right side and the unknowns wanted of it. It never changes.
type SolvePlan struct {
	plan       *Plan
	transposed bool
	rhs        []RHS
	wanted     []int
	given      []value // rhs entries
	found      []ref   // re, im of each wanted unknown: arrays of this program
	prog       *program
}

// NewSolve plans the solution of A·x = b, or of Aᵀ·x = b, for right sides
// that are zero but for the entries given, each once. Only the unknowns
// wanted are found, and only the work they need is done.
func (p *Plan) NewSolve(rhs []RHS, wanted []int, transposed bool) *SolvePlan {
	s := p.newSolve(rhs, wanted, transposed, substitute)
	if len(wanted) > p.n/4 {
		return s
	}
	if t := p.newSolve(rhs, wanted, transposed, express); t.prog.operations() < s.prog.operations() {
		return t
	}
	return s
}

// newSolve writes a solve one of two ways.
func (p *Plan) newSolve(rhs []RHS, wanted []int, transposed bool, way func(*substitution, []int) []value) *SolvePlan {
	s := &SolvePlan{plan: p, transposed: transposed, rhs: rhs, wanted: wanted, prog: p.prog.after()}
	s.write(s.nameRHS(), way)
	return s
}

// write writes the solve for right side b.
func (s *SolvePlan) write(b []value, way func(*substitution, []int) []value) {
	n := s.plan.n
	w := &substitution{stages: s.plan.stages(s.transposed), b: b, x: make([]value, n),
		needB: make([]bool, n), needX: make([]bool, n), prog: s.prog}
	own := map[int32]bool{}
	for _, v := range way(w, s.wanted) {
		s.found = append(s.found, s.keep(v.re, own), s.keep(v.im, own))
	}
}

// substitute finds each wanted unknown by back substitution.
func substitute(w *substitution, wanted []int) []value {
	for _, j := range wanted {
		w.needX[j] = true
	}
	w.reach()
	w.forward()
	w.back()
	found := make([]value, len(wanted))
	for k, j := range wanted {
		found[k] = w.x[j]
	}
	return found
}

// express writes each wanted unknown in terms of others, through every step
// where the terms stay the same in all lanes, and only then finds those. It
// skips the unknowns between a late solution and an output far from it.
func express(w *substitution, wanted []int) []value {
	sides := make([][]value, len(wanted)) // by unknown, and then by right side
	for k, j := range wanted {
		sides[k] = w.expressed(j)
	}
	w.reach()
	w.forward()
	w.back()
	found := make([]value, len(wanted))
	n := len(w.x)
	for k, side := range sides {
		var sum []pair
		for j, c := range side[:n] {
			if !c.zero() {
				sum = append(sum, pair{c.minus(), w.x[j]})
			}
		}
		for i, c := range side[n:] {
			if !c.zero() {
				sum = append(sum, pair{c.minus(), w.b[i]})
			}
		}
		found[k] = w.prog.less(value{}, sum)
	}
	return found
}

// All lists the unknowns 0 … n−1, for a solve that wants every one.
func (p *Plan) All() []int {
	all := make([]int, p.n)
	for i := range all {
		all[i] = i
	}
	return all
}

func (s *SolvePlan) nameRHS() []value {
	b := make([]value, s.plan.n)
	for _, r := range s.rhs {
		if r.Row < 0 || r.Row >= len(b) || !b[r.Row].zero() {
			panic(fmt.Sprintf("sparse: right side at row %d outside the matrix or given twice", r.Row))
		}
		var v value
		switch r.Class {
		case Fixed:
			v.re = fixedRef(r.Value)
		case Real, Complex:
			v.re = ref{kind: varying, id: s.prog.newArray()}
		case Imag:
		default:
			panic(fmt.Sprintf("sparse: right side of class %d", r.Class))
		}
		if r.Class >= Imag {
			v.im = ref{kind: varying, id: s.prog.newArray()}
		}
		b[r.Row] = v
		s.given = append(s.given, v)
	}
	return b
}

// keep gives an array holding exactly r that is nobody else's, so that a
// refinement may add to it.
func (s *SolvePlan) keep(r ref, own map[int32]bool) ref {
	p := s.prog
	switch {
	case r.kind != varying:
		r = p.emit(op{code: opFill, c: p.slot(r)}, false)
	case r.neg || r.id < p.firstArray || own[r.id] || s.isGiven(r.id):
		k := 1.0
		if r.neg {
			k = -1
		}
		r = p.emit(op{code: opScale, x: r.id, k: p.seedSlot(k)}, false)
	}
	own[r.id] = true
	return r
}

func (s *SolvePlan) isGiven(id int32) bool {
	for _, v := range s.given {
		if v.re.kind == varying && v.re.id == id || v.im.kind == varying && v.im.id == id {
			return true
		}
	}
	return false
}

// stage is one elimination step as a substitution sees it: the right side's
// entry `from` is taken from others (push), then the unknown `to` is found
// from it and the unknowns found before (pull). The inverse pivot comes in
// before the push or after the pull.
type stage struct {
	from, to   int32
	push, pull []part
	inverse    value
	before     bool
}

// stages gives the steps for A, or for its transpose, where rows and columns
// change places.
func (p *Plan) stages(transposed bool) []stage {
	list := make([]stage, len(p.steps))
	for k, s := range p.steps {
		if transposed {
			list[k] = stage{s.col, s.row, s.right, s.below, s.inverse, !s.byRow}
		} else {
			list[k] = stage{s.row, s.col, s.below, s.right, s.inverse, s.byRow}
		}
	}
	return list
}

// substitution writes both halves of a solve.
type substitution struct {
	stages       []stage
	b, x         []value
	needB, needX []bool // which right sides and unknowns matter
	prog         *program
}

// expressed gives the factors of the unknowns (first n) and of the right
// sides left by forward substitution (the other n) that make up unknown j.
func (w *substitution) expressed(j int) []value {
	n := len(w.x)
	side := make([]value, 2*n)
	side[j].re = one()
	for _, s := range w.stages {
		c := side[s.to]
		if c.zero() || !s.same() {
			continue
		}
		if !s.before {
			c = w.prog.mul(c, s.inverse)
		}
		for _, q := range s.pull {
			side[q.at] = w.prog.mulSub(side[q.at], c, q.value)
		}
		side[s.to] = value{}
		side[n+int(s.from)] = c
		w.needB[s.from] = true
	}
	for i, c := range side[:n] {
		w.needX[i] = w.needX[i] || !c.zero()
	}
	return side
}

// same reports whether the stage pulls by the same factors in every lane.
func (s *stage) same() bool {
	for _, q := range s.pull {
		if q.value.varying() {
			return false
		}
	}
	return s.before || !s.inverse.varying()
}

// reach marks all that a marked unknown or right side needs.
func (w *substitution) reach() {
	for _, s := range w.stages {
		for _, q := range s.pull {
			w.needX[q.at] = w.needX[q.at] || w.needX[s.to]
		}
		w.needB[s.from] = w.needB[s.from] || w.needX[s.to]
	}
	for k := len(w.stages) - 1; k >= 0; k-- {
		s := &w.stages[k]
		for _, q := range s.push {
			w.needB[s.from] = w.needB[s.from] || w.needB[q.at]
		}
	}
}

// forward works row by row: what earlier rows push is kept until its own row
// comes, so that it is summed at once.
func (w *substitution) forward() {
	pushed := make([][]pair, len(w.b))
	for _, s := range w.stages {
		if !w.needB[s.from] {
			continue
		}
		b := w.prog.less(w.b[s.from], pushed[s.from])
		if s.before {
			b = w.prog.mul(b, s.inverse)
		}
		w.b[s.from] = b
		if b.zero() {
			continue
		}
		for _, q := range s.push {
			if w.needB[q.at] {
				pushed[q.at] = append(pushed[q.at], pair{q.value, b})
			}
		}
	}
}

func (w *substitution) back() {
	var pulled []pair
	for k := len(w.stages) - 1; k >= 0; k-- {
		s := w.stages[k]
		if !w.needX[s.to] {
			continue
		}
		pulled = pulled[:0]
		for _, q := range s.pull {
			if !w.x[q.at].zero() {
				pulled = append(pulled, pair{q.value, w.x[q.at]})
			}
		}
		v := w.prog.less(w.b[s.from], pulled)
		if !s.before {
			v = w.prog.mul(v, s.inverse)
		}
		w.x[s.to] = v
	}
}
