package report

import (
	"bandwright/bench"
	"bandwright/feed"
	"bandwright/finding"
)

// NewFeed composes the feed sheet.
func NewFeed(a *bench.FeedAnswer, found finding.List, program string) *Sheet {
	return composed(a.JobHead, "Feed and ratings", program, found, append(FeedSections(a), feedUnknown())...)
}

// FeedSections are the feed sheet's own, for it and for a record.
func FeedSections(a *bench.FeedAnswer) []Section {
	f := feedComposer{a}
	return []Section{f.short(), f.parts(), f.dropper(), f.zener(), f.hum(), f.rise(), f.charge(), f.fuse()}
}

// feedComposer writes the sections of a feed sheet.
type feedComposer struct{ answer *bench.FeedAnswer }

func (f feedComposer) short() Section {
	a := f.answer
	var over []string
	for _, p := range a.Parts {
		if p.Over {
			over = append(over, p.Part)
		}
	}
	said := text(Lead, "Every part that is rated stays within the limits, in every case.")
	if len(over) > 0 {
		said = text(Look, "Beyond the limits: "+listed(over)+".")
	}
	s := Section{ID: "feed", Heading: "The feed in short", Blocks: []Block{
		text(Danger, "Mains and high tension kill. Unplug, discharge through a resistor, prove dead with a meter just proved live, leave the clip on. Local codes and licensed practice come first."),
		said, text(Plain, FeedRail(a.Rail)), text(Plain, FeedLimits(a))}}
	t := &Table{Caption: "Cases, each solved whole", Columns: []Column{{Head: "case"}, {Head: "rail", Number: true}, {Head: "what it is"}}}
	for _, k := range a.Cases {
		what := feedCase(k.Name)
		if !k.Solved {
			what = "no operating point: see the findings"
		}
		t.add("", string(k.Name), voltsOf(k.Rail), what)
	}
	s.Blocks = append(s.Blocks, Block{Table: t})
	return s
}

// feedCase says what a case is.
func feedCase(name feed.CaseName) string {
	return map[feed.CaseName]string{
		feed.Nominal:   "mains as they should be, valves drawing",
		feed.MainsHigh: "the same, mains high",
		feed.MainsLow:  "the same, mains low: does the zener still hold",
		feed.ColdStart: "mains high, valves not yet drawing",
		feed.Unplugged: "the board's plug out at a cold start: the zener takes all of it",
		feed.ZenerOpen: "the zener open at a cold start",
		feed.ZenerGone: "the zener short at a cold start: the dropper takes all of it",
	}[name]
}

// parts is the worst of every part; those that carry next to nothing and have
// no rating are counted.
func (f feedComposer) parts() Section {
	t := &Table{Caption: "What each part carries in the worst case of each figure", Columns: []Column{
		{Head: "part"}, {Head: "volts", Number: true}, {Head: "of its rating", Number: true}, {Head: "in the case"},
		{Head: "watts", Number: true}, {Head: "of its rating", Number: true}, {Head: "in the case"},
		{Head: "amperes", Number: true}, {Head: "of its rating", Number: true}}}
	left := 0
	for _, p := range f.answer.Parts {
		if Idle(p) {
			left++
			continue
		}
		row := t.add("", p.Part, voltsOf(p.Volts.Carries), ofRating(p.Volts, voltsOf), carriedIn(p.Volts),
			wattsOf(p.Watts.Carries), ofRating(p.Watts, wattsOf), carriedIn(p.Watts), ampsOf(p.Amperes.Carries), ofRating(p.Amperes, ampsOf))
		if p.Over {
			row.Tone = Look
		}
	}
	s := Section{ID: "loads", Heading: "Parts and their ratings", Blocks: []Block{{Table: t}}}
	note := "A dash stands where the job has no rating: enter what the part is made for. Everything is at rest, without a signal."
	if left > 0 {
		note += " " + count(left, "part without a rating carries", "parts without a rating carry") + " next to nothing and " + map[bool]string{true: "is", false: "are"}[left == 1] + " left out."
	}
	s.Blocks = append(s.Blocks, text(Small, note))
	return s
}

func carriedIn(w bench.FeedWorst) string {
	if w.Carries == 0 {
		return ""
	}
	return string(w.Case)
}

// ofRating writes the share of a rating, and the rating.
func ofRating(w bench.FeedWorst, write func(float64) string) string {
	if w.Share == nil {
		return dash
	}
	return percent(*w.Share) + " of " + write(*w.Rated)
}

// dropper is what was chosen, and what dropper and zener carry in each case.
func (f feedComposer) dropper() Section {
	a := f.answer
	s := Section{ID: "dropper", Heading: "Dropper and zener"}
	for _, line := range FeedDropper(a) {
		s.Blocks = append(s.Blocks, text(Plain, line))
	}
	t := &Table{Caption: "Case by case", Columns: []Column{{Head: "part"},
		{Head: "volts", Number: true}, {Head: "amperes", Number: true}, {Head: "watts", Number: true}}}
	for _, k := range a.Cases {
		for _, l := range a.Loads {
			if l.Case != k.Name || !f.feeds(l.Part) {
				continue
			}
			through, heat := ampsOf(l.Amperes), wattsOf(l.Watts)
			if l.Part == a.Zener && (l.Case == feed.ZenerOpen || l.Case == feed.ZenerGone) {
				through, heat = dash, dash // it is broken: what flows is not its own
			}
			t.add(string(k.Name)+", rail "+voltsOf(k.Rail), l.Part, voltsOf(l.Volts), through, heat)
		}
	}
	if len(t.Groups) > 0 {
		s.Blocks = append(s.Blocks, Block{Table: t})
	}
	return s
}

// feeds tells dropper and zener from the rest.
func (f feedComposer) feeds(part string) bool {
	for _, d := range f.answer.Fitted {
		if d.Part == part {
			return true
		}
	}
	return part == f.answer.Zener
}

func (f feedComposer) zener() Section {
	s := Section{ID: "zener-open", Heading: "If the zener opens"}
	z := f.answer.ZenerOpen
	for i, line := range FeedZener(z) {
		tone := Plain
		if i > 0 && i <= len(z.Fails) {
			tone = Look
		}
		s.Blocks = append(s.Blocks, text(tone, line))
	}
	return s
}

func (f feedComposer) hum() Section {
	s := Section{ID: "hum", Heading: "Hum from the rail"}
	if len(f.answer.Hum) == 0 {
		s.Blocks = []Block{text(Look, "Ripple on the rail: "+notDone+".")}
		return s
	}
	t := &Table{Caption: "The rail's ripple as it arrives at the output", Columns: []Column{{Head: "setting"}, {Head: "ripple", Unit: "Hz", Number: true},
		{Head: "at the rail", Number: true}, {Head: "at the output", Number: true}, {Head: "level", Unit: "dBu", Number: true}, {Head: "under the strongest signal", Unit: "dB", Number: true}}}
	for _, h := range f.answer.Hum {
		t.add("", h.Name, stated(h.Hertz), voltsOf(h.AtRail), voltsOf(h.AtOut), fixedOr(h.DBu, 1), fixedOr(h.BelowDB, 1))
	}
	s.Blocks = []Block{{Table: t}, text(Small, "What coils pick up from the mains transformer is not in it.")}
	return s
}

func (f feedComposer) rise() Section {
	s := Section{ID: "rise", Heading: "Coming up"}
	if len(FeedRise(f.answer.Rise)) == 0 {
		return s
	}
	t := &Table{Caption: "How capacitors fill once the rail is there", Columns: []Column{{Head: "capacitor"}, {Head: "to", Number: true},
		{Head: "through", Number: true}, {Head: "time constant", Number: true}, {Head: "nine tenths in", Number: true}}}
	for _, r := range f.answer.Rise {
		if r.Constant < quick {
			continue
		}
		ninety := dash
		if r.Ninety > 0 {
			ninety = secondsOf(r.Ninety)
		}
		t.add("", r.Capacitor, voltsOf(r.Volts), ohmsOf(r.Ohms), secondsOf(r.Constant), ninety)
	}
	s.Blocks = []Block{{Table: t}, text(Small, "Read the volts of the board only after the longest of these. A rail from solid-state rectifiers is there before the valves draw, and stands at its cold volts until they do.")}
	return s
}

func (f feedComposer) charge() Section {
	a := f.answer.Safe
	s := Section{ID: "charge", Heading: "With the plug out"}
	if len(a.Held) > 0 {
		t := &Table{Caption: "What holds charge", Columns: []Column{{Head: "capacitor"}, {Head: "holds", Number: true}, {Head: "stored", Number: true},
			{Head: "through", Number: true}, {Head: "to " + voltsOf(a.Volts) + " in", Number: true}, {Head: "allowed", Number: true}, {Head: "longest with"}}}
		for _, h := range a.Held {
			through, in := ohmsOf(h.Ohms), secondsOf(h.Seconds)
			if h.Never {
				through, in = "nothing", "never"
			}
			where := h.Where
			if where == "" {
				where = "all in its place"
			}
			row := t.add("", h.Capacitor, voltsOf(h.From), joulesOf(h.Joules), through, in, secondsOf(a.Seconds), where)
			if h.Never || h.Seconds > a.Seconds {
				row.Tone = Look
			}
		}
		s.Blocks = append(s.Blocks, Block{Table: t})
	}
	for _, line := range FeedCharge(a)[len(a.Held):] {
		s.Blocks = append(s.Blocks, text(Plain, line))
	}
	return s
}

func (f feedComposer) fuse() Section {
	tone := Plain
	if orNotDone(f.answer.Fuse) == notDone {
		tone = Look
	}
	return Section{ID: "fuse", Heading: "Fuse", Blocks: []Block{text(tone, FeedFuse(f.answer.Fuse))}}
}

func feedUnknown() Section {
	return Section{ID: "unknown", Heading: "What this sheet does not know", Blocks: []Block{{List: &List{Items: []Item{
		{Text: "The amplifier behind the rail is a voltage that stands where the job says, cold and loaded. How far the board pulls it down is not in it."},
		{Text: "Parts are at their value in the job, at its temperature; a zener that warms holds a little more."},
		{Text: "A rating is what the job says. Resistors lose watts in a hot chassis: look into their data sheets."},
		{Text: "Surges while the rail comes up and breakdown of junctions beyond their ratings are not followed."},
	}}}}}
}
