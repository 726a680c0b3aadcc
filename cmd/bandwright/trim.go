package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
)

// trimVerb brings a made board within limits.
type trimVerb struct {
	jobArg
	File        string   `arg:"" optional:"" name:"drawer" help:"The drawer, a spreadsheet saved as CSV; without it preferred values." placeholder:"CSV"`
	Unit        string   `help:"Trim this unit as its curves show it, not as the job's parts are." placeholder:"NAME"`
	Band        []string `help:"What a band is to do; what is not named is as the job wants or states it, boost as its own parts give it." sep:"none" placeholder:"\"NAME: centre HZ boost DB q Q\""`
	Original    bool     `help:"Want what the job's curves of an original show."`
	LimitCentre string   `help:"How far a centre may be off." default:"1%" placeholder:"PERCENT"`
	LimitBoost  string   `help:"How far a boost may be off." default:"0.2dB" placeholder:"DB"`
	LimitQ      string   `name:"limit-q" help:"How far a wanted Q may be off." default:"20%" placeholder:"PERCENT"`
	Capacitors  string   `help:"Series that capacitors may be bought from; E12 without a drawer." placeholder:"E12"`
	Resistors   string   `help:"Series that resistors may be bought from; E24 without a drawer." placeholder:"E24"`
	Most        int      `help:"How many parts of a band may be added or changed: 1 or 2." default:"2" placeholder:"N"`
	Map         string   `help:"Read the drawer's columns as this file says." placeholder:"FILE"`
	Write       string   `help:"Write a copy of the job with the trims in it; comments stay." placeholder:"FILE"`
	Force       bool     `help:"Replace that file if it exists."`
}

// Help shows an example.
func (trimVerb) Help() string {
	return `Finds the fewest changes that bring every band of a made board within its limits:
a capacitor across or in series with a leg's own, another resistor, another coil from
the drawer, at most two parts a band, all bands at once on the whole circuit. Says
what comes of it with its range, and what stands in the way of what cannot be met.
With --unit the board is as that unit's curves show it. The job is never changed;
--write makes a copy with the trims.

Examples:
  bandwright trim job.toml --unit B
  bandwright trim job.toml drawer.csv --unit B --band "400: centre 400Hz" --write trimmed.toml
  bandwright trim job.toml --capacitors E24 --resistors E96 --most 1 --limit-centre 2%`
}

// Run answers the verb.
func (v trimVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		if err := printTrims(d, answer); err != nil {
			return err
		}
		if v.Write != "" {
			fmt.Fprintln(d.out, "\nwritten:", v.Write)
		}
		return nil
	})
}

func (v trimVerb) answer(d door) (*ask.TrimAnswer, finding.List, error) {
	mapping, err := readMapping(v.Map)
	if err != nil {
		return nil, nil, err
	}
	answer, found, err := ask.Trim{Unit: v.Unit, Drawer: v.File, Mapping: mapping, Band: v.Band, Original: v.Original, LimitCentre: v.LimitCentre,
		LimitBoost: v.LimitBoost, LimitQ: v.LimitQ, Capacitors: v.Capacitors, Resistors: v.Resistors, Most: v.Most}.Ask(d.ctx, v.from(d))
	if err != nil || found.Err() != nil || v.Write == "" {
		return answer, found, err
	}
	written, err := v.copied(d, v.Write, answer.Job())
	if err != nil {
		return nil, found, err
	}
	inputs := []string{v.Job}
	for _, file := range []string{v.File, v.Map} {
		if file != "" {
			inputs = append(inputs, file)
		}
	}
	return answer, found, d.save([]output{written}, v.Force, inputs...)
}

func printTrims(d door, a *ask.TrimAnswer) error {
	for _, s := range a.Sentences {
		fmt.Fprintln(d.out, s)
	}
	fmt.Fprintln(d.out)
	t := figures(d.out, "band", "", "centre", "from", "to", "boost", "from", "to", "Q", "by")
	for _, b := range a.Bands {
		q := "free"
		if b.Q != nil {
			q = plain(b.Q.Wanted)
		}
		t.row(b.Band, "wanted", hertz(b.Centre.Wanted), "", "", decibels(b.Boost.Wanted), "", "", q, fromWords[b.CentreFrom]+", "+fromWords[b.BoostFrom])
		t.row("", "is", hertz(b.Before.CentreHz), "", "", decibels(b.Before.BoostDB), "", "", maybe(b.Before.Q, plain, none), "")
		centre, boost := rangeEnds(nil, hertz), rangeEnds(nil, decibels)
		if b.Range != nil {
			centre, boost = rangeEnds(b.Range.Centre, hertz), rangeEnds(b.Range.Boost, decibels)
		}
		t.row("", "trimmed", hertz(b.After.CentreHz), centre[0], centre[1], decibels(b.After.BoostDB), boost[0], boost[1], maybe(b.After.Q, plain, none), "")
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%d parts to add or change; error %s before and %s after, in limits, squared and added up. %d boards solved.\n",
		a.Changes, plain(a.Before), plain(a.Error), a.Solved)
	if a.Builds > 0 {
		fmt.Fprintf(d.out, "From and to: 95 %% of boards of parts known as well as these (%d builds).\n", a.Builds)
	}
	return nil
}

// rangeEnds writes a range's two ends.
func rangeEnds(r *bench.Range, write func(float64) string) [2]string {
	return [2]string{maybe(low(r), write, ""), maybe(high(r), write, "")}
}
