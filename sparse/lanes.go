package sparse

import (
	"fmt"
	"math"
)

// Lanes is one worker's Block matrices of a plan's pattern, side by side.
type Lanes struct {
	plan   *Plan
	store  store
	count  int
	folded int // how often constants were bound, so that solvers know
	flags  uint64
}

// store holds the numbers a program names, and the program bound to them.
type store struct {
	prog   *program
	base   *store // of the program that prog continues
	arrays []Vector
	cons   []float64
	ops    []bound
	folded int // the binding of constants last folded
}

func newStore(p *program, base *store) store {
	s := store{prog: p, base: base,
		arrays: make([]Vector, p.arrays-p.firstArray),
		cons:   make([]float64, p.cons-p.firstCon),
		ops:    make([]bound, len(p.ops))}
	for i, o := range p.ops {
		s.ops[i] = bound{o.code, s.array(o.d), s.array(o.e), s.array(o.x), s.array(o.y), s.array(o.z),
			s.array(o.w), s.array(o.u), s.array(o.v), s.con(o.k), s.con(o.c), s.con(o.g), s.con(o.h)}
	}
	for _, q := range p.seeds {
		*s.con(q.con) = q.value
	}
	return s
}

func (s *store) array(id int32) *Vector {
	if id < s.prog.firstArray {
		return s.base.array(id)
	}
	return &s.arrays[id-s.prog.firstArray]
}

func (s *store) con(id int32) *float64 {
	if id < s.prog.firstCon {
		return s.base.con(id)
	}
	return &s.cons[id-s.prog.firstCon]
}

// fold runs the operations on constants.
func (s *store) fold() {
	for _, f := range s.prog.folds {
		d, x := s.con(f.d), *s.con(f.x)
		switch f.code {
		case foldAdd:
			*d = f.sa**s.con(f.a) + f.sp*x**s.con(f.y)
		case foldRecip:
			*d = f.sp / x
		case foldAbs:
			*d = math.Abs(x)
		}
	}
	for _, q := range s.prog.spreads {
		fillLanes(s.array(q.array), *s.con(q.con))
	}
}

// follow runs the program, its folds first if constants were bound anew.
func (s *store) follow(folded int) {
	if s.folded != folded {
		s.fold()
		s.folded = folded
	}
	run(s.ops)
}

// NewLanes makes a worker's workspace. Nothing is allocated after it but by
// NewSolver and NewRefiner.
func (p *Plan) NewLanes() *Lanes {
	return &Lanes{plan: p, store: newStore(p.prog, nil)}
}

// SetConst sets the constant part of a Const or ConstImag cell in all lanes.
// Fold must follow before Factor.
func (l *Lanes) SetConst(cell int, v float64) {
	if c := l.plan.cells[cell].Class; c != Const && c != ConstImag {
		panic(fmt.Sprintf("sparse: cell %d has no constant part", cell))
	}
	*l.store.con(l.plan.values[cell].re.id) = v
}

// Cell gives the arrays of a cell's parts that vary, nil for one that does
// not. The caller fills them before Factor; they keep their place and their
// values.
func (l *Lanes) Cell(cell int) (re, im *Vector) {
	v := l.plan.values[cell]
	if v.re.kind == varying {
		re = l.store.array(v.re.id)
	}
	if v.im.kind == varying {
		im = l.store.array(v.im.id)
	}
	return re, im
}

// Fold does what depends on constants alone. It must be called before the
// first Factor and after every SetConst.
func (l *Lanes) Fold() {
	l.store.fold()
	l.folded++
}

// Factor eliminates the matrices in the first count lanes. The other lanes
// are filled with copies of the last.
func (l *Lanes) Factor(count int) {
	if count < 1 || count > Block {
		panic(fmt.Sprintf("sparse: %d lanes in a block of %d", count, Block))
	}
	if l.folded == 0 {
		panic("sparse: Factor before Fold")
	}
	l.count = count
	if count < Block {
		l.repeat()
	}
	run(l.store.ops)
	l.flag()
}

// repeat copies the last lane in use to those not in use, so that they hold
// nothing that slows or traps.
func (l *Lanes) repeat() {
	for _, v := range l.plan.values {
		for _, part := range [...]ref{v.re, v.im} {
			if part.kind != varying {
				continue
			}
			a := l.store.array(part.id)
			for i := l.count; i < Block; i++ {
				a[i] = a[l.count-1]
			}
		}
	}
}

// flag marks the lanes whose multipliers grew beyond the bound or are not
// finite.
func (l *Lanes) flag() {
	l.flags = 0
	for i, g := range l.store.array(l.plan.watch)[:l.count] {
		if !(g <= l.plan.bound) {
			l.flags |= 1 << i
		}
	}
}

// Flagged gives a bit for each lane whose pivots the last Factor did not
// trust; its solutions must be redone (Solver.Redo).
func (l *Lanes) Flagged() uint64 { return l.flags }

// LogDet gives the logarithm of the determinant's magnitude, and its angle
// in radians modulo 2π, of each lane in use.
func (l *Lanes) LogDet(logAbs, angle *Vector) {
	var re, im, known Vector
	sign := 1.0
	if l.plan.odd {
		sign = -1
	}
	fillLanes(&re, sign)
	for _, s := range l.plan.steps {
		pr, pi := l.part(s.pivot.re), l.part(s.pivot.im)
		for i := range l.count {
			a, b := pr.lane(i), pi.lane(i)
			x, y := re[i]*a-im[i]*b, re[i]*b+im[i]*a
			// Powers of two are taken out exactly, so nothing overflows.
			_, e := math.Frexp(max(math.Abs(x), math.Abs(y)))
			re[i], im[i] = math.Ldexp(x, -e), math.Ldexp(y, -e)
			known[i] += float64(e)
		}
	}
	for i := range l.count {
		logAbs[i] = math.Log(math.Hypot(re[i], im[i])) + known[i]*math.Ln2
		angle[i] = math.Atan2(im[i], re[i])
	}
}

// reading is a part's numbers: the same in every lane, or an array.
type reading struct {
	same  float64
	lanes *Vector
	sign  float64
}

func (l *Lanes) part(r ref) reading {
	sign := 1.0
	if r.neg {
		sign = -1
	}
	switch r.kind {
	case fixed:
		return reading{same: r.val}
	case constant:
		return reading{same: sign * *l.store.con(r.id)}
	case varying:
		return reading{lanes: l.store.array(r.id), sign: sign}
	}
	return reading{}
}

func (r reading) lane(i int) float64 {
	if r.lanes == nil {
		return r.same
	}
	return r.sign * r.lanes[i]
}

// Solver is a solve plan bound to a worker's lanes.
type Solver struct {
	plan  *SolvePlan
	lanes *Lanes
	store store
}

// NewSolver makes the workspace of a solve in these lanes.
func (l *Lanes) NewSolver(s *SolvePlan) *Solver {
	if s.plan != l.plan {
		panic("sparse: a solve of another plan")
	}
	return &Solver{plan: s, lanes: l, store: newStore(s.prog, &l.store)}
}

// B gives the arrays of right-side entry i (counted as in NewSolve) that
// vary, for the caller to fill.
func (s *Solver) B(i int) (re, im *Vector) {
	v := s.plan.given[i]
	if v.re.kind == varying {
		re = s.store.array(v.re.id)
	}
	if v.im.kind == varying {
		im = s.store.array(v.im.id)
	}
	return re, im
}

// X gives the arrays of wanted unknown j (counted as in NewSolve). They keep
// their place; a part that is the same in all lanes is there too.
func (s *Solver) X(j int) (re, im *Vector) {
	return s.store.array(s.plan.found[2*j].id), s.store.array(s.plan.found[2*j+1].id)
}

// Solve finds the wanted unknowns in all lanes from the last Factor.
func (s *Solver) Solve() { s.store.follow(s.lanes.folded) }
