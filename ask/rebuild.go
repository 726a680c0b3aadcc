package ask

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
)

// What a package may be found to be; both warnings.
const (
	// IDPackageDiffers: file, count, path, packed, now, by, with. Figures of an
	// answer come out otherwise.
	IDPackageDiffers finding.ID = "ask.package-differs"
	// IDPackageUnanswered: file, reason. A question has no answer any more.
	IDPackageUnanswered finding.ID = "ask.package-unanswered"
)

// Rebuild asks whether a package of a record is whole, and works every answer
// in it out again from the package alone.
type Rebuild struct {
	File string `json:"file"` // the package
}

// RebuildAnswer is what was found in a package. Figures that agree within
// SameWithin of their size are the same.
type RebuildAnswer struct {
	File       string          `json:"file"`
	Job        string          `json:"job"`
	Title      string          `json:"title"`
	MadeWith   string          `json:"made_with"`
	Program    string          `json:"program"` // this one
	Sum        string          `json:"sum"`
	Files      int             `json:"files"`
	SameWithin float64         `json:"same_within"`
	Answers    []RebuiltAnswer `json:"answers"`
	Whole      bool            `json:"whole"` // no file gone, altered or added
	Same       bool            `json:"same"`  // every figure comes out again
}

// RebuiltAnswer is one answer worked out again.
type RebuiltAnswer struct {
	File      string      `json:"file"`
	Question  string      `json:"question"`
	Figures   int         `json:"figures"`
	Identical bool        `json:"identical"` // byte for byte
	Differs   int         `json:"differs"`
	First     []Different `json:"first"` // the first of those that differ
}

// Different is a figure, or a word, that comes out otherwise.
type Different struct {
	Path   string `json:"path"`
	Packed string `json:"packed"`
	Now    string `json:"now"`
}

// Ask answers.
func (q Rebuild) Ask(ctx context.Context, from From) (*RebuildAnswer, finding.List, error) {
	name, text, err := from.File(q.File)
	if err != nil {
		return nil, nil, err
	}
	p, found, err := report.ReadPackage(name, text)
	if err != nil {
		return nil, found, err
	}
	a := &RebuildAnswer{File: name, Job: p.Note.Job, MadeWith: p.Note.Program, Program: from.Program, Sum: p.Sum(),
		Files: len(p.Files), SameWithin: sameWithin, Answers: []RebuiltAnswer{}, Whole: len(found) == 0, Same: true}
	from, opened, err := inside(ctx, from, p, text)
	if err != nil {
		return nil, append(found, opened...), err
	}
	if c, _, err := from.Open(ctx); err == nil {
		a.Title = c.Job().Title
	}
	for i, packed := range p.Note.Questions {
		if from.Progress != nil {
			from.Progress(i, len(p.Note.Questions))
		}
		one, more, err := again(ctx, from, p, packed)
		if err != nil {
			return nil, nil, err
		}
		a.Answers, found = append(a.Answers, one), append(found, more...)
		a.Same = a.Same && one.Differs == 0 && len(more) == 0
	}
	return a, report.Once(found), nil
}

// inside is what questions are asked of when there is nothing but a package.
func inside(ctx context.Context, from From, p *report.Package, text []byte) (From, finding.List, error) {
	job, _ := p.File(report.PackageJob + p.Note.Job)
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		panic("ask: a package that was read cannot be opened: " + err.Error())
	}
	files, err := fs.Sub(z, strings.TrimSuffix(report.PackageJob, "/"))
	if err != nil {
		panic("ask: " + err.Error())
	}
	c, opened := bench.Open(ctx, p.Note.Job, job, files)
	if err := ctx.Err(); err != nil {
		return from, nil, err
	}
	from.Open = func(context.Context) (*bench.Case, finding.List, error) { return c, opened, opened.Err() }
	from.File = func(name string) (string, []byte, error) {
		text, there := p.File(path.Join(report.PackageJob, name))
		if !there {
			return "", nil, refusal(IDFileMissing, finding.Args{"path": name})
		}
		return path.Base(name), text, nil
	}
	return from, opened, opened.Err()
}

// mostShown is how many differences of one answer are told one by one.
const mostShown = 5

// again works one answer out again and holds it against what was packed.
func again(ctx context.Context, from From, p *report.Package, packed report.PackageQuestion) (RebuiltAnswer, finding.List, error) {
	one := RebuiltAnswer{File: packed.File, Question: packed.Question, First: []Different{}}
	lost := func(reason string) (RebuiltAnswer, finding.List, error) {
		return one, finding.List{finding.New(IDPackageUnanswered, finding.Warning, finding.Place{},
			finding.Args{"file": packed.File, "reason": reason})}, nil
	}
	was, there := p.File(packed.File)
	q, known := Named(packed.Question)
	switch {
	case !there:
		return lost("the file is gone")
	case !known:
		return lost("this program has no question " + packed.Question)
	}
	var now bytes.Buffer
	asking := from
	asking.Progress = nil
	if err := q.Answer(ctx, &now, []byte(packed.Fields), asking); err != nil {
		return one, nil, err
	}
	if one.Identical = bytes.Equal(was, now.Bytes()); one.Identical {
		one.Figures = figuresIn(was)
		return one, nil, nil
	}
	d, err := differences(was, now.Bytes())
	if err != nil {
		return lost(err.Error())
	}
	one.Figures, one.Differs, one.First = d.figures, d.count, d.first
	if d.count == 0 {
		return one, nil, nil
	}
	return one, finding.List{finding.New(IDPackageDiffers, finding.Warning, finding.Place{}, finding.Args{
		"file": packed.File, "count": fmt.Sprint(d.count), "path": d.first[0].Path, "packed": d.first[0].Packed, "now": d.first[0].Now,
		"by": p.Note.Program, "with": from.Program})}, nil
}
