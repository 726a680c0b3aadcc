package report

import (
	"strconv"

	"bandwright/bench"
	"bandwright/finding"
)

// NewOhms composes the ring-out sheet.
func NewOhms(a *bench.OhmsAnswer, found finding.List, program string) *Sheet {
	o := ohmsComposer{a}
	return composed(a.JobHead, "Ring-out", program, found, o.dead(), o.short(), o.list(), o.others(), o.caught(), o.hidden(),
		Section{ID: "unknown", Heading: "What this sheet does not know", Blocks: []Block{{List: &List{Items: []Item{
			{Text: "One fault at a time is looked for. Two at once may hide each other on one line, but not easily on all."},
			{Text: "Ohms are of the circuit as the job has it: what the amplifier has beside the tap-in is only the source and the load stated there."},
			{Text: "A joint that opens when it is warm or is moved reads as a sound one. Wiggle it while the meter is on."},
			{Text: "A beeper is no meter: it sounds at anything from nothing to some tens of ohms, and low coils beep."},
		}}}}})
}

// composed is a sheet of sections, with findings and cautions at its end.
func composed(of bench.JobHead, what, program string, found finding.List, sections ...Section) *Sheet {
	facts := Table{Bare: true, Columns: []Column{{Head: "what"}, {Head: "which"}}}
	for _, row := range [...][2]string{{"Amplifier", of.Amp}, {"Job", of.Title}, {"Job file", of.JobFile}, {"its SHA-256", of.JobSHA256}, {"Made with", program}} {
		if row[1] != "" {
			facts.add("", row[0], row[1])
		}
	}
	s := &Sheet{Title: what, Invented: of.Invented, Program: program, Facts: facts}
	c := composer{found: found}
	for _, section := range append(sections, c.findings(), c.cautions()) {
		if len(section.Blocks) > 0 {
			section.tie()
			s.Sections = append(s.Sections, section)
		}
	}
	return s
}

// ohmsComposer writes the sections of a ring-out sheet.
type ohmsComposer struct{ answer *bench.OhmsAnswer }

// dead is the first line of all.
func (o ohmsComposer) dead() Section {
	d := o.answer.Dead
	return Section{ID: "dead", Heading: "First of all", Blocks: []Block{
		text(Danger, "Mains and high tension kill. Unplug, discharge through a resistor, prove dead with a meter just proved live, leave the clip on. No reading below before this is signed. Local codes and licensed practice come first."),
		{Table: record([2]string{"discharged and proved dead by", d.By}, [2]string{"date and time", d.Date}, [2]string{"how", d.How})},
		text(Small, "The clip's resistor is in no figure below. Where a line touches the rail it hangs on, prove that rail dead once more, lift the clip for that line alone, and put it back.")}}
}

func (o ohmsComposer) short() Section {
	a := o.answer
	s := Section{ID: "in-short", Heading: "In short", Blocks: []Block{
		text(Lead, "Stage "+OhmsStage(a.Stage)+"."), text(Plain, OhmsCount(a)), text(Plain, OhmsTally(a)), text(Small, OhmsMeter(a))}}
	if a.Stops > 0 {
		s.Blocks = append([]Block{text(Danger, "Stop: no power until what reads wrong is found.")}, s.Blocks...)
	}
	return s
}

// list is the lines, grouped by the place of the black lead.
func (o ohmsComposer) list() Section {
	s := Section{ID: "list", Heading: "The list: clip the black lead once and walk with the red one"}
	t := &Table{Columns: ohmsColumns()}
	for _, g := range o.answer.Groups {
		for _, r := range g.Rows {
			o.row(t, "Black lead on "+g.Black, r)
		}
	}
	if len(t.Groups) > 0 {
		s.Blocks = []Block{{Table: t}, text(Small, "Proves: what the current passes, most ohms first. Catches: numbers of the faults at the end. A reading creeps while capacitors charge: wait as long as is said, then as long as it still moves.")}
	}
	return s
}

func ohmsColumns() []Column {
	return []Column{{Head: "no.", Number: true}, {Head: "red lead"}, {Head: "setting"}, {Head: "low", Number: true}, {Head: "nominal", Number: true},
		{Head: "high", Number: true}, {Head: "wait", Number: true}, {Head: "proves"}, {Head: "catches"},
		{Head: "read", Keep: true}, {Head: "verdict", Keep: true}}
}

func (o ohmsComposer) row(t *Table, group string, r bench.OhmsRow) {
	low, nominal, high := OhmsRange(r)
	verdict := ""
	if r.Shown {
		verdict = VerdictWord(r.Verdict)
	}
	number := ""
	if r.Number > 0 {
		number = strconv.Itoa(r.Number)
	}
	row := t.add(group, number, r.Red, OhmsSetting(o.answer, r.Setting), low, nominal, high, OhmsWait(r.Settles), Proves(r), numbers(r.Catches), OhmsRead(r), verdict)
	if r.Verdict == bench.Stop || r.Verdict == bench.Look {
		row.Tone = Look
		if fits := OhmsFits(o.answer, r); fits != "" {
			row.Cells[len(row.Cells)-3].Text += ". It would read so with " + fits
		}
	}
}

// others are readings of points that are on no line.
func (o ohmsComposer) others() Section {
	s := Section{ID: "others", Heading: "Other readings"}
	if len(o.answer.Others) == 0 {
		return s
	}
	columns := ohmsColumns()
	columns[0] = Column{Head: "black lead"}
	t := &Table{Columns: columns}
	for _, r := range o.answer.Others {
		o.row(t, "", r)
		rows := t.Groups[len(t.Groups)-1].Rows
		rows[len(rows)-1].Cells[0].Text = r.Black
	}
	s.Blocks = []Block{{Table: t}}
	return s
}

// caught lists the faults that some line catches.
func (o ohmsComposer) caught() Section {
	s := Section{ID: "faults", Heading: "Faults that the list catches"}
	t := &Table{Columns: []Column{{Head: "no.", Number: true}, {Head: "fault"}, {Head: "on lines"}}}
	for _, f := range o.answer.Faults {
		if len(f.Lines) > 0 {
			t.add("", strconv.Itoa(f.Number), SlipText(f), numbers(f.Lines))
		}
	}
	if len(t.Groups) > 0 {
		s.Blocks = []Block{{Table: t}}
	}
	return s
}

// hidden lists the faults that no line catches, and why.
func (o ohmsComposer) hidden() Section {
	s := Section{ID: "hidden", Heading: "Faults that it does not show"}
	t := &Table{Columns: []Column{{Head: "no.", Number: true}, {Head: "fault"}, {Head: "why"}}}
	for _, f := range o.answer.Faults {
		if len(f.Lines) == 0 {
			t.add("", strconv.Itoa(f.Number), SlipText(f), HiddenText(f.Hidden))
		}
	}
	if len(t.Groups) > 0 {
		s.Blocks = []Block{{Table: t}, text(Small, "What ohms cannot show, volts and curves may: bench-test the board, then ask the first volts and a sweep.")}
	}
	return s
}
