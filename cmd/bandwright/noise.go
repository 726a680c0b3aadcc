package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/quantity"
)

// noiseVerb prints the output noise.
type noiseVerb struct {
	jobArg
	Set string `help:"Where sliders and switches stand." default:"flat" placeholder:"SETTING"`
}

// Help shows an example.
func (noiseVerb) Help() string {
	return `Thermal and shot noise of every part at the output, 20 Hz to 20 kHz, plain and
A-weighted (IEC 61672-1), and the parts it comes from.

Example:
  bandwright noise job.toml --set "63=+1,160=+1"`
}

// Run answers the verb.
func (v noiseVerb) Run(d door) error {
	answer, found, err := ask.Noise{Set: v.Set}.Ask(d.ctx, v.from(d))
	return v.give(d, answer, found, err, func() error { return printNoise(d, answer) })
}

func printNoise(d door, a *bench.NoiseAnswer) error {
	fmt.Fprintf(d.out, "Output noise at: %s, from a source of %s\n", a.Setting, quantity.Ohms(a.SourceOhms).Display(3))
	fmt.Fprintf(d.out, "20 Hz to 20 kHz: %s rms, %s dBu\n", volts(a.Volts), fixed(*a.DBu, 1))
	fmt.Fprintf(d.out, "A-weighted:      %s rms, %s dBu\n", volts(a.Weighted), fixed(*a.DBuA, 1))
	if a.BelowDB != nil {
		fmt.Fprintf(d.out, "below the stated level: %s dB\n", fixed(*a.BelowDB, 1))
	}
	fmt.Fprintln(d.out, "\nLargest shares of the noise power:")
	t := names(d.out, "part", "share")
	for i, s := range a.Share {
		if i == 10 {
			break
		}
		t.row(s.Part, fixed(100*s.Share, 1)+" %")
	}
	return t.flush()
}
