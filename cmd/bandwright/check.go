package main

import (
	"fmt"

	"bandwright/finding"
	"bandwright/report"
)

// checkVerb judges a job without printing any figure.
type checkVerb struct{ jobArg }

// Help shows an example.
func (checkVerb) Help() string {
	return `Reads the job strictly, builds its circuit, reads its curve files, finds the
operating point and works out every band, and says what it found.
Ends with 1 when something wants a look, with 2 when the job is wrong.

Example:
  bandwright check job.toml`
}

// checkAnswer counts what was looked at.
type checkAnswer struct {
	Job    string        `json:"job"`
	Title  string        `json:"title"`
	Bands  int           `json:"bands"`
	Curves int           `json:"curves"`
	Points int           `json:"points"`
	Worst  finding.Level `json:"worst"`
}

// Run answers the verb.
func (v checkVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	err = v.give(d, answer, found, err, func() error { return v.print(d, answer, found) })
	if err != nil {
		return err
	}
	return judge(answer.Worst)
}

func (v checkVerb) answer(d door) (checkAnswer, finding.List, error) {
	c, found, err := v.open(d)
	if err != nil {
		return checkAnswer{}, found, err
	}
	bands, more, err := c.Bands(d.ctx, "flat")
	if found = append(found, more...); err != nil {
		return checkAnswer{}, found, err
	}
	found = once(found)
	return checkAnswer{Job: v.Job, Title: c.Job().Title, Bands: len(bands.Bands),
		Curves: len(c.Job().Curves), Points: len(c.Points()), Worst: found.Worst()}, found, nil
}

func (v checkVerb) print(d door, a checkAnswer, found finding.List) error {
	verdict := "nothing to remark"
	if len(found) > 0 {
		verdict = fmt.Sprintf("%d to read below", len(found))
	}
	_, err := fmt.Fprintf(d.out, "%s: %q, %d bands, %d points, %d curves: %s\n",
		a.Job, a.Title, a.Bands, a.Points, a.Curves, verdict)
	return err
}

// once leaves out findings that say the same words about the same place:
// several questions may meet one weakness.
func once(found finding.List) finding.List {
	seen := map[string]bool{}
	var kept finding.List
	for _, f := range found {
		if text := report.Text(f); !seen[text] {
			seen[text] = true
			kept = append(kept, f)
		}
	}
	return kept
}
