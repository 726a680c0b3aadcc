package main

import (
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
)

// panelVerb writes the panel's template and its lettering.
type panelVerb struct {
	jobArg
	printFlags
	Out   []string `help:"Write the template: .pdf on paper with check bars, .svg or .dxf for machines." placeholder:"FILE"`
	Face  []string `help:"Write the artwork: dB scales and lettering, in the same forms." placeholder:"FILE"`
	Force bool     `help:"Replace files that exist."`
}

// Help shows an example.
func (panelVerb) Help() string {
	return `The panel at true size: slots, screw holes, holes old and new, checked against the
sheet and each other, and what stands in front and behind. The dB scale of every
slider is its own: each mark stands where the lever makes the band curve that many
dB, in this very circuit. The lengths are those of [panel] in the job.

A PDF is for paper: print it, measure both bars, and give what they measure. SVG
and DXF are true to size as they are.

Examples:
  bandwright panel metal.toml
  bandwright panel metal.toml --out template.pdf --face face.pdf --face face.svg
  bandwright panel metal.toml --paper Letter --bar-across 99.7mm --out template.pdf`
}

// Run answers the verb.
func (v panelVerb) Run(d door) error {
	answer, found, err := ask.Panel{Printed: ask.Printed(v.printFlags)}.Ask(d.ctx, v.from(d))
	if err == nil && found.Err() == nil {
		answer.Written, err = v.write(d, answer)
	}
	return v.give(d, answer, found, err, func() error { return printPanel(d, answer) })
}

func (v panelVerb) write(d door, a *bench.PanelAnswer) ([]string, error) {
	outputs, err := drawn{a.Template(), a.WholeTemplate()}.files(v.Out)
	if err != nil {
		return nil, err
	}
	face, err := drawn{a.Face(), a.WholeFace()}.files(v.Face)
	if err != nil {
		return nil, err
	}
	outputs = append(outputs, face...)
	return paths(outputs), d.save(outputs, v.Force, v.Job)
}

func printPanel(d door, a *bench.PanelAnswer) error {
	fmt.Fprintf(d.out, "Panel %s × %s, %s thick; places from its left and upper edge\n\n", mm(a.Width), mm(a.Height), mm(a.Thickness))
	t := figures(d.out, "slider", "across", "down", "travel", "slot", "lettered", "")
	for _, s := range a.Sliders {
		t.row(s.Band, mm(s.Across), mm(s.Down), mm(s.Travel), mm(s.Slot), s.Label, s.From)
	}
	if err := t.flush(); err != nil {
		return err
	}
	if err := printMarks(d, a); err != nil {
		return err
	}
	if err := printHoles(d, a.Holes); err != nil {
		return err
	}
	if err := printHeights(d, a); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%s, factor in force %s across, %s down. Measure both bars of every print before it is used.\n", a.Print.Paper, fixed(a.Print.Across, 4), fixed(a.Print.Down, 4))
	return printNames(d, a.Written)
}

// printMarks prints where the marks stand, over the middle of the travel.
func printMarks(d door, a *bench.PanelAnswer) error {
	fmt.Fprintln(d.out, "\nMarks of the dB scales, over the middle of the travel, at each band's centre, the others centred:")
	for _, s := range a.Sliders {
		var marks []string
		for _, m := range s.Marks {
			marks = append(marks, fmt.Sprintf("%s dB %s mm", signedShort(m.DB), signed(m.Above, 2)))
		}
		if _, err := fmt.Fprintf(d.out, "  %s at %s: %s\n", s.Band, hertz(s.AtHz), strings.Join(marks, ", ")); err != nil {
			return err
		}
	}
	return nil
}

// signedShort writes a mark with the decimals it has.
func signedShort(x float64) string {
	return strings.TrimSuffix(signed(x, 1), ".0")
}

func printHoles(d door, holes []bench.PanelHole) error {
	if len(holes) == 0 {
		return nil
	}
	fmt.Fprintln(d.out)
	t := names(d.out, "hole", "across", "down", "size", "", "part moved")
	for _, h := range holes {
		state := "new"
		if h.Old {
			state = "there"
		}
		t.row(h.Name, mm(h.Across), mm(h.Down), mm(h.Size), state, h.Moved)
	}
	return t.flush()
}

func printHeights(d door, a *bench.PanelAnswer) error {
	if a.Lever != nil {
		fmt.Fprintf(d.out, "\nThe lever stands %s out of the panel; its knob takes %s.\n", mm(a.Lever.Out), mm(a.Lever.Knob))
	}
	if len(a.Behind) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nBehind the panel, from its back:")
	t := names(d.out, "pile", "heights", "in all", "air", "room", "to", "left")
	for _, b := range a.Behind {
		var layers []string
		for _, l := range b.Layers {
			layers = append(layers, l.Name+" "+mm(l.Height))
		}
		t.row(b.Name, strings.Join(layers, " + "), mm(b.Needs), mm(b.Air), mm(b.Room), b.To, mm(b.Left))
	}
	return t.flush()
}
