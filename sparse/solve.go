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
	s := &SolvePlan{plan: p, transposed: transposed, rhs: rhs, wanted: wanted, prog: p.prog.after()}
	b := s.nameRHS()
	w := substitution{p.stages(transposed), b, make([]value, p.n), make([]bool, p.n), s.prog}
	w.reach(wanted)
	w.forward()
	w.back()
	own := map[int32]bool{}
	for _, j := range wanted {
		s.found = append(s.found, s.keep(w.x[j].re, own), s.keep(w.x[j].im, own))
	}
	return s
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
	stages []stage
	b, x   []value
	need   []bool // by stage
	prog   *program
}

// reach marks the stages whose right side matters to a wanted unknown.
func (w *substitution) reach(wanted []int) {
	needX, needB := make([]bool, len(w.x)), make([]bool, len(w.b))
	for _, j := range wanted {
		needX[j] = true
	}
	for _, s := range w.stages {
		for _, q := range s.pull {
			needX[q.at] = needX[q.at] || needX[s.to]
		}
	}
	for k := len(w.stages) - 1; k >= 0; k-- {
		s := w.stages[k]
		needB[s.from] = needX[s.to]
		for _, q := range s.push {
			needB[s.from] = needB[s.from] || needB[q.at]
		}
		w.need[k] = needB[s.from]
	}
	for k, s := range w.stages {
		if !needX[s.to] {
			w.stages[k].pull = nil
			w.stages[k].to = -1
		}
		kept := make([]part, 0, len(s.push))
		for _, q := range s.push {
			if needB[q.at] {
				kept = append(kept, q)
			}
		}
		w.stages[k].push = kept
	}
}

func (w *substitution) forward() {
	for k, s := range w.stages {
		if !w.need[k] || w.b[s.from].zero() {
			continue
		}
		if s.before {
			w.b[s.from] = w.prog.mul(w.b[s.from], s.inverse)
		}
		for _, q := range s.push {
			w.b[q.at] = w.prog.mulSub(w.b[q.at], q.value, w.b[s.from])
		}
	}
}

func (w *substitution) back() {
	for k := len(w.stages) - 1; k >= 0; k-- {
		s := w.stages[k]
		if s.to < 0 {
			continue
		}
		v := w.b[s.from]
		for _, q := range s.pull {
			v = w.prog.mulSub(v, q.value, w.x[q.at])
		}
		if !s.before {
			v = w.prog.mul(v, s.inverse)
		}
		w.x[s.to] = v
	}
}
