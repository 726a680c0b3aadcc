package main

import (
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
)

// spreadVerb makes virtual builds of a job.
type spreadVerb struct {
	jobArg
	Count       int    `help:"How many builds." default:"10000" placeholder:"N"`
	Seed        uint64 `help:"Which builds: the same seed makes the same ones." default:"1" placeholder:"N"`
	Marked      bool   `help:"As if no part had been measured: tolerances alone."`
	LimitCentre string `help:"How far a centre may be from the stated one." placeholder:"PERCENT"`
	LimitBoost  string `help:"How far boost and cut may be from the prediction." placeholder:"DB"`
	LimitQ      string `name:"limit-q" help:"How far Q may be from the prediction." placeholder:"PERCENT"`
	WhatIf      string `help:"Other parts to try." placeholder:"KIND=PERCENT"`
}

// Help shows an example.
func (spreadVerb) Help() string {
	return `Draws many sets of parts, each within what is known of it: a measured one by
its reading and an ordinary hand meter's limits, another within its tolerance.
Gives the central 95 % of every band's centre, boost, cut and Q, the worst case,
where the spread comes from, and how many boards hold the limits. Ctrl-C gives
the builds made by then.

Examples:
  bandwright spread job.toml --count 2000 --seed 1 --limit-centre 3% --limit-boost 0.5dB
  bandwright spread job.toml --count 2000 --marked --what-if capacitor=1%`
}

// Run answers the verb.
func (v spreadVerb) Run(d door) error {
	progress, end := d.steps("builds")
	from := v.from(d)
	from.Progress = progress
	answer, found, err := ask.Spread{Count: v.Count, Seed: v.Seed, Marked: v.Marked, LimitCentre: v.LimitCentre,
		LimitBoost: v.LimitBoost, LimitQ: v.LimitQ, WhatIf: v.WhatIf}.Ask(d.ctx, from)
	end()
	if err := v.give(d, answer, found, err, func() error { return printSpread(d, answer) }); err != nil {
		return err
	}
	return d.ctx.Err() // what was made by then is printed, and the ending says why
}

func printSpread(d door, a *bench.SpreadAnswer) error {
	fmt.Fprintf(d.out, "%d builds, seed %d, parts %s, the circuit solved %s times a build\n\n", a.Builds, a.Seed,
		map[bool]string{false: "as measured", true: "as marked"}[a.AsMarked], fixed(float64(a.Solves)/float64(max(a.Builds, 1)), 0))
	t := figures(d.out, "band", "figure", "nominal", "low 2.5 %", "high 97.5 %", "middle", "worst", "to", "within")
	for _, b := range a.Bands {
		for _, row := range []struct {
			name  string
			of    bench.FigureSpread
			write func(float64) string
		}{{"centre", b.Centre, hertz}, {"boost", b.Boost, decibels}, {"cut", b.Cut, decibels}, {"Q", b.Q, plain}} {
			printFigure(t, b.Band, row.name, row.of, row.write)
		}
	}
	if err := t.flush(); err != nil {
		return err
	}
	printShares(d, a.Bands)
	if a.Yield != nil {
		fmt.Fprintf(d.out, "\nAll limits held: %s of the boards (%s to %s with 95 %% confidence).\n",
			share(a.Yield.Share), share(a.Yield.Low), share(a.Yield.High))
	}
	printWhatIf(d, a.WhatIf)
	return nil
}

func share(x float64) string { return fixed(100*x, 1) + " %" }

func printFigure(t table, band, name string, f bench.FigureSpread, write func(float64) string) {
	within := ""
	if f.Yield != nil {
		within = share(f.Yield.Share)
	}
	if f.Count == 0 {
		t.row(band, name, maybe(f.Nominal, write, none), none, none, none, none, none, within)
		return
	}
	t.row(band, name, maybe(f.Nominal, write, none), write(f.At(2.5).Value), write(f.At(97.5).Value), write(f.At(50).Value),
		maybe(f.WorstLow, write, none), maybe(f.WorstHigh, write, none), within)
}

// printShares says which parts each band's centre and boost spread by.
func printShares(d door, bands []bench.BandSpread) {
	fmt.Fprintln(d.out, "\nWhere the spread comes from (shares of the variance):")
	for _, b := range bands {
		for _, row := range []struct {
			name string
			of   bench.FigureSpread
		}{{"centre", b.Centre}, {"boost", b.Boost}} {
			var words []string
			for _, s := range row.of.Shares {
				if s.Of >= 0.02 {
					words = append(words, s.Part+partValue(s.Value)+" "+share(s.Of))
				}
			}
			if len(words) > 0 {
				fmt.Fprintf(d.out, "  %s %s: %s\n", b.Band, row.name, strings.Join(words, ", "))
			}
		}
	}
}

// partValue names a value that is not the one a part is called by.
func partValue(value string) string {
	if value == "DCR" {
		return " copper"
	}
	return ""
}

// printWhatIf says in a sentence what other parts would bring.
func printWhatIf(d door, w *bench.WhatIfAnswer) {
	if w == nil {
		return
	}
	what := strings.TrimPrefix(w.Tolerance.Display(), "±") + " " + map[string]string{"inductor": "coil"}[w.Kind]
	if w.Kind != "inductor" {
		what += w.Kind
	}
	fmt.Fprintf(d.out, "\nWith %ss:\n", what)
	for _, c := range w.Changes {
		band, isCentre := strings.CutSuffix(c.Figure, " centre_hz")
		if isCentre {
			fmt.Fprintf(d.out, "  %s: they would bring the centre from ±%s to ±%s.\n", band, share(c.Before.Of), share(c.After.Of))
		}
	}
	if w.Yield != nil {
		fmt.Fprintf(d.out, "  all limits held: %s of the boards.\n", share(w.Yield.Share))
	}
}
