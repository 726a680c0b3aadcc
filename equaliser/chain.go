package equaliser

import (
	"cmp"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
)

// Drawn gives the parts that the drawing and the bands make, Extra left out:
// what a change by name starts from.
func (s Spec) Drawn() ([]circuit.Part, error) {
	s = s.withDefaults()
	found := s.check()
	if err := found.Err(); err != nil {
		return nil, err
	}
	parts := s.board(s.drawn())
	taken := map[string]bool{}
	for _, p := range parts {
		taken[p.PartName()] = true
	}
	for _, b := range s.Bands {
		for _, p := range s.board(b.parts()) {
			if taken[p.PartName()] {
				found = append(found, finding.New(IDBandName, finding.Error,
					finding.Place{Band: b.Name, Part: p.PartName()}, finding.Args{"why": "part"}))
			}
			taken[p.PartName()] = true
			parts = append(parts, p)
		}
	}
	if err := found.Err(); err != nil {
		return nil, err
	}
	return parts, nil
}

// drawn gives all but the bands.
func (s Spec) drawn() []circuit.Part {
	parts := s.inlet()
	parts = append(parts, drawings[s.Drawing](s)...)
	parts = append(parts, s.outlet()...)
	return append(parts, s.common()...)
}

// board puts parts on the board's own ground where it has one. What is the
// amplifier's own stays on the chassis.
func (s Spec) board(parts []circuit.Part) []circuit.Part {
	if s.Wired == nil {
		return parts
	}
	for i, p := range parts {
		points := slices.Clone(p.Terminals())
		switch p.PartName() {
		case Source, SourceOhms, "load", "load.capacitance":
			continue
		case Rail:
			points[0] = cmp.Or(s.Wired.RailLug, points[0])
		default:
			for k, point := range points {
				if point == circuit.Ground {
					points[k] = cmp.Or(s.Wired.BoardGround, point)
				}
			}
		}
		parts[i] = circuit.Soldered(p, points...)
	}
	return parts
}

// inlet runs from the source to the driver's input.
func (s Spec) inlet() []circuit.Part {
	parts := []circuit.Part{
		circuit.VoltageSource{Name: Source, Plus: "generator", Minus: circuit.Ground},
		circuit.Resistor{Name: SourceOhms, A: "generator", B: TapPoint, Ohms: s.SourceOhms},
	}
	if s.Wired != nil {
		return parts
	}
	if s.Bypass == nil {
		return append(parts, circuit.Wire{Name: "panel.in", A: TapPoint, B: "in"})
	}
	parts = append(parts,
		circuit.Switch{Name: PanelSwitch, Positions: []string{"in", "out"}},
		s.panel("panel.in", TapPoint, "in", "in"),
		s.panel("panel.by", TapPoint, OutputPoint, "out"))
	if s.Bypass.GroundsInput {
		parts = append(parts, s.panel("panel.ground", "in", circuit.Ground, "out"))
	}
	return parts
}

func (s Spec) panel(name, a, b, closed string) circuit.Contact {
	return circuit.Contact{Name: name, A: a, B: b, Switch: PanelSwitch,
		Closed: []string{closed}, OnOhms: s.Bypass.OnOhms}
}

// outlet runs from the driver's output to the load.
func (s Spec) outlet() []circuit.Part {
	var parts []circuit.Part
	switch {
	case s.Wired != nil:
	case s.Bypass == nil:
		parts = append(parts, circuit.Wire{Name: "panel.out", A: "out.coupled", B: OutputPoint})
	default:
		parts = append(parts, s.panel("panel.out", "out.coupled", OutputPoint, "in"))
	}
	if s.LoadOhms > 0 {
		parts = append(parts, circuit.Resistor{Name: "load", A: OutputPoint, B: circuit.Ground, Ohms: s.LoadOhms})
	}
	if s.LoadFarads > 0 {
		parts = append(parts, circuit.Capacitor{Name: "load.capacitance", A: OutputPoint, B: circuit.Ground, Farads: s.LoadFarads})
	}
	return parts
}

// common takes the legs' common to ground.
func (s Spec) common() []circuit.Part {
	if s.Lift == nil {
		return []circuit.Part{circuit.Wire{Name: "lift", A: "legs", B: circuit.Ground}}
	}
	parts := []circuit.Part{
		circuit.Switch{Name: FootSwitch, Positions: []string{"in", "lifted"}},
		circuit.Contact{Name: "lift", A: "legs", B: circuit.Ground, Switch: FootSwitch,
			Closed: []string{"in"}, OnOhms: s.Lift.OnOhms, OffOhms: s.Lift.OffOhms},
	}
	if s.Lift.LeadFarads > 0 {
		parts = append(parts, circuit.Capacitor{Name: "lift.lead", A: "legs", B: circuit.Ground, Farads: s.Lift.LeadFarads})
	}
	return parts
}

// parts gives a band's slider and leg, named and placed.
func (b Band) parts() []circuit.Part {
	slider, resistor, coil, capacitor := b.Slider, b.Resistor, b.Coil, b.Capacitor
	wiper, a, bb := b.Name+".wiper", b.Name+".a", b.Name+".b"
	slider.Name, slider.Boost, slider.Wiper, slider.Cut = b.Name, "boost", wiper, "cut"
	resistor.Name, resistor.A, resistor.B = b.Name+".resistor", wiper, a
	coil.Name, coil.A, coil.B = b.Name+".coil", a, bb
	capacitor.Name, capacitor.A, capacitor.B = b.Name+".capacitor", bb, "legs"
	return []circuit.Part{slider, resistor, coil, capacitor}
}
