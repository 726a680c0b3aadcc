package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/report"
)

// chooseVerb fills a board from the drawer.
type chooseVerb struct {
	jobArg
	File         string   `arg:"" name:"drawer" help:"The drawer, a spreadsheet saved as CSV." placeholder:"CSV"`
	Band         []string `help:"What a band is to do; what is not named is as the job wants or states it, boost as its own parts give it." sep:"none" placeholder:"\"NAME: centre HZ boost DB q Q\""`
	Original     bool     `help:"Want what the job's curves of an original show."`
	LimitCentre  string   `help:"How far a centre may be off." default:"1%" placeholder:"PERCENT"`
	LimitBoost   string   `help:"How far a boost may be off." default:"0.2dB" placeholder:"DB"`
	LimitQ       string   `name:"limit-q" help:"How far a wanted Q may be off." default:"20%" placeholder:"PERCENT"`
	Least        string   `help:"What is made least: the total of all bands' errors, or the worst of them." default:"total" placeholder:"total|worst"`
	Fix          []string `help:"A part that a band must have." sep:"none" placeholder:"\"NAME: ID\""`
	Bar          []string `help:"A part that no band may have, or one band may not." sep:"none" placeholder:"[NAME:]ID"`
	Series       string   `help:"Resistors may be bought from this series; without it they come from the drawer." placeholder:"E24"`
	OneCapacitor bool     `help:"No second capacitor beside or behind the first."`
	Draws        int      `help:"Boards drawn for the chance that all bands truly hold; 0: none." default:"2000" placeholder:"N"`
	Seed         uint64   `help:"Which boards: the same seed draws the same ones." default:"1" placeholder:"N"`
	Map          string   `help:"Read the drawer's columns as this file says." placeholder:"FILE"`
	CSV          string   `name:"csv" help:"Write the pick list as CSV." placeholder:"FILE"`
	Write        string   `help:"Write a copy of the job with the chosen parts; comments stay." placeholder:"FILE"`
	Force        bool     `help:"Replace files that exist."`
}

// Flags of choose that cannot be; all are errors.
const (
	// IDWriteElsewhere: path, folder; the copy would not find the curves beside
	// the job.
	IDWriteElsewhere finding.ID = "cmd.write-elsewhere"
)

// Help shows an example.
func (chooseVerb) Help() string {
	return `Finds for every band a coil, one capacitor or two, and a resistor: the board of
the least error, as the whole circuit has it, errors counted in the limits. Says
how far it lies above the least by a model that judges each leg by itself,
what to pick where, what is left, and the chance that all bands truly hold,
given how well the parts were measured. A figure that cannot be met is named,
and why. Job and drawer are never changed; --write makes a copy of the job with
the chosen parts, for bands, spread and sheet to speak of.

Examples:
  bandwright choose job.toml drawer.csv --csv picks.csv --write board.toml
  bandwright choose job.toml drawer.csv --band "400: centre 400Hz boost 10dB" --fix "63: bag 1" --bar "film 8" --series E24 --least worst`
}

// Run answers the verb.
func (v chooseVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		if err := printChosen(d, answer); err != nil {
			return err
		}
		for _, name := range []string{v.CSV, v.Write} {
			if name != "" {
				fmt.Fprintln(d.out, "written:", name)
			}
		}
		return nil
	})
}

func (v chooseVerb) answer(d door) (*bench.ChooseAnswer, finding.List, error) {
	mapping, err := readMapping(v.Map)
	if err != nil {
		return nil, nil, err
	}
	if err := v.elsewhere(d); err != nil {
		return nil, nil, err
	}
	q := ask.Choose{Drawer: v.File, Mapping: mapping, Band: v.Band, Original: v.Original, LimitCentre: v.LimitCentre,
		LimitBoost: v.LimitBoost, LimitQ: v.LimitQ, Least: v.Least, Fixed: v.Fix, Barred: v.Bar, NewOhms: v.Series,
		OneCapacitor: v.OneCapacitor, Draws: v.Draws, Seed: v.Seed}
	from := v.from(d)
	progress, end := d.solving()
	from.Progress = progress
	answer, found, err := q.Ask(d.ctx, from)
	end()
	if err != nil || found.Err() != nil {
		return nil, found, err
	}
	return answer, found, v.save(d, answer)
}

// solving tells how many boards were solved while a person watches.
func (d door) solving() (tell func(solved, of int), end func()) {
	if !d.watched {
		return nil, func() {}
	}
	return func(solved, _ int) { fmt.Fprintf(d.err, "\r%d boards solved ", solved) },
		func() { fmt.Fprint(d.err, "\r                                \r") }
}

// elsewhere refuses to write the copy where it would not find its curves. A
// job that does not open is for the question to tell.
func (v chooseVerb) elsewhere(d door) error {
	from, to := filepath.Dir(v.Job), filepath.Dir(v.Write)
	if v.Write == "" || sameFile(from, to) {
		return nil
	}
	if c, _, err := v.open(d); err != nil || len(c.Job().Curves) == 0 {
		return nil
	}
	return refusal(IDWriteElsewhere, finding.Args{"path": v.Write, "folder": from})
}

// save writes the files asked for, all or none.
func (v chooseVerb) save(d door, a *bench.ChooseAnswer) error {
	var outputs []output
	if v.CSV != "" {
		var text bytes.Buffer
		if err := report.PicksCSV(&text, &a.Picked); err != nil {
			return err
		}
		outputs = append(outputs, output{v.CSV, text.Bytes()})
	}
	if v.Write != "" {
		old, err := readFile(v.Job)
		if err != nil {
			return err
		}
		text, err := job.Update(old, a.Job())
		if err != nil {
			return err
		}
		outputs = append(outputs, output{v.Write, text})
	}
	inputs := []string{v.Job, v.File}
	if v.Map != "" {
		inputs = append(inputs, v.Map)
	}
	return d.save(outputs, v.Force, inputs...)
}

func printChosen(d door, a *bench.ChooseAnswer) error {
	q := ""
	if a.Limits.Q > 0 {
		q = fmt.Sprintf(", Q ±%s", share(a.Limits.Q))
	}
	fmt.Fprintf(d.out, "Parts from %s at %s °C; limits: centre ±%s, boost ±%s%s; least %s error\n\n", a.Drawer, fixed(a.Celsius, 0),
		share(a.Limits.Centre), decibels(a.Limits.Boost), q, a.Least)
	t := names(d.out, "band", "coil", "", "capacitor", "", "resistor", "")
	for i, b := range a.Bands {
		leg := a.Picked.Legs[i]
		between := " + "
		if b.InSeries {
			between = " in series with "
		}
		t.row(b.Band, leg.Coil, quantity.Henries(b.Leg.Henries).Display(4), strings.Join(leg.Capacitors, between),
			quantity.Farads(b.Leg.Farads).Display(4), orNew(leg.Resistor), quantity.Ohms(b.Leg.Ohms).Display(4))
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintln(d.out)
	if err := printReached(d, a); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\nError %s: what is off and what is not known of the parts, in limits, squared%s.\n", plain(a.Error),
		map[string]string{"total": " and added up", "worst": ", of the worst band"}[a.Least])
	fmt.Fprintf(d.out, "%s %d boards solved.\n", boundWords(a), a.Solved)
	if a.Chance != nil {
		fmt.Fprintf(d.out, "All bands truly hold: %s, give or take %s (%d boards drawn, seed %d; readings as good as the %s's limits).\n",
			share(a.Chance.Share), share(a.Chance.SE), a.Chance.Draws, a.Seed, a.Meter)
	}
	fmt.Fprintln(d.out)
	return printPicks(d, a.Picked)
}

// boundWords say how much better another board could be, and what that rests on.
func boundWords(a *bench.ChooseAnswer) string {
	allowed := fmt.Sprintf("judging each leg by itself, and allowing for the up to %s limits by which that was seen to be off the whole circuit", plain(a.ModelError))
	switch {
	case a.Proven && a.Gap == 0:
		return "Proven: no board of this drawer has less."
	case a.Proven:
		return "How much less another board of this drawer could have is not known: " + allowed + ", nothing is ruled out."
	}
	return fmt.Sprintf("Not proven: %s, no board of this drawer is below %s, a gap of %s.", allowed, plain(a.Bound), plain(a.Gap))
}

// fromWords say where a wanted figure comes from.
var fromWords = map[string]string{"asked": "asked", "original": "the original", "job": "the job", "predicted": "its parts now"}

func printReached(d door, a *bench.ChooseAnswer) error {
	heads := []string{"band", "centre", "wanted", "by", "off", "boost", "wanted", "by", "off", "Q", "wanted", "by"}
	if a.Chance != nil {
		heads = append(heads, "truly holds")
	}
	t := figures(d.out, heads...)
	for _, b := range a.Bands {
		cells := []string{b.Band, hertz(b.Centre.At), hertz(b.Centre.Wanted), fromWords[b.CentreFrom], percent(100 * (b.Centre.At/b.Centre.Wanted - 1)),
			decibels(b.Boost.At), decibels(b.Boost.Wanted), fromWords[b.BoostFrom], signed(b.Boost.At-b.Boost.Wanted, 2) + " dB", maybe(b.Feature.Q, plain, none)}
		if b.Q != nil {
			cells = append(cells, plain(b.Q.Wanted), fromWords[b.QFrom])
		} else {
			cells = append(cells, "free", "")
		}
		if a.Chance != nil {
			cells = append(cells, share(b.Chance))
		}
		t.row(cells...)
	}
	return t.flush()
}

func orNew(id string) string {
	if id == "" {
		return "new"
	}
	return id
}

// printPicks prints what to take where.
func printPicks(d door, a bench.PickAnswer) error {
	fmt.Fprintln(d.out, "Pick list:")
	t := names(d.out, "place", "part", "kind", "marked", "take", "for", "left")
	for _, l := range a.List {
		place, left := l.Place, strconv.Itoa(l.Left)
		if l.ID == "" {
			place, left = "to be bought", ""
		}
		t.row(place, l.ID, string(l.Kind), report.Marked(l), strconv.Itoa(l.Count), strings.Join(l.Bands, ", "), left)
	}
	if err := t.flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(d.out, "left in the drawer:", report.LeftOver(a.Left))
	return err
}
