package bench

import (
	"strings"

	"bandwright/circuit"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/wiring"
)

// wiringShare is how much likelier than all faults of parts together a slip of
// wiring is, where a harness was made by hand. Common practice, no source.
const wiringShare = 0.5

// wiringFaults are the slips of what there is of the harness, each with its label;
// none without a harness. parts is what all faults of parts weigh together.
func (c *Case) wiringFaults(parts float64) []fault.Hypothesis {
	if !c.job.Wired() {
		return nil
	}
	as := wiring.Complete
	if c.asMade {
		as = wiring.AsMade
	}
	var list []fault.Hypothesis
	for _, slip := range harnessOf(c.job).Faults(as) {
		weight := slip.Prior * wiringShare * parts
		if slip.Slip == wiring.DryJoint { // how dry, nobody knows
			e := slip.Edits[0]
			list = append(list, fault.Joint(slip.Label, e.Part, e.Leg, weight))
			continue
		}
		h := fault.Hypothesis{Name: slip.Label + ": " + string(slip.Slip), Kind: fault.Kind(slip.Slip), Label: slip.Label,
			Weight: weight, Cases: []fault.Case{{Edits: slip.Edits, Weight: 1}}}
		for _, e := range slip.Edits {
			h.Places = append(h.Places, placeOfSlip(e))
		}
		list = append(list, h)
	}
	return list
}

// placeOfSlip names a part for the run, contact or link that an edit is of.
func placeOfSlip(e circuit.Edit) finding.Place {
	at := e.Place()
	if e.Kind == circuit.EditMove {
		at.Point = "" // it is the run that is wrong
	}
	return at
}

// harnessParts are those whose faults the harness itself lists, and what only
// holds loose ends.
func (c *Case) harnessParts() (names []string) {
	if !c.job.Wired() {
		return nil
	}
	for _, p := range c.equaliser.Circuit().Parts() {
		for _, begins := range []string{"run.", "link.", insulation} {
			if strings.HasPrefix(p.PartName(), begins) {
				names = append(names, p.PartName())
			}
		}
	}
	return names
}
