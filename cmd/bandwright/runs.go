package main

import (
	"fmt"
	"strconv"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/report"
)

// runsVerb prints the run list.
type runsVerb struct {
	jobArg
	HTML  string `name:"html" help:"Write the run sheet as one HTML file (the accessible one)." placeholder:"FILE"`
	PDF   string `name:"pdf" help:"Write the run sheet as PDF, A4." placeholder:"FILE"`
	CSV   string `name:"csv" help:"Write the run list as CSV." placeholder:"FILE"`
	Force bool   `help:"Replace files that exist."`
}

// Help shows an example.
func (runsVerb) Help() string {
	return `Every run of the harness with its screen's grounded end and its state, the wire
to cut, the links to remove and where their ends were, what each switch and plug
joins, conductors at each lug, parts in another hole, and MAINS lugs to sign for.
What the wiring must do is solved at each setting, when all is made and with what
is made so far. Ends with 1 when something wants a look.

Examples:
  bandwright runs wired.toml
  bandwright runs wired.toml --pdf runs.pdf --csv runs.csv`
}

// Run answers the verb.
func (v runsVerb) Run(d door) error {
	answer, found, err := ask.Runs{}.Ask(d.ctx, v.from(d))
	var outputs []output
	if err == nil && found.Err() == nil {
		outputs, err = forms(report.NewRuns(answer, found, "bandwright "+version), v.HTML, v.PDF)
		if err == nil {
			outputs, err = alsoCSV(outputs, v.CSV, answer, report.RunsCSV)
		}
		if err == nil {
			err = d.save(outputs, v.Force, v.Job)
		}
	}
	if err := v.give(d, answer, found, err, func() error { return printRuns(d, answer, outputs) }); err != nil {
		return err
	}
	return judge(found.Worst())
}

func printRuns(d door, a *bench.RunsAnswer, outputs []output) error {
	fmt.Fprintf(d.out, "%s\n\n%s\n\n", report.RunsCount(a), report.DeadFirst)
	t := names(d.out, "run", "from", "to", "kind", "length", "colour", "screen grounded", "state")
	for _, r := range a.Runs {
		t.row(r.Name, r.From, r.To, string(r.Kind), report.RunLength(r.Metres), report.RunColour(r), report.RunScreen(r), report.RunState(r))
	}
	if err := t.flush(); err != nil {
		return err
	}
	for _, part := range []func(door, *bench.RunsAnswer) error{printCut, printPositions, printIntents, printLugs} {
		if err := part(d, a); err != nil {
			return err
		}
	}
	for i, h := range a.Held {
		if i == 0 {
			fmt.Fprintln(d.out, "\nHeld:")
		}
		fmt.Fprintln(d.out, "  "+h)
	}
	for i, s := range report.ScreensToTell(a) {
		if i == 0 {
			fmt.Fprintln(d.out, "\nWhat the harness does to the signal:")
		}
		fmt.Fprintln(d.out, "  "+report.ScreenText(s))
	}
	for i, s := range a.Signs {
		if i == 0 {
			fmt.Fprintln(d.out, "\nMAINS lugs that were touched, each signed for by itself:")
		}
		fmt.Fprintln(d.out, "  "+report.MainsSignText(s))
	}
	for _, o := range outputs {
		fmt.Fprintln(d.out, "written:", o.path)
	}
	return nil
}

func printCut(d door, a *bench.RunsAnswer) error {
	fmt.Fprintln(d.out, "\nCut:")
	t := names(d.out, "wire", "colour", "pieces", "lengths", "in all")
	for _, c := range a.Cut {
		t.row(string(c.Kind), c.Colour, strconv.Itoa(c.Pieces), report.CutLengths(c), report.RunLength(&c.Metres))
	}
	if err := t.flush(); err != nil || len(a.Links)+len(a.Moved) == 0 {
		return err
	}
	fmt.Fprintln(d.out, "\nRemove, and for the way back:")
	for _, l := range a.Links {
		fmt.Fprintf(d.out, "  %s (%s): was on %s and %s; %s\n", l.Name, l.Colour, l.From, l.To, l.State)
	}
	for _, m := range a.Moved {
		fmt.Fprintln(d.out, "  "+report.MovedText(m))
	}
	return nil
}

func printPositions(d door, a *bench.RunsAnswer) error {
	if len(a.Switches)+len(a.Jacks) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nSwitches, jacks and plugs:")
	t := names(d.out, "name", "at", "joins")
	for _, s := range a.Switches {
		for _, p := range s.Positions {
			t.row(s.Name, p.Position, report.Joins(p))
		}
	}
	for _, j := range a.Jacks {
		for _, p := range j.Plugs {
			t.row(j.Name, p.Position, report.Joins(p))
		}
	}
	return t.flush()
}

func printIntents(d door, a *bench.RunsAnswer) error {
	if len(a.Intents) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nWhat the wiring must do:")
	t := names(d.out, "setting", "from", "to", "must be", "when all is made", "so far")
	for _, in := range a.Intents {
		t.row(in.Setting, in.From, in.To, report.IntentWant(in), report.IntentHas(in, in.Whole), report.IntentHas(in, in.SoFar))
	}
	return t.flush()
}

func printLugs(d door, a *bench.RunsAnswer) error {
	fmt.Fprintf(d.out, "\nConductors at each lug, at most %d:\n", a.MostAtLug)
	t := names(d.out, "lug", "before", "after", "do")
	for _, l := range a.Lugs {
		t.row(l.Lug, strconv.Itoa(l.Before), strconv.Itoa(l.After), report.LugAdvice(l))
	}
	return t.flush()
}
