// Package circuit is the one circuit behind every prediction: parts between
// named points, a setting that says where every slider and switch stands,
// and from the two the volts, the response, the sensitivities, the noise and
// the stability.
//
// A Circuit is parts and nothing else. Solve puts it at a setting and gives
// a State: points joined by wires and closed contacts are merged, the
// operating point is found, the circuit is made linear about it, and the
// elimination is planned. Both are immutable and have many readers.
//
// The equations are modified nodal analysis (Ho, Ruehli and Brennan 1975):
// one unknown volt a point, one unknown current for each source, coil,
// slider half, 0-ohm part and op-amp output, so that 0 ohm is legal and has
// a defined sensitivity. Every entry is g + ω·c, real g and complex c, which
// is what lets one pattern serve all frequencies; see stamp.go.
//
// Base units throughout: ohm, farad, henry, volt, ampere, hertz, kelvin.
package circuit

import (
	"maps"
	"math"
	"slices"

	"bandwright/finding"
)

// Findings of a circuit's form. Args are named in each comment.
const (
	// IDNameTwice: two parts share a name. Hint: rename one.
	IDNameTwice finding.ID = "circuit.name-twice"
	// IDNameless: a part or one of its points has no name. kind.
	IDNameless finding.ID = "circuit.nameless"
	// IDBadValue: a value that no such part can have. property, value.
	IDBadValue finding.ID = "circuit.bad-value"
	// IDNoSwitch: a contact names a switch that is not there. switch.
	IDNoSwitch finding.ID = "circuit.no-switch"
	// IDNoPosition: a position its switch does not have. switch, position.
	IDNoPosition finding.ID = "circuit.no-position"
	// IDNoSlider: a setting names a slider that is not there. slider.
	IDNoSlider finding.ID = "circuit.no-slider"
	// IDTravel: a slider position outside −1…+1. slider, position.
	IDTravel finding.ID = "circuit.travel"
	// IDLonePoint: only one leg of one part reaches the point, so no current
	// flows there. Place: point, part. Hint: it may be misspelt.
	IDLonePoint finding.ID = "circuit.lone-point"
	// IDNoPart: a question names a part that is not there. part.
	IDNoPart finding.ID = "circuit.no-part"
	// IDNoPoint: a question names a point that is not there. point.
	IDNoPoint finding.ID = "circuit.no-point"
)

// Circuit is a list of parts, checked. It is never changed; Replace gives a
// new one.
type Circuit struct {
	parts    []Part
	byName   map[string]int
	points   []string
	switches map[string]Switch
	changed  []string // parts that Edited has changed or added, as they came
}

// New checks the parts and makes a circuit of them. The error is a
// finding.List naming every part that is wrong, not only the first.
func New(parts ...Part) (*Circuit, error) {
	c := &Circuit{
		parts:    slices.Clone(parts),
		byName:   make(map[string]int, len(parts)),
		switches: map[string]Switch{},
	}
	var found finding.List
	for i, p := range c.parts {
		if _, twice := c.byName[p.PartName()]; twice {
			found = append(found, finding.New(IDNameTwice, finding.Error, finding.Place{Part: p.PartName()}, nil))
		}
		c.byName[p.PartName()] = i
		if s, ok := p.(Switch); ok {
			c.switches[s.Name] = s
		}
		found = append(found, checkPart(p)...)
	}
	found = append(found, c.checkContacts()...)
	found = append(found, c.checkCouplings()...)
	c.points = pointsOf(c.parts)
	if err := found.Err(); err != nil {
		return nil, err
	}
	return c, nil
}

// Parts gives the parts in the order they were given; do not change them.
func (c *Circuit) Parts() []Part { return c.parts }

// Part finds a part by its name.
func (c *Circuit) Part(name string) (Part, bool) {
	i, ok := c.byName[name]
	if !ok {
		return nil, false
	}
	return c.parts[i], true
}

// Points names every point, sorted, ground left out.
func (c *Circuit) Points() []string { return c.points }

// Switches names every switch, sorted.
func (c *Circuit) Switches() []Switch {
	list := make([]Switch, 0, len(c.switches))
	for _, name := range slices.Sorted(maps.Keys(c.switches)) {
		list = append(list, c.switches[name])
	}
	return list
}

// Lone finds the points that a single leg of a single part reaches: most
// often a point's name is misspelt there. It is a warning, since half-made
// work looks so too.
func (c *Circuit) Lone() finding.List {
	legs := map[string]int{}
	last := map[string]string{}
	for _, p := range c.parts {
		for _, t := range p.Terminals() {
			legs[t]++
			last[t] = p.PartName()
		}
	}
	var found finding.List
	for _, point := range c.points {
		if legs[point] == 1 {
			found = append(found, finding.New(IDLonePoint, finding.Warning,
				finding.Place{Point: point, Part: last[point]}, nil))
		}
	}
	return found
}

// Replace gives a circuit in which the named parts have new values, kinds or
// points. A part that the circuit does not have is an error: an edit that
// hits nothing is a mistake, not a wish.
func (c *Circuit) Replace(parts ...Part) (*Circuit, error) {
	next := slices.Clone(c.parts)
	for _, p := range parts {
		i, ok := c.byName[p.PartName()]
		if !ok {
			return nil, finding.List{finding.New(IDNoPart, finding.Error, finding.Place{Part: p.PartName()}, nil)}
		}
		next[i] = p
	}
	return New(next...)
}

func pointsOf(parts []Part) []string {
	seen := map[string]bool{}
	for _, p := range parts {
		for _, t := range p.Terminals() {
			if t != Ground {
				seen[t] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

func checkPart(p Part) finding.List {
	var found finding.List
	at := finding.Place{Part: p.PartName()}
	nameless := p.PartName() == "" || slices.Contains(p.Terminals(), "")
	if nameless {
		found = append(found, finding.New(IDNameless, finding.Error, at, finding.Args{"kind": kindOf(p)}))
	}
	for _, v := range p.values() {
		if !v.legal() {
			found = append(found, finding.New(IDBadValue, finding.Error, at,
				finding.Args{"property": v.name, "value": v.value}))
		}
	}
	return found
}

func (c *Circuit) checkContacts() finding.List {
	var found finding.List
	for _, p := range c.parts {
		contact, ok := p.(Contact)
		if !ok {
			continue
		}
		at := finding.Place{Part: contact.Name}
		s, ok := c.switches[contact.Switch]
		if !ok {
			found = append(found, finding.New(IDNoSwitch, finding.Error, at, finding.Args{"switch": contact.Switch}))
			continue
		}
		for _, position := range contact.Closed {
			if !slices.Contains(s.Positions, position) {
				found = append(found, finding.New(IDNoPosition, finding.Error, at,
					finding.Args{"switch": s.Name, "position": position}))
			}
		}
	}
	return found
}

// value is one number of a part with what it may be.
type value struct {
	name  string
	value float64
	need  need
}

// need says what a number of a part may be.
type need uint8

const (
	positive    need = iota // > 0
	notNegative             // ≥ 0
	anyNumber               // finite
	belowOne                // above −1 and below 1
	aboveOne                // > 1
)

func (v value) legal() bool {
	switch {
	case math.IsNaN(v.value) || math.IsInf(v.value, 0):
		return false
	case v.need == positive:
		return v.value > 0
	case v.need == notNegative:
		return v.value >= 0
	case v.need == belowOne:
		return math.Abs(v.value) < 1
	case v.need == aboveOne:
		return v.value > 1
	}
	return true
}
