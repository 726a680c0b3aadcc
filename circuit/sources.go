package circuit

import "slices"

// term is one contribution to the right-hand side: (g + ω·c) at row.
type term struct {
	row int
	g   float64
	c   complex128
}

// A drive is a part that can be the source of a response.
type drive interface {
	// drive gives the right-hand side for one volt or ampere.
	drive(at place) []term
	// steady gives its DC volts or amperes.
	steady() float64
}

// PartName gives the name.
func (v VoltageSource) PartName() string { return v.Name }

// Terminals gives Plus, Minus.
func (v VoltageSource) Terminals() []string { return []string{v.Plus, v.Minus} }

func (v VoltageSource) values() []value    { return []value{{"DC", v.DC, anyNumber}} }
func (v VoltageSource) branches(place) int { return 1 }

func (v VoltageSource) stamp(at place, to *stamps) {
	to.series(at.node[0], at.node[1], at.branch, 0, 0)
}

func (v VoltageSource) slope(place, string, *stamps) bool { return false }
func (v VoltageSource) drive(at place) []term             { return []term{{at.branch, 1, 0}} }
func (v VoltageSource) steady() float64                   { return v.DC }

// PartName gives the name.
func (i CurrentSource) PartName() string { return i.Name }

// Terminals gives From, To.
func (i CurrentSource) Terminals() []string { return []string{i.From, i.To} }

func (i CurrentSource) values() []value                   { return []value{{"DC", i.DC, anyNumber}} }
func (i CurrentSource) branches(place) int                { return 0 }
func (i CurrentSource) stamp(place, *stamps)              {}
func (i CurrentSource) slope(place, string, *stamps) bool { return false }
func (i CurrentSource) steady() float64                   { return i.DC }

func (i CurrentSource) drive(at place) []term {
	return []term{{at.node[0], -impedanceUnit, 0}, {at.node[1], impedanceUnit, 0}}
}

// PartName gives the name.
func (s Switch) PartName() string { return s.Name }

// Terminals of a switch are those of its contacts: none of its own.
func (s Switch) Terminals() []string { return nil }

func (s Switch) values() []value {
	return []value{{"Positions", float64(len(s.Positions)), positive}}
}
func (s Switch) branches(place) int                { return 0 }
func (s Switch) stamp(place, *stamps)              {}
func (s Switch) slope(place, string, *stamps) bool { return false }

// PartName gives the name.
func (c Contact) PartName() string { return c.Name }

// Terminals gives A, B.
func (c Contact) Terminals() []string { return []string{c.A, c.B} }

func (c Contact) values() []value {
	return []value{{"OnOhms", c.OnOhms, notNegative}, {"OffOhms", c.OffOhms, notNegative}}
}

// closedAt says whether the contact is closed at a position of its switch.
func (c Contact) closedAt(position string) bool { return slices.Contains(c.Closed, position) }

// resistor is what the contact is at this setting; false means no path. A
// closed contact of 0 ohm that is not kept has joined its points before any
// equation is written.
func (c Contact) resistor(at place) (Resistor, bool) {
	switch {
	case at.closed && (c.OnOhms > 0 || at.kept):
		return Resistor{Ohms: c.OnOhms}, true
	case !at.closed && c.OffOhms > 0:
		return Resistor{Ohms: c.OffOhms}, true
	}
	return Resistor{}, false
}

func (c Contact) branches(at place) int {
	if r, ok := c.resistor(at); ok {
		return r.branches(at)
	}
	return 0
}

func (c Contact) stamp(at place, to *stamps) {
	if r, ok := c.resistor(at); ok {
		r.stamp(at, to)
	}
}

func (c Contact) slope(at place, name string, to *stamps) bool {
	r, ok := c.resistor(at)
	if !ok || (name == "OnOhms") != at.closed || (name != "OnOhms" && name != "OffOhms") {
		return false
	}
	return r.slope(at, "Ohms", to)
}
