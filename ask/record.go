package ask

import (
	"bytes"
	"context"
	"encoding/json"
	"path"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/report"
)

// Record asks for the record that goes with the amplifier, and for the package
// it is handed over in.
type Record struct{}

// RecordAnswer is what is in the package and what the record lacks.
type RecordAnswer struct {
	Written []string        `json:"written"`
	Sum     string          `json:"sum"` // SHA-256 of the package's contents.sha256
	Files   []RecordFile    `json:"files"`
	Missing []RecordMissing `json:"missing"`

	files []report.Packed
}

// RecordFile is one file of the package.
type RecordFile struct {
	Name   string `json:"name"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// RecordMissing is an entry that the record lacks, in words too.
type RecordMissing struct {
	bench.Missing
	Say string `json:"say"`
}

// Package gives the package as one zip.
func (a *RecordAnswer) Package() ([]byte, error) {
	var b bytes.Buffer
	err := report.WritePackage(&b, a.files)
	return b.Bytes(), err
}

// File gives one file of the package; nil: there is none of that name.
func (a *RecordAnswer) File(name string) []byte {
	for _, f := range a.files {
		if f.Name == name {
			return f.Text
		}
	}
	return nil
}

// Ask answers; nothing is written.
func (Record) Ask(ctx context.Context, from From) (*RecordAnswer, finding.List, error) {
	c, found, err := from.Open(ctx)
	if err != nil {
		return nil, found, err
	}
	from.Open = func(context.Context) (*bench.Case, finding.List, error) { return c, found, nil } // once for all questions
	p := packing{ctx: ctx, from: from, job: c.Job()}
	files, gone := c.Files()
	for _, f := range files {
		p.open = append(p.open, report.Packed{Name: report.PackageJob + f.Name, Text: f.Text})
	}
	if err := p.answers(); err != nil {
		return nil, nil, err
	}
	own, more, err := c.Record(ctx)
	if err != nil {
		return nil, found, err
	}
	found = report.Once(append(append(append(found, gone...), p.found...), more...))
	note, err := json.MarshalIndent(report.PackageNote{Format: report.PackageFormat, Program: from.Program, Job: c.Name(), Questions: p.questions}, "", "  ")
	if err != nil {
		return nil, nil, err
	}
	p.open = append(p.open, report.Packed{Name: report.PackageHead, Text: append(note, '\n')})
	all, sum, err := report.Seal(p.open, func(sum string) ([]report.Packed, error) { return p.papers(sum, own, found) })
	if err != nil {
		return nil, nil, err
	}
	return answerOf(all, sum, own.Missing), found, nil
}

func answerOf(all []report.Packed, sum string, missing []bench.Missing) *RecordAnswer {
	a := &RecordAnswer{Written: []string{}, Sum: sum, Missing: []RecordMissing{}, files: all}
	for _, f := range all {
		a.Files = append(a.Files, RecordFile{f.Name, len(f.Text), report.SumOf(f.Text)})
	}
	for _, m := range missing {
		a.Missing = append(a.Missing, RecordMissing{m, report.MissingWords(m)})
	}
	return a
}

// packing gathers what goes into one package.
type packing struct {
	ctx       context.Context
	from      From
	job       *job.Job
	open      []report.Packed
	questions []report.PackageQuestion
	found     finding.List
	given     map[string][]any // answers by question
}

// recorded is one question of a record.
type recorded struct{ question, fields, file string }

// questions are those whose answers a job's record holds.
func recordedOf(j *job.Job) []recorded {
	list := []recorded{{"check", `{}`, "check"}, {"sheet", `{}`, "sheet"},
		{"predict", `{"set":"flat"}`, "predict-flat"}}
	if j.Lift != nil {
		list = append(list, recorded{"predict", `{"set":"lift"}`, "predict-lifted"})
	}
	if j.Bypass != nil {
		list = append(list, recorded{"predict", `{"set":"bypass"}`, "predict-bypassed"})
	}
	if j.Feed != nil {
		list = append(list, recorded{"feed", `{}`, "feed"})
		for _, stage := range job.PowerStages() {
			fields := `{"stage":"` + stage + `"}`
			if rail := j.Left.Rail; stage == job.StageMains && rail != nil {
				fields = `{"stage":"` + stage + `","rail":"` + rail.String() + `"}`
			}
			list = append(list, recorded{"powerup", fields, "powerup-" + stage})
		}
	}
	if j.Wired() {
		list = append(list, recorded{"runs", `{}`, "runs"}, recorded{"ohms", `{}`, "ohms"})
	}
	return list
}

// answers puts every question of the record. One that cannot be answered is
// said among the findings; the record stands without it.
func (p *packing) answers() error {
	p.given = map[string][]any{}
	list := recordedOf(p.job)
	for i, r := range list {
		if p.from.Progress != nil {
			p.from.Progress(i, len(list))
		}
		q, known := Named(r.question)
		if !known {
			continue
		}
		text, answer, found, err := p.reply(q, r.fields)
		if err != nil {
			return err
		}
		p.found = append(p.found, found...)
		if answer == nil {
			continue
		}
		file := path.Join(report.PackageAnswer, r.file+".json")
		p.given[r.question] = append(p.given[r.question], answer)
		p.open = append(p.open, report.Packed{Name: file, Text: text})
		p.questions = append(p.questions, report.PackageQuestion{File: file, Question: r.question, Fields: r.fields})
	}
	return nil
}

// reply gives the reply as every door does, and the answer in it.
func (p *packing) reply(q Question, fields string) ([]byte, any, finding.List, error) {
	inner := p.from
	inner.Progress = nil
	put, err := q.read([]byte(fields))
	if err != nil {
		panic("ask: " + q.Name + " of a record: " + err.Error())
	}
	answer, found, err := put(p.ctx, inner)
	answer, found, err = Settle(answer, found, err, q.Partial)
	if err != nil {
		return nil, nil, nil, err
	}
	var b bytes.Buffer
	if err := report.JSON(&b, answer, found); err != nil {
		return nil, nil, nil, err
	}
	return b.Bytes(), answer, found, nil
}

// given finds the first answer of its kind.
func givenTo[A any](p *packing, question string) *A {
	for _, answer := range p.given[question] {
		if a, is := answer.(*A); is {
			return a
		}
	}
	return nil
}

// more are the sections of the sheets that have a paper of their own.
func (p *packing) more() []report.Section {
	var list []report.Section
	if runs := givenTo[bench.RunsAnswer](p, "runs"); runs != nil {
		list = append(list, report.HarnessSection(runs))
		list = append(list, report.Within("runs", "Wiring", report.NewRuns(runs, nil, p.from.Program))...)
	}
	if ohms := givenTo[bench.OhmsAnswer](p, "ohms"); ohms != nil {
		list = append(list, report.Within("ohms", "Ring-out", report.NewOhms(ohms, nil, p.from.Program))...)
	}
	if feed := givenTo[bench.FeedAnswer](p, "feed"); feed != nil {
		list = append(list, report.Within("feed", "Feed", report.NewFeed(feed, nil, p.from.Program))...)
	}
	for _, answer := range p.given["powerup"] {
		if first, is := answer.(*bench.FirstVoltsAnswer); is {
			if !report.UnderLamp(first) {
				list = append(list, report.ChartSection(first))
			}
			list = append(list, report.Within("first-"+first.Stage, "Volts, "+first.Stage, report.NewPowerUp(first, nil, p.from.Program))...)
		}
	}
	return list
}

// unread counts the lines of the lists that nobody read.
func (p *packing) unread() []report.Unread {
	var list []report.Unread
	add := func(name string, lines, of int) {
		if lines > 0 {
			list = append(list, report.Unread{List: name, Lines: lines, Of: of})
		}
	}
	if a := givenTo[bench.OhmsAnswer](p, "ohms"); a != nil {
		add("ring-out", a.NotDone, a.Passed+a.Looks+a.Stops+a.NotDone)
	}
	for _, answer := range p.given["powerup"] {
		if a, is := answer.(*bench.FirstVoltsAnswer); is {
			add("volts, "+a.Stage, a.NotDone, a.Passed+a.Looks+a.Stops+a.NotDone)
		}
	}
	return list
}

// papers lays the record out, as PDF and as a page.
func (p *packing) papers(sum string, own *bench.RecordAnswer, found finding.List) ([]report.Packed, error) {
	sheet := givenTo[SheetAnswer](p, "sheet")
	if sheet == nil {
		return nil, found.Err() // what stood in its way
	}
	parts := report.RecordParts{Sheet: sheet.Sheet, Record: own, Sum: sum, Files: p.open}
	if feed := givenTo[bench.FeedAnswer](p, "feed"); feed != nil {
		parts.Rail = &report.RailVolts{Point: feed.Rail.Point, Nominal: feed.Rail.Volts, Cold: feed.Rail.Cold}
	}
	parts.More, parts.Unread = p.more(), p.unread()
	record, err := report.NewRecord(parts, p.job, found, p.from.Program)
	if err != nil {
		return nil, err
	}
	var pdf, page bytes.Buffer
	if err := record.PDF(&pdf); err != nil {
		return nil, err
	}
	if err := record.HTML(&page); err != nil {
		return nil, err
	}
	return []report.Packed{{Name: report.PackagePaper, Text: pdf.Bytes()}, {Name: report.PackagePage, Text: page.Bytes()}}, nil
}
