package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/finding"
)

// checkVerb judges a job without printing any figure.
type checkVerb struct{ jobArg }

// Help shows an example.
func (checkVerb) Help() string {
	return `Reads the job strictly, builds its circuit, reads its curve files, finds the
operating point and works out every band, and says what it found.
Ends with 1 when something wants a look, with 2 when the job is wrong.

Of a record's package it tells which files were removed, altered or added, and
works every answer out again from the package alone.

Examples:
  bandwright check job.toml
  bandwright check record.zip`
}

// Run answers the verb.
func (v checkVerb) Run(d door) error {
	if isPackage(v.Job) {
		return v.checkPackage(d)
	}
	answer, found, err := ask.Check{}.Ask(d.ctx, v.from(d))
	err = v.give(d, answer, found, err, func() error { return v.print(d, answer, found) })
	if err != nil {
		return err
	}
	return judge(answer.Worst)
}

func (v checkVerb) print(d door, a *ask.CheckAnswer, found finding.List) error {
	verdict := "nothing to remark"
	if len(found) > 0 {
		verdict = fmt.Sprintf("%d to read below", len(found))
	}
	_, err := fmt.Fprintf(d.out, "%s: %q, %d bands, %d points, %d curves: %s\n",
		v.Job, a.Title, a.Bands, a.Points, a.Curves, verdict)
	return err
}
