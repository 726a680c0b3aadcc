package main

import (
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/report"
)

// humVerb tells the way in for hum.
type humVerb struct {
	jobArg
	Band    string   `help:"The band whose slider is raised; the lowest unless told." placeholder:"NAME"`
	Mains   float64  `help:"The mains' frequency in Hz." default:"50" placeholder:"HZ"`
	Flat    *float64 `help:"Hum at the output in dB, every slider centred." placeholder:"DB"`
	Up      *float64 `help:"The same with the low slider at full boost." placeholder:"DB"`
	Shorted *float64 `help:"As up, with the footswitch lead shorted at its jack." placeholder:"DB"`
	Turned  *float64 `help:"As up, with the coil turned by a right angle and fixed again, power off." placeholder:"DB"`
}

// Help shows an example.
func (humVerb) Help() string {
	return `Tells by which way hum comes in, from up to four takes of its level at the
output, in dB against anything that is the same for all: flat, low slider up, the
footswitch lead shorted at the jack, the coil turned. What each way makes of one
volt comes from the circuit. Names the ways that no take tells apart, and the
easiest take that tells more.

Example:
  bandwright hum job.toml --flat=-70 --up=-45 --turned=-66`
}

// Run answers the verb.
func (v humVerb) Run(d door) error {
	answer, found, err := ask.Hum{Band: v.Band, Mains: v.Mains, Flat: v.Flat, Up: v.Up, Shorted: v.Shorted, Turned: v.Turned}.Ask(d.ctx, v.from(d))
	return v.give(d, answer, found, err, func() error { return v.print(d, answer) })
}

func (v humVerb) print(d door, a *bench.HumAnswer) error {
	fmt.Fprintf(d.out, "Hum at %s Hz, by the slider of %s:\n", fixed(a.Hertz, 0), a.Band)
	t := names(d.out, "it comes in by", "chance")
	for _, r := range a.Ranked {
		t.row(report.HumWay(r.Name, a.Band), share(r.Probability))
	}
	if err := t.flush(); err != nil {
		return err
	}
	for _, group := range a.Alike {
		var words []string
		for _, name := range group {
			words = append(words, report.HumWay(name, a.Band))
		}
		fmt.Fprintf(d.out, "\nNone of the four takes tells apart: %s.\n", strings.Join(words, "; "))
	}
	if a.Next == nil {
		fmt.Fprintln(d.out, "\nNo further take tells more.")
		return nil
	}
	fmt.Fprintf(d.out, "\nTake next: %s.\n\n%s\n", report.HumTake(*a.Next, a.Band), cautions)
	return nil
}
