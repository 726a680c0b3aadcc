package wiring

import (
	"slices"
	"strconv"

	"bandwright/circuit"
)

// screenOhms is the braid of a run of screened lead: a few milliohms a metre,
// of which the model needs only that it is there. From memory.
const screenOhms = 0.02

// As says which of the harness is there.
type As int

// What a prediction is of.
const (
	AsMade   As = iota // runs made so far, links not yet removed
	Loose              // boards and switches on the bench: no run, no link
	LastOpen           // every run made but those marked Last, every link removed
	Complete           // every run made, every link removed
)

// there says whether a run is in the circuit.
func (as As) there(r Run) bool {
	switch as {
	case AsMade:
		return r.State == Made
	case LastOpen:
		return r.State != Removed && !r.Last
	case Complete:
		return r.State != Removed
	}
	return false
}

// linked says whether a link still joins its ends.
func (as As) linked(l Link) bool { return as == AsMade && l.State != Removed }

// Parts gives the circuit's parts of what is there. Names: "run.NAME",
// "run.NAME.screen", "run.NAME.capacitance" and "…capacitance.far",
// "link.NAME"; a switch's contacts "SWITCH.1", "SWITCH.2" in order; a jack's
// "JACK.tip", "JACK.ring", "JACK.sleeve", "JACK.joined", "JACK.rest".
func (h Harness) Parts(as As) []circuit.Part {
	var parts []circuit.Part
	for _, r := range h.Runs {
		if as.there(r) {
			parts = append(parts, r.parts()...)
		}
	}
	for _, l := range h.Links {
		if as.linked(l) {
			parts = append(parts, circuit.Resistor{Name: "link." + l.Name, A: l.From, B: l.To})
		}
	}
	for _, s := range h.Switches {
		parts = append(parts, s.parts()...)
	}
	for _, j := range h.Jacks {
		parts = append(parts, j.parts()...)
	}
	return parts
}

// parts of a run: the conductor, and half of the screen's capacitance at each
// of its ends.
func (r Run) parts() []circuit.Part {
	name := "run." + r.Name
	parts := []circuit.Part{circuit.Resistor{Name: name, A: r.From, B: r.To, Ohms: r.conductorOhms()}}
	near, far := r.Screen.AtFrom, r.Screen.AtTo
	if near != "" && far != "" && near != far {
		parts = append(parts, circuit.Resistor{Name: name + ".screen", A: near, B: far, Ohms: screenOhms})
	}
	if near == "" {
		near = far
	}
	if far == "" {
		far = near
	}
	if c := r.Farads(); c > 0 && near != "" {
		parts = append(parts,
			circuit.Capacitor{Name: name + ".capacitance", A: r.From, B: near, Farads: c / 2},
			circuit.Capacitor{Name: name + ".capacitance.far", A: r.To, B: far, Farads: c / 2})
	}
	return slices.DeleteFunc(parts, tiedToItself)
}

// tiedToItself is a part whose two ends are one point, and which so is not
// there: the capacitance of a lead that itself is ground.
func tiedToItself(p circuit.Part) bool {
	ends := p.Terminals()
	return len(ends) == 2 && ends[0] == ends[1]
}

func (s Switch) parts() []circuit.Part {
	parts := []circuit.Part{circuit.Switch{Name: s.Name, Positions: s.Positions}}
	for i, c := range s.Contacts {
		parts = append(parts, circuit.Contact{Name: contactName(s.Name, i), A: c.A, B: c.B,
			Switch: s.Name, Closed: c.Closed, OnOhms: s.OnOhms})
	}
	return parts
}

func contactName(of string, number int) string { return of + "." + strconv.Itoa(number+1) }

// plugs are a jack's positions, its rest first.
func (j Jack) plugs() []string {
	all := []string{string(NoPlug), string(MonoPlug)}
	if j.Ring != "" {
		all = append(all, string(TwoCircuit))
	}
	rest := string(j.Rest)
	if rest == "" {
		rest = string(NoPlug)
	}
	return append([]string{rest}, slices.DeleteFunc(all, func(p string) bool { return p == rest })...)
}

// parts of a jack: what each plug joins.
func (j Jack) parts() []circuit.Part {
	parts := []circuit.Part{circuit.Switch{Name: j.Name, Positions: j.plugs()}}
	join := func(name, a, b string, closed ...Plug) {
		if a == "" || b == "" {
			return
		}
		var at []string
		for _, p := range closed {
			at = append(at, string(p))
		}
		parts = append(parts, circuit.Contact{Name: j.Name + "." + name, A: a, B: b, Switch: j.Name, Closed: at})
	}
	plugged := []Plug{MonoPlug}
	if j.Ring != "" {
		plugged = append(plugged, TwoCircuit)
		join("ring", j.Ring, j.cord("ring"), TwoCircuit)
		join("joined", j.Ring, j.Sleeve, MonoPlug)
		join("ring.rest", j.Ring, j.RingRest, NoPlug)
	}
	join("tip", j.Tip, j.cord("tip"), plugged...)
	join("sleeve", j.Sleeve, j.cord("sleeve"), plugged...)
	join("tip.rest", j.Tip, j.TipRest, NoPlug)
	return parts
}

func (j Jack) cord(lug string) string {
	if j.Cord == "" {
		return ""
	}
	return j.Cord + "." + lug
}
