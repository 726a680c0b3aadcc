package main

import (
	"fmt"
	"os"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
)

// designVerb turns wanted bands into values.
type designVerb struct {
	jobArg
	Band         []string `help:"What a band is to do; without any, what the job's wanted tables say, else every band at its stated centre." sep:"none" placeholder:"\"NAME: centre HZ boost DB q Q\""`
	Points       []string `help:"Points of an original's curve, one band at full boost or cut beside flat." sep:"none" placeholder:"\"NAME: HZ DB, HZ DB, HZ DB\""`
	PointsFile   []string `help:"The same from a file of hertz and dB." sep:"none" placeholder:"[NAME=]CSV"`
	Original     bool     `help:"Want what the job's curves of an original show."`
	Keep         []string `help:"Parts that stay as the job has them: coil, capacitor, resistor." placeholder:"PART"`
	Series       string   `help:"Preferred values the other parts are taken from." placeholder:"E24"`
	OhmsPerHenry float64  `help:"Copper of a coil yet to be wound; as the job's coil when left out." placeholder:"OHMS"`
	Write        string   `help:"Write a copy of the job with the values found; comments stay." placeholder:"FILE"`
	Force        bool     `help:"Replace that file if it exists."`
}

// Help shows an example.
func (designVerb) Help() string {
	return `Finds resistor, coil and capacitor of every wanted band on the whole circuit,
its neighbours allowed for: first with parts of any value, then with those
allowed. What cannot be reached is said, and why. A figure that is not named is
left free. With each figure stands the range that 95 % of boards of such parts
lie in. The job itself is never changed; --write makes a copy.

Examples:
  bandwright design job.toml --band "400: centre 400Hz boost 10dB q 1" --series E24
  bandwright design job.toml --band "400: centre 420Hz" --band "1000: centre 1k boost 9dB" --keep coil --series E12
  bandwright design job.toml --points "63: 20 0.8, 40 4.6, 63 9.5, 100 4.4, 160 1.1" --write new.toml`
}

// Run answers the verb.
func (v designVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		if err := printDesign(d, answer); err != nil {
			return err
		}
		if v.Write != "" {
			fmt.Fprintln(d.out, "\nwritten:", v.Write)
		}
		return nil
	})
}

func (v designVerb) answer(d door) (*bench.DesignAnswer, finding.List, error) {
	q := ask.Design{Band: v.Band, Points: v.Points, Original: v.Original, Keep: v.Keep, Series: v.Series, OhmsPerHenry: v.OhmsPerHenry}
	for _, file := range v.PointsFile {
		band, path := pointsPath(file)
		q.PointsFile = append(q.PointsFile, ask.Points{Band: band, File: path})
	}
	answer, found, err := q.Ask(d.ctx, v.from(d))
	if err == nil && v.Write != "" {
		err = v.write(d, answer)
	}
	return answer, found, err
}

// pointsPath reads "NAME=FILE" or a file alone; a file whose own name has the
// sign is found as it stands.
func pointsPath(file string) (band, path string) {
	name, rest, named := strings.Cut(file, "=")
	if _, err := os.Stat(file); !named || err == nil {
		return "", file
	}
	return strings.TrimSpace(name), rest
}

// write puts the values found into a copy of the job.
func (v designVerb) write(d door, a *bench.DesignAnswer) error {
	written, err := v.copied(d, v.Write, a.Job())
	if err != nil {
		return err
	}
	inputs := []string{v.Job}
	for _, file := range v.PointsFile {
		_, path := pointsPath(file)
		inputs = append(inputs, path)
	}
	return d.save([]output{written}, v.Force, inputs...)
}

func printDesign(d door, a *bench.DesignAnswer) error {
	fmt.Fprintln(d.out, "Wanted and reached, one slider at its end and the others centred:")
	fmt.Fprintln(d.out)
	t := figures(d.out, "band", "", "centre", "boost", "cut", "Q", "resistor", "coil", "its copper", "capacitor")
	for _, b := range a.Bands {
		w := b.Wanted
		t.row(w.Band, "wanted", orFree(w.CentreHz, hertz), orFree(w.BoostDB, decibels), orFree(w.CutDB, decibels), orFree(w.Q, plain), "", "", "", "")
		t.row(append(does("now", bench.DesignLeg{Feature: b.Now}), "", "", "", "")...)
		t.row(append(does("any value", b.Free), values(b.Free)...)...)
		t.row(append(does("allowed", b.Chosen), values(b.Chosen)...)...)
		if r := b.Range; r != nil {
			t.row("", "from", maybe(low(r.Centre), hertz, none), maybe(low(r.Boost), decibels, none), maybe(low(r.Cut), decibels, none), maybe(low(r.Q), plain, none), "", "", "", "")
			t.row("", "to", maybe(high(r.Centre), hertz, none), maybe(high(r.Boost), decibels, none), maybe(high(r.Cut), decibels, none), maybe(high(r.Q), plain, none), "", "", "", "")
		}
	}
	if err := t.flush(); err != nil {
		return err
	}
	if a.Builds > 0 {
		fmt.Fprintf(d.out, "\nFrom and to: 95 %% of boards with the parts allowed, each by its reading or within its tolerance (%d builds).\n", a.Builds)
	}
	return nil
}

// does gives the cells of what a band does.
func does(name string, leg bench.DesignLeg) []string {
	f := leg.Feature
	there := func(found bool, text string) string {
		if !found {
			return none
		}
		return text
	}
	return []string{"", name, there(f.Found, hertz(f.CentreHz)), there(f.Found, decibels(f.BoostDB)),
		there(f.CutFound, decibels(f.CutDB)), maybe(f.Q, plain, none)}
}

// values gives the cells of a leg's parts, an owned one by its name as well.
func values(leg bench.DesignLeg) []string {
	named := func(text, name string) string {
		if name == "" || strings.HasSuffix(name, ".resistor") || strings.HasSuffix(name, ".coil") || strings.HasSuffix(name, ".capacitor") {
			return text // the job's own part needs no name
		}
		return text + " (" + name + ")"
	}
	return []string{named(quantity.Ohms(leg.Ohms).Display(4), leg.Resistor), named(quantity.Henries(leg.Henries).Display(4), leg.Coil),
		quantity.Ohms(leg.DCR).Display(4), named(quantity.Farads(leg.Farads).Display(4), leg.Capacitor)}
}

func low(r *bench.Range) *float64 {
	if r == nil {
		return nil
	}
	return &r.Low
}

func high(r *bench.Range) *float64 {
	if r == nil {
		return nil
	}
	return &r.High
}

// orFree writes a wanted figure; nought is one left free.
func orFree(x float64, write func(float64) string) string {
	if x == 0 {
		return "free"
	}
	return write(x)
}
