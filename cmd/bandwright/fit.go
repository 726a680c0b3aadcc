package main

import (
	"bytes"
	"fmt"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
)

// fitVerb finds part values from curves.
type fitVerb struct {
	jobArg
	Unit        string   `help:"Whose curves; needed where the job has curves of several units." placeholder:"NAME"`
	Curve       []string `help:"Only these curves of the unit, by their names in the job." sep:"none" placeholder:"NAME"`
	Also        []string `help:"Values to find beside the legs' ohms, henries and farads: copper, core, track, ends, feed, source, driver." placeholder:"WORD"`
	FromNothing bool     `help:"The job's values of the legs mean nothing: only how the circuit is joined up is known."`
	Stage       bool     `help:"Something else that is not known lies behind, the same in all curves: a power stage."`
	Level       string   `help:"What is known of the curves' levels: each is free, all share one, or they are volts per volt." default:"free" placeholder:"free|shared|known"`
	Sliders     string   `help:"How far a slider may stand off its setting, of its travel; at an end it stands there." placeholder:"PERCENT"`
	Reset       bool     `help:"Every slider was set anew for every curve."`
	Noise       string   `help:"Noise of one point of a curve; found from what is left when not said." placeholder:"DB"`
	Residuals   string   `help:"Write every point as CSV: measured, fitted, and what is left." placeholder:"FILE"`
	Write       string   `help:"Write a copy of the job with the values found; comments stay." placeholder:"FILE"`
	Force       bool     `help:"Replace files that exist."`
}

// Help shows an example.
func (fitVerb) Help() string {
	return `Finds the part values that explain a unit's measured curves: resistor, coil and
capacitor of every leg, each with its 95 % interval, on the whole circuit, from
one curve or many, each at the setting the job names for it. Says which values
the curves tell only together and which further take would part them, how far
the circuit is from explaining the curves, and whether a slider stands the wrong
way round. Tracks that have a tolerance are fitted within it. The job itself is
never changed; --write makes a copy with the values found.

Examples:
  bandwright fit job.toml --unit B
  bandwright fit job.toml --unit B --curve "unit B, flat" --curve "unit B, 400 cut" --sliders 2%
  bandwright fit job.toml --unit B --from-nothing --stage --write copy.toml --residuals left.csv`
}

// Run answers the verb.
func (v fitVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		if err := printFit(d, answer); err != nil {
			return err
		}
		for _, name := range []string{v.Residuals, v.Write} {
			if name != "" {
				fmt.Fprintln(d.out, "written:", name)
			}
		}
		return nil
	})
}

func (v fitVerb) answer(d door) (*bench.FitAnswer, finding.List, error) {
	answer, found, err := ask.Fit{Unit: v.Unit, Curves: v.Curve, Also: v.Also, Nothing: v.FromNothing, Stage: v.Stage, Level: v.Level,
		Sliders: v.Sliders, Reset: v.Reset, Noise: v.Noise}.Ask(d.ctx, v.from(d))
	if err != nil || found.Err() != nil {
		return nil, found, err
	}
	return answer, found, v.save(d, answer)
}

// save writes the files asked for, all or none.
func (v fitVerb) save(d door, a *bench.FitAnswer) error {
	var outputs []output
	if v.Residuals != "" {
		var text bytes.Buffer
		if err := report.ResidualsCSV(&text, a); err != nil {
			return err
		}
		outputs = append(outputs, output{v.Residuals, text.Bytes()})
	}
	if v.Write != "" {
		written, err := v.copied(d, v.Write, a.Job())
		if err != nil {
			return err
		}
		outputs = append(outputs, written)
	}
	return d.save(outputs, v.Force, v.Job)
}

func printFit(d door, a *bench.FitAnswer) error {
	fmt.Fprintf(d.out, "Unit %s, %s, from %d curves: %s\n\n", a.Unit, a.Role, len(a.Curves), strings.Join(a.Curves, "; "))
	t := figures(d.out, "band", "resonance", "95 %", "series ohms", "95 %", "resistor", "off", "coil", "off", "capacitor", "off")
	for _, l := range a.Legs {
		t.row(l.Band, hertz(l.Resonance.Value), give(l.Resonance.Value, l.Resonance.High), report.FieldValue("Ohms", l.Ohms.Value), give(l.Ohms.Value, l.Ohms.High),
			fittedAs(l.Resistor), off(l.Resistor), fittedAs(l.Coil), off(l.Coil), fittedAs(l.Capacitor), off(l.Capacitor))
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintln(d.out, "\noff: of the job's value, give or take the 95 % interval. Not told: it stays about what the job knows. Series ohms are resistor and copper together.")
	if err := printOthers(d, a); err != nil {
		return err
	}
	n := a.Noise
	fmt.Fprintf(d.out, "\n%s rms left of %d free points; noise of a point %s.", fixed(n.RMS, 3)+" dB", n.Freedom, fixed(n.DB, 3)+" dB")
	if n.Widened > 1 {
		fmt.Fprintf(d.out, " Intervals are widened %s times for what is not explained.", plain(n.Widened))
	}
	fmt.Fprintln(d.out)
	t = names(d.out, "curve", "left rms", "most", "at")
	for i, r := range a.Residuals {
		e := r.Measure()
		t.row(a.Curves[i], fixed(e.RMS, 3)+" dB", signed(e.Farthest, 3)+" dB", hertz(e.AtHz))
	}
	return t.flush()
}

// printOthers prints what is not of the legs' own values.
func printOthers(d door, a *bench.FitAnswer) error {
	if len(a.Others)+len(a.Sliders) == 0 {
		return nil
	}
	fmt.Fprintln(d.out)
	t := names(d.out, "beside", "", "found", "off")
	for _, v := range a.Others {
		told := ""
		if !v.Told {
			told = "as the job has it"
		}
		t.row(v.Part, report.FieldWord(v.Field), fittedAs(v), off(v), told)
	}
	for _, s := range a.Sliders {
		take := ""
		if s.Take > 0 {
			take = a.Curves[s.Take-1]
		}
		t.row(s.Slider, "stands at", signed(s.Found, 3)+" ± "+fixed(2*s.SD, 3), "set to "+signed(s.At, 2), take)
	}
	return t.flush()
}

// give writes half of an interval as a share; what is wider than twice or half is
// not known.
func give(value, high float64) string {
	if high > 2*value {
		return "not known"
	}
	return "±" + fixed(100*(high/value-1), 2) + " %"
}

func fittedAs(v bench.FitValue) string { return report.FieldValue(v.Field, v.Value.Value) }

func off(v bench.FitValue) string {
	if !v.Told {
		return "not told"
	}
	return percent(100*v.Off) + " " + give(v.Value.Value, v.High)
}
