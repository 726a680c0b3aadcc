package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/report"
)

// newVerb writes a job from the answers to job.Questions; every question's
// key is a flag.
type newVerb struct {
	form
	Job   string `arg:"" help:"The job file to write." placeholder:"JOB"`
	Ask   bool   `help:"Ask even when no person sits at a terminal; answers are read line by line."`
	Force bool   `help:"Replace the file if it exists."`

	Title      *string `help:"What the job is called." placeholder:"TEXT"`
	Amp        *string `help:"Which amplifier it is for." placeholder:"TEXT"`
	Source     *string `help:"Ohms the tap-in point drives from." placeholder:"OHMS"`
	Load       *string `help:"Ohms that load the return." placeholder:"OHMS"`
	Level      *string `help:"Strongest signal at the tap-in." placeholder:"LEVEL"`
	Drawing    *string `help:"Driver: ideal, op-amp or two-transistor." placeholder:"NAME"`
	Rail       *string `help:"Rail the driver runs from." placeholder:"VOLTS"`
	Bands      *string `help:"Centres, parted by commas, or how many." placeholder:"LIST"`
	Boost      *string `help:"Boost a band should reach." placeholder:"DB"`
	Q          *string `help:"Centre over the width at half the boost." placeholder:"NUMBER"`
	Feedback   *string `help:"Feedback resistor." placeholder:"OHMS"`
	Slider     *string `help:"Sliders' tracks." placeholder:"OHMS"`
	Capacitors *string `help:"Series capacitors come from." placeholder:"SERIES"`
	Resistors  *string `help:"Series resistors come from." placeholder:"SERIES"`
	DCR        *string `name:"dcr" help:"Ohms a coil has for each henry." placeholder:"OHMS"`
}

// Help shows an example.
func (newVerb) Help() string {
	return `Asks what is needed, a question at a time with what it takes for a blank
answer; questions answered by a flag are not asked. Where no person sits at a
terminal, or with every answer given, nothing is asked. The job computes at
once; its values are a start, to be changed in the file.

Examples:
  bandwright new job.toml
  bandwright new job.toml --bands 63,160,400,1k,2k5,6k3 --boost 10dB --drawing op-amp --rail 15V`
}

// newAnswer is what the verb says: the file, and what its bands come to.
type newAnswer struct {
	Written string             `json:"written"`
	Bands   *bench.BandsAnswer `json:"bands"`
}

// Run answers the verb.
func (v newVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		fmt.Fprintln(d.out, "written:", answer.Written)
		fmt.Fprintln(d.out)
		return printBands(d, answer.Bands)
	})
}

func (v newVerb) answer(d door) (newAnswer, finding.List, error) {
	// Nobody should answer fifteen questions only to be refused the name.
	if _, err := os.Lstat(v.Job); err == nil && !v.Force {
		return newAnswer{}, nil, refusal(IDFileExists, finding.Args{"path": v.Job})
	}
	answers := v.given()
	if v.Ask || d.terminal {
		if err := interview(d, answers); err != nil {
			return newAnswer{}, nil, err
		}
	}
	text, err := job.New(answers)
	if err != nil {
		return newAnswer{}, nil, err
	}
	c, found := bench.Open(d.ctx, filepath.Base(v.Job), text, os.DirFS(filepath.Dir(v.Job)))
	if found.Err() != nil {
		return newAnswer{}, found, nil
	}
	bands, more, err := c.Bands(d.ctx, "flat")
	if found = report.Once(append(found, more...)); err != nil || found.Err() != nil {
		return newAnswer{}, found, err
	}
	if err := d.save([]output{{v.Job, text}}, v.Force); err != nil {
		return newAnswer{}, found, err
	}
	return newAnswer{Written: v.Job, Bands: bands}, found, nil
}

// flags are the answers by flag, nil where none was given.
func (v newVerb) flags() map[string]*string {
	return map[string]*string{
		"title": v.Title, "amp": v.Amp, "source": v.Source, "load": v.Load, "level": v.Level,
		"drawing": v.Drawing, "rail": v.Rail, "bands": v.Bands, "boost": v.Boost, "q": v.Q,
		"feedback": v.Feedback, "slider": v.Slider, "capacitors": v.Capacitors,
		"resistors": v.Resistors, "dcr": v.DCR,
	}
}

func (v newVerb) given() job.Answers {
	answers := job.Answers{}
	for key, text := range v.flags() {
		if text != nil {
			answers[key] = *text
		}
	}
	return answers
}

// interview fills in what no flag answered. An answer that cannot be used is asked
// again; at the end of the input the rest takes its defaults.
func interview(d door, answers job.Answers) error {
	lines := bufio.NewScanner(d.in)
	for _, q := range job.Questions() {
		if _, given := answers[q.Key]; given {
			continue
		}
		for {
			fmt.Fprintf(d.err, "%s [%s] ", q.Text, q.Default)
			if !lines.Scan() {
				fmt.Fprintln(d.err)
				return readError(lines.Err())
			}
			if d.ctx.Err() != nil {
				return d.ctx.Err()
			}
			text := strings.TrimSpace(lines.Text())
			_, err := job.New(job.Answers{q.Key: text})
			wrong, isInput := finding.From(err)
			if err != nil && !isInput {
				return err
			}
			if err == nil {
				answers[q.Key] = text
				break
			}
			d.say(wrong)
			fmt.Fprintf(d.err, "  it is read as %s\n", q.Reads)
		}
	}
	return nil
}

func readError(err error) error {
	if err == nil || errors.Is(err, io.EOF) {
		return nil
	}
	return unreadable("the answers", err)
}
