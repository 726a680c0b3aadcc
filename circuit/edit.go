package circuit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
)

// IDNoEdit: an edit that the part cannot have: a leg it has not got, two parts
// of different numbers of legs to be exchanged, a number that is none. Place:
// the part or the point. edit: in words; why, one of "leg", "kind", "order",
// "number".
const IDNoEdit finding.ID = "circuit.no-edit"

const (
	// OpenOhms is what is left across an open joint or a part burnt open: the
	// insulation of a board. It keeps every point tied to something, so that a
	// circuit with an open part has an answer. Common practice, no source.
	OpenOhms = 1e12
	// ShortOhms is what a solder short, a strap or a part gone short has: a
	// joint's resistance. Common practice, no source.
	ShortOhms = 0.05
)

// EditKind is what an Edit does.
type EditKind string

// The kinds of edit.
const (
	EditOpen    EditKind = "open"    // Part of two legs is open: a run missing, a part burnt, a contact that never closes
	EditShort   EditKind = "short"   // Ohms lie across legs Leg and ToLeg of Part
	EditScale   EditKind = "scale"   // Value of Part is Factor times what it should be
	EditSet     EditKind = "set"     // Value of Part is Factor
	EditSwap    EditKind = "swap"    // Part and Other stand in each other's place
	EditReverse EditKind = "reverse" // Part is the wrong way round; Ohms: what an electrolytic so treated leaks
	EditPermute EditKind = "permute" // leg i of Part stands where leg Order[i] should
	EditMove    EditKind = "move"    // Leg of Part is on point To
	EditSeries  EditKind = "series"  // Ohms lie in series with Leg of Part: a dry joint
	EditCouple  EditKind = "couple"  // coils Part and Other lie in each other's field, by Factor
	EditBridge  EditKind = "bridge"  // Ohms lie between points From and To: a solder short, a link left in, leakage
)

// Edit is one thing that is other in a circuit than its drawing says: a fault,
// a slip of wiring, a half-made state. It is plain data; Circuit.Edited carries
// it out. Legs are numbered as in Terminals, from 0.
type Edit struct {
	Kind   EditKind `json:"kind"`
	Part   string   `json:"part,omitempty"`
	Other  string   `json:"other,omitempty"`
	Leg    int      `json:"leg,omitempty"`
	ToLeg  int      `json:"to_leg,omitempty"`
	Value  string   `json:"value,omitempty"` // field of the part's type, as in Knob
	Factor float64  `json:"factor,omitempty"`
	Ohms   float64  `json:"ohms,omitempty"`
	From   string   `json:"from,omitempty"`
	To     string   `json:"to,omitempty"`
	Order  []int    `json:"order,omitempty"`
}

// Open takes a part of two legs, a run or a contact out.
func Open(part string) Edit { return Edit{Kind: EditOpen, Part: part} }

// OpenLeg lifts one leg of a part.
func OpenLeg(part string, leg int) Edit { return Series(part, leg, OpenOhms) }

// Short lays so many ohms across two legs of a part.
func Short(part string, leg, toLeg int, ohms float64) Edit {
	return Edit{Kind: EditShort, Part: part, Leg: leg, ToLeg: toLeg, Ohms: ohms}
}

// Scale makes a value of a part so many times what it should be: 0.1 and 10 are
// a decade out.
func Scale(part, value string, factor float64) Edit {
	return Edit{Kind: EditScale, Part: part, Value: value, Factor: factor}
}

// Set gives a value of a part another number, in its base unit.
func Set(part, value string, number float64) Edit {
	return Edit{Kind: EditSet, Part: part, Value: value, Factor: number}
}

// Swap exchanges the places of two parts. Each keeps its name and its values.
func Swap(part, other string) Edit { return Edit{Kind: EditSwap, Part: part, Other: other} }

// Reverse turns a part of two legs round, or exchanges a slider's ends.
func Reverse(part string) Edit { return Edit{Kind: EditReverse, Part: part} }

// ReverseElectrolytic turns a capacitor round: it then leaks so many ohms.
func ReverseElectrolytic(part string, ohms float64) Edit {
	return Edit{Kind: EditReverse, Part: part, Ohms: ohms}
}

// Permute puts leg i of a part where leg order[i] should be.
func Permute(part string, order ...int) Edit {
	return Edit{Kind: EditPermute, Part: part, Order: order}
}

// Move puts a leg of a part, or an end of a run, on another point.
func Move(part string, leg int, to string) Edit {
	return Edit{Kind: EditMove, Part: part, Leg: leg, To: to}
}

// Series puts so many ohms in series with a leg.
func Series(part string, leg int, ohms float64) Edit {
	return Edit{Kind: EditSeries, Part: part, Leg: leg, Ohms: ohms}
}

// Couple puts two coils into each other's field: k as of a Coupling.
func Couple(first, second string, k float64) Edit {
	return Edit{Kind: EditCouple, Part: first, Other: second, Factor: k}
}

// Bridge joins two points by so many ohms.
func Bridge(from, to string, ohms float64) Edit {
	return Edit{Kind: EditBridge, From: from, To: to, Ohms: ohms}
}

// Place says where the edit is, for findings and lists.
func (e Edit) Place() finding.Place {
	at := finding.Place{Part: e.Part, Point: e.To}
	if e.Kind == EditBridge {
		at.Point = e.From
	}
	return at
}

// String names the edit; no two different edits of a circuit are named alike.
func (e Edit) String() string {
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }
	switch e.Kind {
	case EditShort:
		return fmt.Sprintf("short %s %d-%d %s", e.Part, e.Leg, e.ToLeg, number(e.Ohms))
	case EditScale:
		return fmt.Sprintf("scale %s %s %s", e.Part, e.Value, number(e.Factor))
	case EditSet:
		return fmt.Sprintf("set %s %s %s", e.Part, e.Value, number(e.Factor))
	case EditSwap:
		return fmt.Sprintf("swap %s %s", e.Part, e.Other)
	case EditReverse:
		if e.Ohms > 0 {
			return fmt.Sprintf("reverse %s %s", e.Part, number(e.Ohms))
		}
	case EditPermute:
		return "permute " + e.Part + " " + strings.Trim(fmt.Sprint(e.Order), "[]")
	case EditMove:
		return fmt.Sprintf("move %s %d to %s", e.Part, e.Leg, e.To)
	case EditSeries:
		return fmt.Sprintf("series %s %d %s", e.Part, e.Leg, number(e.Ohms))
	case EditCouple:
		return fmt.Sprintf("couple %s %s %s", e.Part, e.Other, number(e.Factor))
	case EditBridge:
		return fmt.Sprintf("bridge %s to %s %s", e.From, e.To, number(e.Ohms))
	}
	return string(e.Kind) + " " + e.Part
}

// Edited gives the circuit with the edits carried out, in their order. The
// circuit itself stays as it is. The error is a finding.List: an edit that hits
// nothing is a mistake, not a wish.
func (c *Circuit) Edited(edits ...Edit) (*Circuit, error) {
	w := &editing{parts: slices.Clone(c.parts), names: make(map[string]int, len(c.parts)), from: c}
	for name, i := range c.byName {
		w.names[name] = i
	}
	for _, e := range edits {
		if err := w.do(e); err != nil {
			return nil, err
		}
	}
	next, err := New(w.parts...)
	if err != nil {
		return nil, err
	}
	next.changed = append(slices.Clone(c.changed), w.changed...)
	return next, nil
}

// editing is a list of parts under the knife.
type editing struct {
	from    *Circuit
	parts   []Part
	names   map[string]int
	changed []string // parts that are new or other than they were
}

func (w *editing) do(e Edit) error {
	if !numbers(e) {
		return refused(e, "number")
	}
	if e.Kind == EditBridge {
		return w.bridge(e)
	}
	i, ok := w.names[e.Part]
	if !ok {
		return finding.List{finding.New(IDNoPart, finding.Error, finding.Place{Part: e.Part}, nil)}
	}
	return w.part(e, i)
}

// part carries out an edit of one part.
func (w *editing) part(e Edit, i int) error {
	p := w.parts[i]
	legs := p.Terminals()
	has := func(leg int) bool { return leg >= 0 && leg < len(legs) }
	switch e.Kind {
	case EditOpen:
		if len(legs) != 2 {
			return refused(e, "kind")
		}
		if _, coil := p.(Inductor); coil { // a coupling may name it: it stays, behind an open joint
			return w.leg(Edit{Kind: EditSeries, Part: e.Part, Ohms: OpenOhms}, i)
		}
		w.put(i, Resistor{Name: e.Part, A: legs[0], B: legs[1], Ohms: OpenOhms})
	case EditShort:
		if !has(e.Leg) || !has(e.ToLeg) || e.Leg == e.ToLeg {
			return refused(e, "leg")
		}
		w.add(Resistor{Name: w.unused(e.Part + "|short"), A: legs[e.Leg], B: legs[e.ToLeg], Ohms: e.Ohms})
	case EditScale, EditSet:
		return w.value(e, i)
	case EditSwap:
		return w.swap(e, i)
	case EditCouple:
		return w.couple(e, p)
	case EditReverse:
		return w.reverse(e, i)
	case EditPermute:
		if !permutation(e.Order, len(legs)) {
			return refused(e, "order")
		}
		turned := make([]string, len(legs))
		for k, to := range e.Order {
			turned[k] = legs[to]
		}
		w.put(i, soldered(p, turned))
	case EditMove, EditSeries:
		if !has(e.Leg) {
			return refused(e, "leg")
		}
		return w.leg(e, i)
	default:
		panic("circuit: edit " + string(e.Kind))
	}
	return nil
}

// leg moves a leg to another point, or to a new one behind a resistor.
func (w *editing) leg(e Edit, i int) error {
	p := w.parts[i]
	legs := slices.Clone(p.Terminals())
	if e.Kind == EditMove {
		if err := w.from.checkPoints(e.To); err != nil {
			return err
		}
		legs[e.Leg] = e.To
		w.put(i, soldered(p, legs))
		return nil
	}
	joint := w.unused(e.Part + "|" + strconv.Itoa(e.Leg))
	w.add(Resistor{Name: joint, A: legs[e.Leg], B: joint, Ohms: e.Ohms})
	legs[e.Leg] = joint
	w.put(i, soldered(p, legs))
	return nil
}

func (w *editing) bridge(e Edit) error {
	if err := w.from.checkPoints(e.From, e.To); err != nil {
		return err
	}
	if e.From == e.To {
		return refused(e, "leg")
	}
	w.add(Resistor{Name: w.unused(e.From + "|" + e.To), A: e.From, B: e.To, Ohms: e.Ohms})
	return nil
}

func (w *editing) value(e Edit, i int) error {
	p := turnable(w.parts[i])
	field := fieldOf(p, e.Value)
	if field == nil || e.Kind == EditScale && *field == 0 {
		return finding.List{finding.New(IDNoKnob, finding.Error, e.Place(), finding.Args{"value": e.Value})}
	}
	if e.Kind == EditSet {
		*field = e.Factor
	} else {
		*field *= e.Factor
	}
	w.put(i, plain(p))
	return nil
}

func (w *editing) swap(e Edit, i int) error {
	j, ok := w.names[e.Other]
	if !ok {
		return finding.List{finding.New(IDNoPart, finding.Error, finding.Place{Part: e.Other}, nil)}
	}
	p, q := w.parts[i], w.parts[j]
	if i == j || len(p.Terminals()) != len(q.Terminals()) || len(p.Terminals()) == 0 {
		return refused(e, "kind")
	}
	here, there := p.Terminals(), q.Terminals()
	w.put(i, soldered(p, there))
	w.put(j, soldered(q, here))
	return nil
}

func (w *editing) couple(e Edit, p Part) error {
	j, ok := w.names[e.Other]
	if !ok {
		return finding.List{finding.New(IDNoPart, finding.Error, finding.Place{Part: e.Other}, nil)}
	}
	_, one := p.(Inductor)
	if _, other := w.parts[j].(Inductor); !one || !other {
		return refused(e, "kind")
	}
	w.add(Coupling{Name: w.unused(e.Part + "~" + e.Other), First: e.Part, Second: e.Other, K: e.Factor})
	return nil
}

func (w *editing) reverse(e Edit, i int) error {
	p := w.parts[i]
	legs := slices.Clone(p.Terminals())
	if _, slider := p.(Slider); !slider && len(legs) != 2 {
		return refused(e, "kind")
	}
	slices.Reverse(legs)
	w.put(i, soldered(p, legs))
	if e.Ohms > 0 {
		w.add(Resistor{Name: w.unused(e.Part + "|leak"), A: legs[0], B: legs[1], Ohms: e.Ohms})
	}
	return nil
}

func (w *editing) put(i int, p Part) {
	w.parts[i] = p
	w.changed = append(w.changed, p.PartName())
}

func (w *editing) add(p Part) {
	w.names[p.PartName()] = len(w.parts)
	w.parts = append(w.parts, p)
	w.changed = append(w.changed, p.PartName())
}

// unused gives a name that no part and no point has.
func (w *editing) unused(name string) string {
	for {
		_, part := w.names[name]
		_, point := slices.BinarySearch(w.from.points, name)
		if !part && !point {
			return name
		}
		name += "'"
	}
}

func refused(e Edit, why string) error {
	return finding.List{finding.New(IDNoEdit, finding.Error, e.Place(),
		finding.Args{"edit": e.String(), "why": why})}
}

// numbers says whether an edit's numbers are some: ohms of a path at least 0,
// a factor above 0.
func numbers(e Edit) bool {
	ohms := value{"Ohms", e.Ohms, notNegative}
	factor := value{"Factor", e.Factor, positive}
	if e.Kind != EditScale {
		factor.need = anyNumber
	}
	return ohms.legal() && factor.legal()
}

func permutation(order []int, n int) bool {
	sorted := slices.Sorted(slices.Values(order))
	for i, v := range sorted {
		if v != i {
			return false
		}
	}
	return n > 0 && len(sorted) == n
}
