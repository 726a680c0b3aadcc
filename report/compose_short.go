package report

import (
	"strings"

	"bandwright/bench"
	"bandwright/draw"
	"bandwright/finding"
)

// inShort is the answer in plain sentences: first whether each unit holds,
// then a line a band.
func (c composer) inShort() Section {
	s := Section{ID: "in-short", Heading: "In short"}
	compare := c.answer.Compare
	if compare != nil {
		for _, u := range compare.Units {
			s.Blocks = append(s.Blocks, verdict(u, compare.Limits))
		}
	}
	if compare == nil || len(compare.Units) == 0 {
		s.Blocks = append(s.Blocks, text(Lead, "Nothing is measured yet: this sheet says what the circuit, as its parts are entered, will do."))
	}
	if !c.answer.Bands.Stable {
		s.Blocks = append(s.Blocks, text(Look, "The circuit as entered does not stay at its operating point: none of the curves below would be measured. See “Findings”."))
	}
	if n := c.count(finding.Warning); n > 0 {
		s.Blocks = append(s.Blocks, text(Plain, count(n, "warning stands", "warnings stand")+" under “Findings”; read them before this sheet is relied on."))
	}
	lines := &List{}
	for i := range c.answer.Bands.Bands {
		lines.Items = append(lines.Items, c.bandLine(i))
		lines.Items = append(lines.Items, c.unitLines(c.answer.Bands.Bands[i].Band)...)
	}
	s.Blocks = append(s.Blocks, Block{List: lines}, text(Plain, c.headroomSentence()))
	return s
}

func (c composer) count(level finding.Level) int {
	n := 0
	for _, f := range distinct(c.found) {
		if f.Level == level {
			n++
		}
	}
	return n
}

// verdict says in one sentence whether a unit is as predicted.
func verdict(u bench.UnitCompare, l bench.Limits) Block {
	var off, measured []string
	for _, b := range u.Bands {
		if b.MeasuredHz != nil || b.MeasuredDB != nil || b.MeasuredCut != nil {
			measured = append(measured, stated(b.StatedHz))
		}
		if b.Off {
			off = append(off, stated(b.StatedHz))
		}
	}
	limits := "within " + plain(l.CentrePercent, 3) + " % in centre and " + plain(l.DB, 3) + " dB in boost and cut"
	name := unitName(u)
	switch {
	case len(measured) == 0:
		return text(Lead, name+": no band was measured alone; see the difference curves.")
	case len(off) > 0:
		return text(Look, name+": "+count(len(off), "band lies", "bands lie")+" beyond the limits: "+listed(off)+
			" Hz. The others measured are as predicted, "+limits+".")
	case len(measured) < len(u.Bands):
		return text(Lead, name+": the "+count(len(measured), "band", "bands")+" measured ("+listed(measured)+" Hz) are as predicted, "+limits+".")
	}
	return text(Lead, name+": every band is as predicted, "+limits+".")
}

// unitName begins a sentence; what is not a measured unit says what it is.
func unitName(u bench.UnitCompare) string {
	name := "The unit"
	if u.Unit != "" {
		name = "Unit " + u.Unit
	}
	if u.Role != "" && u.Role != "measured" {
		name += " (" + u.Role + ")"
	}
	if u.Less != "" {
		name += ", less " + u.Less
	}
	return name
}

// bandLine says what the circuit promises of one band.
func (c composer) bandLine(i int) Item {
	b := c.answer.Bands.Bands[i]
	words := "predicted " + extremum("boost", b.Found, b.BoostDB, b.CentreHz) + " and " + extremum("cut", b.CutFound, b.CutDB, b.CutHz)
	if b.Q != nil {
		words += ", Q " + fixedOr(b.Q, 2)
	}
	if b.LegHz > 0 {
		words += "; its leg alone resonates at " + hertz(b.LegHz) + " Hz"
	}
	item := Item{Term: bandTitle(b.Band, b.StatedHz), Text: words + "."}
	if !b.Found || !b.CutFound {
		item.Tone = Look
	}
	return item
}

func extremum(side string, found bool, db, hz float64) string {
	if !found {
		return "no " + side
	}
	return db1(db) + " at " + hertz(hz) + " Hz"
}

// bandTitle names a band by its stated frequency, and by its name where that
// says something else.
func bandTitle(name string, hz float64) string {
	if name == stated(hz) {
		return name + " Hz"
	}
	return name + " (" + stated(hz) + " Hz)"
}

// unitLines says of each unit what was measured in one band.
func (c composer) unitLines(band string) []Item {
	if c.answer.Compare == nil {
		return nil
	}
	var items []Item
	for _, u := range c.answer.Compare.Units {
		for _, b := range u.Bands {
			if b.Band != band {
				continue
			}
			item := Item{Text: unitSentence(u, b)}
			if b.Off {
				item.Tone, item.Note = Look, whereToLook(b, c.answer.Compare.Limits)
			}
			items = append(items, item)
		}
	}
	return items
}

// unitSentence is one band of one unit in words: where it sits and what it
// gives, measured against predicted.
func unitSentence(u bench.UnitCompare, b bench.BandCompare) string {
	var parts []string
	if b.MeasuredHz != nil && b.CentreOff != nil {
		parts = append(parts, "sits "+sits(*b.CentreOff)+" at "+hertz(*b.MeasuredHz)+" Hz")
	}
	if b.MeasuredDB != nil && b.MeasuredCut != nil && none(b.BoostOff) && none(b.CutOff) {
		parts = append(parts, "gives "+db1(*b.MeasuredDB), "cuts to "+db1(*b.MeasuredCut)+", both as predicted")
		return unitName(u) + " " + listed(parts) + "."
	}
	if b.MeasuredDB != nil {
		parts = append(parts, "gives "+db1(*b.MeasuredDB)+insteadOf(b.BoostOff, b.PredictedDB))
	}
	if b.MeasuredCut != nil {
		parts = append(parts, "cuts to "+db1(*b.MeasuredCut)+insteadOf(b.CutOff, b.PredictedCut))
	}
	if len(parts) == 0 {
		return unitName(u) + " was not measured in this band."
	}
	return unitName(u) + " " + listed(parts) + "."
}

func sits(percent float64) string {
	words := draw.Signed(percent, 1)
	size := strings.TrimLeft(words, "+−")
	switch {
	case words == size: // nought has no sign
		return "where predicted,"
	case percent < 0:
		return size + " % low,"
	}
	return size + " % high,"
}

// insteadOf passes over what is no difference on a bench.
func insteadOf(off *float64, predicted float64) string {
	switch {
	case off == nil:
		return ""
	case none(off):
		return " as predicted"
	}
	return " instead of " + db1(predicted)
}

func none(off *float64) bool { return off != nil && *off > -0.1 && *off < 0.1 }

// whereToLook says what such a difference usually means (common practice, no
// source): what to read next, not what is wrong.
func whereToLook(b bench.BandCompare, l bench.Limits) string {
	beyond := func(off *float64, limit float64) bool { return off != nil && (*off > limit || *off < -limit) }
	centre := beyond(b.CentreOff, l.CentrePercent)
	height := beyond(b.BoostOff, l.DB) || beyond(b.CutOff, l.DB)
	switch {
	case exchanged(b):
		return "Boost and cut are exchanged: ring out this slider's ends to the boost bus and the cut bus."
	case centre && height:
		return "Look at coil, capacitor and resistance of this leg: read each on its own."
	case centre:
		return "Look at coil and capacitor of this leg: read both."
	case height:
		return "Look at the resistance of this leg: series resistor, DCR, wiper, joints; read the ohms leg by leg."
	}
	return ""
}

// exchanged tells a slider that cuts at its boost end, and boosts at its cut
// end where that was measured too.
func exchanged(b bench.BandCompare) bool {
	up := b.MeasuredDB != nil && *b.MeasuredDB < -1 && b.PredictedDB > 1
	down := b.MeasuredCut == nil || *b.MeasuredCut > 1
	return up && down
}

// headroomSentence is how much louder the tap-in may get.
func (c composer) headroomSentence() string {
	var least *bench.BandHeadroom
	for i, h := range c.answer.Bands.Headroom {
		if h.UpDB != nil && (least == nil || *h.UpDB < *least.UpDB) {
			least = &c.answer.Bands.Headroom[i]
		}
	}
	if least == nil {
		return "Headroom is not stated: give the level at the tap-in, and a rail that limits."
	}
	words := "Least headroom over the stated level" + c.statedLevel() + ": " + plain(*least.UpDB, 3) + " dB at " + hertz(least.AtHz) +
		" Hz with that slider at full boost"
	if least.FlatDB != nil {
		words += " (" + plain(*least.FlatDB, 3) + " dB flat)"
	}
	if least.LimitedBy != "" {
		words += "; " + least.LimitedBy + " clips first"
	}
	return words + "."
}

func (c composer) statedLevel() string {
	if c.job.TapIn.Level == nil {
		return ""
	}
	return " of " + level(c.job.TapIn.Level)
}
