package main

import (
	"bytes"
	"fmt"
	"io"
	"strconv"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
)

// ohmsVerb prints the ring-out list, or one probe.
type ohmsVerb struct {
	jobArg
	Stage     string   `help:"Which stage: loose (boards and switches on the bench), last-open (fitted, last joints open), complete, as-made (what is made so far)." default:"complete" placeholder:"STAGE"`
	List      string   `help:"quick (the likeliest first) or full (all that ohms can show, the fewest lines)." default:"full" placeholder:"quick|full"`
	Reading   []string `help:"A reading: ohms, red lead, black lead unless ground, what was shown, setting." sep:"none" placeholder:"\"ohms panel.a1 in 0.1 ohm\""`
	CSV       []string `name:"csv" help:"A list that was filled in." sep:"none" placeholder:"FILE"`
	NoJob     bool     `help:"Leave out the job's own [[reading]]s."`
	Fill      string   `help:"Write the list as CSV, to be filled in and given back with --csv, here or to faults." placeholder:"FILE"`
	HTML      string   `name:"html" help:"Write the ring-out sheet as one HTML file (the accessible one)." placeholder:"FILE"`
	PDF       string   `name:"pdf" help:"Write the ring-out sheet as PDF, A4." placeholder:"FILE"`
	Force     bool     `help:"Replace files that exist."`
	Faults    bool     `help:"Also list the faults: on which lines each is caught, and what ohms cannot show."`
	Red       string   `help:"Instead of a list: what one probe shows, the red lead here." placeholder:"POINT"`
	Black     string   `help:"And the black lead here; ground when left out." placeholder:"POINT"`
	Set       string   `help:"How sliders and switches stand for the one probe." default:"flat" placeholder:"SETTING"`
	TestVolts string   `help:"The meter's volts with its leads open, for the one probe; without it no junction opens." placeholder:"VOLTS"`
	TestOhms  string   `help:"The ohms behind them." placeholder:"OHMS"`
}

// Help shows an example.
func (ohmsVerb) Help() string {
	return `The list by which the wiring is rung out with the power off: clip the black lead
once and walk with the red one. Each line has what the meter must show, from low
to high, with its own error; what that proves; and which faults it catches. The
full list is the shortest that catches every single fault which any pair of points
shows, proven by carrying each out. Readings are judged pass, look or stop, and
never before the job's [dead] says who discharged the amplifier and proved it dead.
Ends with 1 when something wants a look.

Examples:
  bandwright ohms wired.toml --stage last-open --pdf ring-out.pdf --fill ring-out.csv
  bandwright ohms wired.toml --csv ring-out.csv
  bandwright ohms wired.toml --red boost --black cut --set "63=+1" --test-volts 2.5V --test-ohms 1k`
}

// Run answers the verb.
func (v ohmsVerb) Run(d door) error {
	if v.Red != "" {
		return v.probe(d)
	}
	from := v.from(d)
	progress, end := d.steps("faults")
	from.Progress = progress
	answer, found, err := ask.Ohms{Stage: v.Stage, List: v.List, Reading: v.Reading, CSV: v.CSV, NoJob: v.NoJob}.Ask(d.ctx, from)
	end()
	var outputs []output
	if err == nil && found.Err() == nil {
		outputs, err = v.outputs(d, answer, found)
	}
	if err := v.give(d, answer, found, err, func() error { return v.print(d, answer, outputs) }); err != nil {
		return err
	}
	return judge(found.Worst())
}

// outputs writes the files asked for, all or none.
func (v ohmsVerb) outputs(d door, a *bench.OhmsAnswer, found finding.List) ([]output, error) {
	list, err := forms(report.NewOhms(a, found, "bandwright "+version), v.HTML, v.PDF)
	if err == nil {
		list, err = alsoCSV(list, v.Fill, a, report.OhmsCSV)
	}
	if err != nil {
		return nil, err
	}
	return list, d.save(list, v.Force, append(v.CSV, v.Job)...)
}

// alsoCSV adds an answer's table to the files to be written, where it is asked for.
func alsoCSV[A any](list []output, path string, a A, write func(io.Writer, A) error) ([]output, error) {
	if path == "" {
		return list, nil
	}
	var text bytes.Buffer
	err := write(&text, a)
	return append(list, output{path, text.Bytes()}), err
}

func (v ohmsVerb) print(d door, a *bench.OhmsAnswer, outputs []output) error {
	fmt.Fprintf(d.out, "%s\n\n%s\n\nStage %s.\n%s\n", report.DeadSigned(a.Dead), report.DeadFirst, report.OhmsStage(a.Stage), report.OhmsCount(a))
	for _, g := range a.Groups {
		fmt.Fprintf(d.out, "\nBlack lead on %s:\n", g.Black)
		if err := printOhms(d, a, g.Rows); err != nil {
			return err
		}
	}
	if len(a.Others) > 0 {
		fmt.Fprintln(d.out, "\nOther readings:")
		if err := printOhms(d, a, a.Others); err != nil {
			return err
		}
	}
	fmt.Fprintf(d.out, "\n%s\n%s\n", report.OhmsTally(a), report.OhmsMeter(a))
	for _, o := range outputs {
		fmt.Fprintln(d.out, "written:", o.path)
	}
	if v.Faults {
		return printOhmsFaults(d, a)
	}
	return nil
}

func printOhms(d door, a *bench.OhmsAnswer, rows []bench.OhmsRow) error {
	t := names(d.out, "no.", "red lead", "setting", "low", "nominal", "high", "wait", "read", "verdict", "proves", "catches")
	for _, r := range rows {
		low, nominal, high := report.OhmsRange(r)
		number := ""
		if r.Number > 0 {
			number = strconv.Itoa(r.Number)
		}
		red := r.Red
		if r.Number == 0 {
			red += " to " + r.Black
		}
		t.row(number, red, report.OhmsSetting(a, r.Setting), low, nominal, high, report.OhmsWait(r.Settles), report.OhmsRead(r),
			report.VerdictWord(r.Verdict), report.Proves(r), strconv.Itoa(len(r.Catches)))
	}
	if err := t.flush(); err != nil {
		return err
	}
	for _, r := range rows {
		if fits := report.OhmsFits(a, r); fits != "" {
			fmt.Fprintf(d.out, "  %s would read so with %s\n", r.Red, fits)
		}
	}
	return nil
}

func printOhmsFaults(d door, a *bench.OhmsAnswer) error {
	fmt.Fprintln(d.out, "\nFaults, and where each is caught:")
	t := names(d.out, "no.", "fault", "on lines")
	for _, f := range a.Faults {
		t.row(strconv.Itoa(f.Number), report.SlipText(f), report.CaughtText(f))
	}
	return t.flush()
}

// probe asks for one reading.
func (v ohmsVerb) probe(d door) error {
	answer, found, err := ask.Probe{Stage: v.Stage, Red: v.Red, Black: v.Black, Set: v.Set, TestVolts: v.TestVolts, TestOhms: v.TestOhms}.Ask(d.ctx, v.from(d))
	return v.give(d, answer, found, err, func() error {
		fmt.Fprintf(d.out, "%s\n\n%s\n\nStage %s.\n", report.DeadSigned(answer.Dead), report.DeadFirst, report.OhmsStage(answer.Stage))
		for _, line := range report.Probe(answer) {
			fmt.Fprintln(d.out, line)
		}
		return nil
	})
}
