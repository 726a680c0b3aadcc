package circuit

import (
	"context"
	"math"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/sparse"
)

// Tuning is one circuit at one setting whose values are turned again and again
// while the same gain is asked of it with its derivatives: what fitting a curve
// does. Everything that can be decided before the values are known is decided
// once. A Tuning belongs to one worker; nothing is allocated after it is made.
//
// A knob may also be a slider's "Position". The operating point is that of the
// state: of knobs that move it MovesBias tells.
type Tuning struct {
	knobs   []Knob
	parts   []Part     // all of the circuit, those behind knobs as pointers
	at      []place    // where they stand; positions and windings are our own
	fields  []*float64 // by knob; nil is a Position
	of      []int      // by knob: its part
	moves   bool       // some knob moves the operating point
	moving  []int      // parts that are written anew at each turn, rising
	needs   []int      // by part in moving: branches it has
	cells   []tuningCell
	where   map[[2]int]int // by row and column: a cell
	columns []int          // unknowns that the parts in moving meet, the out first
	rows    []int          // their equations
	column  map[int]int    // by unknown: its place in columns
	row     map[int]int    // by equation: its place in rows

	all, alone worker // gain and adjoint; the gain by itself, in the same lanes
	omega      sparse.Vector
	slopes     []stamps // by knob, at the values turned to
	scratch    stamps
	adjoint    [][2]sparse.Vector // by row, the adjoint by the gain, in decibels
}

// tuningCell is a cell of the matrix: what the parts that stay put there, and
// what is there now.
type tuningCell struct {
	still, now entry
	class      sparse.Class
	touched    bool // some knob has a slope here
	vary       int  // place among what the lanes load, −1 for none
}

// Tuning puts the circuit at a setting for turning, as Solve and State.Tuning do
// together, without the plan that a State needs for other questions: that would be
// half the work.
func (c *Circuit) Tuning(ctx context.Context, s curve.Setting, cond Conditions, knobs []Knob, source, out string) (*Tuning, error) {
	st, err := c.settle(ctx, s, cond)
	if err != nil {
		return nil, err
	}
	st.matrix = &matrix{cells: st.signalEntries(), size: st.net.size, judges: st.judges()}
	return st.Tuning(knobs, source, out)
}

// Tuning plans the state's circuit for turning. The gain is that from source to
// out. The error is a finding.List.
func (st *State) Tuning(knobs []Knob, source, out string) (*Tuning, error) {
	b, e, err := st.question(source, out)
	if err != nil {
		return nil, err
	}
	if len(e) == 0 {
		return nil, finding.List{finding.New(IDNoPoint, finding.Error, finding.Place{Point: out}, nil)}
	}
	t := &Tuning{knobs: slices.Clone(knobs), slopes: make([]stamps, len(knobs))}
	if err := t.findParts(st); err != nil {
		return nil, err
	}
	t.findCells(st)
	t.findUnknowns(e[0].row)
	plan, err := t.plan(st)
	if err != nil {
		return nil, err
	}
	t.hire(plan, b, e)
	t.moves = slices.ContainsFunc(knobs, st.MovesBias)
	return t, nil
}

// findParts resolves the knobs, and finds the couplings that follow coils.
func (t *Tuning) findParts(st *State) error {
	var found finding.List
	net := st.net
	t.parts, t.at = slices.Clone(net.circuit.parts), slices.Clone(net.at)
	behind := map[int]bool{}
	for k, knob := range t.knobs {
		at := finding.Place{Part: knob.Part}
		i, ok := net.circuit.byName[knob.Part]
		if !ok {
			found = append(found, finding.New(IDNoPart, finding.Error, at, nil))
			continue
		}
		if !behind[i] {
			behind[i], t.parts[i] = true, turnable(t.parts[i])
		}
		field := fieldOf(t.parts[i], knob.Value)
		if !t.parts[i].slope(t.at[i], knob.Value, &t.slopes[k]) || field == nil && knob.Value != "Position" {
			found = append(found, finding.New(IDNoKnob, finding.Error, at, finding.Args{"value": knob.Value}))
		}
		t.fields, t.of = append(t.fields, field), append(t.of, i)
	}
	for i := range t.parts {
		w := slices.Clone(t.at[i].wound)
		t.at[i].wound = w
		coupled := coupling(t.at[i]) && slices.ContainsFunc(w, func(w winding) bool { return behind[w.part] })
		if behind[i] || coupled {
			t.moving, t.needs = append(t.moving, i), append(t.needs, t.parts[i].branches(t.at[i]))
		}
	}
	return found.Err()
}

// findCells gathers the cells, what stays in each, and where a knob reaches.
func (t *Tuning) findCells(st *State) {
	t.where = map[[2]int]int{}
	put := func(entries []entry, visit func(c *tuningCell, x entry)) {
		for _, x := range entries {
			k, ok := t.where[[2]int{x.row, x.col}]
			if !ok {
				k = len(t.cells)
				t.where[[2]int{x.row, x.col}] = k
				at := entry{row: x.row, col: x.col}
				t.cells = append(t.cells, tuningCell{still: at, now: at, vary: -1})
			}
			visit(&t.cells[k], x)
		}
	}
	put(st.matrix.cells, func(c *tuningCell, x entry) { c.now = x })
	var stays stamps
	for i, p := range t.parts {
		if _, moves := slices.BinarySearch(t.moving, i); !moves {
			p.stamp(t.at[i], &stays)
		}
	}
	st.smallSignal(&stays)
	for _, node := range st.net.islandsOf(st.net.tied(steady, signal, junction)).held {
		stays.add(node, node, 1, 0)
	}
	put(stays.entries, func(c *tuningCell, x entry) { c.still.g, c.still.c = c.still.g+x.g, c.still.c+x.c })
	for _, s := range t.slopes {
		put(s.entries, func(c *tuningCell, x entry) { c.touched = true })
	}
	t.settle()
}

// settle finds what may vary in each cell that a knob reaches.
func (t *Tuning) settle() {
	kind := make([]entry, len(t.cells)) // anything but 0 where there may be some
	for _, s := range t.slopes {
		for _, x := range s.entries {
			k := &kind[t.where[[2]int{x.row, x.col}]]
			k.g += math.Abs(x.g)
			k.c += complex(math.Abs(real(x.c)), math.Abs(imag(x.c)))
		}
	}
	for i := range t.cells {
		c := &t.cells[i]
		if !c.touched {
			c.class = c.now.class()
			continue
		}
		re, im := real(c.now.c) != 0 || real(kind[i].c) != 0, imag(c.now.c) != 0 || imag(kind[i].c) != 0
		switch {
		case re:
			c.class = sparse.Complex
		case im:
			c.class = sparse.ConstImag
		default:
			c.class = sparse.Const
		}
	}
}

// findUnknowns lists what the two solutions must tell.
func (t *Tuning) findUnknowns(out int) {
	t.columns, t.column, t.row = []int{out}, map[int]int{out: 0}, map[int]int{}
	var s stamps
	for _, i := range t.moving {
		t.parts[i].stamp(t.at[i], &s)
	}
	for _, slope := range t.slopes {
		s.entries = append(s.entries, slope.entries...)
	}
	for _, x := range s.entries {
		if _, ok := t.column[x.col]; !ok {
			t.column[x.col] = len(t.columns)
			t.columns = append(t.columns, x.col)
		}
		if _, ok := t.row[x.row]; !ok {
			t.row[x.row] = len(t.rows)
			t.rows = append(t.rows, x.row)
		}
	}
	t.adjoint = make([][2]sparse.Vector, len(t.rows))
}

func (t *Tuning) plan(st *State) (*sparse.Plan, error) {
	pattern := make([]sparse.Cell, len(t.cells))
	for i, c := range t.cells {
		pattern[i] = sparse.Cell{Row: c.now.row, Col: c.now.col, Class: c.class}
	}
	samples := make([][]complex128, len(st.matrix.judges))
	for n, omega := range st.matrix.judges {
		samples[n] = make([]complex128, len(t.cells))
		for i, c := range t.cells {
			samples[n][i] = c.now.at(omega)
		}
	}
	plan, err := sparse.NewPlan(st.net.size, pattern, samples, sparse.Options{})
	if err != nil {
		return nil, atSetting(st.net.singular(err), st.Setting())
	}
	return plan, nil
}

// hire makes the workspace.
func (t *Tuning) hire(plan *sparse.Plan, b, e []term) {
	lanes, size := plan.NewLanes(), plan.Size()
	t.all = worker{lanes: lanes, b: make([]complex128, size), x: make([]complex128, size)}
	for i := range t.cells {
		c := &t.cells[i]
		if c.class == sparse.Const || c.class == sparse.ConstImag {
			lanes.SetConst(i, c.now.g)
		}
		if re, im := lanes.Cell(i); re != nil || im != nil {
			c.vary = len(t.all.vary)
			t.all.vary = append(t.all.vary, varying{c.now, re, im})
		}
	}
	lanes.Fold()
	t.all.solvers = []*sparse.Solver{
		lanes.NewSolver(plan.NewSolve(rhsOf(b), t.columns, false)),
		lanes.NewSolver(plan.NewSolve(rhsOf(e), t.rows, true)),
	}
	t.alone = worker{lanes: lanes, vary: t.all.vary, b: t.all.b, x: t.all.x,
		solvers: []*sparse.Solver{lanes.NewSolver(plan.NewSolve(rhsOf(b), t.columns[:1], false))}}
}
