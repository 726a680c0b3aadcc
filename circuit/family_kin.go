package circuit

import (
	"cmp"
	"maps"
	"reflect"
	"slices"
)

// Kin finds which of some families, made of one circuit for the same load and
// knobs, number their unknowns alike: their settings differ only in where sliders
// stand. A member of one is then made of the same edited circuit's member of
// another at much less work, with the same answers. It is called before any has
// members.
func Kin(families []*Family) {
	for i, f := range families {
		for _, g := range families[:i] {
			if g.kin == g && f.alike(g) {
				f.kin = g
				break
			}
		}
	}
}

// Related says whether two families are kin.
func (f *Family) Related(g *Family) bool { return f.kin == g.kin }

func (f *Family) alike(g *Family) bool {
	a, b := f.base.net, g.base.net
	if f.base.kelvin != g.base.kelvin || a.nodes != b.nodes || a.size != b.size || !maps.Equal(a.node, b.node) ||
		!slices.Equal(f.knobs, g.knobs) || !slices.Equal(f.base.dcGroups.held, g.base.dcGroups.held) ||
		!slices.Equal(f.signal.held, g.signal.held) || !reflect.DeepEqual(a.circuit.parts, b.circuit.parts) {
		return false
	}
	for i, at := range a.at {
		other := b.at[i]
		if at.branch != other.branch || at.closed != other.closed || at.kept != other.kept || !slices.Equal(at.node, other.node) {
			return false
		}
	}
	return true
}

// takeAfter takes over from the member of a related family what sliders leave as
// it is.
func (m *Member) takeAfter(like *Member) {
	net := *like.st.net
	net.setting, net.at = m.family.base.net.setting, slices.Clone(net.at)
	slid := false
	for i, p := range net.circuit.parts {
		s, ok := p.(Slider)
		if !ok {
			continue
		}
		net.at[i].travel = travelAt(net.setting, s)
		if _, touched := slices.BinarySearch(like.touch, s.Name); touched && net.at[i].travel != like.st.net.at[i].travel {
			slid = true
		}
	}
	m.st = &State{net: &net, kelvin: like.st.kelvin, dcGroups: like.st.dcGroups}
	m.joined, m.held, m.touch, m.own = like.joined, like.held, like.touch, like.own
	if old := m.family.base.net; slid || !m.sameTouched(old, like.family.base.net) {
		m.own = m.difference()
	}
}

// sameTouched says whether the touched parts of two bases stand alike, travel
// and all.
func (m *Member) sameTouched(a, b *network) bool {
	for _, name := range m.touch {
		if i, ok := a.circuit.byName[name]; ok && a.at[i].travel != b.at[i].travel {
			return false
		}
	}
	return true
}

// change is what a member's equations have beyond the base's; row and col of its
// cells are places in rows and cols.
type change struct {
	rows, cols []int
	cells      []entry
	written    []entry // what the cells were gathered from
	into       []int32 // the cell of each, −1 for one that cancels
}

// changes gathers what differs in both sets of equations. like, if not nil, is a
// related member, whose point is the family's if this one's is.
func (m *Member) changes(like *Member) {
	minus := m.conductances(like)
	base := m.family
	list := slices.Concat(m.own, minus, m.plus)
	direct, signal := unlike(base.base.dcGroups.held, m.st.dcGroups.held), unlike(base.signal.held, m.held)
	var was, wasSignal *change
	if like != nil {
		was, wasSignal = &like.direct, &like.signal
	}
	m.direct = changeOf(slices.Concat(list, direct), was)
	if m.signal = m.direct; !slices.Equal(direct, signal) {
		m.signal = changeOf(slices.Concat(list, signal), wasSignal)
	}
}

// conductances finds the devices' own, plus, and those of the base that they
// stand for: of touched ones, and of all where the operating point has moved.
func (m *Member) conductances(like *Member) (minus []entry) {
	var less, plus stamps
	switch {
	case m.moved:
		minus = m.family.less
	default:
		m.family.base.smallSignalOf(&less, m.touch)
		minus = negated(less.entries)
	}
	if m.moved && like != nil && &like.st.point.x[0] == &m.st.point.x[0] {
		m.plus = like.plus
		return minus
	}
	only := m.touch
	if m.moved {
		only = nil
	}
	m.st.smallSignalOf(&plus, only)
	m.plus = plus.entries
	return minus
}

func negated(entries []entry) []entry {
	list := make([]entry, len(entries))
	for i, e := range entries {
		e.g, e.c = -e.g, -e.c
		list[i] = e
	}
	return list
}

// changeOf gathers entries and drops what cancels. like, if not nil, was gathered
// from entries of the same places before, if they are.
func changeOf(entries []entry, like *change) change {
	if like != nil {
		if ch, ok := changeAs(entries, like); ok {
			return ch
		}
	}
	ch := change{written: entries, into: make([]int32, len(entries))}
	order := make([]int32, len(entries))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(entries[a].row, entries[b].row), cmp.Compare(entries[a].col, entries[b].col))
	})
	for i := 0; i < len(order); {
		cell, j := entries[order[i]], i+1
		for ; j < len(order) && entries[order[j]].row == cell.row && entries[order[j]].col == cell.col; j++ {
			cell.g += entries[order[j]].g
			cell.c += entries[order[j]].c
		}
		number := int32(-1)
		if cell.g != 0 || cell.c != 0 {
			number = int32(len(ch.cells))
			ch.rows, cell.row = placedIn(ch.rows, cell.row)
			ch.cols, cell.col = placedIn(ch.cols, cell.col)
			ch.cells = append(ch.cells, cell)
		}
		for _, k := range order[i:j] {
			ch.into[k] = number
		}
		i = j
	}
	return ch
}

// placedIn gives the place of an unknown in a list, to which it is added if need
// be.
func placedIn(list []int, unknown int) ([]int, int) {
	if i := slices.Index(list, unknown); i >= 0 {
		return list, i
	}
	return append(list, unknown), len(list)
}

// changeAs sums entries into the cells that another change has; false: they do
// not fit.
func changeAs(entries []entry, like *change) (change, bool) {
	if len(entries) != len(like.written) {
		return change{}, false
	}
	ch := change{rows: like.rows, cols: like.cols, cells: make([]entry, len(like.cells)), written: like.written, into: like.into}
	for i, cell := range like.cells {
		ch.cells[i] = entry{row: cell.row, col: cell.col}
	}
	for i, e := range entries {
		to := like.into[i]
		if e.row != like.written[i].row || e.col != like.written[i].col || to < 0 && (e.g != like.written[i].g || e.c != like.written[i].c) {
			return change{}, false
		}
		if to >= 0 {
			ch.cells[to].g += e.g
			ch.cells[to].c += e.c
		}
	}
	return ch, true
}
