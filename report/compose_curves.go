package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/curve"
	"bandwright/draw"
	"bandwright/quantity"
)

// plotWidth fits the text of an upright A4 page.
const plotWidth = 174

// curves is what is predicted, and each unit laid over it.
func (c composer) curves() Section {
	s := Section{ID: "curves", Heading: "Curves"}
	if len(c.answer.Family) > 0 {
		s.Blocks = append(s.Blocks, Block{Figure: c.family()}, text(Plain, c.rangeSentence()))
	}
	if c.answer.Compare == nil {
		return s
	}
	for _, u := range c.answer.Compare.Units {
		if len(u.Curves) > 0 {
			s.Blocks = append(s.Blocks, Block{Figure: c.laidOver(u)}, Block{Figure: c.differences(u)}, Block{Table: c.curveTable(u)})
		}
	}
	if len(s.Blocks) > 0 {
		s.Blocks = append(s.Blocks, text(Small, "25 dB are as long as one decade (IEC 60263), in the difference plots 10 dB. Measured curves are set to the level of their prediction first; what was added stands in the table."))
	}
	return s
}

// kind sorts a setting by what moves: one slider, several, or none.
type kind int

const (
	still kind = iota
	alone
	together
)

// moved tells the kind of a setting, and which band moves when one does, by
// its place among the bands (−1: none), and whether towards boost.
func (c composer) moved(s curve.Setting) (k kind, band int, up bool) {
	band = -1
	for i, b := range c.answer.Bands.Bands {
		p := s.Slider(b.Band)
		if p == 0 {
			continue
		}
		if band >= 0 {
			return together, -1, p > 0
		}
		band, up, k = i, p > 0, alone
	}
	return k, band, up
}

func (c composer) marks() []draw.Mark {
	var marks []draw.Mark
	for _, b := range c.answer.Bands.Bands {
		marks = append(marks, draw.Mark{Hz: b.StatedHz, Label: b.Band})
	}
	return marks
}

// family is the prediction: neighbours alternate between two patterns, so
// that each can be followed through the crossings.
func (c composer) family() *Figure {
	p := draw.Plot{
		ID: "predicted", Title: "Predicted: every band at full boost and full cut, all up, all down",
		Width: plotWidth, LowDB: -5, HighDB: 5, Marks: c.marks(),
	}
	names := c.alternating()
	for _, k := range c.answer.Family {
		kind, band, up := c.moved(k.Setting)
		line := draw.Curve{Hz: k.Hz, DB: k.DB}
		switch {
		case kind == alone:
			line.Name = names[band%2]
			line.Pen = draw.Pen{Width: 0.32, Colour: draw.Ink(1 + band%2), Pattern: draw.PatternOf(band % 2)}
		case up:
			line.Name, line.Pen = "all up", draw.Pen{Width: 0.5, Colour: draw.Ink(0), Pattern: draw.LongDash}
		default:
			line.Name, line.Pen = "all down", draw.Pen{Width: 0.5, Colour: draw.Ink(0), Pattern: draw.DashDot}
		}
		p.Curves = append(p.Curves, line)
	}
	p.Shades = c.shades()
	p.Desc = "Band curves against flat over 20 Hz to 20 kHz. " + c.familyInWords() + " The table under the figure has the same values."
	caption := p.Title + ". Triangles mark the stated centres."
	if len(p.Shades) > 0 {
		caption += " Shaded: where each band's curve lies in 95 % of boards made of parts known as well as these."
	}
	return &Figure{Caption: caption, Drawing: p.Draw(), Data: thirds(p.Title, c.answer.Family)}
}

// shades are the ranges behind the band curves; all of one grey, so that they
// join where they cross.
func (c composer) shades() []draw.Shade {
	if c.answer.Ranges == nil {
		return nil
	}
	var list []draw.Shade
	for _, r := range c.answer.Ranges.Curves {
		list = append(list, draw.Shade{Name: "95 % of boards", Hz: r.Hz, Low: r.Low, High: r.High, Colour: draw.Grey(0xd8)})
	}
	return list
}

// alternating names the bands of each of the two patterns.
func (c composer) alternating() [2]string {
	var names [2][]string
	for i, b := range c.answer.Bands.Bands {
		names[i%2] = append(names[i%2], b.Band)
	}
	if len(names[0]) > 4 {
		return [2]string{"the first band alone, the third, …", "the second band alone, the fourth, …"}
	}
	return [2]string{"alone: " + listed(names[0]), "alone: " + listed(names[1])}
}

func (c composer) familyInWords() string {
	var words []string
	for _, b := range c.answer.Bands.Bands {
		words = append(words, b.Band+": "+extremum("boost", b.Found, b.BoostDB, b.CentreHz)+", "+extremum("cut", b.CutFound, b.CutDB, b.CutHz))
	}
	return strings.Join(words, "; ") + "."
}

func (c composer) rangeSentence() string {
	b := c.answer.Bands
	end := func(db, hz float64) string { return db1(db) + " at " + hertz(hz) + " Hz" }
	return "Flat, source to output, the gain lies between " + end(b.Flat.LowDB, b.Flat.LowHz) + " and " + end(b.Flat.HighDB, b.Flat.HighHz) +
		". Against flat, all sliders up reach " + end(b.AllUp.HighDB, b.AllUp.HighHz) + ", all down " + end(b.AllDown.LowDB, b.AllDown.LowHz) + "."
}

// laidOver draws one unit's measured curves, solid, over the predicted ones.
func (c composer) laidOver(u bench.UnitCompare) *Figure {
	p := draw.Plot{
		ID: "measured-" + identifier(u.Unit+u.Less), Title: unitName(u) + ": measured over predicted",
		Width: plotWidth, LowDB: -5, HighDB: 5, Marks: c.marks(),
	}
	var predicted []draw.Curve
	var data []curve.Curve
	for _, k := range u.Curves {
		if kind, _, _ := c.moved(k.Measured.Setting); kind == still {
			continue
		}
		p.Curves = append(p.Curves,
			draw.Curve{Name: "measured", Hz: k.Measured.Hz, DB: levelled(k).DB, Pen: draw.Pen{Width: 0.35, Colour: draw.Ink(0)}})
		// The broken lines lie over the solid ones, so that both show where they agree.
		predicted = append(predicted,
			draw.Curve{Name: "predicted", Hz: k.Predicted.Hz, DB: k.Predicted.DB, Pen: draw.Pen{Width: 0.25, Colour: draw.Ink(1), Pattern: draw.Dashed}})
		data = append(data, named(levelled(k), k.Name))
	}
	p.Curves = append(p.Curves, predicted...)
	p.Desc = "Measured curves of each slider at its ends over the predicted ones. " + c.differencesInWords(u)
	return &Figure{Caption: p.Title + " (solid: measured, broken: predicted).", Drawing: p.Draw(), Data: thirds(p.Title, data)}
}

// differences draws what is left between measured and predicted, and names
// the lines that leave the limits where they leave them most. A line that
// leaves the plot says by its name how far it goes.
func (c composer) differences(u bench.UnitCompare) *Figure {
	limit := c.answer.Compare.Limits.DB
	p := draw.Plot{
		ID: "difference-" + identifier(u.Unit+u.Less), Title: unitName(u) + ": measured minus predicted",
		Width: plotWidth, DecadeDB: draw.WideDB, LowDB: -4 * limit, HighDB: 4 * limit, MostDB: max(6, 4*limit), Marks: c.marks(),
		Shades: []draw.Shade{{
			Name: "within ±" + plain(limit, 3) + " dB", Hz: []float64{20, 20e3},
			Low: []float64{-limit, -limit}, High: []float64{limit, limit}, Colour: draw.Colour{R: 0xf1, G: 0xec, B: 0xe2},
		}},
	}
	var data []curve.Curve
	for _, k := range u.Curves {
		kind, _, up := c.moved(k.Measured.Setting)
		line := draw.Curve{Name: "boost", Hz: k.Difference.Hz, DB: k.Difference.DB, Pen: draw.Pen{Width: 0.3, Colour: draw.Ink(1)}}
		switch {
		case kind == still:
			line.Name, line.Pen.Pattern, line.Pen.Colour = "flat, lifted, bypassed", draw.Dotted, draw.Ink(3)
		case kind == together:
			line.Name, line.Pen.Pattern, line.Pen.Colour = "all up, all down", draw.DashDot, draw.Ink(0)
		case !up:
			line.Name, line.Pen.Pattern, line.Pen.Colour = "cut", draw.Dashed, draw.Ink(2)
		}
		p.Curves = append(p.Curves, line)
		data = append(data, named(k.Difference, k.Name))
		if k.MaxDB > limit || k.MaxDB < -limit {
			p.Notes = append(p.Notes, draw.Note{Hz: k.MaxHz, DB: k.MaxDB, Text: c.settingWords(k.Measured.Setting, k.Setting) + ": " + db1(k.MaxDB)})
		}
	}
	p.Desc = "Differences between measured and predicted. " + c.differencesInWords(u)
	return &Figure{Caption: p.Title + ", at one level.", Drawing: p.Draw(), Data: thirds(p.Title, data)}
}

// levelled is the measured curve at the level of its prediction.
func levelled(k bench.CurveCompare) curve.Curve {
	moved := k.Measured
	moved.DB = make([]float64, len(k.Measured.DB))
	for i, db := range k.Measured.DB {
		moved.DB[i] = db + k.LevelDB
	}
	return moved
}

func (c composer) differencesInWords(u bench.UnitCompare) string {
	var words []string
	for _, k := range u.Curves {
		words = append(words, k.Name+": at most "+db1(k.MaxDB)+" at "+hertz(k.MaxHz)+" Hz")
	}
	return "Largest differences, " + strings.Join(words, "; ") + "."
}

func (c composer) curveTable(u bench.UnitCompare) *Table {
	t := &Table{
		Caption: unitName(u) + ": each curve against its prediction",
		Columns: []Column{
			{Head: "curve"}, {Head: "setting"}, {Head: "points", Number: true},
			{Head: "level added", Unit: "dB", Number: true}, {Head: "rms", Unit: "dB", Number: true},
			{Head: "largest", Unit: "dB", Number: true}, {Head: "at", Unit: "Hz", Number: true}, {Head: "file read as"},
		},
	}
	limit := c.answer.Compare.Limits.DB
	for _, k := range u.Curves {
		row := t.add("", k.Name, c.settingWords(k.Measured.Setting, k.Setting), strconv.Itoa(len(k.Measured.Hz)), db2(k.LevelDB),
			fixedOr(&k.RMSDB, 2), db2(k.MaxDB), hertz(k.MaxHz), readAs(k.Understood))
		if k.MaxDB > limit || k.MaxDB < -limit {
			row.Tone = Look
		}
	}
	return t
}

// readAs says what a curve file was taken for.
func readAs(u curve.Understood) string {
	var words []string
	for _, choice := range [...]struct{ is, say string }{
		{u.Separator.Is, u.Separator.Is}, {u.Decimal.Is, "decimal " + u.Decimal.Is},
		{u.Frequency.Is, u.Frequency.Is}, {u.Gain.Is, u.Gain.Is},
	} {
		if choice.is != "" {
			words = append(words, choice.say)
		}
	}
	if u.Phase.Is != "" && u.Phase.Is != "none" {
		words = append(words, u.Phase.Is)
	}
	return orDash(strings.Join(words, ", "))
}

// settingWords shortens a setting in which every slider stands alike.
func (c composer) settingWords(s curve.Setting, written string) string {
	if k, _, up := c.moved(s); k == together && len(s.Switches) == 0 {
		first := s.Slider(c.answer.Bands.Bands[0].Band)
		for _, b := range c.answer.Bands.Bands {
			if s.Slider(b.Band) != first {
				return written
			}
		}
		if up && first == 1 {
			return "all at +1"
		}
		if first == -1 {
			return "all at −1"
		}
	}
	return written
}

// thirds is curves in figures at the standard third octaves they cover.
func thirds(caption string, curves []curve.Curve) Table {
	t := Table{Caption: caption + ", dB at third octaves", Columns: []Column{{Head: "Hz"}}}
	for _, k := range curves {
		t.Columns = append(t.Columns, Column{Head: k.Name, Number: true})
	}
	for _, hz := range quantity.NominalThirds(20, 20e3) {
		cells := []string{stated(float64(hz))}
		for _, k := range curves {
			db, _, ok := curve.At(k, float64(hz))
			if !ok {
				cells = append(cells, dash)
				continue
			}
			cells = append(cells, db2(db))
		}
		t.add("", cells...)
	}
	return t
}

func named(k curve.Curve, name string) curve.Curve {
	k.Name = name
	return k
}

// identifier keeps the letters and digits of a name, for an element's id.
func identifier(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, name)
}
