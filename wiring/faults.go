package wiring

import (
	"slices"
	"strconv"
	"strings"

	"bandwright/circuit"
)

// Slip is a kind of wiring fault.
type Slip string

// The slips a hand makes, each with how often it is met among all slips. The
// shares are common practice, no source: they order lists and decide nothing
// that a reading can.
const (
	RunMissing  Slip = "run missing"
	RunsCrossed Slip = "ends exchanged"
	RunBeside   Slip = "to the neighbouring lug"
	StrapSide   Slip = "strap on the wrong side"
	LinkLeft    Slip = "old link left in"
	LinkGone    Slip = "old link out, new run not made"
	InForOut    Slip = "input and output exchanged"
	SwitchRound Slip = "switch turned round"
	SwitchOff   Slip = "switch a pin off"
	ScreenBoth  Slip = "screen at both ends"
	SolderShort Slip = "solder between neighbours"
	DryJoint    Slip = "dry joint"
)

var shares = map[Slip]float64{
	RunMissing: 4, RunBeside: 2, RunsCrossed: 2, StrapSide: 2, LinkLeft: 3, LinkGone: 2, InForOut: 3,
	SwitchRound: 3, SwitchOff: 1, ScreenBoth: 2, SolderShort: 1, DryJoint: 4,
}

// dryOhms is a joint that is one in name only. Common practice, no source.
const dryOhms = 100.0

// Fault is one thing that may be wrong in the wiring, as an edit of the circuit
// that Parts made for the same stage.
type Fault struct {
	Label string         `json:"label"` // part and lugs, as in the harness
	Slip  Slip           `json:"slip"`
	Edits []circuit.Edit `json:"edits"`
	Prior float64        `json:"prior"` // a share; all faults of a list make 1
}

// Faults lists every single wiring fault of what is there at a stage.
func (h Harness) Faults(as As) []Fault {
	var list []Fault
	add := func(slip Slip, label string, edits ...circuit.Edit) {
		list = append(list, Fault{Label: label, Slip: slip, Edits: edits})
	}
	for _, r := range h.Runs {
		if as.there(r) {
			h.runFaults(r, add)
		}
	}
	h.crossings(as, add)
	for _, l := range h.Links {
		switch {
		case as == Loose:
		case as.linked(l):
			add(LinkGone, "link."+l.Name, circuit.Open("link."+l.Name))
		default:
			add(LinkLeft, "link."+l.Name, circuit.Bridge(l.From, l.To, circuit.ShortOhms))
		}
	}
	for _, s := range h.Switches {
		s.faults(add)
	}
	for _, row := range h.Rows {
		for i := 1; i < len(row); i++ {
			if !h.joined(as, row[i-1], row[i]) {
				add(SolderShort, row[i-1]+" – "+row[i], circuit.Bridge(row[i-1], row[i], circuit.ShortOhms))
			}
		}
	}
	return weighed(list)
}

// weighed shares each slip's prior out among its faults.
func weighed(list []Fault) []Fault {
	count, total := map[Slip]float64{}, 0.0
	for _, f := range list {
		if count[f.Slip] == 0 {
			total += shares[f.Slip]
		}
		count[f.Slip]++
	}
	for i, f := range list {
		list[i].Prior = shares[f.Slip] / count[f.Slip] / total
	}
	return list
}

type addFault func(slip Slip, label string, edits ...circuit.Edit)

// runFaults are those of one run on its own.
func (h Harness) runFaults(r Run, add addFault) {
	name := "run." + r.Name
	add(RunMissing, name, circuit.Open(name))
	add(DryJoint, name, circuit.Series(name, 0, dryOhms))
	for end, lug := range [...]string{r.From, r.To} {
		for _, beside := range h.neighbours(lug) {
			if beside != r.From && beside != r.To {
				add(RunBeside, name+": "+lug+" → "+beside, circuit.Move(name, end, beside))
			}
		}
	}
	if near, far := r.Screen.AtFrom, r.Screen.AtTo; r.Kind == Screened && (near == "") != (far == "") {
		if other := h.otherGround(near + far); other != near+far {
			add(ScreenBoth, name, circuit.Bridge(near+far, other, screenOhms))
		}
	}
	if edits := h.otherSide(r); len(edits) > 0 {
		add(StrapSide, name, edits...)
	}
}

// otherGround is where the other end of a screen would find one: the chassis,
// and from there the board's own.
func (h Harness) otherGround(ground string) string {
	switch {
	case ground != circuit.Ground:
		return circuit.Ground
	case h.BoardGround != "":
		return h.BoardGround
	}
	return ground
}

// otherSide carries a strap to the other end of each pin's column, as where
// the switch was taken for its mirror image. A strap between lugs of which one
// is no pin has no other side.
func (h Harness) otherSide(r Run) (edits []circuit.Edit) {
	if r.Kind != Strap {
		return nil
	}
	for end, lug := range [...]string{r.From, r.To} {
		goes, pin := h.mirrored(lug)
		if !pin {
			return nil
		}
		if goes != lug {
			edits = append(edits, circuit.Move("run."+r.Name, end, goes))
		}
	}
	return edits
}

// mirrored is the lug at the other end of a pin's column.
func (h Harness) mirrored(lug string) (string, bool) {
	for _, s := range h.Switches {
		for _, column := range s.Pins {
			if i := slices.Index(column, lug); i >= 0 {
				return column[len(column)-1-i], true
			}
		}
	}
	return "", false
}

// neighbours of a lug in all rows.
func (h Harness) neighbours(lug string) (list []string) {
	for _, row := range h.Rows {
		i := slices.Index(row, lug)
		if i > 0 {
			list = append(list, row[i-1])
		}
		if i >= 0 && i+1 < len(row) {
			list = append(list, row[i+1])
		}
	}
	return list
}

// crossings are two runs whose ends on one row are exchanged.
func (h Harness) crossings(as As, add addFault) {
	for i, a := range h.Runs {
		for _, b := range h.Runs[i+1:] {
			if !as.there(a) || !as.there(b) {
				continue
			}
			for endA, lugA := range [...]string{a.From, a.To} {
				for endB, lugB := range [...]string{b.From, b.To} {
					if lugA != lugB && h.inOneRow(lugA, lugB) {
						slip := RunsCrossed
						if a.Name == h.Input && b.Name == h.Output || a.Name == h.Output && b.Name == h.Input {
							slip = InForOut
						}
						add(slip, "run."+a.Name+" ↔ run."+b.Name+" at "+lugA+", "+lugB,
							circuit.Move("run."+a.Name, endA, lugB), circuit.Move("run."+b.Name, endB, lugA))
					}
				}
			}
		}
	}
}

func (h Harness) inOneRow(a, b string) bool {
	return slices.ContainsFunc(h.Rows, func(row []string) bool {
		return slices.Contains(row, a) && slices.Contains(row, b)
	})
}

// joined says whether a run joins two lugs already, so that solder between them
// is no fault.
func (h Harness) joined(as As, a, b string) bool {
	return slices.ContainsFunc(h.Runs, func(r Run) bool {
		return as.there(r) && (r.From == a && r.To == b || r.From == b && r.To == a)
	})
}

// faults of a switch: the whole turned round, or set one pin off. A lug stays
// where it is; the contacts go to other lugs.
func (s Switch) faults(add addFault) {
	for _, to := range s.placed() {
		var edits []circuit.Edit
		for i, c := range s.Contacts {
			edits = append(edits, to.edits(contactName(s.Name, i), c)...)
		}
		if len(edits) > 0 && !s.sameContacts(to.lugs) {
			add(to.slip, s.Name+" "+to.how, edits...)
		}
	}
}

// placing is another way to mount a switch.
type placing struct {
	slip Slip
	how  string
	lugs map[string]string // where each pin's lug is found then
}

func (s Switch) placed() (list []placing) {
	if len(s.Pins) == 0 {
		return nil
	}
	turned := placing{SwitchRound, "turned round", map[string]string{}}
	for i, column := range s.Pins {
		other := s.Pins[len(s.Pins)-1-i]
		for k, lug := range column {
			if at := len(other) - 1 - k; at >= 0 && at < len(other) {
				turned.lugs[lug] = other[at]
			}
		}
	}
	list = append(list, turned)
	for _, by := range []int{1, -1} {
		off := placing{SwitchOff, "set off by " + strconv.Itoa(by), map[string]string{}}
		for _, column := range s.Pins {
			for k, lug := range column {
				if at := k + by; at >= 0 && at < len(column) {
					off.lugs[lug] = column[at]
				} else {
					off.lugs[lug] = "" // it hangs over the edge
				}
			}
		}
		list = append(list, off)
	}
	return list
}

// edits carry one contact to where its pins now are; one whose pin hangs over
// the edge is open.
func (p placing) edits(name string, c Contact) (edits []circuit.Edit) {
	for end, lug := range [...]string{c.A, c.B} {
		switch goes, pin := p.lugs[lug]; {
		case !pin || goes == lug:
		case goes == "":
			return []circuit.Edit{circuit.Open(name)}
		default:
			edits = append(edits, circuit.Move(name, end, goes))
		}
	}
	return edits
}

// sameContacts says whether the switch does the same however it is mounted.
func (s Switch) sameContacts(to map[string]string) bool {
	key := func(a, b string, closed []string) string {
		if b < a {
			a, b = b, a
		}
		return a + "|" + b + "|" + strings.Join(closed, ",")
	}
	at := func(lug string) string {
		if goes, ok := to[lug]; ok {
			return goes
		}
		return lug
	}
	as := map[string]bool{}
	for _, c := range s.Contacts {
		as[key(c.A, c.B, c.Closed)] = true
	}
	return !slices.ContainsFunc(s.Contacts, func(c Contact) bool { return !as[key(at(c.A), at(c.B), c.Closed)] })
}
