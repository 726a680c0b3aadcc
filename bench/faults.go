package bench

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/reading"
)

// FaultsQuestion asks what is wrong, from readings.
type FaultsQuestion struct {
	Readings []job.Reading // as read; their lines are those of the job, or of no file
	Unit     string        // take the job's measured curves of this unit for readings too; "": none
	Made     bool          // of what there is of the harness so far, not of all of it
	Suggest  int           // how many readings to suggest at most; 0: none
	Workers  int           // 0: two
}

// FaultsAnswer ranks what may be wrong. Probabilities are of all causes together,
// "as built" and "none of these" among them.
type FaultsAnswer struct {
	Celsius float64        `json:"celsius"`
	Causes  int            `json:"causes"`  // looked at
	Allowed int            `json:"allowed"` // readings that could be taken
	Taken   []TakenReading `json:"taken"`
	Ranked  []Cause        `json:"ranked"` // the likeliest first, as far as any is worth naming
	Classes []CauseClass   `json:"classes"`
	Next    []NextReading  `json:"next"`   // worth most first
	Hidden  []HiddenCause  `json:"hidden"` // what no reading would show
}

// TakenReading is a reading as it was understood: volts, ohms, or decibels, one for
// each frequency.
type TakenReading struct {
	Kind    reading.Kind  `json:"kind"`
	Red     string        `json:"red"`
	Black   string        `json:"black"`
	Setting curve.Setting `json:"setting"`
	Hz      []float64     `json:"hz,omitempty"`
	Values  []float64     `json:"values,omitempty"` // as read; none: open
	Open    bool          `json:"open,omitempty"`
}

// Cause is one thing that may be wrong, and what is for it.
type Cause struct {
	Fault
	Probability float64          `json:"probability"`
	Size        *fault.Size      `json:"size,omitempty"`
	Value       *fault.Size      `json:"value,omitempty"`    // what a value that is out then is, base unit
	Evidence    []fault.Evidence `json:"evidence,omitempty"` // Reading is the number among Taken
}

// Fault names a thing that may be wrong, so that it can be worded.
type Fault struct {
	Name  string         `json:"name"` // unlike every other
	Kind  fault.Kind     `json:"kind"`
	Edits []circuit.Edit `json:"edits,omitempty"` // at one of its sizes
	Legs  []string       `json:"legs,omitempty"`  // of the first edit's part, in its order
	Label string         `json:"label,omitempty"` // of a wiring fault
	Part  string         `json:"part,omitempty"`  // kind of the first edit's part
	Is    *float64       `json:"is,omitempty"`    // what a value that is out should be, base unit
}

// CauseClass is causes that no reading not yet taken tells from its first.
type CauseClass struct {
	Members     []Fault `json:"members"`
	Probability float64 `json:"probability"`
}

// NextReading is a reading worth taking, and what each outcome would mean.
type NextReading struct {
	TakenReading
	Bits     float64       `json:"bits"`
	Hz       float64       `json:"at_hz,omitempty"` // where a curve tells most
	Outcomes []NextOutcome `json:"outcomes"`
}

// NextOutcome is a range and the causes that lie in it.
type NextOutcome struct {
	Low         float64       `json:"low"`
	High        float64       `json:"high"`
	Open        bool          `json:"open,omitempty"`
	Probability float64       `json:"probability"`
	Means       []LikelyCause `json:"means"`
}

// LikelyCause is a cause with its probability after an outcome.
type LikelyCause struct {
	Fault
	Probability float64 `json:"probability"`
}

// HiddenCause is a fault that no reading shows, at all sizes or between two.
type HiddenCause struct {
	Fault
	All  bool    `json:"all"`
	Low  float64 `json:"low,omitempty"`
	High float64 `json:"high,omitempty"`
}

// Faults ranks the causes of readings. progress is told how far the table of what
// every cause would make every reading show has come; it is kept, so that a second
// question to the same Case ranks anew at once.
func (c *Case) Faults(ctx context.Context, q FaultsQuestion, progress func(done, total int)) (*FaultsAnswer, finding.List, error) {
	asked := c
	if q.Made {
		made, _, err := c.AsMade()
		if err != nil {
			return nil, nil, err
		}
		asked = made
	}
	of, taken, found, err := asked.takenUp(q)
	if err != nil {
		return nil, found, err
	}
	table, more, err := of.faultTable(ctx, c, q, taken, progress)
	found = append(found, more...)
	if err != nil {
		return nil, found, err
	}
	ranking, err := table.table.Rank(ctx, taken)
	if list, ok := finding.From(err); ok {
		return nil, found, located(c.withLines(list, q.Readings), c.job, c.name)
	}
	if err != nil {
		return nil, nil, err
	}
	if err := ranking.Explain(ctx); err != nil {
		return nil, nil, err
	}
	a := &FaultsAnswer{Celsius: c.kelvin() - kelvinAtZero, Causes: len(table.table.Hypotheses), Allowed: len(table.table.Readings)}
	table.lay(a, taken, ranking)
	if q.Suggest > 0 {
		next, err := ranking.Next(ctx, q.Suggest)
		if err != nil {
			return nil, nil, err
		}
		a.Next = table.next(next)
	}
	found = append(append(found, table.table.Findings...), ranking.Findings...)
	return a, once(located(found, c.job, c.name)), nil
}

// withLines puts to what is wrong with a reading the line that it stands in.
func (c *Case) withLines(list finding.List, readings []job.Reading) finding.List {
	list = slices.Clone(list)
	for i, f := range list {
		at := slices.IndexFunc(readings, func(r job.Reading) bool { return r.Line > 0 && r.Red == f.Place.Point })
		if at >= 0 && f.Place.Line == 0 {
			list[i].Place.Line = readings[at].Line
		}
	}
	return list
}

// lay writes a ranking out.
func (t *faultTable) lay(a *FaultsAnswer, taken []fault.Taken, r *fault.Ranking) {
	for _, k := range taken {
		a.Taken = append(a.Taken, readingOf(k.Reading, k.Values, k.Open))
	}
	for _, k := range r.Ranked {
		if k.Evidence == nil && k.Probability < 1e-3 {
			break
		}
		e := slices.Clone(k.Evidence)
		for i := range e {
			e[i].Reading = slices.IndexFunc(taken, func(k fault.Taken) bool { return t.table.Number(k.Reading) == e[i].Reading })
		}
		cause := Cause{Fault: t.named(k.Name), Probability: k.Probability, Size: k.Size, Evidence: e}
		if cause.Is != nil && k.Size != nil {
			cause.Value = &fault.Size{Low: *cause.Is * k.Size.Low, Middle: *cause.Is * k.Size.Middle, High: *cause.Is * k.Size.High}
		}
		a.Ranked = append(a.Ranked, cause)
	}
	for _, class := range r.Classes {
		to := CauseClass{Probability: class.Probability}
		for _, name := range class.Members {
			to.Members = append(to.Members, t.named(name))
		}
		a.Classes = append(a.Classes, to)
	}
	for _, h := range t.table.Hidden() {
		a.Hidden = append(a.Hidden, HiddenCause{Fault: t.named(h.Name), All: h.All, Low: h.Low, High: h.High})
	}
}

func readingOf(r reading.Reading, values []float64, open bool) TakenReading {
	to := TakenReading{Kind: r.Kind, Red: r.Red, Black: r.Black, Setting: r.Setting, Hz: r.Hz, Values: values, Open: open}
	if to.Black == "" {
		to.Black = circuit.Ground
	}
	if open {
		to.Values = nil
	}
	return to
}

func (t *faultTable) next(list []fault.Suggestion) []NextReading {
	all := []NextReading{}
	for _, s := range list {
		n := NextReading{TakenReading: readingOf(t.table.Readings[s.Reading].Reading, nil, false), Bits: s.Bits, Hz: s.Hz}
		for _, o := range s.Outcomes {
			to := NextOutcome{Low: o.Low, High: o.High, Open: o.Open, Probability: o.Probability}
			for _, m := range o.Means {
				to.Means = append(to.Means, LikelyCause{t.named(m.Name), m.Probability})
			}
			n.Outcomes = append(n.Outcomes, to)
		}
		all = append(all, n)
	}
	return all
}
