package main

import (
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
)

// drillVerb prints the drill table.
type drillVerb struct {
	jobArg
	printFlags
	Out   []string `help:"Write the places to drill, numbered: .pdf on paper with check bars, .svg or .dxf for machines." placeholder:"FILE"`
	Force bool     `help:"Replace files that exist."`
}

// Help shows an example.
func (drillVerb) Help() string {
	return `What to drill into the panel, in the order of work: sizes, how many, the nearest
bit owned (bits in [panel]), what is left to file or ream, and every place by its
number. Holes that are there already are left out.

Examples:
  bandwright drill metal.toml
  bandwright drill metal.toml --out holes.pdf --out holes.dxf`
}

// Run answers the verb.
func (v drillVerb) Run(d door) error {
	answer, found, err := ask.Drill{Printed: ask.Printed(v.printFlags)}.Ask(d.ctx, v.from(d))
	if err == nil && found.Err() == nil {
		answer.Written, err = v.write(d, answer)
	}
	return v.give(d, answer, found, err, func() error { return printDrill(d, answer) })
}

func (v drillVerb) write(d door, a *bench.DrillAnswer) ([]string, error) {
	outputs, err := drawn{a.Pages(), a.Whole()}.files(v.Out)
	if err == nil {
		err = d.save(outputs, v.Force, v.Job)
	}
	return paths(outputs), err
}

func printDrill(d door, a *bench.DrillAnswer) error {
	fmt.Fprintln(d.out, "Drill in this order, small sizes first:")
	t := names(d.out, "size", "holes", "bit", "first with", "left to file", "for")
	for _, row := range a.Table {
		bit, first := none, ""
		if row.Bit > 0 {
			bit = mm(row.Bit)
		}
		if row.Pilot {
			first = "a smaller bit"
			if row.First > 0 {
				first = mm(row.First)
			}
		}
		what := strings.Join(row.For, ", ")
		if row.OfSlots {
			what += " (both ends; saw or file between)"
		}
		t.row(mm(row.Size), fmt.Sprint(row.Count), bit, first, mm(row.Filing), what)
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintln(d.out, "\nEvery place, from the panel's left and upper edge:")
	t = figures(d.out, "no.", "across", "down", "size", "of")
	for _, s := range a.Spots {
		t.row(fmt.Sprint(s.Number), mm(s.Across), mm(s.Down), mm(s.Size), s.Name)
	}
	if err := t.flush(); err != nil {
		return err
	}
	if len(a.Old) > 0 {
		fmt.Fprintf(d.out, "\nThere already, not drilled: %s\n", strings.Join(a.Old, ", "))
	}
	fmt.Fprintln(d.out, "\n"+a.Swarf)
	return printNames(d, a.Written)
}
