package bench

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/reading"
	"bandwright/wiring"
)

// plan chooses the probes, or gives those chosen before: whoever enters a
// reading asks for the same list again, and waits for its verdict.
func (l *ohmsList) plan(ctx context.Context, progress func(done, total int)) error {
	if err := l.question(progress); err != nil {
		return err
	}
	c, key := l.c, fmt.Sprint(l.q.Stage, " ", l.q.List, " ", l.q.Workers)
	c.mu.Lock()
	l.made = c.lists[key]
	c.mu.Unlock()
	if l.made != nil {
		return nil
	}
	var err error
	if l.q.List == ListQuick {
		l.made, err = wiring.Quick(ctx, l.ask, quickLines)
	} else {
		l.made, err = wiring.Full(ctx, l.ask)
	}
	if err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.lists == nil {
		c.lists = map[string]*wiring.List{}
	}
	c.lists[key] = l.made
	return nil
}

// question says what a list is made for: the circuit with its power off, every
// single slip of the harness and of filling the board, every point that a lead
// can be held to, and every setting that a hand can make.
func (l *ohmsList) question(progress func(done, total int)) error {
	dead, err := l.at.dead()
	if err != nil {
		return err
	}
	l.faults = l.listed()
	parts, _ := l.at.uncertainties()
	l.ask = wiring.Question{
		Circuit: dead, Faults: l.faults, Points: l.points(dead), Settings: l.settings(dead),
		Parts: loosened(dead, parts), Meter: l.answer.Meter, Cond: reading.Conditions{Kelvin: l.c.equaliser.Spec().Kelvin}, Progress: progress, Workers: l.q.Workers,
	}
	return nil
}

// listed are the faults of the harness, and of filling the board beside them.
func (l *ohmsList) listed() []wiring.Fault {
	h := harnessOf(l.c.job)
	list := h.Faults(l.as)
	for _, s := range l.at.equaliser.Slips() {
		list = append(list, wiring.Fault{Label: s.Label, Slip: wiring.Slip(s.Kind), Edits: s.Edits, Prior: s.Prior})
	}
	total := 0.0
	for _, f := range list {
		total += f.Prior
	}
	for i := range list {
		list[i].Prior /= total
	}
	return list
}

// points are those that a lead can be held to: all but those inside the
// amplifier that no lead reaches.
func (l *ohmsList) points(of *circuit.Circuit) (list []string) {
	for _, p := range append([]string{circuit.Ground}, of.Points()...) {
		if p != generatorPoint {
			list = append(list, p)
		}
	}
	return list
}

// settings are those of the switches, and all sliders up: a slider whose ends
// are exchanged reads the same at its centre.
func (l *ohmsList) settings(of *circuit.Circuit) []curve.Setting {
	return append(switchSettings(of), l.at.equaliser.AllUp())
}

// runsWithin is how far the ohms of a run, a link or a contact may be off: a
// length is measured along a drawing. Common practice, no source.
const runsWithin = 0.5

// loosened widens what is known of the harness's own conductors, and leaves out
// what the circuit has not.
func loosened(of *circuit.Circuit, parts []reading.Uncertainty) (list []reading.Uncertainty) {
	for _, u := range parts {
		v, err := of.Value(u.Knob)
		switch {
		case err != nil:
			continue
		case strings.HasPrefix(u.Knob.Part, insulation):
			continue
		case strings.HasPrefix(u.Knob.Part, "run.") && u.Knob.Value == "Ohms":
			u = reading.Within(u.Knob, runsWithin*v)
		}
		if slices.Contains([]string{"Ohms", "DCR", "Track", "OnOhms", "BoostEnd", "CutEnd", "WiperOhms"}, u.Knob.Value) {
			list = append(list, u)
		}
	}
	return list
}
