package report

import (
	"strconv"

	"bandwright/bench"
	"bandwright/finding"
)

// NewRuns composes the run sheet.
func NewRuns(a *bench.RunsAnswer, found finding.List, program string) *Sheet {
	r := runsComposer{a}
	return composed(a.JobHead, "Run sheet", program, found, r.short(), r.runs(), r.cut(), r.links(), r.positions(), r.intents(), r.lugs(),
		r.moved(), r.mains(), r.held(), r.does(),
		Section{ID: "unknown", Heading: "What this sheet does not know", Blocks: []Block{{List: &List{Items: []Item{
			{Text: "Where runs lie beside each other, and what hum or whistle they pick up there: dress signal runs along the metal, away from mains and heater leads, and cross those at right angles."},
			{Text: "Lugs of the amplifier that the job does not name. Conductors that it came with count only where the job lists them as links."},
			{Text: "How well a joint is made. Ring out before power; the ring-out sheet has the list."},
		}}}}})
}

// runsComposer writes the sections of a run sheet.
type runsComposer struct{ answer *bench.RunsAnswer }

func (r runsComposer) short() Section {
	return Section{ID: "in-short", Heading: "In short", Blocks: []Block{
		text(Danger, "Mains and high tension kill. Unplug, discharge through a resistor, prove dead with a meter just proved live, leave the clip on before a hand goes in. Local codes and licensed practice come first."),
		text(Lead, RunsCount(r.answer))}}
}

func (r runsComposer) runs() Section {
	t := &Table{Columns: []Column{{Head: "run"}, {Head: "from"}, {Head: "to"}, {Head: "kind"}, {Head: "length", Number: true}, {Head: "colour"},
		{Head: "screen grounded"}, {Head: "state"}}}
	for _, k := range r.answer.Runs {
		t.add("", k.Name, k.From, k.To, string(k.Kind), RunLength(k.Metres), RunColour(k), RunScreen(k), RunState(k))
	}
	return tabled("runs", "Runs", t)
}

// tabled is a section of one table; empty where that has no row.
func tabled(id, heading string, t *Table, after ...Block) Section {
	s := Section{ID: id, Heading: heading}
	if len(t.Groups) > 0 {
		s.Blocks = append([]Block{{Table: t}}, after...)
	}
	return s
}

func (r runsComposer) cut() Section {
	t := &Table{Columns: []Column{{Head: "wire"}, {Head: "colour"}, {Head: "pieces", Number: true}, {Head: "lengths"}, {Head: "in all", Number: true}}}
	for _, k := range r.answer.Cut {
		t.add("", string(k.Kind), orDash(k.Colour), strconv.Itoa(k.Pieces), CutLengths(k), RunLength(&k.Metres))
	}
	return tabled("cut", "Cut list", t, text(Small, "Lengths are those of the job, from lug to lug along the run. What is lost at both ends is not in them."))
}

func (r runsComposer) links() Section {
	t := &Table{Columns: []Column{{Head: "link"}, {Head: "one end was on"}, {Head: "the other on"}, {Head: "colour"}, {Head: "state"}}}
	for _, k := range r.answer.Links {
		state := string(k.State)
		if state == "made" {
			state = "still there: " + notDone
		}
		t.add("", k.Name, k.From, k.To, orDash(k.Colour), state)
	}
	return tabled("links", "Links to remove", t, text(Small, "To undo: unplug, bleed down, prove dead, leave the clip on; take the feed off the high-tension rail, for left in it stays live; take out the runs above and join each link again between the two ends named here."))
}

func (r runsComposer) positions() Section {
	t := &Table{Columns: []Column{{Head: "switch or jack"}, {Head: "at"}, {Head: "joins"}}}
	for _, k := range r.answer.Switches {
		for i, p := range k.Positions {
			t.add("", k.Name, atRest(p.Position, i), Joins(p))
		}
	}
	for _, k := range r.answer.Jacks {
		for i, p := range k.Plugs {
			t.add("", k.Name, plugWord(p.Position, i), Joins(p))
		}
	}
	return tabled("positions", "Switches, jacks and plugs", t)
}

func atRest(position string, number int) string {
	if number == 0 {
		return position + " (at rest)"
	}
	return position
}

func plugWord(plug string, number int) string {
	words := "no plug"
	if plug != "none" {
		words = plug + " plug"
	}
	if number == 0 {
		words += " (taken for granted)"
	}
	return words
}

func (r runsComposer) intents() Section {
	t := &Table{Columns: []Column{{Head: "setting"}, {Head: "from"}, {Head: "to"}, {Head: "must be"}, {Head: "when all is made"}, {Head: "so far"}}}
	for _, in := range r.answer.Intents {
		row := t.add("", in.Setting, in.From, in.To, IntentWant(in), IntentHas(in, in.Whole), IntentHas(in, in.SoFar))
		if !in.Whole.Holds {
			row.Tone = Look
		}
	}
	return tabled("intents", "What the wiring must do", t,
		text(Small, "Solved in the circuit at each setting. Joined: 1 Ω at most. Open: 1 kΩ at least. The signal comes through: no less than −20 dB from 20 Hz to 20 kHz."))
}

func (r runsComposer) lugs() Section {
	a := r.answer
	t := &Table{Columns: []Column{{Head: "lug"}, {Head: "before", Number: true}, {Head: "after", Number: true}, {Head: "do"}}}
	for _, l := range a.Lugs {
		row := t.add("", l.Lug, strconv.Itoa(l.Before), strconv.Itoa(l.After), LugAdvice(l))
		if l.Over {
			row.Tone = Look
		}
	}
	return tabled("lugs", "Conductors at each lug", t, text(Small, "Limit in force: "+strconv.Itoa(a.MostAtLug)+" conductors at a lug. Beyond it: spread them to another lug of the same strap or return, or add a tag strip."))
}

func (r runsComposer) moved() Section {
	t := &Table{Columns: []Column{{Head: "part"}, {Head: "old hole"}, {Head: "new hole"}, {Head: "lead"}, {Head: "sleeve"}, {Head: "carries"}}}
	for _, m := range r.answer.Moved {
		sleeve, carries := dash, dash
		if m.Sleeved {
			sleeve = "joints sleeved"
		} else if m.Lead != "kept" {
			sleeve = notDone
		}
		if m.Mains {
			carries = "MAINS"
		}
		t.add("", m.Name, orDash(m.OldHole), orDash(m.NewHole), m.Lead, sleeve, carries)
	}
	return tabled("moved", "Parts in another hole", t)
}

// mains are the lugs that somebody must sign for, each by itself.
func (r runsComposer) mains() Section {
	s := Section{ID: "mains", Heading: "MAINS lugs that were touched"}
	if len(r.answer.Signs) == 0 {
		return s
	}
	t := &Table{Bare: true, Columns: []Column{{Head: "what"}, {Head: "entry"}}}
	for _, k := range r.answer.Signs {
		what := k.Name
		if k.What == "run" {
			what = "run " + k.Name
		}
		t.add("", what, orNotDone(k.SignedBy))
	}
	s.Blocks = []Block{text(Danger, "Each one is hooked before it is soldered, sleeved, tug-tested, and the safety earth is read again. Nobody signs for another's joint. Local codes and licensed practice come first."), {Table: t}}
	return s
}

func (r runsComposer) held() Section {
	s := Section{ID: "held", Heading: "How each board is held"}
	if len(r.answer.Held) == 0 {
		s.Blocks = []Block{text(Look, notDone)}
		return s
	}
	list := &List{}
	for _, h := range r.answer.Held {
		list.Items = append(list.Items, Item{Text: h})
	}
	s.Blocks = []Block{{List: list}}
	return s
}

// does is what the harness does to the signal.
func (r runsComposer) does() Section {
	list := &List{}
	add := func(over bool, words string) {
		item := Item{Text: words}
		if over {
			item.Tone = Look
		}
		list.Items = append(list.Items, item)
	}
	for _, s := range ScreensToTell(r.answer) {
		add(s.Over, ScreenText(s)+".")
	}
	for _, s := range r.answer.Sliders {
		if s.Over {
			add(true, DCText(s)+".")
		}
	}
	for _, b := range r.answer.Bypassed {
		words := "at " + b.Setting + " the board's input is left open: up to " + fixedOr(&b.Pop, 2) + " V meet a contact as the switch goes back"
		if b.Crosstalk != nil {
			words += "; the signal gets in at " + db1(*b.Crosstalk) + " at 20 kHz"
		}
		add(false, words+".")
	}
	s := Section{ID: "does", Heading: "What the harness does to the signal"}
	if len(list.Items) > 0 {
		s.Blocks = []Block{{List: list}, text(Small, "Limits in force: 0.1 dB at 20 kHz by a run's capacitance, 50 mV across a slider, 2 pF across an open contact.")}
	}
	return s
}
