package bench

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/reading"
)

// Findings of a question for causes.
const (
	// IDUsualLimits (note): parts of which the job says neither tolerance nor
	// reading are taken to lie within the usual limits of their kind. count (int),
	// parts (text).
	IDUsualLimits finding.ID = "bench.usual-limits"
	// IDOtherStage (note): readings of a stage before the whole is on its rail are
	// set aside. count (int), stages (text).
	IDOtherStage finding.ID = "bench.other-stage"
	// IDNothingRead (note): no reading was given: what is told is what is likely
	// beforehand. No args.
	IDNothingRead finding.ID = "bench.nothing-read"
	// IDNoUnit: the job has no measured curve of the unit. unit, known (text).
	IDNoUnit finding.ID = "bench.no-unit"
	// IDCurveOutside (note): a measured curve has none of the frequencies that
	// causes are judged at. curve.
	IDCurveOutside finding.ID = "bench.curve-outside"
)

// Effort of a reading against others: power off and dead is easiest; a live one
// needs the cautions of the sheet; a curve its setup. Common practice, no source.
const (
	ohmsEffort, voltsEffort, curveEffort = 1.0, 1.5, 2.0
)

// Where causes are judged on curves: two frequencies an octave.
const (
	judgedLow, judgedHigh = 30.0, 14e3
	judgedPerOctave       = 2
)

// mostPairs of definite faults are looked at.
const mostPairs = 60

// signedFarads is the value from which a capacitor outside the legs is taken to
// have a plus. Common practice, no source.
const signedFarads = 1e-6

// usualShare is how far a part may be off of which the job says nothing, as a
// share, by the name of its value. Common practice, no source.
func usualShare(value string) float64 {
	switch value {
	case "Ohms":
		return 0.05
	case "Farads", "Track":
		return 0.2
	case "Henries", "DCR", "DC":
		return 0.1
	case "BetaF":
		return 0.5
	}
	return 0
}

// faultTable is a fault.Table with what its hypotheses are called.
type faultTable struct {
	key   string // what it was made for
	table *fault.Table
	names map[string]Fault
	more  *faultTable // the last one with other readings beside
}

func (t *faultTable) named(name string) Fault {
	if f, ok := t.names[name]; ok {
		return f
	}
	return Fault{Name: name, Kind: fault.Kind(name)}
}

// faultTable makes the table, or gives the one that memo, the case as it was opened,
// made last. Readings that are not among those usually taken are added to it.
func (c *Case) faultTable(ctx context.Context, memo *Case, q FaultsQuestion, taken []fault.Taken, progress func(done, total int)) (*faultTable, finding.List, error) {
	plan, found := c.faultPlan()
	more := plan.admit(taken)
	key := plan.key() + fmt.Sprint(" ", c.asMade)
	usual, err := c.remembered(memo, &memo.faults, key, func() (*fault.Table, error) {
		plan.Workers, plan.Progress = q.Workers, progress
		return fault.New(ctx, plan.Plan)
	})
	if err == nil && len(more) > 0 {
		usual, err = c.remembered(memo, &usual.more, keyOf(more), func() (*fault.Table, error) { return usual.table.With(ctx, more, progress) })
	}
	if list, ok := finding.From(err); ok {
		return nil, found, located(c.withLines(list, q.Readings), c.job, c.name)
	}
	if err != nil {
		return nil, nil, err
	}
	return usual, found, nil
}

// remembered gives the table that was made last, if it was for the same, else makes
// it.
func (c *Case) remembered(memo *Case, last **faultTable, key string, do func() (*fault.Table, error)) (*faultTable, error) {
	memo.mu.Lock()
	known := *last
	memo.mu.Unlock()
	if known != nil && known.key == key {
		return known, nil
	}
	table, err := do()
	if err != nil {
		return nil, err
	}
	made := &faultTable{key: key, table: table, names: map[string]Fault{}}
	for _, h := range table.Hypotheses {
		made.names[h.Name] = c.describe(h)
	}
	memo.mu.Lock()
	defer memo.mu.Unlock()
	*last = made
	return made, nil
}

// faultPlan is a fault.Plan of a case.
type faultPlan struct{ fault.Plan }

// admit makes room for what was taken: it gives those readings that are not usual. A
// curve that was taken from a file need not be asked for.
func (p *faultPlan) admit(taken []fault.Taken) (more []fault.Allowed) {
	for _, k := range taken {
		if k.Interface == freeLevel() {
			p.Readings = slices.DeleteFunc(p.Readings, func(a fault.Allowed) bool {
				return a.Kind == reading.Gain && a.Setting.String() == k.Setting.String()
			})
		}
	}
	for _, k := range taken {
		same := func(a fault.Allowed) bool { return fault.Same(a.Reading, k.Reading) }
		if !slices.ContainsFunc(p.Readings, same) && !slices.ContainsFunc(more, same) {
			more = append(more, fault.Allowed{Reading: k.Reading, Effort: effort(k.Reading)})
		}
	}
	return more
}

func (p *faultPlan) key() string {
	return fmt.Sprint(p.Circuit.Value(circuit.Knob{Part: sourceOhms, Value: "Ohms"})) + keyOf(p.Readings)
}

func keyOf(readings []fault.Allowed) (key string) {
	for _, a := range readings {
		key += fmt.Sprintf("\n%+v", a)
	}
	return key
}

// describe says what a hypothesis is of.
func (c *Case) describe(h fault.Hypothesis) Fault {
	f := Fault{Name: h.Name, Kind: h.Kind, Label: h.Label, Edits: h.Cases[len(h.Cases)/2].Edits}
	if len(f.Edits) == 0 {
		return f
	}
	e := f.Edits[0]
	p, ok := c.equaliser.Circuit().Part(e.Part)
	if !ok {
		return f
	}
	f.Part = kindOf(p)
	if kind, ok := job.KindNamed(f.Part); ok {
		f.Legs = kind.Points
	}
	if h.Kind == fault.Value {
		if v, err := c.equaliser.Circuit().Value(circuit.Knob{Part: e.Part, Value: e.Value}); err == nil {
			f.Is = &v
		}
	}
	return f
}

// faultPlan says what may be wrong, and what may be read.
func (c *Case) faultPlan() (faultPlan, finding.List) {
	whole := c.equaliser.Circuit()
	parts, usual := c.uncertainties()
	singles := fault.Singles(whole, c.suspects(parts))
	weight := 0.0
	for _, h := range singles {
		weight += h.Weight
	}
	singles = append(singles, c.wiringFaults(weight)...)
	plan := fault.Plan{Circuit: whole, Parts: parts, Cond: reading.Conditions{Kelvin: c.equaliser.Spec().Kelvin},
		Hypotheses: append(singles, fault.Pairs(singles, mostPairs)...), Readings: c.allowed()}
	return faultPlan{plan}, standing(IDUsualLimits, finding.Note, usual)
}

// uncertainties says how far every value may be off: as the job has it, and of the
// others, which are named, by the usual limits.
func (c *Case) uncertainties() (list []reading.Uncertainty, usual []string) {
	known := map[circuit.Knob]bool{}
	for _, v := range c.lawsOf(SpreadQuestion{}).varied {
		k := circuit.Knob{Part: v.Part, Value: v.Value}
		known[k] = true
		list = append(list, v.Law.About(k))
	}
	for _, p := range c.equaliser.Circuit().Parts() {
		if p.PartName() == equaliser.Source || strings.HasPrefix(p.PartName(), insulation) {
			continue
		}
		for _, value := range []string{"Ohms", "Henries", "DCR", "Farads", "Track", "BetaF", "DC"} {
			k := circuit.Knob{Part: p.PartName(), Value: value}
			if v, err := c.equaliser.Circuit().Value(k); err == nil && v > 0 && !known[k] {
				list = append(list, reading.Within(k, usualShare(value)*v))
				if value == theValue(kindOf(p)) {
					usual = append(usual, k.Part)
				}
			}
		}
	}
	return list, usual
}

// suspects leaves the amplifier's own source, load and rail out of question.
func (c *Case) suspects(parts []reading.Uncertainty) fault.Suspects {
	s := fault.Suspects{Parts: parts, Sound: append(c.harnessParts(), equaliser.Source, sourceOhms, "load", "load.capacitance", "rail"), Leads: []string{"lift.lead"}}
	var coils, capacitors, resistors []string
	for _, b := range c.equaliser.Bands() {
		coils, capacitors, resistors = append(coils, b+".coil"), append(capacitors, b+".capacitor"), append(resistors, b+".resistor")
	}
	for _, group := range [][]string{coils, capacitors, resistors} {
		group = slices.DeleteFunc(group, func(name string) bool { _, ok := c.equaliser.Circuit().Part(name); return !ok })
		s.Alike = append(s.Alike, group)
	}
	for i := 1; i < len(s.Alike[0]); i++ { // bands lie beside each other, and so do their coils
		s.Near = append(s.Near, [2]string{s.Alike[0][i-1], s.Alike[0][i]})
	}
	for _, p := range c.equaliser.Circuit().Parts() {
		if q, ok := p.(circuit.Capacitor); ok && q.Farads >= signedFarads && !slices.Contains(capacitors, q.Name) {
			s.Signed = append(s.Signed, q.Name)
		}
	}
	return s
}
