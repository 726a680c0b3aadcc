package report

import (
	"slices"
	"strings"

	"bandwright/bench"
	"bandwright/draw"
	"bandwright/quantity"
)

// parts lists every part with a value, those of each band first.
func (c composer) parts() Section {
	s := Section{ID: "parts", Heading: "Parts, as marked and as measured"}
	t := &Table{Columns: []Column{
		{Head: "part"}, {Head: "joins"}, {Head: "marked", Number: true}, {Head: "tolerance", Number: true},
		{Head: "measured", Number: true}, {Head: "reckoned with", Number: true}, {Head: "DCR", Number: true}, {Head: "how measured"},
	}}
	groups := c.partGroups()
	for _, g := range groups {
		for _, p := range g.parts {
			if p.Kind == "switch" || p.Kind == "wire" {
				continue // nothing to read: its contacts stand on their own
			}
			t.add(g.name, p.Part, strings.Join(p.Points, ", "), partValue(p, p.Marked), orDash(p.Tolerance),
				partValue(p, p.Measured), partValue(p, p.Value), ohmsOr(p.DCR), p.Note)
		}
	}
	if len(groups) > 0 {
		s.Blocks = []Block{{Table: t}, text(Small, "Where a part was measured, the circuit is reckoned with the measured value; else with the marked one.")}
	}
	return s
}

type partGroup struct {
	name  string
	parts []bench.FittedPart
}

// partGroups keeps the order of the answer: bands as they come, then the rest.
func (c composer) partGroups() []partGroup {
	var groups []partGroup
	for _, b := range c.answer.Bands.Bands {
		g := partGroup{name: "Band " + bandTitle(b.Band, b.StatedHz)}
		for _, p := range c.answer.Parts {
			if p.Band == b.Band {
				g.parts = append(g.parts, p)
			}
		}
		groups = append(groups, g)
	}
	rest := partGroup{name: "Driver, chain and rail"}
	for _, p := range c.answer.Parts {
		if p.Band == "" {
			rest.parts = append(rest.parts, p)
		}
	}
	return append(groups, rest)
}

// partValue writes a value in the unit of its kind.
func partValue(p bench.FittedPart, v *float64) string {
	if v == nil || *v == 0 && (p.Kind == "voltage-source" || p.Kind == "current-source") {
		return dash // a source of signal has no value of its own
	}
	switch p.Kind {
	case "capacitor":
		return quantity.Farads(*v).Display(4)
	case "inductor":
		return quantity.Henries(*v).Display(4)
	case "voltage-source":
		return quantity.Volts(*v).Display(4)
	case "current-source":
		return quantity.Amperes(*v).Display(4)
	case "resistor", "slider", "contact":
		return quantity.Ohms(*v).Display(4)
	}
	return plain(*v, 4)
}

func ohmsOr(v *float64) string {
	if v == nil {
		return dash
	}
	return quantity.Ohms(*v).Display(4)
}

func orDash(text string) string {
	if text == "" {
		return dash
	}
	return text
}

// scale is what travel gives at chosen places, and where on the travel whole
// decibels lie: the panel's marks.
func (c composer) scale() Section {
	s := Section{ID: "scale", Heading: "Travel and what it gives"}
	scales := c.answer.Bands.Scale
	if len(scales) == 0 {
		return s
	}
	s.Blocks = []Block{
		{Table: travelTable(scales)}, {Table: markTable(scales)},
		text(Small, "Gain against flat at each band's own centre, the others centred. Travel is in per cent of the way from the centre, + towards the boost end; a level that a band does not reach has no place."),
	}
	return s
}

// travelTable gives the gain at the places where the law of a slider shows.
func travelTable(scales []bench.BandScale) *Table {
	places := [...]float64{-1, -0.9, -0.8, -0.6, -0.4, -0.2, 0, 0.2, 0.4, 0.6, 0.8, 0.9, 1}
	t := &Table{Caption: "What a place on the travel gives, dB", Columns: []Column{{Head: "band", Unit: "Hz"}}}
	for _, position := range places {
		t.Columns = append(t.Columns, Column{Head: draw.Signed(100*position, 0), Unit: "%", Number: true})
	}
	for _, b := range scales {
		cells := []string{b.Band}
		for _, position := range places {
			cells = append(cells, gainAt(b.Travel, position))
		}
		t.add("", cells...)
	}
	return t
}

func gainAt(points []bench.ScalePoint, position float64) string {
	for _, p := range points {
		if d := p.Position - position; d < 1e-6 && d > -1e-6 {
			return db2(p.DB)
		}
	}
	return dash
}

// markTable gives the place of each whole level that any band reaches.
func markTable(scales []bench.BandScale) *Table {
	levels := levelsOf(scales)
	t := &Table{Caption: "Where the dB marks of the panel lie, % of travel", Columns: []Column{{Head: "band", Unit: "Hz"}}}
	for _, db := range levels {
		t.Columns = append(t.Columns, Column{Head: draw.Signed(db, 0), Unit: "dB", Number: true})
	}
	for _, b := range scales {
		cells := []string{b.Band}
		for _, db := range levels {
			place := dash
			for _, p := range b.Marks {
				if p.DB == db {
					place = draw.Signed(100*p.Position, 0)
				}
			}
			cells = append(cells, place)
		}
		t.add("", cells...)
	}
	return t
}

func levelsOf(scales []bench.BandScale) []float64 {
	var all []float64
	for _, b := range scales {
		for _, p := range b.Marks {
			all = append(all, p.DB)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// levels is headroom and noise.
func (c composer) levels() Section {
	s := Section{ID: "levels", Heading: "Headroom and noise"}
	if rows := c.answer.Bands.Headroom; len(rows) > 0 {
		t := &Table{
			Caption: "Largest undistorted input at each centre, rms, and how far the stated level" + c.statedLevel() + " stays below it",
			Columns: []Column{
				{Head: "band", Unit: "Hz"}, {Head: "at", Unit: "Hz", Number: true}, {Head: "flat", Number: true}, {Head: "headroom", Unit: "dB", Number: true},
				{Head: "full boost", Number: true}, {Head: "headroom", Unit: "dB", Number: true}, {Head: "clips first"},
			},
		}
		for _, h := range rows {
			row := t.add("", h.Band, hertz(h.AtHz), voltsOr(h.FlatVolts, 3), fixedOr(h.FlatDB, 1), voltsOr(h.UpVolts, 3), fixedOr(h.UpDB, 1), orDash(h.LimitedBy))
			// 6 dB: common practice, no source.
			if h.UpDB != nil && *h.UpDB < 6 {
				row.Tone = Look
			}
		}
		s.Blocks = append(s.Blocks, Block{Table: t})
	}
	if len(c.answer.Noise) > 0 {
		s.Blocks = append(s.Blocks, Block{Table: c.noise()},
			text(Small, "Calculated from the parts' own thermal and shot noise; hum picked up by coils and leads comes on top. A is the weighting of IEC 61672-1."))
	}
	return s
}

func (c composer) noise() *Table {
	sliders := map[string]bool{}
	for _, b := range c.answer.Bands.Bands {
		sliders[b.Band] = true
	}
	t := &Table{
		Caption: "Noise at the output, 20 Hz to 20 kHz",
		Columns: []Column{
			{Head: "setting"}, {Head: "rms", Number: true}, {Head: "level", Unit: "dBu", Number: true}, {Head: "A-weighted", Unit: "dBu", Number: true},
			{Head: "below stated level", Unit: "dB", Number: true}, {Head: "largest shares"},
		},
	}
	for i, n := range c.answer.Noise {
		name := n.Setting
		if i == 1 && len(name) > 12 {
			name = "all up"
		}
		volts := n.Volts
		t.add("", name, voltsOr(&volts, 3), fixedOr(n.DBu, 1), fixedOr(n.DBuA, 1), fixedOr(n.BelowDB, 1), shares(n.Share, sliders))
	}
	return t
}

// shares names the parts that make most of the noise; a slider has only its
// band's name, which alone would read as a number.
func shares(all []bench.NoiseShare, sliders map[string]bool) string {
	var words []string
	for _, s := range all[:min(4, len(all))] {
		name := s.Part
		if sliders[name] {
			name = "slider " + name
		}
		words = append(words, name+" "+plain(100*s.Share, 2)+" %")
	}
	return strings.Join(words, ", ")
}

// operating is the direct voltage of every point, to hold a meter against.
func (c composer) operating() Section {
	s := Section{ID: "volts", Heading: "Direct volts, predicted"}
	points := c.answer.Volts.Points
	if len(points) == 0 {
		return s
	}
	// Two points a row: the list is long and its entries are short.
	const across = 2
	t := &Table{Caption: "Setting " + c.answer.Volts.Setting + ", parts at " + plain(c.answer.Volts.Celsius, 3) + " °C, against ground"}
	for range across {
		t.Columns = append(t.Columns, Column{Head: "point"}, Column{Head: "meter shows", Number: true}, Column{Head: "from – to", Number: true})
	}
	down := (len(points) + across - 1) / across
	for i := range down {
		var cells []string
		for column := range across {
			if k := i + column*down; k < len(points) {
				cells = append(cells, points[k].Point, pointVolts(points[k]), voltsBetween(points[k]))
			} else {
				cells = append(cells, "", "", "")
			}
		}
		t.add("", cells...)
	}
	s.Blocks = []Block{{Table: t}, text(Small, "A hand meter of 10 MΩ loads what it reads and errs by its limits; 95 % of boards of these parts lie from – to. A point marked “floats” has no path for direct current and gives no reading.")}
	return s
}

// pointVolts is what the meter shows, or the bare voltage where no meter was
// asked.
func pointVolts(p bench.PointVolts) string {
	switch {
	case p.Volts == nil:
		return "floats"
	case p.Shown == nil:
		return fixedOr(p.Volts, 2)
	}
	return fixedOr(&p.Shown.Likely.Nominal, 2)
}

func voltsBetween(p bench.PointVolts) string {
	if p.Volts == nil || p.Shown == nil {
		return dash
	}
	return fixedOr(&p.Shown.Likely.Low, 2) + " – " + fixedOr(&p.Shown.Likely.High, 2)
}
