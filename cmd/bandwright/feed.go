package main

import (
	"bytes"
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
)

// feedVerb asks what the supply does to every part.
type feedVerb struct {
	jobArg
	All   bool   `help:"Print every part, also those that carry next to nothing."`
	HTML  string `name:"html" help:"Write the feed sheet as one HTML file (the accessible one)." placeholder:"FILE"`
	PDF   string `name:"pdf" help:"Write the feed sheet as PDF, A4." placeholder:"FILE"`
	CSV   string `name:"csv" help:"Write what every part carries in every case as CSV." placeholder:"FILE"`
	Force bool   `help:"Replace files that exist."`
}

// Help shows an example.
func (feedVerb) Help() string {
	return `Solves the whole circuit on its rail in every case that the bench meets: nominal,
mains high and low, cold start with the rail unloaded, board unplugged, zener
open, zener short. Says what each part carries against its rating, which dropper
of preferred values does, what fails with the zener open and what cures it, the
hum at the output, how fast the rail comes and how long its charge stays.
Ends with 1 when a part is beyond its limits.

Examples:
  bandwright feed feed.toml
  bandwright feed feed.toml --pdf supply.pdf --csv loads.csv`
}

// Run answers the verb.
func (v feedVerb) Run(d door) error {
	answer, found, err := ask.Feed{}.Ask(d.ctx, v.from(d))
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
func (v feedVerb) outputs(d door, a *bench.FeedAnswer, found finding.List) ([]output, error) {
	list, err := forms(report.NewFeed(a, found, "bandwright "+version), v.HTML, v.PDF)
	if err == nil && v.CSV != "" {
		var text bytes.Buffer
		err = report.FeedCSV(&text, a)
		list = append(list, output{v.CSV, text.Bytes()})
	}
	if err != nil {
		return nil, err
	}
	return list, d.save(list, v.Force, v.Job)
}

func (v feedVerb) print(d door, a *bench.FeedAnswer, outputs []output) error {
	fmt.Fprintln(d.out, report.FeedRail(a.Rail))
	fmt.Fprintf(d.out, "%s\n\nWhat each part carries in its worst case:\n", report.FeedLimits(a))
	left, err := v.parts(d, a.Parts)
	if err != nil {
		return err
	}
	if left > 0 {
		fmt.Fprintf(d.out, "%d parts without a rating carry next to nothing; --all prints them.\n", left)
	}
	for _, part := range [...]struct {
		head  string
		lines []string
	}{
		{"The dropper", report.FeedDropper(a)}, {"Zener open", report.FeedZener(a.ZenerOpen)}, {"Hum from the rail at the output", each(a.Hum, report.FeedHum)},
		{"Coming up", report.FeedRise(a.Rise)}, {"With the plug out", report.FeedCharge(a.Safe)},
	} {
		if len(part.lines) > 0 {
			fmt.Fprintf(d.out, "\n%s:\n  %s\n", part.head, strings.Join(part.lines, "\n  "))
		}
	}
	fmt.Fprintf(d.out, "\n%s\n\n%s\n", report.FeedFuse(a.Fuse), report.LiveCaution)
	printWritten(d, outputs)
	return nil
}

// each writes every one of a list.
func each[T any](list []T, write func(T) string) []string {
	var lines []string
	for _, one := range list {
		lines = append(lines, write(one))
	}
	return lines
}

// parts prints the table of loads and tells how many are left out.
func (v feedVerb) parts(d door, list []bench.FeedPart) (left int, err error) {
	t := names(d.out, "part", "volts", "of rated", "when", "watts", "of rated", "when", "amperes", "")
	for _, p := range list {
		if !v.All && report.Idle(p) {
			left++
			continue
		}
		mark := ""
		if p.Over {
			mark = "OVER"
		}
		t.row(p.Part, volts(p.Volts.Carries), report.SharesOf(p.Volts), string(p.Volts.Case),
			watts(p.Watts.Carries), report.SharesOf(p.Watts), string(p.Watts.Case), amperes(p.Amperes.Carries), mark)
	}
	return left, t.flush()
}

func printWritten(d door, outputs []output) {
	for _, name := range paths(outputs) {
		fmt.Fprintln(d.out, "written:", name)
	}
}
