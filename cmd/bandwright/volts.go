package main

import (
	"bytes"
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
)

// voltsVerb gives the list of one stage of a first power-up.
type voltsVerb struct {
	jobArg
	Stage   string   `required:"" help:"Which stage: the finished board on a current-limited bench supply, in the amplifier on the lamp limiter, on mains." placeholder:"bench|limiter|mains"`
	Set     string   `help:"How sliders and switches stand." default:"flat" placeholder:"SETTING"`
	Rail    string   `help:"The rail as now read where the feed is taken off: everything follows from it." placeholder:"VOLTS"`
	Mains   string   `help:"The mains as now read; only where the rail is not." placeholder:"VOLTS"`
	Current string   `help:"What the bench supply shows." placeholder:"AMPERES"`
	Skip    []string `help:"An earlier stage that was left out, and why." sep:"none" placeholder:"\"STAGE: REASON\""`
	Reading []string `help:"A reading: kind, red lead, black lead unless ground, what was shown, setting." sep:"none" placeholder:"\"volts out 12.1 V\""`
	CSV     []string `name:"csv" help:"A list of readings that was filled in: kind, red, black, setting, hz, reading." sep:"none" placeholder:"FILE"`
	List    string   `help:"Write the list as CSV, to be filled in and given back with --csv." placeholder:"FILE"`
	HTML    string   `name:"html" help:"Write the power-up sheet as one HTML file (the accessible one)." placeholder:"FILE"`
	PDF     string   `name:"pdf" help:"Write the power-up sheet as PDF, A4." placeholder:"FILE"`
	Force   bool     `help:"Replace files that exist."`
}

// Help shows an example.
func (voltsVerb) Help() string {
	return `The volts that a meter should show at every point, its loading included, and what
becomes of those it did show: pass, look or stop, by the job's limits. Stages are
taken in their order; one that is neither signed in the job nor skipped with a
reason is named before every later one. On the limiter each point must rise, and
must not exceed. Read the rail first: everything follows from it. Nothing is
called safe because it was ticked; what was not read is NOT DONE.
Ends with 1 when something wants a look.

Examples:
  bandwright volts feed.toml --stage bench --current 6.5mA --reading "gain 63 Hz 10.1 dB at 63=+1"
  bandwright volts feed.toml --stage limiter --reading "volts ht 180 V" --pdf limiter.pdf
  bandwright volts feed.toml --stage mains --rail 398V --skip "limiter: done on a variac with a fuse" --list volts.csv`
}

// Run answers the verb.
func (v voltsVerb) Run(d door) error {
	answer, found, err := ask.PowerUp{Stage: v.Stage, Set: v.Set, Rail: v.Rail, Mains: v.Mains, Current: v.Current,
		Skip: v.Skip, Reading: v.Reading, CSV: v.CSV}.Ask(d.ctx, v.from(d))
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
func (v voltsVerb) outputs(d door, a *bench.FirstVoltsAnswer, found finding.List) ([]output, error) {
	list, err := forms(report.NewPowerUp(a, found, "bandwright "+version), v.HTML, v.PDF)
	if err == nil && v.List != "" {
		var text bytes.Buffer
		err = report.PowerUpCSV(&text, a)
		list = append(list, output{v.List, text.Bytes()})
	}
	if err != nil {
		return nil, err
	}
	return list, d.save(list, v.Force, append(v.CSV, v.Job)...)
}

func (v voltsVerb) print(d door, a *bench.FirstVoltsAnswer, outputs []output) error {
	fmt.Fprintf(d.out, "%s, at: %s\n", report.StageName(a.Stage), a.Setting)
	for _, b := range a.Before {
		fmt.Fprintln(d.out, report.StageBefore(b))
	}
	fmt.Fprintf(d.out, "%s\n\n%s\n\n", report.LiveCaution, report.PowerUpFrom(a))
	if err := printStage(d, a); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%s\n%s\n", report.PowerUpCount(a), report.PowerUpLimits(a))
	printWritten(d, outputs)
	return nil
}

func printStage(d door, a *bench.FirstVoltsAnswer) error {
	heads := append([]string{"red lead", "black lead", "setting"}, report.ExpectedHeads(a)...)
	t := names(d.out, append(heads, "read", "off", "verdict")...)
	for _, r := range a.Rows {
		t.row(append(append([]string{r.Point, r.Black, r.Setting}, report.ExpectedVolts(a, r)...),
			report.VoltsRead(r), maybe(r.Off, func(x float64) string { return signed(x, 1) + " %" }, ""), report.VerdictWord(r.Verdict))...)
	}
	if err := t.flush(); err != nil || len(a.Bands) == 0 {
		return err
	}
	fmt.Fprintln(d.out, "\nEach band alive, total gain at its stated centre:")
	t = names(d.out, "band", "at", "flat", "boost", "cut", "read at boost", "verdict")
	for _, b := range a.Bands {
		t.row(b.Band, hertz(b.Hz), maybe(b.Flat, decibels, none), maybe(b.Up, decibels, none), maybe(b.Down, decibels, none),
			maybe(b.Read, decibels, ""), report.VerdictWord(b.Verdict))
	}
	return t.flush()
}
