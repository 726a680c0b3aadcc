package circuit

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"bandwright/curve"
	"bandwright/finding"
)

// network is a circuit at one setting: points joined by wires and closed
// contacts are one node, and every unknown has its number. Nodes come first,
// branch currents after them.
type network struct {
	circuit *Circuit
	setting curve.Setting
	node    map[string]int // by point; −1 is ground
	nodes   int
	size    int     // unknowns in all
	at      []place // by part
}

// groups joins things by number (union–find with path halving).
type groups []int

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

func (g groups) find(i int) int {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

// join merges two groups; false means they were one already.
func (g groups) join(i, j int) bool {
	i, j = g.find(i), g.find(j)
	if i == j {
		return false
	}
	g[max(i, j)] = min(i, j)
	return true
}

// place puts the circuit at a setting. keep names wires and contacts whose
// current is asked for: they stay as 0-ohm branches.
func (c *Circuit) place(s curve.Setting, keep []string) (*network, error) {
	return c.placeWith(s, keep, 0)
}

// placeWith is place with spare nodes between the circuit's own and the branch
// currents, on which nothing stands yet.
func (c *Circuit) placeWith(s curve.Setting, keep []string, spare int) (*network, error) {
	if err := c.checkSetting(s); err != nil {
		return nil, err
	}
	n := &network{circuit: c, setting: s, node: map[string]int{Ground: -1}, at: make([]place, len(c.parts))}
	merged := c.merge(s, keep)
	for i, p := range c.points {
		root := merged.find(i + 1)
		switch {
		case root == 0:
			n.node[p] = -1
		case root == i+1:
			n.node[p] = n.nodes
			n.nodes++
		default:
			n.node[p] = n.node[c.points[root-1]]
		}
	}
	n.nodes += spare
	n.size = n.nodes
	for i, p := range c.parts {
		n.at[i] = n.locate(p, s, keep)
		n.at[i].branch = n.size
		n.size += p.branches(n.at[i])
	}
	n.wind()
	return n, nil
}

// merge joins points through wires and closed 0-ohm contacts; number 0 is
// ground, point i of the circuit is i+1. The lower number stays the root, so
// ground always wins and a root's node is numbered before it is shared.
func (c *Circuit) merge(s curve.Setting, keep []string) groups {
	number := map[string]int{Ground: 0}
	for i, p := range c.points {
		number[p] = i + 1
	}
	merged := newGroups(len(c.points) + 1)
	for _, p := range c.parts {
		if slices.Contains(keep, p.PartName()) {
			continue
		}
		switch p := p.(type) {
		case Wire:
			merged.join(number[p.A], number[p.B])
		case Contact:
			if p.OnOhms == 0 && p.closedAt(c.positionOf(s, p.Switch)) {
				merged.join(number[p.A], number[p.B])
			}
		}
	}
	return merged
}

// positionOf gives where a switch stands; one the setting does not name rests.
func (c *Circuit) positionOf(s curve.Setting, name string) string {
	if position, ok := s.Switches[name]; ok {
		return position
	}
	return c.switches[name].Positions[0]
}

func (n *network) locate(p Part, s curve.Setting, keep []string) place {
	at := place{kept: slices.Contains(keep, p.PartName())}
	for _, t := range p.Terminals() {
		at.node = append(at.node, n.node[t])
	}
	switch p := p.(type) {
	case Slider:
		at.travel = travelAt(s, p)
	case Contact:
		at.closed = p.closedAt(n.circuit.positionOf(s, p.Switch))
	}
	return at
}

// travelAt is a slider's share of travel from the cut end.
func travelAt(s curve.Setting, p Slider) float64 { return (s.Slider(p.Name) + 1) / 2 }

func (c *Circuit) checkSetting(s curve.Setting) error {
	var found finding.List
	at := finding.Place{Setting: s.String()}
	for _, name := range slices.Sorted(maps.Keys(s.Sliders)) {
		position := s.Sliders[name]
		if p, _ := c.Part(name); p == nil || kindOf(p) != "Slider" {
			found = append(found, finding.New(IDNoSlider, finding.Error, at, finding.Args{"slider": name}))
		} else if !(position >= -1 && position <= 1) {
			found = append(found, finding.New(IDTravel, finding.Error, at,
				finding.Args{"slider": name, "position": fmt.Sprint(position)}))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.Switches)) {
		position := s.Switches[name]
		if sw, ok := c.switches[name]; !ok {
			found = append(found, finding.New(IDNoSwitch, finding.Error, at, finding.Args{"switch": name}))
		} else if !slices.Contains(sw.Positions, position) {
			found = append(found, finding.New(IDNoPosition, finding.Error, at,
				finding.Args{"switch": name, "position": position}))
		}
	}
	return found.Err()
}

// nameOf says in words what an unknown is: the points of a node, or the
// current of a part.
func (n *network) nameOf(unknown int) finding.Place {
	if unknown < n.nodes {
		for _, p := range n.circuit.points {
			if n.node[p] == unknown {
				return finding.Place{Point: p}
			}
		}
	}
	for i, p := range n.circuit.parts {
		first := n.at[i].branch
		if unknown >= first && unknown < first+p.branches(n.at[i]) {
			return finding.Place{Part: p.PartName()}
		}
	}
	panic(fmt.Sprintf("circuit: unknown %d of %d", unknown, n.size))
}

// kindOf names the kind of a part as its type is named.
func kindOf(p Part) string {
	return strings.TrimPrefix(fmt.Sprintf("%T", p), "circuit.")
}
