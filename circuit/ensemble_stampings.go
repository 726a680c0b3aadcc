package circuit

import (
	"slices"

	"bandwright/sparse"
)

// stampings is what an ensemble must write for one build. A part is stamped
// once wherever it stands differently, a slider once for each place it has at
// some setting, and each distinct sum of what falls into one cell is made once,
// however many settings share it: a setting moves one slider of six.
type stampings struct {
	stamped []stamping
	slot    []int // by entry, in the order stamped: its slot, −1 for a connection
	slots   int
	sums    []sum
}

// stamping is one part at one place, with the entries it makes.
type stamping struct {
	part        int
	turned      int // its place among those behind the knobs, −1 for none
	at          place
	first, last int // entries
}

// sum is the value of a cell that varies: what the parts that do not vary put
// there, and the slots of those that do.
type sum struct {
	class sparse.Class
	still cellValue
	slots []int
}

type cellValue struct {
	g float64
	c complex128
}

// sumsOf plans one setting: stamps what stands there as it stood at no setting
// before, and gives each cell its sum.
func (e *Ensemble) sumsOf(st *State, values []entry) []int {
	planned := make([]sum, len(e.cells))
	for i, x := range values {
		planned[i] = sum{class: e.cells[i].class, still: cellValue{x.g, x.c}}
	}
	for _, sliders := range [...]bool{false, true} {
		for i := range st.net.circuit.parts {
			if e.moving(st, i) && e.slider[i] == sliders {
				e.fall(e.stampingOf(st, i), st, planned)
			}
		}
	}
	number := make([]int, len(e.cells))
	for i := range planned {
		number[i] = -1
		if e.cells[i].varies {
			number[i] = e.sumLike(planned[i])
		}
	}
	return number
}

// stampingOf finds a part's stamping where a setting has it, or adds it.
func (e *Ensemble) stampingOf(st *State, part int) stamping {
	at := st.net.at[part]
	for _, s := range e.stamped {
		if s.part == part && s.at.travel == at.travel {
			return s
		}
	}
	s := stamping{part: part, turned: slices.Index(e.parts, part), at: at, first: len(e.slot)}
	for _, x := range e.entriesOf(st, part) {
		slot := -1
		if e.cells[e.cell(x.row, x.col)].varies {
			slot = e.slots
			e.slots++
		}
		e.slot = append(e.slot, slot)
	}
	s.last = len(e.slot)
	e.stamped = append(e.stamped, s)
	return s
}

func (e *Ensemble) entriesOf(st *State, part int) []entry {
	var s stamps
	st.net.circuit.parts[part].stamp(st.net.at[part], &s)
	return s.entries
}

// fall lets a stamping's entries fall into the cells, out of what is still
// there.
func (e *Ensemble) fall(s stamping, st *State, planned []sum) {
	for i, x := range e.entriesOf(st, s.part) {
		if slot := e.slot[s.first+i]; slot >= 0 {
			to := &planned[e.cell(x.row, x.col)]
			to.still.g -= x.g
			to.still.c -= x.c
			to.slots = append(to.slots, slot)
		}
	}
}

// sumLike finds an equal sum, or adds one.
func (e *Ensemble) sumLike(s sum) int {
	at := slices.IndexFunc(e.sums, func(have sum) bool {
		return have.class == s.class && have.still == s.still && slices.Equal(have.slots, s.slots)
	})
	if at >= 0 {
		return at
	}
	e.sums = append(e.sums, s)
	return len(e.sums) - 1
}
