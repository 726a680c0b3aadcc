package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
)

// RecordParts is what a record is composed from.
type RecordParts struct {
	Sheet  *bench.SheetAnswer
	Record *bench.RecordAnswer
	Rail   *RailVolts // nil: the job has no feed
	More   []Section  // sheets of feed, wiring, ohms and volts
	Sum    string     // of the package's open files; "": there is no package
	Files  []Packed   // the open files
	Unread []Unread   // lists with lines that nobody read
}

// Unread is a list of readings in which some are NOT DONE.
type Unread struct {
	List      string
	Lines, Of int
}

// RailVolts is the rail the board hangs on.
type RailVolts struct {
	Point         string
	Nominal, Cold float64
}

// NewRecord composes the paper that goes with an amplifier: two pages to take
// out, one for inside the chassis and one for the player, and after them
// everything the next technician may ask for.
func NewRecord(p RecordParts, of *job.Job, found finding.List, program string) (*Sheet, error) {
	c := recordComposer{composer{answer: p.Sheet, job: of, found: found}, p}
	s := &Sheet{Title: of.Title, Invented: of.Invented, Program: program, Facts: c.recordFacts(program)}
	if s.Title == "" {
		s.Title = "Record"
	}
	inside, err := c.insidePage()
	if err != nil {
		return nil, err
	}
	sections := []Section{c.next(), c.missing(), inside, c.playerPage()}
	sections = append(sections, c.why(), c.inShort(), c.bandTable(), c.wanted(), c.curves(), c.parts(), c.picks(), c.scale(), c.levels(), c.operating(),
		c.agreed(), c.asFound(), c.asLeft(), c.tapIn(), c.undo())
	sections = append(sections, p.More...)
	sections = append(sections, c.fitting(), c.safety(), c.photos(), c.how(), c.findings(), c.cautions(), c.unknown(), c.files(), c.contents())
	for _, section := range sections {
		if len(section.Blocks) > 0 {
			section.tie()
			s.Sections = append(s.Sections, section)
		}
	}
	return s, nil
}

// Within gives the sections of another sheet for a record: under that sheet's
// name, and without what the record says once for all.
func Within(id, name string, s *Sheet) []Section {
	var list []Section
	for _, section := range s.Sections {
		switch section.ID {
		case "findings", "cautions", "unknown":
			continue
		}
		section.ID, section.Heading = id+"-"+section.ID, name+": "+section.Heading
		list = append(list, section)
	}
	return list
}

// recordComposer writes the sections that a record has and a job sheet has not.
type recordComposer struct {
	composer
	with RecordParts
}

func (c recordComposer) recordFacts(program string) Table {
	t := c.composer.facts(program)
	r := c.job.Record
	for _, row := range [...][2]string{
		{"Owner's reference", orNotDone(r.Owner)}, {"Serial", orNotDone(r.Serial)},
		{"Came in", orNotDone(r.TakenIn)}, {"Handed back", orNotDone(r.HandedBack)}, {"Work by", orNotDone(r.By)}, {"Why", orNotDone(r.Why)},
	} {
		t.add("", row[0], row[1])
	}
	if c.with.Sum != "" {
		t.add("", "Package", c.with.Sum)
	}
	return t
}

// next is what the next technician looks for first.
func (c recordComposer) next() Section {
	t := c.job.TapIn
	return Section{ID: "next", Heading: "For whoever opens it next", Blocks: []Block{
		{Table: record([2]string{"tapped in", t.Where}, [2]string{"links cut", strings.Join(c.cut(), "; ")},
			[2]string{"rail", c.railWords()}, [2]string{"0 V returns to", t.ZeroVolt}, [2]string{"to undo", strings.Join(c.undoSteps(), " ")})},
		text(Danger, "Lethal voltage stays after unplugging. Before a hand goes in: unplug, discharge through a resistor, prove dead with a meter just proved live, and leave the clip on. Local codes and licensed practice come first."),
	}}
}

// cut names every link that was taken out, with its ends; where none is
// written out, what the tap-in says was cut.
func (c recordComposer) cut() []string {
	var list []string
	for _, l := range c.job.Links {
		if l.State != job.RunRemoved {
			continue
		}
		words := l.Name + " (" + l.From + " to " + l.To
		if l.Colour != "" {
			words += ", " + l.Colour
		}
		list = append(list, words+")")
	}
	if cut := strings.TrimSpace(c.job.TapIn.Cut); cut != "" && len(list) == 0 {
		list = append(list, cut)
	}
	return list
}

// railWords is the rail with its volts as read, or as the job has them.
func (c recordComposer) railWords() string {
	var words []string
	if tap := strings.TrimSpace(c.job.TapIn.RailTap); tap != "" {
		words = append(words, tap)
	}
	if v := c.job.Left.Rail; v != nil {
		words = append(words, volts(v)+" as left")
	}
	if v := c.job.Found.Rail; v != nil {
		words = append(words, volts(v)+" as found")
	}
	if r := c.with.Rail; r != nil {
		words = append(words, voltsOr(&r.Cold, 4)+" cold, before the valves draw")
	}
	return strings.Join(words, "; ")
}

// undoSteps are the steps back, in the order of a hand.
func (c recordComposer) undoSteps() []string {
	steps := []string{"Unplug, bleed down, prove dead, leave the clip on."}
	if f := c.job.Feed; f != nil && len(f.Dropper) > 0 {
		steps = append(steps, "Unsolder "+f.Dropper[0]+" from the high-tension rail first: left in, it stays live. "+
			"What stands behind it comes out with it"+c.behindTheDropper()+"; the amplifier's own bleed and filter caps stay.")
	}
	var runs []string
	for _, r := range c.job.Runs {
		if r.State == job.RunMade {
			runs = append(runs, "“"+r.Name+"”")
		}
	}
	if len(runs) > 0 {
		steps = append(steps, "Take out the runs "+listed(runs)+".")
	} else {
		steps = append(steps, "Take out the equaliser's leads at the tap-in.")
	}
	if cut := c.cut(); len(cut) > 0 {
		steps = append(steps, "Join again: "+strings.Join(cut, "; ")+".")
	} else {
		steps = append(steps, "Rejoin the link that was cut.")
	}
	for _, m := range c.job.Moved {
		if m.OldHole != "" {
			steps = append(steps, movedBack(m))
		}
	}
	for _, more := range c.job.Record.Undo {
		steps = append(steps, sentence(more))
	}
	return append(steps, "Take out what is left of the equaliser, or leave no lead on it; close the holes. Look for swarf and loose ends.",
		"With the plug still out read earth bond and insulation. Only then take the discharge clip off; power up through the lamp limiter into the dummy load; read leakage, volts and hum against those as found. Not to be played before.")
}

// movedBack is the way back of a part that was moved.
func movedBack(m job.Moved) string {
	step := "Put the " + m.Name + " back"
	if m.NewHole != "" {
		step += " from " + m.NewHole
	}
	step += ": " + m.OldHole + "."
	switch m.Lead {
	case "extended":
		step += " Its lead was extended: take the joint out."
	case "shortened":
		step += " Its lead was shortened: it needs a longer one."
	}
	if m.Mains {
		step += " It carries MAINS: hook before solder, sleeve, tug-test, have it looked at."
	}
	return step
}

// behindTheDropper names the rest of the feed as the job has it.
func (c recordComposer) behindTheDropper() string {
	f := c.job.Feed
	names := append([]string{}, f.Dropper[1:]...)
	for _, p := range c.job.Parts {
		if p.Kind == "zener" {
			names = append(names, p.Name)
		}
	}
	if f.Zener != "" {
		names = append(names, "and what hangs there")
	}
	if len(names) == 0 {
		return ""
	}
	return ": " + strings.Join(names, ", ")
}

// undoList are the steps back, numbered.
func (c recordComposer) undoList() Block {
	list := &List{}
	for i, step := range c.undoSteps() {
		list.Items = append(list.Items, Item{Term: strconv.Itoa(i + 1), Text: step})
	}
	return Block{List: list}
}

// sentence ends a text as one.
func sentence(text string) string {
	text = strings.TrimSpace(text)
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".!?") {
		return text
	}
	first, rest := text[:1], text[1:]
	return strings.ToUpper(first) + rest + "."
}

func (c recordComposer) undo() Section {
	s := Section{ID: "undo", Heading: "To undo it all", Blocks: []Block{
		text(Danger, "Lethal voltage stays after unplugging. Unplug, discharge through a resistor, prove dead with a meter just proved live, and leave the clip on while hands are in. Local codes and licensed practice come first."),
		c.undoList()}}
	var differ []string
	for _, r := range c.job.Runs {
		if r.Original != "" && r.Original != r.Colour {
			differ = append(differ, r.Name+": "+orDash(r.Colour)+" where the amplifier's own is "+r.Original)
		}
	}
	if len(differ) > 0 {
		s.Blocks = append(s.Blocks, text(Look, "Colours that differ from the amplifier's own: "+strings.Join(differ, "; ")+"."))
	}
	if d := c.job.Record.Deviations; len(d) > 0 {
		known := &List{}
		for _, words := range d {
			known.Items = append(known.Items, Item{Term: "known", Text: sentence(words)})
		}
		s.Blocks = append(s.Blocks, Block{List: known})
	}
	return s
}

func (c recordComposer) asLeft() Section {
	l := c.job.Left
	t := record([2]string{"mains", volts(l.Mains)}, [2]string{"rail", volts(l.Rail)}, [2]string{"hum", l.Hum}, [2]string{"noise", l.Noise},
		[2]string{"normal hum", l.NormalHum}, [2]string{"footswitch", l.Footswitch}, [2]string{"measured on", l.Measured}).withNotes(l.Notes)
	s := Section{ID: "as-left", Heading: "As left", Blocks: []Block{{Table: t}}}
	if len(l.Volts) == 0 {
		return s
	}
	chart := &Table{Caption: "Voltage chart as left, mains " + orNotDone(volts(l.Mains)), Columns: []Column{{Head: "where"}, {Head: "reading", Number: true}}}
	for _, v := range l.Volts {
		reading := v.Reading
		chart.add("", v.Where, volts(&reading))
	}
	s.Blocks = append(s.Blocks, Block{Table: chart})
	return s
}

func (c recordComposer) photos() Section {
	s := Section{ID: "photos", Heading: "Photos"}
	if len(c.job.Record.Photos) == 0 {
		return s
	}
	t := &Table{Columns: []Column{{Head: "file"}, {Head: "shows"}}}
	for _, p := range c.job.Record.Photos {
		t.add("", p.File, orDash(p.Shows))
	}
	s.Blocks = []Block{{Table: t}}
	return s
}

// contents are the files of the package with their sums.
func (c recordComposer) contents() Section {
	s := Section{ID: "contents", Heading: "The package"}
	if c.with.Sum == "" {
		return s
	}
	t := &Table{Caption: "Open files and the SHA-256 of each", Columns: []Column{{Head: "file"}, {Head: "SHA-256", Mono: true}}}
	for _, f := range c.with.Files {
		t.add("", f.Name, SumOf(f.Text))
	}
	s.Blocks = []Block{
		text(Plain, "The SHA-256 of "+PackageSums+" is the package's check-sum: "+c.with.Sum+"."),
		text(Small, "bandwright check PACKAGE works every answer out again from the files alone and says what differs. sha256sum -c "+PackageSums+" tells whether a file was changed, without this program."),
		{Table: t},
	}
	return s
}
