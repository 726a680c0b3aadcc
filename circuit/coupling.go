package circuit

import (
	"math"
	"strings"

	"bandwright/finding"
)

// Findings of coupled coils.
const (
	// IDNoCoil: a coupling names a coil that is not there, or a part that is
	// none. Place: the coupling. coil.
	IDNoCoil finding.ID = "circuit.no-coil"
	// IDCoupledTwice: two coils are coupled by a second coupling, or a coil is
	// coupled with itself. Place: the coupling. first, second.
	IDCoupledTwice finding.ID = "circuit.coupled-twice"
	// IDCouplingImpossible: coils that no set of windings could couple so
	// tightly with one another: their inductances are not positive definite.
	// Place: the first coil that does not fit those before it. coils: all that
	// hang together, in the circuit's order.
	IDCouplingImpossible finding.ID = "circuit.coupling-impossible"
)

// PartName gives the name.
func (c Coupling) PartName() string { return c.Name }

// Terminals of a coupling are those of its coils: none of its own.
func (c Coupling) Terminals() []string { return nil }

func (c Coupling) values() []value { return []value{{"K", c.K, belowOne}} }

func (c Coupling) branches(place) int { return 0 }

// stamp: each coil's inductance has jω·M·i of the other's current added.
func (c Coupling) stamp(at place, to *stamps) { c.couple(at, c.K, to) }

func (c Coupling) slope(at place, name string, to *stamps) bool {
	if name != "K" {
		return false
	}
	c.couple(at, 1, to)
	return true
}

func (c Coupling) couple(at place, k float64, to *stamps) {
	a, b := at.wound[0], at.wound[1]
	m := k * math.Sqrt(a.coil.Henries*b.coil.Henries)
	a.induce(b.current(), m, to)
	b.induce(a.current(), m, to)
}

// winding is a coil where it stands. In the list of another coil, k is how it
// is coupled with that one.
type winding struct {
	part int // its number in the circuit
	coil Inductor
	at   place
	k    float64
}

// coupling says whether a place is a Coupling's: it has coils and no points.
func coupling(at place) bool { return len(at.node) == 0 && len(at.wound) > 0 }

// current is the unknown of the current through the inductance alone.
func (w winding) current() int {
	if w.coil.inner() {
		return w.at.branch + 1
	}
	return w.at.branch
}

// induce writes what jω·m of another coil's current does to a coil.
func (w winding) induce(current int, m float64, to *stamps) {
	perCore := 0.0
	if w.coil.CoreOhms > 0 {
		perCore = m / w.coil.CoreOhms
	}
	w.write(current, m, perCore, to)
}

// write: the induced volts jω·m lie in the inductance; across the core loss
// they drive jω·perCore more through the coil's terminals and its DCR.
func (w winding) write(current int, m, perCore float64, to *stamps) {
	loss := complex(0, perCore)
	if w.coil.inner() {
		to.drop(w.at.branch, current, 0, complex(0, m))
		to.add(w.at.branch+1, current, 0, -loss)
		return
	}
	to.leave(w.at.node[0], current, 0, loss)
	to.leave(w.at.node[1], current, 0, -loss)
	to.drop(w.at.branch, current, 0, complex(0, m)+complex(w.coil.DCR, 0)*loss)
}

// slopeCoupled adds what a coil's values do through its couplings, of which
// the values of M are part: ∂M/∂L = M/(2L).
func (l Inductor) slopeCoupled(at place, name string, to *stamps) {
	own := winding{coil: l, at: at}
	for _, other := range at.wound {
		m := other.k * math.Sqrt(l.Henries*other.coil.Henries)
		switch name {
		case "Henries":
			own.induce(other.current(), m/(2*l.Henries), to)
			other.induce(own.current(), m/(2*l.Henries), to)
		case "DCR":
			if l.CoreOhms > 0 && !l.inner() {
				to.drop(at.branch, other.current(), 0, complex(0, m/l.CoreOhms))
			}
		case "CoreOhms":
			own.write(other.current(), 0, -m/(l.CoreOhms*l.CoreOhms), to)
		}
	}
}

// wind tells every coupling where its coils stand, and every coil what is
// coupled to it.
func (n *network) wind() {
	for i, p := range n.circuit.parts {
		c, ok := p.(Coupling)
		if !ok {
			continue
		}
		first, second := n.circuit.byName[c.First], n.circuit.byName[c.Second]
		a, b := n.winding(first, c.K), n.winding(second, c.K)
		n.at[i].wound = []winding{a, b}
		n.at[first].wound = append(n.at[first].wound, b)
		n.at[second].wound = append(n.at[second].wound, a)
	}
}

func (n *network) winding(part int, k float64) winding {
	at := n.at[part]
	at.wound = nil
	return winding{part: part, coil: n.circuit.parts[part].(Inductor), at: at, k: k}
}

// checkCouplings looks that every coupling has its two coils, and that coils
// could be coupled so.
func (c *Circuit) checkCouplings() finding.List {
	var found finding.List
	k := map[[2]int]float64{}
	for _, p := range c.parts {
		coupling, ok := p.(Coupling)
		if !ok {
			continue
		}
		at := finding.Place{Part: coupling.Name}
		first, okFirst := c.coilAt(coupling.First)
		second, okSecond := c.coilAt(coupling.Second)
		for _, end := range []struct {
			name string
			ok   bool
		}{{coupling.First, okFirst}, {coupling.Second, okSecond}} {
			if !end.ok {
				found = append(found, finding.New(IDNoCoil, finding.Error, at, finding.Args{"coil": end.name}))
			}
		}
		if !okFirst || !okSecond {
			continue
		}
		pair := [2]int{min(first, second), max(first, second)}
		if _, twice := k[pair]; twice || first == second {
			found = append(found, finding.New(IDCoupledTwice, finding.Error, at,
				finding.Args{"first": coupling.First, "second": coupling.Second}))
			continue
		}
		k[pair] = coupling.K
	}
	return append(found, c.checkDefinite(k)...)
}

func (c *Circuit) coilAt(name string) (int, bool) {
	i, ok := c.byName[name]
	if !ok {
		return 0, false
	}
	_, ok = c.parts[i].(Inductor)
	return i, ok
}

// checkDefinite: the energy ½·Σ Lᵢⱼ·iᵢ·iⱼ must be above 0 whatever the
// currents. Scaled by the roots of the inductances, the matrix holds 1 on its
// diagonal and k beside it; Cholesky's pivots say whether it is positive
// definite, coils that hang together at a time.
func (c *Circuit) checkDefinite(k map[[2]int]float64) finding.List {
	var found finding.List
	together := newGroups(len(c.parts))
	for pair := range k {
		together.join(pair[0], pair[1])
	}
	sets := map[int][]int{}
	for i := range c.parts {
		root := together.find(i)
		sets[root] = append(sets[root], i)
	}
	for i := range c.parts {
		set := sets[i] // the root is the lowest of its set
		if len(set) < 2 {
			continue
		}
		if bad := cholesky(set, k); bad >= 0 {
			var names []string
			for _, j := range set {
				names = append(names, c.parts[j].PartName())
			}
			found = append(found, finding.New(IDCouplingImpossible, finding.Error,
				finding.Place{Part: names[bad]}, finding.Args{"coils": strings.Join(names, ", ")}))
		}
	}
	return found
}

// cholesky gives the row whose pivot is not above 0, −1 if there is none. A
// pivot of rounding alone counts as 0.
func cholesky(set []int, k map[[2]int]float64) int {
	const least = 1e-12
	var rows [][]float64
	for n, j := range set {
		row := make([]float64, n+1)
		for m := range n {
			sum := k[[2]int{min(set[m], j), max(set[m], j)}]
			for i := range m {
				sum -= row[i] * rows[m][i]
			}
			row[m] = sum / rows[m][m]
		}
		pivot := 1.0
		for _, v := range row[:n] {
			pivot -= v * v
		}
		if !(pivot > least) {
			return n
		}
		row[n] = math.Sqrt(pivot)
		rows = append(rows, row)
	}
	return -1
}
