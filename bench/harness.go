package bench

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/wiring"
)

// IDNoHarness (error): the job says nothing of its wiring. No args.
const IDNoHarness finding.ID = "bench.no-harness"

// harnessOf says the job's wiring in the terms of room wiring.
func harnessOf(j *job.Job) wiring.Harness {
	var h wiring.Harness
	if w := j.Wiring; w != nil {
		h.Input, h.Output, h.MostAtLug, h.BoardGround = w.Input, w.Output, w.MostAtLug, w.BoardGround
		for _, row := range w.Rows {
			h.Rows = append(h.Rows, job.Pins(row))
		}
	}
	for _, r := range j.Runs {
		h.Runs = append(h.Runs, runOf(r))
	}
	for _, l := range j.Links {
		h.Links = append(h.Links, wiring.Link{Name: l.Name, From: l.From, To: l.To, Colour: l.Colour, State: stateOf(l.State, wiring.Made)})
	}
	for _, s := range j.Switches {
		h.Switches = append(h.Switches, switchOf(s))
	}
	for _, k := range j.Jacks {
		h.Jacks = append(h.Jacks, wiring.Jack{Name: k.Name, Tip: k.Tip, Ring: k.Ring, Sleeve: k.Sleeve,
			TipRest: k.TipRest, RingRest: k.RingRest, Cord: k.Cord, Rest: wiring.Plug(k.Rest)})
	}
	for _, m := range j.Moved {
		h.Moved = append(h.Moved, wiring.Moved{Name: m.Name, OldHole: m.OldHole, NewHole: m.NewHole,
			Lead: cmp.Or(m.Lead, "kept"), Sleeved: m.Sleeved, Mains: m.Mains, SignedBy: m.SignedBy})
	}
	return h
}

func runOf(r job.Run) wiring.Run {
	return wiring.Run{Name: r.Name, From: r.From, To: r.To, Kind: kindOfRun(r.Kind),
		Metres: float64(given(r.Length)), Ohms: float64(given(r.Ohms)), Colour: r.Colour, Original: r.Original,
		Screen: wiring.Screen{AtFrom: r.ScreenFrom, AtTo: r.ScreenTo, FaradsPerMetre: float64(given(r.Farads))},
		Mains:  r.Mains, Last: r.Last, State: stateOf(r.State, wiring.NotYet)}
}

// kindOfRun reads a kind as the document has it.
func kindOfRun(word string) wiring.Kind {
	if word == "0V" {
		return wiring.Earth
	}
	return cmp.Or(wiring.Kind(word), wiring.Lead)
}

func stateOf(word string, blank wiring.State) wiring.State {
	switch word {
	case job.RunMade:
		return wiring.Made
	case job.RunNotYet:
		return wiring.NotYet
	case job.RunRemoved:
		return wiring.Removed
	}
	return blank
}

func switchOf(s job.Switch) wiring.Switch {
	to := wiring.Switch{Name: s.Name, Positions: s.Positions, OnOhms: float64(given(s.Ohms))}
	for _, c := range s.Contacts {
		to.Contacts = append(to.Contacts, wiring.Contact{A: c.A, B: c.B, Closed: c.Closed})
	}
	for _, column := range s.Pins {
		to.Pins = append(to.Pins, job.Pins(column))
	}
	return to
}

// insulation begins the names of the resistors that hold what is not joined.
const insulation = "insulation."

// insulationOhms is what loose ends rest on: more than any meter of the bench
// shows, and little enough for a transistor on a loose board to be solved.
// Common practice, no source.
const insulationOhms = 1e9

// withHarness joins board and amplifier by what there is of the harness. What
// nothing ties to ground rests on its insulation, so that half-made work has
// an answer too.
func withHarness(s equaliser.Spec, j *job.Job, as wiring.As) equaliser.Spec {
	if !j.Wired() {
		return s
	}
	s.Wired = &equaliser.Wired{}
	if j.Wiring != nil {
		s.Wired.BoardGround, s.Wired.RailLug = j.Wiring.BoardGround, j.Wiring.RailLug
	}
	s.Extra = append(slices.Clone(s.Extra), harnessOf(j).Parts(as)...)
	built, err := equaliser.Build(s)
	if err != nil {
		return s // said when it is built to be used
	}
	for _, point := range built.Circuit().Adrift() {
		s.Extra = append(s.Extra, circuit.Resistor{Name: insulation + point, A: point, B: circuit.Ground, Ohms: insulationOhms})
	}
	return s
}

// specAs says the job in the equaliser's terms with what there is of its
// harness.
func specAs(j *job.Job, as wiring.As) (equaliser.Spec, finding.List) {
	s, found := specOf(j)
	if found.Err() != nil {
		return s, found
	}
	return withHarness(s, j, as), found
}

// ofHarness says whether a part is wiring: a run, a link, a contact of the
// harness's own switches, or what keeps loose ends in their place.
func (c *Case) ofHarness(part string) bool {
	for _, begins := range []string{"run.", "link.", insulation} {
		if strings.HasPrefix(part, begins) {
			return c.job.Wired()
		}
	}
	own := func(name string) bool { return part == name || strings.HasPrefix(part, name+".") }
	return slices.ContainsFunc(c.job.Switches, func(s job.Switch) bool { return own(s.Name) }) ||
		slices.ContainsFunc(c.job.Jacks, func(s job.Jack) bool { return own(s.Name) })
}

// At gives the case with so much of its harness: every answer of it is of that
// stage. Its curves were measured of no such thing and are left out.
func (c *Case) at(as wiring.As) (*Case, finding.List, error) {
	spec, found := specAs(c.job, as)
	if err := found.Err(); err != nil {
		return nil, nil, err
	}
	built, err := equaliser.Build(spec)
	if err != nil {
		return nil, nil, located(findingsOf(err), c.job, c.name)
	}
	return &Case{job: c.job, name: c.name, sha256: c.sha256, equaliser: built, asMade: as == wiring.AsMade, files: c.files,
		states: map[string]*circuit.State{}}, located(found, c.job, c.name), nil
}

// AsMade gives the case with what is made of its harness so far: links that are
// not yet removed still join, runs that are not yet made do not.
func (c *Case) AsMade() (*Case, finding.List, error) { return c.at(wiring.AsMade) }

// dead gives the circuit as it is with its power off. A relay falls back to its
// rest, and a resistor that a lamp lights is dark.
func (c *Case) dead() (*circuit.Circuit, error) {
	whole := c.equaliser.Circuit()
	l := c.job.Lift
	if l == nil || l.By == "" || l.By == job.LiftContact {
		return whole, nil
	}
	p, ok := whole.Part("lift")
	contact, is := p.(circuit.Contact)
	if !ok || !is {
		return whole, nil
	}
	contact.Closed = nil
	if l.By == job.LiftRelay && l.Rest != "lifted" {
		contact.Closed = []string{"in", "lifted"}
	}
	return whole.Replace(contact)
}

// switchSettings are those that a person can set with the power off: at rest,
// every other position of every switch and jack, each by itself.
func switchSettings(of *circuit.Circuit) []curve.Setting {
	list := []curve.Setting{{}}
	for _, s := range of.Switches() {
		for _, position := range s.Positions[1:] {
			list = append(list, curve.Setting{}.WithSwitch(s.Name, position))
		}
	}
	return list
}
