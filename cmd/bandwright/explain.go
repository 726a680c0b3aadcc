package main

import (
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/report"
)

// explainVerb shares the difference of two sides out among the parts.
type explainVerb struct {
	jobArg
	From string `help:"The side to begin from: stated, predicted, or a unit; the original, else predicted, when not said." placeholder:"SIDE"`
	To   string `help:"The side that differs; every measured unit when not said." placeholder:"SIDE"`
	Set  string `help:"Share the difference of the curves at this setting out too." placeholder:"SETTING"`
}

// Help shows an example.
func (explainVerb) Help() string {
	return `Says why a unit is not as predicted, as stated, or as another unit: the shift of
every band's centre, boost, cut and width, shared out among its own parts and its
neighbours, each with its 95 % interval; what the parts do not make is said not to
be explained. The parts' values are found from the curves, as fit finds them.

Examples:
  bandwright explain job.toml
  bandwright explain job.toml --from A --to B
  bandwright explain job.toml --from stated --to B --set "400=+1"`
}

// Run answers the verb.
func (v explainVerb) Run(d door) error {
	answer, found, err := ask.Explain{From: v.From, To: v.To, Set: v.Set}.Ask(d.ctx, v.from(d))
	return v.give(d, answer, found, err, func() error { return printExplained(d, answer) })
}

func printExplained(d door, a *ask.ExplainAnswer) error {
	for i, account := range a.Accounts {
		if i > 0 {
			fmt.Fprintln(d.out)
		}
		fmt.Fprintf(d.out, "%s:\n\n", report.SideWords(account))
		for _, s := range a.Sentences[i] {
			fmt.Fprintln(d.out, s)
		}
		fmt.Fprintln(d.out)
		if err := printAccount(d, account); err != nil {
			return err
		}
		fmt.Fprintf(d.out, "\nHiss, flat, by its parts: %s and %s. Hum as found: %s; as left: %s.\n",
			maybe(account.HissFrom, hissLevel, none), maybe(account.HissTo, hissLevel, none), orBlank(account.HumFound), orBlank(account.HumLeft))
		if err := printCurveShares(d, account); err != nil {
			return err
		}
	}
	return nil
}

func hissLevel(x float64) string { return fixed(x, 1) + " dBu" }

// orBlank writes what a person wrote down, or that nobody did.
func orBlank(text string) string {
	if text == "" {
		return "NOT DONE"
	}
	return text
}

func printAccount(d door, a bench.Account) error {
	t := figures(d.out, "band", "figure", a.From, a.To, "difference", "coil", "capacitor", "resistor", "neighbours", "as drawn", "not explained")
	for _, b := range a.Bands {
		name := b.Band
		for _, row := range []struct {
			name  string
			of    *bench.AccountFigure
			write func(float64) string
		}{{"centre", b.Centre, hertz}, {"boost", b.Boost, decibels}, {"cut", b.Cut, decibels}, {"width", b.Width, hertz}} {
			if row.of != nil {
				t.row(append([]string{name, row.name, row.write(row.of.From), row.write(row.of.To)}, shareCells(*row.of)...)...)
				name = ""
			}
		}
	}
	if err := t.flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(d.out, "\nShares of the first side's figure in per cent, of boost and cut in decibels, each give or take its 95 % interval.")
	return err
}

// shareCells writes the difference and its shares.
func shareCells(f bench.AccountFigure) []string {
	write := func(x float64) string { return signed(x, 2) }
	scale := 1.0
	if f.Relative {
		scale = 100
	}
	cells := []string{write(scale * f.Difference)}
	for _, field := range []string{"Henries", "Farads", "Ohms"} {
		share, half := 0.0, 0.0
		for _, s := range f.Own {
			if s.Field == field {
				share, half = s.Share, (s.High-s.Low)/2
			}
		}
		cells = append(cells, write(scale*share)+" ±"+fixed(scale*half, 2))
	}
	n := f.Neighbours
	cells = append(cells, write(scale*n.Share)+" ±"+fixed(scale*(n.High-n.Low)/2, 2))
	drawn := ""
	if f.Drawn != nil {
		drawn = write(scale * *f.Drawn)
	}
	return append(cells, drawn, write(scale*f.NotExplained))
}

// mostParts of a curve's difference are named.
const mostParts = 4

func printCurveShares(d door, a bench.Account) error {
	if a.Curve == nil {
		return nil
	}
	fmt.Fprintf(d.out, "\nThe curves at %s:\n", a.Curve.Setting)
	t := figures(d.out, "Hz", "difference", "not explained", "mostly from")
	for i, hz := range a.Curve.Hz {
		var words []string
		for _, s := range a.Curve.Largest(i, mostParts) {
			if text := signed(s.DB[i], 2); text != "0.00" {
				words = append(words, text+" "+s.Part)
			}
		}
		t.row(hertz(hz), signed(a.Curve.Difference[i], 2), signed(a.Curve.NotExplained[i], 2), strings.Join(words, ", "))
	}
	return t.flush()
}
