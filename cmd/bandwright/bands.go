package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
)

// bandsVerb prints the band table.
type bandsVerb struct {
	jobArg
	Others string `help:"Where the other sliders stand while one is judged." default:"flat" placeholder:"SETTING"`
	Ranges bool   `help:"The ranges of the sheet instead: where these very parts leave each figure."`
}

// Help shows an example.
func (bandsVerb) Help() string {
	return `For every band: the stated centre, the leg's own resonance, and centre, boost,
cut, width and Q of the whole circuit, the other sliders centred or where
--others puts them; then the slider's scale and the largest clean input.

Example:
  bandwright bands job.toml
  bandwright bands job.toml --others "63=+1,lift" --json`
}

// Run answers the verb.
func (v bandsVerb) Run(d door) error {
	if v.Ranges {
		answer, found, err := ask.Ranges{}.Ask(d.ctx, v.from(d))
		return v.give(d, answer, found, err, func() error { return printRanges(d, answer) })
	}
	answer, found, err := ask.Bands{Others: v.Others}.Ask(d.ctx, v.from(d))
	return v.give(d, answer, found, err, func() error { return printBands(d, answer) })
}

func printBands(d door, a *bench.BandsAnswer) error {
	fmt.Fprintf(d.out, "Bands, the others at: %s\n\n", a.Setting)
	t := figures(d.out, "band", "stated", "leg alone", "centre", "boost", "cut", "width", "Q", "total at centre")
	for _, b := range a.Bands {
		t.row(b.Band, hertz(b.StatedHz), maybe(when(b.LegHz > 0, b.LegHz), hertz, none),
			maybe(when(b.Found, b.CentreHz), hertz, none), maybe(when(b.Found, b.BoostDB), decibels, none),
			maybe(when(b.CutFound, b.CutDB), decibels, none),
			maybe(b.WidthHz, hertz, none), maybe(b.Q, plain, none), maybe(when(b.Found, b.TotalDB), decibels, none))
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\nflat: %s\nall up: %s\nall down: %s\n", rangeText(a.Flat), rangeText(a.AllUp), rangeText(a.AllDown))
	if !a.Stable {
		fmt.Fprintln(d.out, "the circuit does not stand still, or may not: see the warnings before trusting these figures")
	}
	if err := printScale(d, a.Scale); err != nil {
		return err
	}
	return printHeadroom(d, a.Headroom)
}

func printRanges(d door, a *bench.RangesAnswer) error {
	if a == nil {
		return nil // a finding says why
	}
	fmt.Fprintf(d.out, "The central 95 %% of %d builds, seed %d\n\n", a.Builds, a.Seed)
	t := figures(d.out, "band", "centre", "to", "boost", "to", "cut", "to", "Q", "to")
	for _, b := range a.Bands {
		t.row(b.Band, maybe(low(b.Centre), hertz, none), maybe(high(b.Centre), hertz, none), maybe(low(b.Boost), decibels, none), maybe(high(b.Boost), decibels, none),
			maybe(low(b.Cut), decibels, none), maybe(high(b.Cut), decibels, none), maybe(low(b.Q), plain, none), maybe(high(b.Q), plain, none))
	}
	return t.flush()
}

// when gives a figure that holds only if something was found.
func when(found bool, figure float64) *float64 {
	if !found {
		return nil
	}
	return &figure
}

func rangeText(r bench.GainRange) string {
	return fmt.Sprintf("%s at %s to %s at %s", decibels(r.LowDB), hertz(r.LowHz), decibels(r.HighDB), hertz(r.HighHz))
}

// printScale prints what travel gives, every other place of the answer's.
func printScale(d door, scale []bench.BandScale) error {
	if len(scale) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nTravel to dB, -1 cut end, +1 boost end:")
	heads := []string{"band"}
	for i := 0; i < len(scale[0].Travel); i += 2 {
		heads = append(heads, signed(scale[0].Travel[i].Position, 1))
	}
	t := figures(d.out, heads...)
	for _, s := range scale {
		cells := []string{s.Band}
		for i := 0; i < len(s.Travel); i += 2 {
			cells = append(cells, signed(s.Travel[i].DB, 2))
		}
		t.row(cells...)
	}
	return t.flush()
}

func printHeadroom(d door, rooms []bench.BandHeadroom) error {
	if len(rooms) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nLargest clean input at each centre (rms), and how far the stated level stays below it:")
	t := figures(d.out, "band", "flat", "below it", "full boost", "below it", "clips first")
	for _, r := range rooms {
		t.row(r.Band, maybe(r.FlatVolts, volts, none), maybe(r.FlatDB, decibels, none), maybe(r.UpVolts, volts, none), maybe(r.UpDB, decibels, none), r.LimitedBy)
	}
	return t.flush()
}
