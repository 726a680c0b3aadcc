package report

import (
	"strconv"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
)

// NewPowerUp composes the sheet of one stage of a first power-up.
func NewPowerUp(a *bench.FirstVoltsAnswer, found finding.List, program string) *Sheet {
	return composed(a.JobHead, StageName(a.Stage), program, found, append(PowerUpSections(a), powerUpUnknown())...)
}

// PowerUpSections are the power-up sheet's own, for it and for a record. Their
// ids carry the stage.
func PowerUpSections(a *bench.FirstVoltsAnswer) []Section {
	p := powerUpComposer{a}
	list := []Section{p.before(), p.from(), p.volts(), p.bands(), p.signed()}
	for i := range list {
		list[i].ID += "-" + a.Stage
	}
	return list
}

// powerUpComposer writes the sections of a power-up sheet.
type powerUpComposer struct{ answer *bench.FirstVoltsAnswer }

// before is what stands before the first lead is connected.
func (p powerUpComposer) before() Section {
	a := p.answer
	s := Section{ID: "before", Heading: "Before: " + a.Stage, Blocks: []Block{
		text(Danger, "Mains and high tension kill. Live readings only by a competent person: one hand, no jewellery, someone within call. Leads go on with the power off, discharged and proved dead. Local codes and licensed practice come first.")}}
	if a.Stops > 0 {
		s.Blocks = append(s.Blocks, text(Danger, "STOP: "+count(a.Stops, "reading ends", "readings end")+" the work. Switch off, pull the plug, discharge and prove dead; then look for the cause."))
	}
	if len(a.Before) > 0 {
		t := &Table{Caption: "Earlier stages", Columns: []Column{{Head: "stage"}, {Head: "state"}, {Head: "signed, or the reason"}}}
		for _, b := range a.Before {
			state, why := StageState(b)
			row := t.add("", b.Stage, state, why)
			if state != stageSigned {
				row.Tone = Look
			}
		}
		s.Blocks = append(s.Blocks, Block{Table: t}, text(Small, "A signature is what somebody wrote. It makes nothing safe."))
	}
	list := &List{}
	for i, do := range stageWork(a) {
		list.Items = append(list.Items, Item{Term: strconv.Itoa(i + 1), Text: do})
	}
	s.Blocks = append(s.Blocks, Block{List: list})
	return s
}

// stageWork is how a stage is gone about. Common practice, no source.
func stageWork(a *bench.FirstVoltsAnswer) []string {
	rail := "the rail"
	if a.Rail != nil {
		rail += " at " + a.Rail.Point
	}
	switch a.Stage {
	case job.StageBench:
		return []string{
			"Look the board over once more: bridges, parts turned round, three-leg parts the right way.",
			"Set volts and current limit on the supply before the board hangs on it.",
			"Watch the current first. At the limit, or far from what it should be: off.",
			"Then the volts below, then each band by itself: it must rise at its boost end and fall at the other.",
		}
	case job.StageLimiter:
		return []string{
			"Filament lamp in the limiter, dummy load on the output, meter leads clipped on with the power off.",
			"Switch on and look at the lamp: a bright one that stays bright is a short. Off.",
			"The volts are below those on mains, and the limits of the mains list hold there alone. Each point must rise to the first bound, and must never exceed the second: the most that parts and meter at their limits allow up to a cold rail, mains high.",
			"Read " + rail + " under the limiter: with it the list gives what each point should then show.",
			"The discharge clip is off before the plug goes in, and on again before a hand does.",
		}
	}
	return []string{
		"Dummy load on the output, meter leads clipped on with the power off, limiter out, discharge clip off.",
		"Read the mains, then " + rail + ": every other volt follows from it. Until the valves draw it stands higher, at its cold volts: read it again when they are warm, and go by that.",
		"Work down the list, the high points first. Anything to stop at: off, and find out why.",
	}
}

// from is what is read first, and what the list follows from.
func (p powerUpComposer) from() Section {
	a := p.answer
	s := Section{ID: "from", Heading: "Read first"}
	tone := Plain
	if a.Rail != nil && a.Rail.From != "read" && a.Supply == nil {
		tone = Look
	}
	s.Blocks = []Block{text(tone, PowerUpFrom(a)), {Table: record(p.first()...)},
		text(Plain, PowerUpLimits(a)), text(Lead, PowerUpCount(a))}
	return s
}

func (p powerUpComposer) first() [][2]string {
	a := p.answer
	if b := a.Supply; b != nil {
		limit := ""
		if b.Limit != nil {
			limit = ampsOf(*b.Limit)
		}
		read := ""
		if b.Read != nil {
			read = ampsOf(*b.Read) + ", " + VerdictWord(b.Verdict)
		}
		return [][2]string{{"bench supply at " + b.Point, voltsOf(b.Volts)}, {"its current limit", limit},
			{"current that the board should draw", ampsOf(b.Amperes)}, {"current as read", read}}
	}
	mains, rail := "", ""
	if a.Rail == nil {
		return [][2]string{{"mains now", mains}}
	}
	if a.Rail.Mains != nil {
		mains = voltsOf(*a.Rail.Mains)
	}
	if a.Rail.From == "read" {
		rail = voltsOf(a.Rail.Volts)
	}
	return [][2]string{{"mains now", mains}, {"rail at " + a.Rail.Point + " now", rail}}
}

// volts is the list: what stands at something, and what stands at nothing.
func (p powerUpComposer) volts() Section {
	columns := []Column{{Head: "red lead"}, {Head: "black lead"}, {Head: "setting"}}
	for _, head := range ExpectedHeads(p.answer) {
		columns = append(columns, Column{Head: head, Number: true})
	}
	t := &Table{Caption: "Volts, direct", Columns: append(columns, Column{Head: "read", Number: true}, Column{Head: "off", Unit: "%", Number: true}, Column{Head: "verdict"})}
	for _, r := range p.answer.Rows {
		group, read, off := "No direct volts", VoltsRead(r), ""
		if r.Standing() > 0 {
			group = "Points with volts on them, the highest first"
		}
		if read == "" {
			read = writeHere
		}
		if r.Off != nil {
			off = fixedOr(r.Off, 1)
		}
		row := t.add(group, append(append([]string{r.Point, r.Black, r.Setting}, ExpectedVolts(p.answer, r)...), read, off, VerdictWord(r.Verdict))...)
		if r.Verdict == bench.Stop || r.Verdict == bench.Look {
			row.Tone = Look
		}
	}
	return Section{ID: "volts", Heading: "Volts", Blocks: []Block{{Table: t}}}
}

// writeHere stands where a reading is to be written.
const writeHere = "__________"

func (p powerUpComposer) bands() Section {
	s := Section{ID: "alive", Heading: "Each band alive"}
	if len(p.answer.Bands) == 0 {
		return s
	}
	t := &Table{Caption: "Total gain from the tap-in to the output at the stated centre, others centred", Columns: []Column{
		{Head: "band", Unit: "Hz"}, {Head: "at", Unit: "Hz", Number: true}, {Head: "flat", Unit: "dB", Number: true}, {Head: "boost", Unit: "dB", Number: true},
		{Head: "cut", Unit: "dB", Number: true}, {Head: "read at boost", Unit: "dB", Number: true}, {Head: "verdict"}}}
	for _, b := range p.answer.Bands {
		read := writeHere
		if b.Read != nil {
			read = db2(*b.Read)
		}
		row := t.add("", b.Band, hertz(b.Hz), db2Or(b.Flat), db2Or(b.Up), db2Or(b.Down), read, VerdictWord(b.Verdict))
		if b.Verdict == bench.Stop {
			row.Tone = Look
		}
	}
	s.Blocks = []Block{{Table: t}, text(Small, "Alive is a band that rises by half of what is predicted at least. Curves judge it closer.")}
	return s
}

// signed is how this stage itself stands.
func (p powerUpComposer) signed() Section {
	a := p.answer
	if a.Skipped != "" {
		return Section{ID: "signed", Heading: "This stage", Blocks: []Block{text(Look, "SKIPPED: "+a.Skipped)}}
	}
	s := Section{ID: "signed", Heading: "This stage", Blocks: []Block{{Table: record([2]string{"signed", a.Signed})}}}
	if a.NotDone > 0 {
		s.Blocks = append(s.Blocks, text(Look, count(a.NotDone, "reading is", "readings are")+" "+notDone+"; a signature does not make them done."))
	}
	return s
}

func powerUpUnknown() Section {
	return Section{ID: "unknown", Heading: "What this sheet does not know", Blocks: []Block{{List: &List{Items: []Item{
		{Text: "A reading that passes says that this point stands where it should. It says nothing of insulation, of earth, or of what a hand may touch."},
		{Text: "Volts are of the circuit at rest, warmed through; before its capacitors are full a board shows less."},
		{Text: "The rest of the amplifier is only the rail, the source and the load that the job states: its own chart is another sheet."},
	}}}}}
}
