package circuit

// impedanceUnit scales the unknown currents (to volts across this many ohm)
// and the equations of current; the ±1 of the incidence stay ±1. Any value
// gives the same answer but for rounding. Below the impedances of audio work
// it makes the branch equations the larger ones, and pivots fall there; by
// trial on random circuits the backward error before refinement then stays
// below 1e-10 for all, where 1 kΩ let one circuit in fifteen pass it.
const impedanceUnit = 0.01

// A stamper is what every kind of part must know for the engine.
type stamper interface {
	// values lists the part's numbers with what they may be. Those that a
	// sensitivity can be asked for are the ones slope knows.
	values() []value
	// branches says how many unknown currents the part needs where it is.
	branches(at place) int
	// stamp writes the part's linear equations.
	stamp(at place, to *stamps)
	// slope writes the derivative of what stamp writes by one of the part's
	// values. False means "no such value here".
	slope(at place, name string, to *stamps) bool
}

// place is where a part stands at one setting: the unknown of each terminal
// (−1 is ground), the first of its branch currents, and what the setting
// makes of it.
type place struct {
	node   []int
	branch int
	travel float64   // sliders: share of travel from the cut end, 0…1
	closed bool      // contacts
	kept   bool      // wires and contacts: not merged, its current is asked for
	wound  []winding // couplings: the two coils; coils: all that are coupled to it
}

// entry is one contribution to the matrix: (g + ω·c) at row, col.
type entry struct {
	row, col int
	g        float64
	c        complex128
}

// at gives the entry's value at an angular frequency.
func (e entry) at(omega float64) complex128 {
	return complex(e.g+omega*real(e.c), omega*imag(e.c))
}

// stamps collects entries. Rows and columns of ground are dropped here, once.
type stamps struct {
	entries []entry
}

func (s *stamps) add(row, col int, g float64, c complex128) {
	if row >= 0 && col >= 0 && (g != 0 || c != 0) {
		s.entries = append(s.entries, entry{row, col, g, c})
	}
}

// admit puts the admittance g + ω·c (siemens) between two points.
func (s *stamps) admit(a, b int, g float64, c complex128) {
	s.control(a, b, a, b, g, c)
}

// control drives (g + ω·c)·(v(p) − v(m)) amperes from a to b.
func (s *stamps) control(a, b, p, m int, g float64, c complex128) {
	g *= impedanceUnit
	c *= impedanceUnit
	s.add(a, p, g, c)
	s.add(a, m, -g, -c)
	s.add(b, p, -g, -c)
	s.add(b, m, g, c)
}

// leave lets (g + ω·c) times a branch's current leave a point.
func (s *stamps) leave(node, branch int, g float64, c complex128) {
	s.add(node, branch, g, c)
}

// through is leave at one point and the opposite at another: the branch
// current runs from a to b.
func (s *stamps) through(a, b, branch int) {
	s.leave(a, branch, 1, 0)
	s.leave(b, branch, -1, 0)
}

// across adds (g + ω·c)·v(node) to a branch's equation of volts.
func (s *stamps) across(branch, node int, g float64, c complex128) {
	s.add(branch, node, g, c)
}

// drop subtracts (r + ω·l)·i from a branch's equation of volts; r in ohm.
func (s *stamps) drop(branch, current int, r float64, l complex128) {
	s.add(branch, current, -r/impedanceUnit, -l/impedanceUnit)
}

// series makes a branch from a to b that drops (r + ω·l)·i.
func (s *stamps) series(a, b, branch int, r float64, l complex128) {
	s.through(a, b, branch)
	s.across(branch, a, 1, 0)
	s.across(branch, b, -1, 0)
	s.drop(branch, branch, r, l)
}
