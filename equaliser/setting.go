package equaliser

import (
	"bandwright/circuit"
	"bandwright/curve"
)

// Named is a setting with the name it goes by.
type Named struct {
	Name    string        `json:"name"`
	Setting curve.Setting `json:"setting"`
}

// Flat is every slider centred, every switch at rest.
func (e *Equaliser) Flat() curve.Setting { return curve.Setting{} }

// Lifted is flat with the legs' common off ground. False: there is no lift
// contact.
func (e *Equaliser) Lifted() (curve.Setting, bool) {
	return curve.Setting{}.WithSwitch(FootSwitch, "lifted"), e.hasSwitch(FootSwitch, "lifted")
}

// Bypassed is the panel switch out. False: there is no panel switch.
func (e *Equaliser) Bypassed() (curve.Setting, bool) {
	return curve.Setting{}.WithSwitch(PanelSwitch, "out"), e.hasSwitch(PanelSwitch, "out")
}

// Boost is one band's slider at +1, the others centred.
func (e *Equaliser) Boost(band string) curve.Setting { return e.alone(band, 1) }

// Cut is one band's slider at −1, the others centred.
func (e *Equaliser) Cut(band string) curve.Setting { return e.alone(band, -1) }

func (e *Equaliser) alone(band string, position float64) curve.Setting {
	return curve.Setting{}.WithSlider(e.band(band).Name, position)
}

// AllUp is every band's slider at +1.
func (e *Equaliser) AllUp() curve.Setting { return e.all(1) }

// AllDown is every band's slider at −1.
func (e *Equaliser) AllDown() curve.Setting { return e.all(-1) }

func (e *Equaliser) all(position float64) curve.Setting {
	s := curve.Setting{Sliders: map[string]float64{}}
	for _, b := range e.spec.Bands {
		s.Sliders[b.Name] = position
	}
	return s
}

// Family lists the settings that show an equaliser whole: flat, each band at
// its two ends, all up, all down, and lifted and bypassed where there are the
// switches for it.
func (e *Equaliser) Family() []Named {
	family := []Named{{"flat", e.Flat()}}
	for _, b := range e.spec.Bands {
		family = append(family, Named{b.Name + " boost", e.Boost(b.Name)}, Named{b.Name + " cut", e.Cut(b.Name)})
	}
	family = append(family, Named{"all up", e.AllUp()}, Named{"all down", e.AllDown()})
	if s, ok := e.Lifted(); ok {
		family = append(family, Named{"lifted", s})
	}
	if s, ok := e.Bypassed(); ok {
		family = append(family, Named{"bypassed", s})
	}
	return family
}

func (e *Equaliser) hasSwitch(name, position string) bool {
	part, ok := e.circuit.Part(name)
	if !ok {
		return false
	}
	s, ok := part.(circuit.Switch)
	if !ok {
		return false
	}
	for _, p := range s.Positions {
		if p == position {
			return true
		}
	}
	return false
}
