package main

import (
	"fmt"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
)

// designVerb turns wanted bands into values.
type designVerb struct {
	jobArg
	Band         []string `help:"What a band is to do; every band at its stated centre when left out." sep:"none" placeholder:"\"NAME: centre HZ boost DB q Q\""`
	Keep         []string `help:"Parts that stay as the job has them: coil, capacitor, resistor." placeholder:"PART"`
	Series       string   `help:"Preferred values the other parts are taken from." placeholder:"E24"`
	OhmsPerHenry float64  `help:"Copper of a coil yet to be wound; as the job's coil when left out." placeholder:"OHMS"`
	Original     bool     `help:"Want what the job's curves of an original show."`
}

// IDNoOriginal: no curve of an original shows a band. No args.
const IDNoOriginal finding.ID = "cmd.no-original"

// Help shows an example.
func (designVerb) Help() string {
	return `Finds resistor, coil and capacitor of every wanted band on the whole circuit,
its neighbours allowed for: first with parts of any value, then with those
allowed. What cannot be reached is said, and why. A figure that is not named is
left free. The job itself is not changed.

Examples:
  bandwright design job.toml --band "400: centre 400Hz boost 10dB q 1" --series E24
  bandwright design job.toml --band "400: centre 420Hz" --band "1000: centre 1k boost 9dB" --keep coil --series E12`
}

// Run answers the verb.
func (v designVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error { return printDesign(d, answer) })
}

func (v designVerb) answer(d door) (*bench.DesignAnswer, finding.List, error) {
	if v.Original && len(v.Band) > 0 {
		return nil, nil, refusal(IDFlagsClash, finding.Args{"one": "--original", "other": "--band"})
	}
	words := bench.DesignWords{Bands: v.Band, Keep: v.Keep}
	if v.Series != "" {
		series, err := quantity.ParseSeries(v.Series)
		if err != nil {
			return nil, nil, err
		}
		words.Series = series
	}
	c, found, err := v.open(d)
	if err != nil {
		return nil, found, err
	}
	var more finding.List
	if v.Original {
		words.Original, more, err = c.WantedAfter(d.ctx)
		found = append(found, more...)
		if err == nil && len(words.Original) == 0 {
			err = refusal(IDNoOriginal, nil)
		}
	}
	if err != nil {
		return nil, found, err
	}
	targets, err := c.Targets(words)
	if err != nil {
		return nil, found, err
	}
	targets.OhmsPerHenry = v.OhmsPerHenry
	answer, more, err := c.Design(d.ctx, targets)
	return answer, once(append(found, more...)), err
}

func printDesign(d door, a *bench.DesignAnswer) error {
	fmt.Fprintln(d.out, "Wanted and reached, one slider at its end and the others centred:")
	fmt.Fprintln(d.out)
	t := figures(d.out, "band", "", "centre", "boost", "cut", "Q", "resistor", "coil", "its copper", "capacitor")
	for _, b := range a.Bands {
		w := b.Wanted
		t.row(w.Band, "wanted", orFree(w.CentreHz, hertz), orFree(w.BoostDB, decibels), orFree(w.CutDB, decibels), orFree(w.Q, plain), "", "", "", "")
		t.row("", "now", hertz(b.Now.CentreHz), decibels(b.Now.BoostDB), decibels(b.Now.CutDB), maybe(b.Now.Q, plain, none), "", "", "", "")
		for _, leg := range []struct {
			name string
			of   bench.DesignLeg
		}{{"any value", b.Free}, {"allowed", b.Chosen}} {
			f := leg.of.Feature
			t.row("", leg.name, hertz(f.CentreHz), decibels(f.BoostDB), decibels(f.CutDB), maybe(f.Q, plain, none),
				quantity.Ohms(leg.of.Ohms).Display(4), quantity.Henries(leg.of.Henries).Display(4),
				quantity.Ohms(leg.of.DCR).Display(4), quantity.Farads(leg.of.Farads).Display(4))
		}
	}
	return t.flush()
}

// orFree writes a wanted figure; nought is one left free.
func orFree(x float64, write func(float64) string) string {
	if x == 0 {
		return "free"
	}
	return write(x)
}
