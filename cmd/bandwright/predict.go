package main

import (
	"bytes"
	"fmt"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/quantity"
)

// predictVerb prints a response or the volts of every point.
type predictVerb struct {
	jobArg
	Set      string   `help:"Where sliders and switches stand." default:"flat" placeholder:"SETTING"`
	At       []string `help:"Frequencies; the standard thirds of an octave from 20 Hz to 20 kHz when left out." placeholder:"HZ"`
	Volts    bool     `help:"Direct volts of every point instead of the response."`
	Shares   string   `help:"The total gain at one frequency and each slider's own share of it, instead of the response." placeholder:"HZ"`
	NoRanges bool     `help:"Leave out the ranges that the parts leave each gain."`
	Out      string   `help:"Also write the response as a curve file." placeholder:"FILE"`
	Force    bool     `help:"Replace the curve file if it exists."`
}

// Help shows an example.
func (predictVerb) Help() string {
	return `A setting names sliders from -1 (cut end) over 0 to +1 (boost end) and
switches; what is not named is centred or at rest. Short words: flat, lift,
bypass.

Examples:
  bandwright predict job.toml --set "63=+1,400=-0.5,lift" --at 20,63,100
  bandwright predict job.toml --set bypass --at 1k --json
  bandwright predict job.toml --set "63=+1,400=-0.5" --shares 200Hz
  bandwright predict job.toml --volts`
}

// Run answers the verb.
func (v predictVerb) Run(d door) error {
	switch {
	case v.Volts:
		return v.volts(d)
	case v.Shares != "":
		return v.shares(d)
	}
	hz, err := v.frequencies()
	var found finding.List
	var answer *bench.PredictAnswer
	if err == nil {
		answer, found, err = ask.Predict{Set: v.Set, At: hz, NoRanges: v.NoRanges}.Ask(d.ctx, v.from(d))
	}
	if err == nil && v.Out != "" {
		err = v.write(d, answer)
	}
	return v.give(d, answer, found, err, func() error { return printResponse(d, answer) })
}

// frequencies reads --at; every one that cannot be read is named.
func (v predictVerb) frequencies() ([]float64, error) {
	var hz []float64
	var found finding.List
	for _, text := range v.At {
		f, err := quantity.ParseHertz(text)
		if wrong, ok := finding.From(err); ok {
			found = append(found, wrong...)
		}
		hz = append(hz, float64(f))
	}
	return hz, found.Err()
}

// write keeps the response as a curve that any verb reads back.
func (v predictVerb) write(d door, a *bench.PredictAnswer) error {
	c, err := asCurve("predicted", a)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := curve.Write(&text, c); err != nil {
		return err
	}
	return d.save([]output{{v.Out, text.Bytes()}}, v.Force, v.Job)
}

// asCurve leaves out frequencies where nothing comes through: a curve file
// has no way to write no gain.
func asCurve(name string, a *bench.PredictAnswer) (curve.Curve, error) {
	setting, err := curve.ParseSetting(a.Setting)
	if err != nil {
		return curve.Curve{}, err
	}
	c := curve.Curve{Name: name, Setting: setting}
	for _, row := range a.Rows {
		if row.DB != nil {
			c.Hz = append(c.Hz, row.Hz)
			c.DB = append(c.DB, *row.DB)
			c.Degrees = append(c.Degrees, row.Degrees)
		}
	}
	return c, nil
}

func printResponse(d door, a *bench.PredictAnswer) error {
	fmt.Fprintf(d.out, "%s per volt of %s at: %s\n\n", a.Out, a.Source, a.Setting)
	gain := func(x float64) string { return fixed(x, 3) + " dB" }
	t := figures(d.out, "frequency", "gain", "phase", "likely low", "likely high", "worst low", "worst high")
	for _, row := range a.Rows {
		t.row(append([]string{hertz(row.Hz), maybe(row.DB, gain, "nothing"), fixed(row.Degrees, 2) + "°"}, ends(row.Shown, gain)...)...)
	}
	if err := t.flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(d.out, "\n"+whichRange+" No instrument's error is in them.")
	return err
}

// whichRange says what the two ranges of a reading are.
const whichRange = "Likely: 95 % of all boards whose parts are known as well as these. Worst: every part at the limit that hurts most, by its slope."

// ends writes the ends of both ranges.
func ends(s *bench.Shown, write func(float64) string) []string {
	if s == nil {
		return []string{"", "", "", ""}
	}
	return []string{write(s.Likely.Low), write(s.Likely.High), write(s.Worst.Low), write(s.Worst.High)}
}

func (v predictVerb) shares(d door) error {
	var answer *bench.SharesAnswer
	var found finding.List
	hz, err := quantity.ParseHertz(v.Shares)
	if err == nil {
		answer, found, err = ask.Shares{Set: v.Set, Hz: float64(hz)}.Ask(d.ctx, v.from(d))
	}
	return v.give(d, answer, found, err, func() error { return printShared(d, answer) })
}

func printShared(d door, a *bench.SharesAnswer) error {
	const nothing = "nothing comes through"
	fmt.Fprintf(d.out, "At %s and: %s\n\ntotal: %s\nflat: %s\n\n", hertz(a.Hz), a.Setting,
		maybe(a.TotalDB, decibels, nothing), maybe(a.FlatDB, decibels, nothing))
	t := figures(d.out, "slider", "stands at", "own share")
	for _, s := range a.Sliders {
		t.row(s.Band, signed(s.Position, 2), maybe(s.DB, decibels, none))
	}
	if err := t.flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(d.out, "\nOwn share: the total less what it would be with this slider alone centred. The shares do not add up to the total: the sliders load each other.")
	return err
}

func (v predictVerb) volts(d door) error {
	var answer *bench.VoltsAnswer
	var found finding.List
	var err error
	switch {
	case len(v.At) > 0:
		err = refusal(ask.IDClash, finding.Args{"one": "--volts", "other": "--at"})
	case v.Out != "":
		err = refusal(ask.IDClash, finding.Args{"one": "--volts", "other": "--out"})
	default:
		answer, found, err = ask.Volts{Set: v.Set}.Ask(d.ctx, v.from(d))
	}
	return v.give(d, answer, found, err, func() error { return printVolts(d, answer) })
}

func printVolts(d door, a *bench.VoltsAnswer) error {
	fmt.Fprintf(d.out, "Direct volts over ground at: %s, %s\n\n", a.Setting, quantity.Celsius(a.Celsius).Display(3))
	t := names(d.out, "point", "volts", "meter shows", "likely low", "likely high", "worst low", "worst high")
	for _, p := range a.Points {
		shows := ""
		if p.Shown != nil {
			shows = volts(p.Shown.Likely.Nominal)
		}
		t.row(append([]string{p.Point, maybe(p.Volts, volts, "floating"), shows}, ends(p.Shown, volts)...)...)
	}
	if err := t.flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(d.out, "\nThe meter is an ordinary %s of %s; its loading is in what it shows, its error in the ranges.\n%s\n%s\n",
		a.Meter.Name, quantity.Ohms(a.Meter.InputOhms).Display(3), whichRange,
		"Calculated, not proof of safety: prove every point dead with a meter before a hand goes in.")
	return err
}
