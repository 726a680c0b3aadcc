package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
)

// tabVerb writes the flat pattern of the tab that holds a slider.
type tabVerb struct {
	jobArg
	Right int `help:"How many of the right hand; with neither hand given, one for every band." placeholder:"N"`
	Left  int `help:"How many of the left hand." placeholder:"N"`
	printFlags
	Out   []string `help:"Write the patterns: .pdf on paper with check bars, .svg or .dxf for machines." placeholder:"FILE"`
	Force bool     `help:"Replace files that exist."`
}

// Help shows an example.
func (tabVerb) Help() string {
	return `A band of sheet round the slider's housing, soldered where its ends lap, with two
tongues through the chassis: its flat pattern with every bend line, both hands,
many to a sheet, and how its tongues meet the slots that were measured. The
lengths are those of [tab] in the job.

A PDF is for paper: print it, measure both bars, and give what they measure. SVG
and DXF are true to size as they are.

Examples:
  bandwright tab metal.toml
  bandwright tab metal.toml --right 3 --left 3 --out tabs.pdf --out tabs.dxf
  bandwright tab metal.toml --bar-across 99.7mm --bar-down 99.9mm --out tabs.pdf`
}

// Run answers the verb.
func (v tabVerb) Run(d door) error {
	q := ask.Tab{Right: v.Right, Left: v.Left, Printed: ask.Printed(v.printFlags)}
	answer, found, err := q.Ask(d.ctx, v.from(d))
	if err == nil && found.Err() == nil {
		answer.Written, err = v.write(d, drawn{answer.Pages(), answer.Whole()})
	}
	return v.give(d, answer, found, err, func() error { return printTab(d, answer) })
}

func (v tabVerb) write(d door, what drawn) ([]string, error) {
	outputs, err := what.files(v.Out)
	if err == nil {
		err = d.save(outputs, v.Force, v.Job)
	}
	return paths(outputs), err
}

func mm(x float64) string { return fixed(x, 2) + " mm" }

func printTab(d door, a *bench.TabAnswer) error {
	fmt.Fprintf(d.out, "Tab of %s, %s thick, bent round %s inside, K %s\n", a.Metal, mm(a.Thickness), mm(a.Radius), fixed(a.K, 3))
	fmt.Fprintf(d.out, "flat: %s long, band %s high, overlap %s, %s mm² of sheet\n", mm(a.Length), mm(a.Height), mm(a.Overlap), fixed(a.Area, 1))
	fmt.Fprintf(d.out, "bent: %s wide outside, tongues %s apart, %s between housing and band\n\n", mm(a.Outside), mm(a.Pitch), mm(a.Gap))
	t := figures(d.out, "bend", "at", "through", "takes")
	for i, b := range a.Bends {
		t.row(fmt.Sprint(i+1), mm(b.At), fixed(b.Degrees, 0)+"°", fixed(b.Allowance, 3)+" mm")
	}
	if err := t.flush(); err != nil {
		return err
	}
	for i, at := range a.Folds {
		fmt.Fprintf(d.out, "tongue %d is folded at %s\n", i+1, mm(at))
	}
	if err := printSlots(d, a); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%d of the right hand, %d of the left. Cut sheet edges are sharp: dress them.\n%s\n", a.Right, a.Left, a.Heat)
	return printNames(d, a.Written)
}

func printSlots(d door, a *bench.TabAnswer) error {
	if len(a.Slots) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nThe tongues and their slots, from the edge that was measured from:")
	t := figures(d.out, "band", "slot", "tongue at", "slot at", "off", "off alone", "play", "")
	for _, s := range a.Slots {
		t.row(s.Band, fmt.Sprint(s.Slot), mm(s.Tongue), mm(s.Middle), signed(s.Off, 2)+" mm", signed(s.Alone, 2)+" mm", mm(s.Play), fitWords(s.Cut, s.Fits, s.FitsBy))
	}
	if err := t.flush(); err != nil {
		return err
	}
	if a.Shift != 0 {
		fmt.Fprintf(d.out, "The row of sliders as a whole is moved by %s mm to where its slots fit best. Off alone: this tab moved by itself.\n", signed(a.Shift, 2))
	}
	return nil
}

func fitWords(cut, fits, alone bool) string {
	switch {
	case cut:
		return "to be cut"
	case fits:
		return "fits"
	case alone:
		return "fits alone"
	}
	return "does not fit"
}
