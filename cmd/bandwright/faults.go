package main

import (
	"fmt"
	"strconv"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/reading"
	"bandwright/report"
)

// faultsVerb tells causes from readings.
type faultsVerb struct {
	jobArg
	Reading []string `help:"A reading: kind, red lead, black lead unless ground, what was shown, setting." sep:"none" placeholder:"\"volts q1.collector 12.1 V\""`
	CSV     []string `name:"csv" help:"A list of readings: kind, red, black, setting, hz, reading." sep:"none" placeholder:"FILE"`
	NoJob   bool     `help:"Leave out the job's own [[reading]]s."`
	Unit    string   `help:"Take the job's measured curves of this unit for readings too." placeholder:"NAME"`
	Made    bool     `help:"Of what is made of the harness so far: links not yet removed still join, runs not yet made do not."`
	Suggest int      `help:"How many readings to suggest at most." default:"3" placeholder:"N"`
	Hidden  bool     `help:"Also list the faults that no reading shows."`
}

// Help shows an example.
func (faultsVerb) Help() string {
	return `Ranks what may be wrong by what was read: every single fault of the parts and
the likeliest pairs, and every slip of the harness where the job has one, each with its probability and what speaks for and against
it; "as built" and "none of these" among them. Names the causes that no further
reading tells apart, and the readings worth most with what each outcome would
mean. Readings come from the command line, from the job, and from lists.

Examples:
  bandwright faults job.toml --reading "volts out 23.9 V" --reading "ohms q1.base cut open"
  bandwright faults job.toml --reading "gain 400 Hz 0.2 dB at 400=+1" --suggest 5
  bandwright faults job.toml --csv ohms.csv --unit B`
}

// Run answers the verb.
func (v faultsVerb) Run(d door) error {
	from := v.from(d)
	progress, end := d.steps("causes")
	from.Progress = progress
	answer, found, err := ask.Faults{Reading: v.Reading, CSV: v.CSV, NoJob: v.NoJob, Unit: v.Unit, Made: v.Made, Suggest: v.Suggest}.Ask(d.ctx, from)
	end()
	return v.give(d, answer, found, err, func() error { return v.print(d, answer) })
}

// cautions stand where a hand is led to the circuit.
const cautions = `Ohms only with the power off, discharged through a resistor and proved dead; volts
and curves only by a competent person, one hand, no jewellery, someone within call.`

func (v faultsVerb) print(d door, a *bench.FaultsAnswer) error {
	fmt.Fprintf(d.out, "%d causes looked at, %d readings can be taken.\n", a.Causes, a.Allowed)
	if err := printTaken(d, a.Taken); err != nil {
		return err
	}
	fmt.Fprintln(d.out, "\nWhat it may be:")
	t := names(d.out, "cause", "chance", "how much", "for (powers of ten)", "against")
	for _, c := range a.Ranked {
		t.row(report.Cause(c.Fault), share(c.Probability), report.CauseSize(c), weights(c, 1), weights(c, -1))
	}
	if err := t.flush(); err != nil {
		return err
	}
	for _, c := range a.Classes {
		if len(c.Members) > 1 {
			fmt.Fprintf(d.out, "\nNo reading left tells these apart (together %s):\n", share(c.Probability))
			for _, m := range c.Members {
				fmt.Fprintln(d.out, "  "+report.Cause(m))
			}
		}
	}
	printNext(d, a.Next)
	if v.Hidden {
		return printHidden(d, a.Hidden)
	}
	return nil
}

func printTaken(d door, list []bench.TakenReading) error {
	if len(list) == 0 {
		return nil
	}
	fmt.Fprintln(d.out, "\nReadings as understood:")
	t := names(d.out, "no.", "kind", "leads", "setting", "reading")
	for i, r := range list {
		t.row(strconv.Itoa(i+1), string(r.Kind), report.Leads(r), r.Setting.String(), report.ReadingValues(r))
	}
	return t.flush()
}

// weights names the readings that speak one way of a cause, and how strongly.
func weights(c bench.Cause, way float64) string {
	const little = 0.1 // a quarter as likely again: not worth a word
	var words []string
	for _, e := range c.Evidence {
		if e.Weight*way >= little {
			words = append(words, "no. "+strconv.Itoa(e.Reading+1)+" "+signed(e.Weight, 1))
		}
	}
	return strings.Join(words, ", ")
}

func printNext(d door, list []bench.NextReading) {
	if len(list) == 0 {
		fmt.Fprintln(d.out, "\nNo further reading would tell more.")
		return
	}
	fmt.Fprintln(d.out, "\nRead next, the one worth most first:")
	for _, n := range list {
		where := ""
		if n.Kind == reading.Gain {
			where = ", a curve; it tells most at " + hertz(n.Hz)
		}
		fmt.Fprintf(d.out, "  %s %s at %s%s (%s bits)\n", n.Kind, report.Leads(n.TakenReading), n.Setting, where, fixed(n.Bits, 2))
		for i, o := range n.Outcomes {
			if i == 5 || o.Probability < 0.01 {
				break
			}
			fmt.Fprintf(d.out, "    %s (%s): %s\n", report.OutcomeRange(n.Kind, o), share(o.Probability), means(o.Means))
		}
	}
	fmt.Fprintln(d.out, "\n"+cautions)
}

// means names the likeliest causes of an outcome.
func means(list []bench.LikelyCause) string {
	var words []string
	for i, m := range list {
		if i == 3 || m.Probability < 0.02 {
			words = append(words, "or another")
			break
		}
		words = append(words, report.Cause(m.Fault)+" "+share(m.Probability))
	}
	return strings.Join(words, ", ")
}

func printHidden(d door, list []bench.HiddenCause) error {
	fmt.Fprintln(d.out, "\nNo reading shows:")
	t := names(d.out, "cause", "at")
	for _, h := range list {
		t.row(report.Cause(h.Fault), report.HiddenSizes(h))
	}
	return t.flush()
}

// steps tells how far long work is, on one line of the error stream, while a
// person watches there.
func (d door) steps(what string) (tell func(done, total int), end func()) {
	if !d.watched {
		return nil, func() {}
	}
	return func(done, total int) {
			if done%16 == 0 || done == total {
				fmt.Fprintf(d.err, "\r%d of %d %s ", done, total, what)
			}
		},
		func() { fmt.Fprint(d.err, "\r                                \r") }
}
