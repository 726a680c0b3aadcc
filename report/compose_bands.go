package report

import (
	"strconv"

	"bandwright/bench"
)

// bandTable is each band's stated, predicted and measured figures under one
// another, then what the prediction says beyond them.
func (c composer) bandTable() Section {
	s := Section{ID: "bands", Heading: "Bands"}
	s.Blocks = append(s.Blocks, Block{Table: c.compared()})
	note := "Centre is where the band curve has its extremum with that slider at its end and the others centred; boost and cut are that extremum, against flat."
	if c.answer.Compare != nil {
		note += " ± is one standard error of the measured centre and boost."
	}
	if r := c.answer.Ranges; r != nil {
		note += " In the predicted rows stands instead the range that holds 95 % of boards made of parts known as well as these, over " + strconv.Itoa(r.Builds) + " virtual builds: each part by its reading, or within its tolerance."
	}
	s.Blocks = append(s.Blocks, text(Small, note), Block{Table: c.detail()},
		text(Small, "Width and Q are taken between the edges at half the boost in dB. The −3 dB Q is taken 3 dB below the top, the leg's Q is (1/R)√(L/C) of the leg alone: three different figures. Total is source to output at the centre; its own share is what this slider adds to that."))
	return s
}

func (c composer) compared() *Table {
	spreadHead := "±"
	if c.answer.Ranges != nil {
		spreadHead = "±, range"
	}
	t := &Table{
		Caption: "Stated, predicted and measured",
		Columns: []Column{
			{Head: "which"}, {Head: "centre", Unit: "Hz", Number: true}, {Head: spreadHead, Unit: "Hz", Number: true},
			{Head: "off stated", Unit: "%", Number: true}, {Head: "off predicted", Unit: "%", Number: true},
			{Head: "boost", Unit: "dB", Number: true}, {Head: spreadHead, Unit: "dB", Number: true}, {Head: "boost off", Unit: "dB", Number: true},
			{Head: "cut", Unit: "dB", Number: true}, {Head: "cut off", Unit: "dB", Number: true},
			{Head: "Q", Number: true}, {Head: "Q off", Unit: "%", Number: true}, {Head: "verdict"},
		},
	}
	for _, b := range c.answer.Bands.Bands {
		group := bandTitle(b.Band, b.StatedHz) + " stated; leg resonance " + hertzOr(where(b.LegHz > 0, b.LegHz)) + " Hz"
		centreRange, boostRange := c.rangesOf(b.Band)
		t.add(group, "predicted", hertzOr(where(b.Found, b.CentreHz)), centreRange, percentOr(where(b.Found, 100*(b.CentreHz/b.StatedHz-1))), "",
			db2Or(where(b.Found, b.BoostDB)), boostRange, "", db2Or(where(b.CutFound, b.CutDB)), "", fixedOr(b.Q, 2), "", "")
		if c.answer.Compare == nil {
			continue
		}
		for _, u := range c.answer.Compare.Units {
			for _, m := range u.Bands {
				if m.Band == b.Band {
					addMeasured(t, group, u, m)
				}
			}
		}
	}
	switch {
	case c.answer.Compare != nil:
	case c.answer.Ranges != nil:
		t.drop(12, 11, 9, 7, 4)
		t.Columns[2].Head, t.Columns[5].Head = "range", "range"
	default:
		t.drop(12, 11, 9, 7, 6, 4, 2)
	}
	return t
}

// rangesOf gives the ranges of a band's centre and boost as text, blank where
// there is none.
func (c composer) rangesOf(band string) (centre, boost string) {
	if c.answer.Ranges == nil {
		return "", ""
	}
	for _, b := range c.answer.Ranges.Bands {
		if b.Band == band {
			return rangeText(b.Centre, rangePlaces(b.Centre)), rangeText(b.Boost, 2)
		}
	}
	return "", ""
}

// rangePlaces keeps a range of hertz as short as it can be read: to a tenth
// below 200 Hz.
func rangePlaces(r *bench.Range) int {
	if r != nil && r.High < 200 {
		return 1
	}
	return 0
}

func addMeasured(t *Table, group string, u bench.UnitCompare, m bench.BandCompare) {
	word := "holds"
	if m.Off {
		word = "look"
	}
	if m.MeasuredHz == nil && m.MeasuredDB == nil && m.MeasuredCut == nil {
		word = "not measured"
	}
	row := t.add(group, "unit "+u.Unit, hertzOr(m.MeasuredHz), fixedOr(m.ErrorHz, 1), percentOr(m.StatedOff), percentOr(m.CentreOff),
		db2Or(m.MeasuredDB), fixedOr(m.ErrorDB, 2), db2Or(m.BoostOff), db2Or(m.MeasuredCut), db2Or(m.CutOff),
		fixedOr(m.MeasuredQ, 2), percentOr(m.QOff), word)
	if m.Off {
		row.Tone = Look
	}
}

// drop takes columns out, given from the last to the first.
func (t *Table) drop(columns ...int) {
	for _, i := range columns {
		t.Columns = append(t.Columns[:i:i], t.Columns[i+1:]...)
		for g := range t.Groups {
			for r := range t.Groups[g].Rows {
				row := &t.Groups[g].Rows[r]
				row.Cells = append(row.Cells[:i:i], row.Cells[i+1:]...)
			}
		}
	}
}

func (c composer) detail() *Table {
	t := &Table{
		Caption: "Predicted, in full",
		Columns: []Column{
			{Head: "band", Unit: "Hz"}, {Head: "leg resonance", Unit: "Hz", Number: true}, {Head: "leg Q", Number: true},
			{Head: "boost centre", Unit: "Hz", Number: true}, {Head: "cut centre", Unit: "Hz", Number: true},
			{Head: "lower edge", Unit: "Hz", Number: true}, {Head: "upper edge", Unit: "Hz", Number: true},
			{Head: "width", Unit: "Hz", Number: true}, {Head: "Q", Number: true}, {Head: "−3 dB Q", Number: true},
			{Head: "total", Unit: "dB", Number: true}, {Head: "own share", Unit: "dB", Number: true},
		},
	}
	for _, b := range c.answer.Bands.Bands {
		t.add("", b.Band, hertzOr(where(b.LegHz > 0, b.LegHz)), fixedOr(where(b.LegQ > 0, b.LegQ), 2),
			hertzOr(where(b.Found, b.CentreHz)), hertzOr(where(b.CutFound, b.CutHz)), hertzOr(b.LowHz), hertzOr(b.HighHz),
			hertzOr(b.WidthHz), fixedOr(b.Q, 2), fixedOr(b.QTop, 2), db2Or(where(b.Found, b.TotalDB)), db2Or(where(b.Found, b.ShareDB)))
	}
	return t
}

// where gives a number where it means something, else none.
func where(known bool, x float64) *float64 {
	if !known {
		return nil
	}
	return &x
}
