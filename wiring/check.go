package wiring

import (
	"bandwright/finding"
)

// Findings of a harness.
const (
	// IDScreenBoth, a warning: a screen is soldered at both its ends, so that
	// it carries current between two grounds. Place: the run. from, to: lugs.
	IDScreenBoth finding.ID = "wiring.screen-both"
	// IDScreenNone, a warning: a screen is soldered nowhere. Place: the run.
	IDScreenNone finding.ID = "wiring.screen-none"
	// IDGroundLoop, a warning: two ways lead from one ground to another.
	// Place: the run that closes the ring. from, to: lugs.
	IDGroundLoop finding.ID = "wiring.ground-loop"
	// IDLugFull, a warning: more conductors than the limit at one lug. Place:
	// the point. before, after, most: counts.
	IDLugFull finding.ID = "wiring.lug-full"
	// IDRunToItself, an error: a run or a link begins where it ends. Place: the run.
	IDRunToItself finding.ID = "wiring.run-to-itself"
	// IDRunTwice, an error: two runs or two links have one name. Place: the run.
	IDRunTwice finding.ID = "wiring.run-twice"
	// IDMainsUnsigned, a warning: a mains lug was touched and nobody has signed
	// for it. Place: the part.
	IDMainsUnsigned finding.ID = "wiring.mains-unsigned"
	// IDBareMains, an error: a mains lead was shortened or extended and its
	// joints are not insulated. Place: the part.
	IDBareMains finding.ID = "wiring.bare-mains"
)

// Check says what is wrong or unwise in a harness as data; what its circuit
// does is found by whoever solves it.
func (h Harness) Check() finding.List {
	found := h.checkNames()
	for _, r := range h.Runs {
		found = append(found, r.check()...)
	}
	found = append(found, h.groundLoops()...)
	for _, lug := range h.Lugs() {
		if lug.After > h.mostAtLug() {
			found = append(found, finding.New(IDLugFull, finding.Warning, finding.Place{Point: lug.Name},
				finding.Args{"before": lug.Before, "after": lug.After, "most": h.mostAtLug()}))
		}
	}
	for _, m := range h.Moved {
		found = append(found, m.check()...)
	}
	return found
}

func (h Harness) checkNames() (found finding.List) {
	seen := map[string]bool{}
	look := func(what, name, from, to string) {
		at := finding.Place{Part: what + "." + name}
		if seen[at.Part] {
			found = append(found, finding.New(IDRunTwice, finding.Error, at, nil))
		}
		seen[at.Part] = true
		if from == to {
			found = append(found, finding.New(IDRunToItself, finding.Error, at, finding.Args{"lug": from}))
		}
	}
	for _, r := range h.Runs {
		look("run", r.Name, r.From, r.To)
	}
	for _, l := range h.Links {
		look("link", l.Name, l.From, l.To)
	}
	return found
}

// check looks at one run's screen.
func (r Run) check() finding.List {
	if r.Kind != Screened || r.State == Removed {
		return nil
	}
	at := finding.Place{Part: "run." + r.Name}
	switch near, far := r.Screen.AtFrom, r.Screen.AtTo; {
	case near != "" && far != "":
		return finding.List{finding.New(IDScreenBoth, finding.Warning, at, finding.Args{"from": near, "to": far})}
	case near == "" && far == "":
		return finding.List{finding.New(IDScreenNone, finding.Warning, at, nil)}
	}
	return nil
}

// check looks at one moved part.
func (m Moved) check() (found finding.List) {
	if !m.Mains {
		return nil
	}
	at := finding.Place{Part: m.Name}
	if m.SignedBy == "" {
		found = append(found, finding.New(IDMainsUnsigned, finding.Warning, at, nil))
	}
	if m.Lead != "kept" && !m.Sleeved {
		found = append(found, finding.New(IDBareMains, finding.Error, at, nil))
	}
	return found
}

// groundLoops finds returns and screens that close a ring of grounds: each
// edge that joins what was joined already.
func (h Harness) groundLoops() (found finding.List) {
	parent := map[string]string{}
	var root func(string) string
	root = func(lug string) string {
		up, ok := parent[lug]
		if !ok || up == lug {
			return lug
		}
		up = root(up)
		parent[lug] = up
		return up
	}
	join := func(run Run, from, to string) {
		a, b := root(from), root(to)
		if a == b {
			found = append(found, finding.New(IDGroundLoop, finding.Warning,
				finding.Place{Part: "run." + run.Name}, finding.Args{"from": from, "to": to}))
			return
		}
		parent[a] = b
	}
	for _, r := range h.Runs {
		if r.State == Removed {
			continue
		}
		if r.Kind == Earth {
			join(r, r.From, r.To)
		}
		if r.Screen.AtFrom != "" && r.Screen.AtTo != "" {
			join(r, r.Screen.AtFrom, r.Screen.AtTo)
		}
	}
	return found
}
