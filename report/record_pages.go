package report

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/bench"
	"bandwright/job"
)

// insidePage is one page to fold into the chassis.
func (c recordComposer) insidePage() (Section, error) {
	t, l := c.job.TapIn, c.job.Left
	s := Section{ID: "inside", Heading: "Keep inside the chassis", Page: true, Blocks: []Block{
		text(Danger, "Lethal voltage stays after unplugging. Unplug, discharge through a resistor, prove dead with a meter just proved live, leave the clip on while hands are in. Live readings only by a competent person. Local codes and licensed practice come first."),
		{Table: record([2]string{"amplifier", besides(c.job.Amp, "serial", c.job.Record.Serial)}, [2]string{"fitted", c.fittedWords()},
			[2]string{"tapped in", besides(t.Where, "source", ohms(&t.SourceOhms))}, [2]string{"links cut", strings.Join(c.cut(), "; ")},
			[2]string{"rail", c.railWords()}, [2]string{"0 V returns to", t.ZeroVolt}, [2]string{"lift", c.liftWords()}, [2]string{"bypass", c.bypassWords()},
			[2]string{"normal hum", l.Hum}, [2]string{"fuse", c.fuseWords()})},
		c.boardVolts(),
	}}
	s.Blocks = append(s.Blocks, text(Lead, "To undo it"), c.undoList())
	if c.with.Sum == "" {
		return s, nil
	}
	const module = 0.55 // mm: read by a telephone at arm's length
	code, err := SquareCode(c.with.Sum, module)
	if err != nil {
		return s, err
	}
	sum := Table{Columns: []Column{{Head: "SHA-256 of " + PackageSums, Mono: true}}}
	sum.add("", c.with.Sum)
	s.Blocks = append(s.Blocks, text(Small, "Check-sum of the package this page belongs to: "+c.with.Sum),
		Block{Figure: &Figure{Caption: "The same, to be read by a telephone", Drawing: code, Own: true, Data: sum}})
	return s, nil
}

// besides adds a second fact to a first, where there is one.
func besides(first, name, second string) string {
	if second == "" {
		return first
	}
	return first + "; " + name + " " + second
}

func (c recordComposer) fittedWords() string {
	words := "equaliser, " + listed(c.bandNames()) + " Hz"
	if back := c.job.Record.HandedBack; back != "" {
		words += ", " + back
	}
	return words
}

func (c recordComposer) liftWords() string {
	l := c.job.Lift
	if l == nil {
		return "none: the legs' common stays on ground"
	}
	words := "by a contact: open, the legs' common is off ground and the signal still passes the driver"
	switch l.By {
	case "relay":
		rest := l.Rest
		if rest == "" {
			rest = "in"
		}
		words = "by a relay: lifted, the legs' common is off ground and the signal still passes the driver; without power the legs stay " + rest + ", but the driver passes nothing then: play it bypassed"
	case "light":
		words = "by a light-dependent resistor: dark, the legs' common is off ground and the signal still passes the driver"
	}
	return words
}

func (c recordComposer) bypassWords() string {
	switch {
	case c.job.Bypass != nil && c.job.Bypass.GroundsInput:
		return "panel switch: out, the signal goes round the board, whose input is grounded"
	case c.job.Bypass != nil:
		return "panel switch: out, the signal goes round the board"
	}
	var names []string
	for _, s := range c.job.Switches {
		names = append(names, s.Name+" ("+strings.Join(s.Positions, ", ")+")")
	}
	if len(names) == 0 {
		return "none"
	}
	words := "switches: " + listed(names)
	for _, want := range c.job.Intents {
		if want.Setting == "bypass" && want.Want == job.WantJoined {
			words += "; bypassed, " + want.From + " and " + want.To + " are joined"
		}
	}
	return words
}

func (c recordComposer) fuseWords() string {
	if c.job.Feed == nil {
		return ""
	}
	return c.job.Feed.Fuse
}

// boardVolts is the short chart: what the board should read when flat.
func (c recordComposer) boardVolts() Block {
	points := c.answer.Volts.Points
	const pairs = 4
	t := &Table{Caption: "Direct volts as predicted, flat, against ground, the highest first; what was read stands further on"}
	for range pairs {
		t.Columns = append(t.Columns, Column{Head: "point"}, Column{Head: "shows", Unit: "V", Number: true})
	}
	var live []bench.PointVolts
	for _, p := range points {
		if p.Volts != nil && (*p.Volts > 0.1 || *p.Volts < -0.1) {
			live = append(live, p)
		}
	}
	slices.SortStableFunc(live, func(a, b bench.PointVolts) int {
		return cmp.Compare(max(*b.Volts, -*b.Volts), max(*a.Volts, -*a.Volts))
	})
	const most = 5 * pairs // a page is to be folded, not a book
	live = live[:min(len(live), most)]
	down := (len(live) + pairs - 1) / pairs
	for i := range down {
		var cells []string
		for k := i; k < i+pairs*down; k += down {
			if k < len(live) {
				cells = append(cells, live[k].Point, pointVolts(live[k]))
			} else {
				cells = append(cells, "", "")
			}
		}
		t.add("", cells...)
	}
	if len(t.Groups) == 0 {
		return text(Small, "No point of the board stands above a tenth of a volt.")
	}
	return Block{Table: t}
}

// playerPage is one page for who plays it, in a player's words.
func (c recordComposer) playerPage() Section {
	s := Section{ID: "player", Heading: "For the player", Page: true, Blocks: []Block{
		text(Lead, "Each slider lifts or sinks one part of the sound. At the middle mark it does nothing: with all of them there, the amplifier sounds as it did before."),
	}}
	if d := c.strip(); d != nil {
		s.Blocks = append(s.Blocks, Block{Figure: d})
	}
	list := &List{Items: []Item{{Term: "Flat", Text: "All sliders at the middle mark."}}}
	for _, b := range c.answer.Bands.Bands {
		list.Items = append(list.Items, Item{Term: bandTitle(b.Band, b.StatedHz), Text: reachWords(b.BoostDB, b.CutDB)})
	}
	l := c.job.Left
	list.Items = append(list.Items,
		Item{Term: "Footswitch", Text: orNotDone(l.Footswitch)},
		Item{Term: "Normal hum", Text: orNotDone(l.NormalHum)},
		Item{Term: "What it costs", Text: c.costWords()},
		Item{Term: "Never", Text: "Open it. Lethal voltage stays inside after unplugging. Take it to a technician with the record."})
	s.Blocks = append(s.Blocks, Block{List: list})
	if c.unsafe() {
		s.Blocks = append(s.Blocks, text(Danger, "Not to be played until earth bond, leakage and insulation are recorded."))
	}
	return s
}

func (c recordComposer) unsafe() bool {
	for _, m := range c.with.Record.Missing {
		if strings.HasPrefix(m.Key, "safety.") {
			return true
		}
	}
	return false
}

func reachWords(boost, cut float64) string {
	return "up to " + db1(boost) + " at the top, " + db1(cut) + " at the bottom; most of it comes in the last quarter of the way."
}

// costWords says what lifting and being in the chain does to the sound.
func (c recordComposer) costWords() string {
	var words []string
	var against *float64
	for _, k := range c.with.Record.Costs {
		if k.Name == "bypassed" {
			against = k.DB
		}
	}
	for _, k := range c.with.Record.Costs {
		if k.DB == nil || k.Name == "bypassed" {
			continue
		}
		named := "With the sliders lifted"
		if k.Name == "flat" {
			named = "With all sliders at the middle"
		}
		off := *k.DB
		than := "than the source"
		if against != nil {
			off, than = *k.DB-*against, "than with the equaliser switched out"
		}
		switch {
		case off > 0.1:
			words = append(words, named+" it is "+db1(off)+" louder "+than+".")
		case off < -0.1:
			words = append(words, named+" it is "+strings.TrimPrefix(db1(off), "−")+" softer "+than+".")
		default:
			words = append(words, named+" it is as loud as "+strings.TrimPrefix(than, "than ")+".")
		}
	}
	if len(words) == 0 {
		return "Nothing is known."
	}
	return strings.Join(words, " ")
}

// strip is the sliders with what their travel gives.
func (c recordComposer) strip() *Figure {
	scales := c.answer.Bands.Scale
	if len(scales) == 0 {
		return nil
	}
	return &Figure{Caption: "The sliders, and how many decibels a place on the way gives",
		Drawing: SliderStrip(&c.answer.Bands, textWidth), Data: *markTable(scales)}
}
