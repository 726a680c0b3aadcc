package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// recordVerb writes the record.
type recordVerb struct {
	jobArg
	Out   string `help:"Write the package here: one zip of open files, the answers and the paper." placeholder:"FILE"`
	PDF   string `name:"pdf" help:"Write the paper alone as PDF, A4." placeholder:"FILE"`
	HTML  string `name:"html" help:"Write the paper alone as one HTML file (the accessible one)." placeholder:"FILE"`
	Force bool   `help:"Replace files that exist."`
}

// Help shows an example.
func (recordVerb) Help() string {
	return `What goes with the amplifier: a page to fold inside the chassis, a page for the
player, and after them everything the next technician may ask for. What is
missing is named. The package holds the job, its curves and photos, every answer
and the paper; bandwright check PACKAGE works all of it out again.

Examples:
  bandwright record job.toml --out record.zip
  bandwright record job.toml --pdf record.pdf
  bandwright check record.zip`
}

// Run answers the verb.
func (v recordVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		for _, name := range answer.Written {
			fmt.Fprintln(d.out, "written:", name)
		}
		fmt.Fprintf(d.out, "%d files, check-sum of the package %s\n", len(answer.Files), answer.Sum)
		if len(answer.Missing) == 0 {
			fmt.Fprintln(d.out, "Every entry of the record has been made.")
			return nil
		}
		fmt.Fprintf(d.out, "\n%d entries are missing:\n", len(answer.Missing))
		t := names(d.out, "entry", "of")
		for _, m := range answer.Missing {
			t.row(m.Say, m.Of)
		}
		return t.flush()
	})
}

func (v recordVerb) answer(d door) (*ask.RecordAnswer, finding.List, error) {
	if v.Out == "" && v.PDF == "" && v.HTML == "" && !v.JSON {
		return nil, nil, refusal(IDNothingToWrite, nil)
	}
	from := v.from(d)
	progress, end := d.steps("questions")
	from.Progress = progress
	answer, found, err := ask.Record{}.Ask(d.ctx, from)
	end()
	if err != nil {
		return nil, found, err
	}
	var outputs []output
	if v.Out != "" {
		zipped, err := answer.Package()
		if err != nil {
			return nil, found, err
		}
		outputs = append(outputs, output{v.Out, zipped})
	}
	if v.PDF != "" {
		outputs = append(outputs, output{v.PDF, answer.File(report.PackagePaper)})
	}
	if v.HTML != "" {
		outputs = append(outputs, output{v.HTML, answer.File(report.PackagePage)})
	}
	if err := d.save(outputs, v.Force, v.Job); err != nil {
		return nil, found, err
	}
	answer.Written = paths(outputs)
	return answer, found, nil
}
