package report

import (
	"strconv"
	"strings"

	"bandwright/quantity"
)

// record is a two-column table of what the job says; a blank is NOT DONE.
func record(rows ...[2]string) *Table {
	t := &Table{Bare: true, Columns: []Column{{Head: "what"}, {Head: "entry"}}}
	for _, row := range rows {
		t.add("", row[0], orNotDone(row[1]))
	}
	return t
}

// withNotes adds a row only where there is something to say.
func (t *Table) withNotes(notes string) *Table {
	if strings.TrimSpace(notes) != "" {
		t.add("", "notes", notes)
	}
	return t
}

func (c composer) agreed() Section {
	a := c.job.Agreed
	return Section{ID: "agreed", Heading: "Agreed", Blocks: []Block{{Table: record(
		[2]string{"customer", a.Customer}, [2]string{"wants", a.Wants}, [2]string{"price", a.Price},
		[2]string{"date", a.Date}, [2]string{"agreed by", a.By}).withNotes(a.Notes)}}}
}

func (c composer) asFound() Section {
	f := c.job.Found
	t := record([2]string{"mains", volts(f.Mains)}, [2]string{"rail", volts(f.Rail)}, [2]string{"hum", f.Hum},
		[2]string{"earlier repairs", f.Repairs}, [2]string{"photos", strings.Join(f.Photos, ", ")}, [2]string{"measured on", f.Measured}).withNotes(f.Notes)
	s := Section{ID: "as-found", Heading: "As found", Blocks: []Block{{Table: t}}}
	if len(f.Volts) == 0 {
		return s
	}
	chart := &Table{Caption: "Volts before anything was touched", Columns: []Column{{Head: "where"}, {Head: "reading", Number: true}}}
	for _, v := range f.Volts {
		reading := v.Reading
		chart.add("", v.Where, volts(&reading))
	}
	s.Blocks = append(s.Blocks, Block{Table: chart})
	return s
}

func (c composer) tapIn() Section {
	t := c.job.TapIn
	source := t.SourceOhms
	return Section{ID: "tap-in", Heading: "Tap-in and undo", Blocks: []Block{{Table: record(
		[2]string{"where", t.Where}, [2]string{"it drives from", ohms(&source)}, [2]string{"load behind it", ohms(t.LoadOhms)},
		[2]string{"load's capacitance", farads(t.LoadFarads)}, [2]string{"strongest signal", level(t.Level)},
		[2]string{"link cut", t.Cut}, [2]string{"0 V returns to", t.ZeroVolt}, [2]string{"rail taken from", t.RailTap})},
		text(Small, "To undo: unplug, bleed down, prove dead, leave the clip on; take the feed off the high-tension rail first, for left in it stays live; take out the equaliser's leads at the tap-in and rejoin the link that was cut.")}}
}

// fitting is the list of work in its order, each step done or NOT DONE.
func (c composer) fitting() Section {
	s := Section{ID: "fitting", Heading: "Fitting list"}
	if len(c.job.Fitting) == 0 {
		return s
	}
	t := &Table{Columns: []Column{{Head: "step", Number: true}, {Head: "do"}, {Head: "done", Keep: true}, {Head: "note"}}}
	left := 0
	for i, step := range c.job.Fitting {
		done := orNotDone(step.Done)
		if done == notDone {
			left++
		}
		t.add("", strconv.Itoa(i+1), step.Do, done, step.Note)
	}
	said := text(Plain, "Every step is done.")
	if left > 0 {
		said = text(Look, count(left, "step of ", "steps of ")+strconv.Itoa(len(c.job.Fitting))+" left to do.")
	}
	s.Blocks = []Block{said, {Table: t}}
	return s
}

func (c composer) safety() Section {
	f := c.job.Safety
	s := Section{ID: "safety", Heading: "Safety readings"}
	missing := false
	for _, entry := range [...]string{f.EarthBond, f.Leakage, f.Insulation, f.Soak, f.Date, f.By} {
		missing = missing || orNotDone(entry) == notDone
	}
	if missing {
		s.Blocks = append(s.Blocks, text(Danger, "Not to be played: safety readings are missing."))
	}
	s.Blocks = append(s.Blocks, Block{Table: record(
		[2]string{"earth bond", f.EarthBond}, [2]string{"leakage", f.Leakage}, [2]string{"insulation", f.Insulation},
		[2]string{"soak", f.Soak}, [2]string{"date", f.Date}, [2]string{"read by", f.By}).withNotes(f.Notes)},
		text(Small, "Limits differ by place: the person who tests enters them, and local codes and licensed practice come first."))
	return s
}

// files lists every curve with the check-sum of its original bytes.
func (c composer) files() Section {
	s := Section{ID: "files", Heading: "Files"}
	if len(c.job.Curves) == 0 {
		return s
	}
	t := &Table{Caption: "Curve files and the SHA-256 of their bytes", Columns: []Column{{Head: "file"}, {Head: "level", Keep: true}, {Head: "SHA-256", Mono: true}}}
	sums := c.readSums()
	for _, k := range c.job.Curves {
		sum := k.SHA256
		if read := sums[k.File]; read != "" {
			sum = read
		}
		name := k.File
		if k.Invented {
			name += " (invented)"
		}
		t.add("", name, level(k.Level), orDash(sum))
	}
	s.Blocks = []Block{{Table: t}}
	return s
}

// readSums are the check-sums of what was read, which stand above what the
// job says they should be.
func (c composer) readSums() map[string]string {
	sums := map[string]string{}
	if c.answer.Compare != nil {
		for _, u := range c.answer.Compare.Units {
			for _, k := range u.Curves {
				sums[k.File] = k.SHA256
			}
		}
	}
	return sums
}

func volts(v *quantity.Volts) string {
	if v == nil {
		return ""
	}
	return v.Display(4)
}

func ohms(v *quantity.Ohms) string {
	if v == nil {
		return ""
	}
	return v.Display(4)
}

func farads(v *quantity.Farads) string {
	if v == nil {
		return ""
	}
	return v.Display(4)
}

func level(v *quantity.Level) string {
	if v == nil {
		return ""
	}
	return strings.Replace(v.String(), "-", "−", 1)
}
