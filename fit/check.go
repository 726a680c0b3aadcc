package fit

import (
	"math"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// check refuses what cannot be asked.
func (p *Plan) check() finding.List {
	var found finding.List
	add := func(id finding.ID, at finding.Place, args finding.Args) {
		found = append(found, finding.New(id, finding.Error, at, args))
	}
	if len(p.Takes) == 0 {
		add(IDNothing, finding.Place{}, finding.Args{"what": "curves"})
	}
	if len(p.Unknowns) == 0 {
		add(IDNothing, finding.Place{}, finding.Args{"what": "unknowns"})
	}
	if p.Stage && len(p.Takes) == 1 {
		add(IDOneTake, finding.Place{}, nil)
	}
	for i, t := range p.Takes {
		if err := curve.Validate(t.Curve); err != nil {
			list, _ := finding.From(err)
			found = append(found, list...)
			continue
		}
		if n := len(t.Curve.Hz); n < 2 {
			add(IDFewPoints, finding.Place{Setting: t.Curve.Setting.String()}, finding.Args{"points": n, "want": 2})
		}
		if p.Stage && !sameGrid(t.Curve.Hz, p.Takes[0].Curve.Hz) {
			add(IDGrids, finding.Place{Setting: t.Curve.Setting.String()}, finding.Args{"take": i + 1})
		}
	}
	for _, u := range p.Unknowns {
		v, err := p.Circuit.Value(u.Knob)
		if err != nil {
			list, _ := finding.From(err)
			found = append(found, list...)
		} else if !(v > 0) {
			add(IDNoLog, finding.Place{Part: u.Part}, finding.Args{"value": u.Value})
		}
	}
	return found
}

// sameGrid: frequencies that agree to 1e-9.
func sameGrid(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i, f := range a {
		if math.Abs(f-b[i]) > 1e-9*f {
			return false
		}
	}
	return true
}

// jumps says that a value below 1 ohm has another equation than one above.
func jumps(part circuit.Part, value string) bool {
	switch part.(type) {
	case circuit.Resistor:
		return value == "Ohms"
	case circuit.Contact:
		return value == "OnOhms" || value == "OffOhms"
	}
	return false
}

// limits gives an unknown's own value, start and bounds. None crosses 1 ohm where
// equations change there.
func (p *Plan) limits(u Unknown) (own, start, low, high float64) {
	own, _ = p.Circuit.Value(u.Knob)
	start, low, high = u.Start, u.Low, u.High
	if start == 0 {
		start = own
	}
	if low == 0 {
		low = start / 1000
	}
	if high == 0 {
		high = start * 1000
	}
	if part, _ := p.Circuit.Part(u.Part); jumps(part, u.Value) && own >= 1 {
		low = max(low, 1)
	} else if jumps(part, u.Value) {
		high = min(high, math.Nextafter(1, 0))
	}
	return own, min(max(start, low), high), low, high
}
