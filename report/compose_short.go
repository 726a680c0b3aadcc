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
	name := unitName(u.Unit)
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

func unitName(unit string) string {
	if unit == "" {
		return "The unit"
	}
	return "Unit " + unit
}

// bandLine says what the circuit promises of one band.
func (c composer) bandLine(i int) Item {
	b := c.answer.Bands.Bands[i]
	words := "predicted " + db1(b.BoostDB) + " at " + hertz(b.CentreHz) + " Hz and " + db1(b.CutDB) + " at " + hertz(b.CutHz) + " Hz"
	if b.Q != nil {
		words += ", Q " + plain(*b.Q, 2)
	}
	words += "; its leg alone rings at " + hertz(b.LegHz) + " Hz."
	return Item{Term: bandTitle(b.Band, b.StatedHz), Text: words}
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
	if b.MeasuredDB != nil {
		parts = append(parts, "gives "+db1(*b.MeasuredDB)+insteadOf(*b.MeasuredDB, b.PredictedDB))
	}
	if b.MeasuredCut != nil {
		parts = append(parts, "cuts to "+db1(*b.MeasuredCut)+insteadOf(*b.MeasuredCut, b.PredictedCut))
	}
	if len(parts) == 0 {
		return unitName(u.Unit) + " was not measured in this band."
	}
	return unitName(u.Unit) + " " + listed(parts) + "."
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

func insteadOf(measured, predicted float64) string {
	if db1(measured) == db1(predicted) {
		return " as predicted"
	}
	return " instead of " + db1(predicted)
}

// whereToLook says what such a difference usually means (common practice, no
// source): what to read next, not what is wrong.
func whereToLook(b bench.BandCompare, l bench.Limits) string {
	beyond := func(off *float64, limit float64) bool { return off != nil && (*off > limit || *off < -limit) }
	centre := beyond(b.CentreOff, l.CentrePercent)
	range_ := beyond(b.BoostOff, l.DB) || beyond(b.CutOff, l.DB)
	switch {
	case centre && range_:
		return "Look at coil, capacitor and resistance of this leg: read each on its own."
	case centre:
		return "Look at coil and capacitor of this leg: read both."
	case range_:
		return "Look at the resistance of this leg: series resistor, DCR, wiper, joints; read the ohms leg by leg."
	}
	return ""
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
	words := "Headroom over the stated level" + c.statedLevel() + " is least at " + hertz(least.AtHz) + " Hz: " +
		plain(*least.UpDB, 3) + " dB with that slider at full boost"
	if least.FlatDB != nil {
		words += ", " + plain(*least.FlatDB, 3) + " dB flat"
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
