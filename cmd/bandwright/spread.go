package main

import (
	"fmt"
	"runtime"
	"strings"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
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

// IDWhatIf: what is to be tried cannot be read. read, kinds.
const IDWhatIf finding.ID = "cmd.what-if"

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
	var answer *bench.SpreadAnswer
	q, err := v.question()
	var found finding.List
	if err == nil {
		answer, found, err = v.answer(d, q)
	}
	if err := v.give(d, answer, found, err, func() error { return printSpread(d, answer) }); err != nil {
		return err
	}
	return d.ctx.Err() // what was made by then is printed, and the ending says why
}

func (v spreadVerb) answer(d door, q bench.SpreadQuestion) (*bench.SpreadAnswer, finding.List, error) {
	c, found, err := v.open(d)
	if err != nil {
		return nil, found, err
	}
	progress, end := d.progress()
	answer, more, err := c.Spread(d.ctx, q, progress)
	end()
	return answer, once(append(found, more...)), err
}

// progress tells how far the builds are, on one line of the error stream,
// while a person watches there.
func (d door) progress() (tell func(done, total int), end func()) {
	if !d.watched {
		return nil, func() {}
	}
	return func(done, total int) { fmt.Fprintf(d.err, "\r%d of %d builds ", done, total) },
		func() { fmt.Fprint(d.err, "\r                                \r") }
}

// question reads the flags; every one that cannot be read is named.
func (v spreadVerb) question() (bench.SpreadQuestion, error) {
	q := bench.SpreadQuestion{Count: v.Count, Seed: v.Seed, Workers: runtime.GOMAXPROCS(0), AsMarked: v.Marked}
	var found finding.List
	wrong := func(err error) {
		if list, ok := finding.From(err); ok {
			found = append(found, list...)
		}
	}
	share := func(text string) float64 {
		if text == "" {
			return 0
		}
		t, err := quantity.ParseTolerance(text)
		wrong(err)
		return min(t.Minus, t.Plus)
	}
	q.Limits.Centre, q.Limits.Q = share(v.LimitCentre), share(v.LimitQ)
	if v.LimitBoost != "" {
		db, err := quantity.ParseDecibels(v.LimitBoost)
		wrong(err)
		q.Limits.DB = max(float64(db), -float64(db))
	}
	if v.WhatIf != "" {
		w, err := whatIf(v.WhatIf)
		wrong(err)
		q.WhatIf = w
	}
	return q, found.Err()
}

// whatIf reads "capacitor=1%".
func whatIf(text string) (*bench.WhatIf, error) {
	kinds := []string{"resistor", "capacitor", "inductor", "slider"}
	word, tolerance, _ := strings.Cut(text, "=")
	word = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(word)), "s")
	if word == "coil" {
		word = "inductor" // as the job calls it
	}
	kind, ok := job.KindNamed(word)
	for _, known := range kinds {
		if ok && kind.Name == known {
			t, err := quantity.ParseTolerance(tolerance)
			return &bench.WhatIf{Kind: kind.Name, Tolerance: t}, err
		}
	}
	return nil, refusal(IDWhatIf, finding.Args{"read": text, "kinds": strings.Join(kinds, ", ")})
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
