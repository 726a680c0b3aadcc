package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/stock"
)

// picks is which parts of the drawer went into the legs, and where they lie.
func (c composer) picks() Section {
	s := Section{ID: "picks", Heading: "Fitted parts and pick list"}
	a := c.answer.Picked
	if a == nil {
		return s
	}
	s.Blocks = []Block{
		{Table: fittedLegs(a.Legs)}, {Table: pickList(a)},
		text(Small, "Left are the parts that "+a.Drawer+" has besides these: "+LeftOver(a.Left)+". Parts that it has not, and new ones, stand at the end without a place."),
	}
	return s
}

func fittedLegs(legs []bench.FittedLeg) *Table {
	t := &Table{Caption: "What each leg has", Columns: []Column{{Head: "band", Unit: "Hz"}, {Head: "coil"}, {Head: "capacitor"}, {Head: "resistor"}}}
	for _, l := range legs {
		between := " + "
		if l.InSeries {
			between = " in series with "
		}
		t.add("", l.Band, orDash(l.Coil), orDash(strings.Join(l.Capacitors, between)), orDash(l.Resistor))
	}
	return t
}

func pickList(a *bench.PickAnswer) *Table {
	t := &Table{Caption: "Pick list by place, from " + a.Drawer, Columns: []Column{
		{Head: "place"}, {Head: "part"}, {Head: "kind"}, {Head: "marked", Number: true}, {Head: "take", Number: true},
		{Head: "for band"}, {Head: "left", Number: true}, {Head: "taken"},
	}}
	for _, l := range a.List {
		left := strconv.Itoa(l.Left)
		if l.ID == "" {
			left = dash
		}
		t.add("", orDash(l.Place), orDash(l.ID), string(l.Kind), Marked(l), strconv.Itoa(l.Count), strings.Join(l.Bands, ", "), left, "")
	}
	return t
}

// Marked writes what stands on a part, with its tolerance; a dash where
// nothing does.
func Marked(l bench.PickLine) string {
	if l.Marked <= 0 {
		return dash
	}
	text := l.Kind.Display(l.Marked, 4)
	if l.Tolerance != nil {
		text += " " + l.Tolerance.Display()
	}
	return text
}

// LeftOver counts what is left of each kind.
func LeftOver(parts []stock.Part) string {
	n := map[stock.Kind]int{}
	for _, p := range parts {
		n[p.Kind] += p.Count
	}
	return listed([]string{count(n[stock.Coil], "coil", "coils"), count(n[stock.Capacitor], "capacitor", "capacitors"), count(n[stock.Resistor], "resistor", "resistors")})
}
