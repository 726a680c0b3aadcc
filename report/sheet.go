package report

import (
	"bandwright/bench"
	"bandwright/draw"
	"bandwright/finding"
	"bandwright/job"
)

// Sheet is a job sheet before it is laid out: every word and number of it, in
// order, and nothing about pages or screens. A Sheet is never changed once
// made; HTML and PDF have many readers.
type Sheet struct {
	Title    string
	Invented bool   // the band over every page
	Program  string // name and version, in every footer
	Facts    Table  // of the title block
	Sections []Section
}

// Section is a heading and what stands under it.
type Section struct {
	ID      string // for links; letters and hyphens
	Heading string
	Page    bool // on a page of its own, to be taken out
	Blocks  []Block
}

// Block is one of its fields; the others are nil.
type Block struct {
	Text   *Paragraph
	List   *List
	Table  *Table
	Figure *Figure
}

// Tone is how much weight a text carries.
type Tone string

// The tones.
const (
	Plain  Tone = ""
	Lead   Tone = "lead"   // the answer itself
	Small  Tone = "small"  // how to read what stands above
	Look   Tone = "look"   // beyond a limit, or a warning
	Danger Tone = "danger" // a caution
)

// Paragraph is one paragraph of text.
type Paragraph struct {
	Tone Tone
	Text string
}

// List is a run of short texts.
type List struct{ Items []Item }

// Item is an entry of a list: a mark or a term before it, the text, and
// smaller words after it.
type Item struct {
	Tone Tone
	Term string // "unit A", "warning", …
	Text string
	Note string
}

// Table is rows under heads, the first cell of a row its head. Groups part
// the rows; a group without a name has no line of its own.
type Table struct {
	Caption string
	Bare    bool // its column heads say nothing and are left out
	Columns []Column
	Groups  []Group
}

// Column is the head of a column. Numbers stand to the right.
type Column struct {
	Head   string
	Unit   string
	Number bool
	Mono   bool // check-sums and names to be compared letter by letter
	Keep   bool // short words that are never broken: dates
}

// Group is some rows that belong together.
type Group struct {
	Name string
	Rows []Row
}

// Row is one row, as many cells as the table has columns.
type Row struct {
	Tone  Tone
	Cells []Cell
}

// Cell is one cell.
type Cell struct {
	Tone Tone
	Text string
}

// Figure is a plot and the same in figures, for who cannot see it.
type Figure struct {
	Caption string
	Drawing *draw.Drawing
	Own     bool // keeps its size on a screen too
	Data    Table
}

// New composes a job sheet from bench's answer, the job it is of, all that
// was found on the way, and the program's name and version.
func New(answer *bench.SheetAnswer, of *job.Job, found finding.List, program string) *Sheet {
	c := composer{answer: answer, job: of, found: found}
	s := &Sheet{
		Title: answer.Title, Invented: of.Invented,
		Program: program, Facts: c.facts(program),
	}
	if s.Title == "" {
		s.Title = "Job sheet"
	}
	for _, section := range []Section{
		c.why(), c.inShort(), c.bandTable(), c.wanted(), c.curves(), c.parts(), c.picks(), c.scale(), c.levels(), c.operating(),
		c.agreed(), c.asFound(), c.tapIn(), c.fitting(), c.safety(),
		c.findings(), c.cautions(), c.unknown(), c.files(),
	} {
		if len(section.Blocks) > 0 {
			section.tie()
			s.Sections = append(s.Sections, section)
		}
	}
	return s
}

// tie keeps numbers and units together in lists and tables.
func (s Section) tie() {
	for _, b := range s.Blocks {
		if b.List != nil {
			for i := range b.List.Items {
				item := &b.List.Items[i]
				item.Text, item.Note = tied(item.Text), tied(item.Note)
			}
		}
		if b.Table != nil {
			b.Table.tie()
		}
	}
}

func (t *Table) tie() {
	t.Caption = tied(t.Caption)
	for _, g := range t.Groups {
		for _, row := range g.Rows {
			for i := range row.Cells {
				row.Cells[i].Text = tied(row.Cells[i].Text)
			}
		}
	}
}

// composer writes the sections of one sheet, one method each.
type composer struct {
	answer *bench.SheetAnswer
	job    *job.Job
	found  finding.List
}

// facts is the title block. It carries no date: the same job and curves give
// the same sheet.
func (c composer) facts(program string) Table {
	t := Table{Bare: true, Columns: []Column{{Head: "what"}, {Head: "which"}}}
	put := func(what, which string) {
		if which != "" {
			t.add("", what, which)
		}
	}
	put("Amplifier", c.job.Amp)
	put("Bands", tied(listed(c.bandNames())+" Hz"))
	put("Job file", c.answer.JobFile)
	put("its SHA-256", c.answer.JobSHA256)
	if n := len(c.job.Curves); n > 0 {
		put("Curve files", count(n, "curve; its check-sum stands", "curves; their check-sums stand")+" at the end, under “Files”")
	}
	put("Made with", program)
	return t
}

func (c composer) bandNames() []string {
	var names []string
	for _, b := range c.answer.Bands.Bands {
		names = append(names, stated(b.StatedHz))
	}
	return names
}

// add puts a row at the end of a named group, opening it when it is not the
// last one.
func (t *Table) add(group string, cells ...string) *Row {
	if n := len(t.Groups); n == 0 || t.Groups[n-1].Name != group {
		t.Groups = append(t.Groups, Group{Name: group})
	}
	row := Row{}
	for _, text := range cells {
		tone := Plain
		if text == notDone {
			tone = Look
		}
		row.Cells = append(row.Cells, Cell{Tone: tone, Text: text})
	}
	g := &t.Groups[len(t.Groups)-1]
	g.Rows = append(g.Rows, row)
	return &g.Rows[len(g.Rows)-1]
}

func text(tone Tone, words string) Block {
	return Block{Text: &Paragraph{Tone: tone, Text: tied(words)}}
}
