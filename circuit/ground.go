package circuit

import (
	"bandwright/finding"
)

// Findings of how a circuit hangs together.
const (
	// IDNoPath: a point that no part ties to ground, so that it has no volts
	// and the equations no answer. Place: the point. Hint: a missing part or
	// a misspelt point.
	IDNoPath finding.ID = "circuit.no-path"
	// IDZeroLoop: a ring of 0-ohm parts and sources, whose current nothing
	// decides. Place: the part that closes it. Hint: give one a resistance.
	IDZeroLoop finding.ID = "circuit.zero-loop"
	// IDCoilLoop: a ring of coils without DCR (and 0-ohm parts), whose direct
	// current nothing decides. Place: the coil. Hint: enter its DCR.
	IDCoilLoop finding.ID = "circuit.coil-loop"
	// IDNoFeedback: an ideal op-amp whose output reaches neither input.
	// Place: the op-amp.
	IDNoFeedback finding.ID = "circuit.no-feedback"
	// IDForced: a current source drives an island that has no other way to
	// ground for direct current. Place: the part.
	IDForced finding.ID = "circuit.forced-island"
)

// conduction is what a path between two terminals lets pass.
type conduction uint8

const (
	steady   conduction = iota // direct current
	signal                     // alternating current only (a capacitor)
	junction                   // direct current, one way
	broken                     // an open contact: a path at another setting
)

// link is one path between two terminals of a part.
type link struct {
	a, b int // terminal numbers; −1 is ground (an op-amp's output)
	how  conduction
}

// links lists a part's paths. Current sources give none: they force a
// current whatever the volts.
func links(p Part, at place) []link {
	switch p := p.(type) {
	case Resistor, Inductor, VoltageSource, Wire:
		return []link{{0, 1, steady}}
	case Capacitor:
		return []link{{0, 1, signal}}
	case Slider:
		return []link{{0, 1, steady}, {1, 2, steady}}
	case Contact:
		switch {
		case at.closed || p.OffOhms > 0:
			return []link{{0, 1, steady}}
		case len(p.Closed) > 0:
			return []link{{0, 1, broken}}
		}
	case Diode, Zener:
		return []link{{0, 1, junction}}
	case Triode:
		return p.links()
	case Transistor:
		between := []link{{1, 2, junction}, {1, 0, junction}, {0, 2, junction}}
		if p.BaseEmitterFarads > 0 {
			between = append(between, link{1, 2, signal})
		}
		return between
	case OpAmp:
		paths := []link{{2, -1, steady}}
		if p.InputOhms > 0 {
			paths = append(paths, link{0, 1, steady})
		}
		return paths
	}
	return nil
}

// tied groups the nodes (ground is number 0, node i is i+1) that paths of
// the given kinds join.
func (n *network) tied(kinds ...conduction) groups {
	g := newGroups(n.nodes + 1)
	n.eachLink(func(_ Part, a, b int, how conduction) {
		for _, k := range kinds {
			if how == k {
				g.join(a+1, b+1)
			}
		}
	})
	return g
}

func (n *network) eachLink(visit func(p Part, a, b int, how conduction)) {
	for i, p := range n.circuit.parts {
		at := n.at[i]
		for _, l := range links(p, at) {
			a, b := at.node[l.a], -1
			if l.b >= 0 {
				b = at.node[l.b]
			}
			visit(p, a, b, l.how)
		}
	}
}

// island is a set of nodes without a path to ground: one node of it is held
// at 0 V, which draws no current, and its volts are "floating: no reading".
type islands struct {
	held     []int // the node that is held, one an island
	floating []bool
}

// islandsOf finds the islands of a grouping.
func (n *network) islandsOf(g groups) islands {
	found := islands{floating: make([]bool, n.nodes)}
	ground := g.find(0)
	for node := range n.nodes {
		root := g.find(node + 1)
		found.floating[node] = root != ground
		if root == node+1 && root != ground {
			found.held = append(found.held, node)
		}
	}
	return found
}

// checkPaths names every point that nothing ties to ground: one that would
// stay untied were every contact closed, and one that hangs on a single
// device or current source, so that no direct current can flow there.
func (n *network) checkPaths() finding.List {
	var found finding.List
	whole := n.tied(steady, signal, junction, broken)
	for _, node := range n.islandsOf(whole).held {
		found = append(found, finding.New(IDNoPath, finding.Error, n.nameOf(node), nil))
	}
	if len(found) > 0 {
		return found
	}
	byParts := n.tied(steady, broken)
	feeders := n.feeders(byParts)
	for _, node := range n.islandsOf(byParts).held {
		if len(feeders[byParts.find(node+1)]) == 1 {
			found = append(found, finding.New(IDNoPath, finding.Error, n.nameOf(node), nil))
		}
	}
	return found
}

// feeders names, by group that a device touches, the devices and current
// sources that a direct current can come and go through.
func (n *network) feeders(g groups) map[int]map[string]bool {
	feeders := make(map[int]map[string]bool)
	feed := func(part string, nodes ...int) {
		for _, node := range nodes {
			root := g.find(node + 1)
			if feeders[root] == nil {
				feeders[root] = map[string]bool{}
			}
			feeders[root][part] = true
		}
	}
	n.eachLink(func(p Part, a, b int, how conduction) {
		if how == junction {
			feed(p.PartName(), a, b)
		}
	})
	for i, p := range n.circuit.parts {
		if _, ok := p.(CurrentSource); !ok {
			continue
		}
		for _, node := range n.at[i].node {
			if feeders[g.find(node+1)] != nil {
				feed(p.PartName(), node)
			}
		}
	}
	return feeders
}

// checkLoops names the part that closes a ring of 0-ohm parts and sources,
// or of coils without resistance.
func (n *network) checkLoops() finding.List {
	var found finding.List
	g := newGroups(n.nodes + 1)
	closes := func(i int, id finding.ID) {
		at, p := n.at[i], n.circuit.parts[i]
		for _, l := range stiff(p, at) {
			if !g.join(at.node[l.a]+1, at.node[l.b]+1) {
				found = append(found, finding.New(id, finding.Error, finding.Place{Part: p.PartName()}, nil))
			}
		}
	}
	for i, p := range n.circuit.parts {
		if _, coil := p.(Inductor); !coil {
			closes(i, IDZeroLoop)
		}
	}
	for i, p := range n.circuit.parts {
		if _, coil := p.(Inductor); coil {
			closes(i, IDCoilLoop)
		}
	}
	return found
}

// stiff lists the paths of a part that hold a voltage whatever the current.
func stiff(p Part, at place) []link {
	between := []link{{0, 1, steady}}
	switch p := p.(type) {
	case VoltageSource:
		return between
	case Wire:
		if at.kept {
			return between
		}
	case Resistor:
		if p.Ohms == 0 {
			return between
		}
	case Contact:
		if r, ok := p.resistor(at); ok && r.Ohms == 0 {
			return between
		}
	case Inductor:
		if p.DCR == 0 {
			return between
		}
	case Slider:
		return p.stiff(at)
	}
	return nil
}

func (s Slider) stiff(at place) []link {
	var list []link
	upper, lower := s.halves(at.travel)
	if s.WiperOhms > 0 {
		return nil
	}
	if upper == 0 {
		list = append(list, link{0, 1, steady})
	}
	if lower == 0 {
		list = append(list, link{1, 2, steady})
	}
	return list
}

// checkFeedback names every ideal op-amp whose output reaches neither of its
// inputs except over ground.
func (n *network) checkFeedback() finding.List {
	g := newGroups(n.nodes + 1)
	n.eachLink(func(_ Part, a, b int, how conduction) {
		if a >= 0 && b >= 0 && how != broken {
			g.join(a+1, b+1)
		}
	})
	var found finding.List
	for i, p := range n.circuit.parts {
		o, ok := p.(OpAmp)
		if !ok || !o.Ideal {
			continue
		}
		node := n.at[i].node
		out := g.find(node[2] + 1)
		if g.find(node[0]+1) != out && g.find(node[1]+1) != out {
			found = append(found, finding.New(IDNoFeedback, finding.Error, finding.Place{Part: o.Name}, nil))
		}
	}
	return found
}
