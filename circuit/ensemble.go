package circuit

import (
	"fmt"
	"math"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/sparse"
)

// Knob is one value of one part that an ensemble may turn: a field of the
// part's type, by its name.
type Knob struct {
	Part  string
	Value string
}

// IDNoKnob: a value is to vary that the part does not have, or does not have
// here (a series resistance of 0 that no equation holds). Place: the part.
// value.
const IDNoKnob finding.ID = "circuit.no-knob"

// Ensemble is a circuit in many builds, alike but for the values behind its
// knobs, at some settings that share their switches. Everything that can be
// decided before the values are known is decided once: the unknowns, which
// cells vary, and for each setting the order of elimination. It never changes
// and has many readers; a Builds belongs to one worker.
type Ensemble struct {
	knobs    []Knob
	parts    []int  // numbers of the parts behind the knobs, rising
	of       []int  // by knob: its place in parts
	slider   []bool // by part: it is one
	settings []ensembleSetting
	cells    []ensembleCell
	stampings
	source []term
	out    int
}

// ensembleSetting is one setting with its plan.
type ensembleSetting struct {
	state *State
	plan  *sparse.Plan
	solve [2]*sparse.SolvePlan // the equations, and their adjoint
	gain  *sparse.SolvePlan    // the equations, for the out alone
	slope slope
	sum   []int // by cell: which sum it holds, −1 for the same in every build
}

// ensembleCell is a cell of the matrix, and whether a part that varies or a
// slider writes it.
type ensembleCell struct {
	row, col int
	class    sparse.Class
	varies   bool
}

// Ensemble plans a circuit for many builds. The knobs are values of parts;
// settings must share their switches; source and out say which gain is asked.
// The operating point of each build is the nominal one: knobs that move it are
// refused by the caller's choice of knobs, see MovesBias.
func (c *Circuit) Ensemble(states []*State, knobs []Knob, source, out string) (*Ensemble, error) {
	if len(states) == 0 {
		panic("circuit: an ensemble of no settings")
	}
	first := states[0]
	e := &Ensemble{knobs: knobs}
	b, o, err := first.question(source, out)
	if err != nil {
		return nil, err
	}
	if len(o) == 0 {
		return nil, finding.List{finding.New(IDNoPoint, finding.Error, finding.Place{Point: out}, nil)}
	}
	e.source, e.out = b, o[0].row
	if err := e.findParts(first); err != nil {
		return nil, err
	}
	e.findCells(states)
	for _, st := range states {
		if err := e.addSetting(st); err != nil {
			return nil, atSetting(err, st.Setting())
		}
	}
	return e, nil
}

// findParts resolves the knobs.
func (e *Ensemble) findParts(st *State) error {
	var found finding.List
	place := map[int]int{}
	e.slider = make([]bool, len(st.net.circuit.parts))
	for i, p := range st.net.circuit.parts {
		_, e.slider[i] = p.(Slider)
		for _, k := range e.knobs {
			if k.Part == p.PartName() {
				if _, seen := place[i]; !seen {
					place[i] = len(e.parts)
					e.parts = append(e.parts, i)
				}
			}
		}
	}
	for _, k := range e.knobs {
		at := finding.Place{Part: k.Part}
		i, ok := st.net.circuit.byName[k.Part]
		if !ok {
			found = append(found, finding.New(IDNoPart, finding.Error, at, nil))
			continue
		}
		var s stamps
		if p := st.net.circuit.parts[i]; fieldOf(turnable(p), k.Value) == nil || !p.slope(st.net.at[i], k.Value, &s) {
			found = append(found, finding.New(IDNoKnob, finding.Error, at, finding.Args{"value": k.Value}))
		}
		e.of = append(e.of, place[i])
	}
	return found.Err()
}

// moving says whether a part's equations differ between builds or settings.
func (e *Ensemble) moving(st *State, part int) bool {
	if e.slider[part] || slices.Contains(e.parts, part) {
		return true
	}
	return coupling(st.net.at[part]) && slices.ContainsFunc(st.net.at[part].wound, func(w winding) bool {
		return slices.Contains(e.parts, w.part)
	})
}

// findCells gathers the cells of all settings and what may vary in each.
func (e *Ensemble) findCells(states []*State) {
	type place struct{ row, col int }
	at := map[place]int{}
	for _, st := range states {
		for _, cell := range st.matrix.cells {
			p := place{cell.row, cell.col}
			if _, ok := at[p]; !ok {
				at[p] = len(e.cells)
				e.cells = append(e.cells, ensembleCell{row: cell.row, col: cell.col, class: cell.class()})
			}
		}
	}
	for _, st := range states {
		var s stamps
		for i, p := range st.net.circuit.parts {
			if e.moving(st, i) {
				p.stamp(st.net.at[i], &s)
			}
		}
		for _, x := range s.entries {
			cell := &e.cells[at[place{x.row, x.col}]]
			if unit := x.c == 0 && (x.g == 1 || x.g == -1); unit && !cell.varies {
				continue // a connection: the same whatever the values
			}
			cell.varies = true
		}
	}
	for i := range e.cells {
		if e.cells[i].varies {
			e.cells[i].settle(states)
		}
	}
}

// settle finds a varying cell's class from all settings.
func (c *ensembleCell) settle(states []*State) {
	constant, imaginary := true, true
	for _, st := range states {
		for _, x := range st.matrix.cells {
			if x.row == c.row && x.col == c.col {
				constant = constant && x.c == 0
				imaginary = imaginary && x.g == 0 && real(x.c) == 0
			}
		}
	}
	switch {
	case constant:
		c.class = sparse.Real
	case imaginary:
		c.class = sparse.Imag
	default:
		c.class = sparse.Complex
	}
}

// addSetting plans one setting over the common cells.
func (e *Ensemble) addSetting(st *State) error {
	if st.net.size != e.size(st) {
		panic("circuit: settings of an ensemble must share their switches")
	}
	pattern := make([]sparse.Cell, len(e.cells))
	for i, c := range e.cells {
		pattern[i] = sparse.Cell{Row: c.row, Col: c.col, Class: c.class}
	}
	var samples [][]complex128
	values := e.valuesOf(st)
	for _, omega := range st.matrix.judges {
		sample := make([]complex128, len(values))
		for i, v := range values {
			sample[i] = v.at(omega)
		}
		samples = append(samples, sample)
	}
	plan, err := sparse.NewPlan(st.net.size, pattern, samples, sparse.Options{})
	if err != nil {
		return st.net.singular(err)
	}
	out := []term{{row: e.out, g: 1}}
	s := (&matrix{cells: values}).slope(e.source, out)
	added := ensembleSetting{state: st, plan: plan, slope: s, solve: [2]*sparse.SolvePlan{
		plan.NewSolve(rhsOf(e.source), s.columns, false),
		plan.NewSolve(rhsOf(out), s.rows, true),
	}, gain: plan.NewSolve(rhsOf(e.source), []int{e.out}, false)}
	added.sum = e.sumsOf(st, values)
	e.settings = append(e.settings, added)
	return nil
}

func (e *Ensemble) size(st *State) int {
	if len(e.settings) == 0 {
		return st.net.size
	}
	return e.settings[0].state.net.size
}

// valuesOf gives a state's matrix over the ensemble's cells.
func (e *Ensemble) valuesOf(st *State) []entry {
	values := make([]entry, len(e.cells))
	for i, c := range e.cells {
		values[i] = entry{row: c.row, col: c.col}
	}
	for _, x := range st.matrix.cells {
		values[e.cell(x.row, x.col)] = x
	}
	return values
}

func (e *Ensemble) cell(row, col int) int {
	for i, c := range e.cells {
		if c.row == row && c.col == col {
			return i
		}
	}
	panic(fmt.Sprintf("circuit: no cell %d,%d", row, col))
}

// Knobs lists what can be turned, in the order given.
func (e *Ensemble) Knobs() []Knob { return e.knobs }

// Settings lists the settings, in the order of the states given.
func (e *Ensemble) Settings() []curve.Setting {
	list := make([]curve.Setting, len(e.settings))
	for i, s := range e.settings {
		list[i] = s.state.Setting()
	}
	return list
}

// Nominal gives a knob's value in the circuit as it is.
func (e *Ensemble) Nominal(knob int) float64 {
	st := e.settings[0].state
	p := st.net.circuit.parts[e.parts[e.of[knob]]]
	return *fieldOf(turnable(p), e.knobs[knob].Value)
}

// stillBias is how far a value may change an equation of the operating point
// and be said to leave it alone: 10 pA or 10 nV for a change of its own size,
// where a device of such a driver draws a million times that. Currents through
// the insulation of what nothing ties to ground lie below it.
const stillBias = 1e-11 * impedanceUnit

// MovesBias says whether a knob moves the operating point, which the builds
// of an ensemble do not follow: the knob's part carries direct current or is a
// device.
func (st *State) MovesBias(k Knob) bool {
	i, ok := st.net.circuit.byName[k.Part]
	if !ok {
		return false
	}
	p, at := st.net.circuit.parts[i], st.net.at[i]
	if _, isDevice := p.(device); isDevice {
		return true
	}
	var s stamps
	if !p.slope(at, k.Value, &s) {
		return false
	}
	by := map[int]float64{} // equation by equation
	for _, x := range s.entries {
		by[x.row] += x.g * st.point.x[x.col]
	}
	size := 1.0 // of values that are no field, as a slider's position
	if value := fieldOf(turnable(p), k.Value); value != nil && *value != 0 {
		size = math.Abs(*value)
	}
	for _, change := range by {
		if math.Abs(change)*size > stillBias {
			return true
		}
	}
	return false
}
