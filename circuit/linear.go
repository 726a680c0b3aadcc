package circuit

import (
	"cmp"
	"math"
	"slices"
)

// smallSignal writes the devices' conductances at the operating point.
func (st *State) smallSignal(to *stamps) { st.smallSignalOf(to, nil) }

// smallSignalOf is smallSignal of the devices named; nil means all.
func (st *State) smallSignalOf(to *stamps, names []string) {
	for i, p := range st.net.circuit.parts {
		d, ok := p.(device)
		if !ok || names != nil && !slices.Contains(names, p.PartName()) {
			continue
		}
		at := st.net.at[i]
		_, g := d.model(st.point.controls(d, at), realValues(d.modelValues()), st.thermal())
		controls, flows := d.ports(at)
		for k, flow := range flows {
			for j, control := range controls {
				to.control(flow[0], flow[1], control[0], control[1], real(g[k][j]), 0)
			}
		}
	}
}

// signalEntries gives the small-signal equations, one entry a cell, sorted by
// row and column. Nodes that no signal reaches at this setting are held.
func (st *State) signalEntries() []entry {
	s := stamps{entries: slices.Clone(st.linear)}
	st.smallSignal(&s)
	for _, node := range st.net.islandsOf(st.net.tied(steady, signal, junction)).held {
		s.add(node, node, 1, 0)
	}
	return gather(s.entries)
}

// gather sums the entries of each cell in the order they were written.
func gather(entries []entry) []entry {
	slices.SortStableFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.col, b.col))
	})
	var cells []entry
	for _, e := range entries {
		if n := len(cells); n > 0 && cells[n-1].row == e.row && cells[n-1].col == e.col {
			cells[n-1].g += e.g
			cells[n-1].c += e.c
			continue
		}
		cells = append(cells, e)
	}
	return cells
}

// judges are the angular frequencies at which pivots are compared: across
// and beyond the audio range, and at the resonance of every coil with every
// capacitor it shares a point with.
func (st *State) judges() []float64 {
	const (
		low, high = 1.0, 200e3 // hertz, the range widths are searched in
		perRange  = 4
	)
	var omegas []float64
	for k := range perRange {
		f := low * math.Pow(high/low, float64(k)/(perRange-1))
		omegas = append(omegas, 2*math.Pi*f)
	}
	omegas = append(omegas, st.resonances()...)
	slices.Sort(omegas)
	return slices.Compact(omegas)
}

// resonances gives 1/√(LC) of each coil with each capacitor in series with
// it, as far as a shared node tells.
func (st *State) resonances() []float64 {
	var omegas []float64
	for i, p := range st.net.circuit.parts {
		l, ok := p.(Inductor)
		if !ok {
			continue
		}
		for j, q := range st.net.circuit.parts {
			c, ok := q.(Capacitor)
			if ok && shareNode(st.net.at[i].node, st.net.at[j].node) {
				omegas = append(omegas, 1/math.Sqrt(l.Henries*c.Farads))
			}
		}
	}
	return omegas
}

func shareNode(a, b []int) bool {
	for _, n := range a {
		if n >= 0 && slices.Contains(b, n) {
			return true
		}
	}
	return false
}
