package main

import (
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
)

// compareVerb sets measured curves beside the prediction.
type compareVerb struct{ jobArg }

// Help shows an example.
func (compareVerb) Help() string {
	return `Reads every curve the job names, lays it over what the circuit predicts for the
same setting, and says band by band where they part.
Ends with 1 when a band is beyond the limits.

Example:
  bandwright compare job.toml`
}

// Run answers the verb.
func (v compareVerb) Run(d door) error {
	answer, found, err := ask.Compare{}.Ask(d.ctx, v.from(d))
	if err := v.give(d, answer, found, err, func() error { return printCompare(d, answer) }); err != nil {
		return err
	}
	return judge(max(answer.Worst, found.Worst()))
}

func printCompare(d door, a *bench.CompareAnswer) error {
	for i, u := range a.Units {
		if i > 0 {
			fmt.Fprintln(d.out)
		}
		less := ""
		if u.Less != "" {
			less = ", less " + u.Less
		}
		fmt.Fprintf(d.out, "Unit %s, %s%s\n\n", u.Unit, u.Role, less)
		if err := printUnit(d, u); err != nil {
			return err
		}
	}
	if len(a.Units) > 0 {
		fmt.Fprintf(d.out, "\n* beyond %s %% of centre or %s dB of boost or cut (common practice)\n",
			fixed(a.Limits.CentrePercent, 1), fixed(a.Limits.DB, 1))
	}
	return nil
}

// missing stands where a figure would need a curve that was not taken.
const missing = "not measured"

func printUnit(d door, u bench.UnitCompare) error {
	t := figures(d.out, "band", "stated", "predicted", "measured", "off", "boost pred.", "meas.", "cut pred.", "meas.", "Q pred.", "meas.", "")
	for _, b := range u.Bands {
		mark := ""
		if b.Off {
			mark = "*"
		}
		t.row(b.Band, hertz(b.StatedHz), hertz(b.PredictedHz), maybe(b.MeasuredHz, hertz, missing), maybe(b.CentreOff, percent, missing),
			decibels(b.PredictedDB), maybe(b.MeasuredDB, decibels, missing), decibels(b.PredictedCut), maybe(b.MeasuredCut, decibels, missing),
			maybe(b.PredictedQ, plain, none), maybe(b.MeasuredQ, plain, missing), mark)
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintln(d.out)
	t = names(d.out, "curve", "setting", "level apart", "rms", "most", "at")
	for _, c := range u.Curves {
		t.row(c.Name, c.Setting, decibels(c.LevelDB), decibels(c.RMSDB), decibels(c.MaxDB), hertz(c.MaxHz))
	}
	return t.flush()
}
