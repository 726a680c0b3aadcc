package bench

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/spread"
	"bandwright/stock"
)

// What is said of the parts that a spread is drawn from.
const (
	// IDNotVaried (note): parts that have neither tolerance nor reading stand
	// still. count (int), parts (text).
	IDNotVaried finding.ID = "bench.not-varied"
	// IDBiasHeld (warning): parts with a tolerance that move the operating
	// point were held. count (int), parts (text).
	IDBiasHeld finding.ID = "bench.bias-held"
	// IDNothingVaries (error): no part has a tolerance or a reading.
	IDNothingVaries finding.ID = "bench.nothing-varies"
)

// VariedPart is one value of one part and the law it was drawn from.
type VariedPart struct {
	Part  string     `json:"part"`
	Kind  string     `json:"kind"`
	Value string     `json:"value"` // which of its values
	Law   spread.Law `json:"law"`
}

// known is what a job says of one value of one part.
type knownPart struct {
	knob      circuit.Knob
	kind      string
	marked    *float64
	tolerance *quantity.Tolerance
	measured  *float64
	reading   job.Measured
	lies      string  // the tolerance's law
	batch     string  // "": of none
	common    float64 // of its variance, with its batch
	hz        float64 // of its band; 0: of none
}

// theValue names the field that a kind's one value stands in; "" where parts
// of the kind are not varied.
func theValue(kind string) string {
	switch kind {
	case "resistor":
		return "Ohms"
	case "capacitor":
		return "Farads"
	case "inductor":
		return "Henries"
	case "slider":
		return "Track"
	}
	return ""
}

// knownParts gathers what the job says of every value that may vary: the
// bands' in their order, then those of its own [[part]]s.
func (c *Case) knownParts() []knownPart {
	var list []knownPart
	for _, b := range c.job.Bands {
		list = append(list, bandKnown(b)...)
	}
	for _, w := range c.job.Parts {
		p, ok := c.equaliser.Circuit().Part(w.Name)
		if !ok {
			continue
		}
		knob := circuit.Knob{Part: w.Name, Value: theValue(kindOf(p))}
		at := slices.IndexFunc(list, func(k knownPart) bool { return k.knob == knob })
		if at < 0 {
			at = len(list)
			list = append(list, knownPart{knob: knob, kind: kindOf(p)})
		}
		list[at] = list[at].written(w)
	}
	for i := range list {
		list[i].common = c.common(list[i].batch)
	}
	return list
}

// usualCommon is what a batch shares of which the job has no table. Common
// practice, no source.
const usualCommon = 0.5

// common gives what the parts of a batch share of their variance.
func (c *Case) common(batch string) float64 {
	for _, b := range c.job.Batches {
		if b.Name == batch && b.Common != nil {
			return *b.Common
		}
	}
	return usualCommon
}

func bandKnown(b job.Band) []knownPart {
	part := func(end, kind string, marked float64, t *quantity.Tolerance, measured *float64, m job.Measured) knownPart {
		return knownPart{knob: circuit.Knob{Part: b.Name + end, Value: theValue(kind)}, kind: kind,
			marked: &marked, tolerance: t, measured: measured, reading: m, hz: float64(b.Centre)}
	}
	list := []knownPart{
		part("", "slider", float64(b.Slider.Value), b.Slider.Tolerance, nil, job.Measured{}),
		part(".resistor", "resistor", float64(b.Resistor.Value), b.Resistor.Tolerance, numberOr(b.Resistor.MeasuredValue), b.Resistor.Measured),
		part(".coil", "inductor", float64(b.Coil.Value), b.Coil.Tolerance, numberOr(b.Coil.MeasuredValue), b.Coil.Measured),
		part(".capacitor", "capacitor", float64(b.Capacitor.Value), b.Capacitor.Tolerance, numberOr(b.Capacitor.MeasuredValue), b.Capacitor.Measured),
	}
	for i, of := range [...]struct{ lies, batch string }{{b.Slider.Lies, b.Slider.Batch}, {b.Resistor.Lies, b.Resistor.Batch},
		{b.Coil.Lies, b.Coil.Batch}, {b.Capacitor.Lies, b.Capacitor.Batch}} {
		list[i].lies, list[i].batch = of.lies, of.batch
	}
	if b.Coil.DCR != nil { // always read with an ohmmeter: nothing is marked for it
		copper := part(".coil", "resistor", 0, nil, numberOr(b.Coil.DCR), job.Measured{})
		copper.knob.Value, copper.kind, copper.marked = "DCR", "copper", nil
		list = append(list, copper)
	}
	return list
}

// written lays a [[part]] over what a band said of the same value.
func (k knownPart) written(w job.Part) knownPart {
	kind, _ := job.KindNamed(k.kind)
	if v := read(kind, w.Value); v != nil { // what a band measured is no longer meant
		k.marked, k.measured, k.reading = v, nil, job.Measured{}
	}
	if v := read(kind, w.Measured); v != nil {
		k.measured, k.reading = v, job.Measured{}
	}
	if w.Tolerance != nil {
		k.tolerance = w.Tolerance
	}
	k.lies, k.batch = cmp.Or(w.Lies, k.lies), cmp.Or(w.Batch, k.batch)
	return k
}

// law says how the true value may lie about the nominal one that the circuit
// has: by the reading where there is one, else within the tolerance by the law
// that is stated, flat when none is. False: the job says neither.
func (k knownPart) law(nominal, celsius float64, asMarked bool) (spread.Law, bool) {
	switch {
	case k.measured != nil && (!asMarked || k.marked == nil):
		return spread.MeasuredAs(nominal, nominal*k.uncertainty(celsius)), true
	case k.tolerance != nil && k.marked != nil && asMarked:
		return k.within(*k.marked), true
	case k.tolerance != nil:
		return k.within(nominal), true
	case k.marked != nil && asMarked:
		return spread.Law{Shape: spread.Flat, Nominal: *k.marked, Low: *k.marked, High: *k.marked}, false
	}
	return spread.Law{Shape: spread.Flat, Nominal: nominal, Low: nominal, High: nominal}, false
}

// within is the law of the tolerance, shared with the batch where there is one.
func (k knownPart) within(nominal float64) spread.Law {
	l := spread.Within(spread.Shape(cmp.Or(k.lies, string(spread.Flat))), nominal, *k.tolerance)
	if k.batch != "" {
		l = l.InBatch(k.batch, k.common)
	}
	return l
}

// usualHertz is where a part that belongs to no band is taken to be used.
const usualHertz = 1000

// uncertainty gives the relative standard uncertainty of the reading at the
// part's band. The job names its meter but not its limits, so that an ordinary
// hand meter's are taken: see stock.HandMeter.
func (k knownPart) uncertainty(celsius float64) float64 {
	kind := map[string]stock.Kind{"inductor": stock.Coil, "capacitor": stock.Capacitor}[k.kind]
	if kind == "" {
		kind = stock.Resistor
	}
	hz := k.hz
	if hz <= 0 {
		hz = usualHertz
	}
	r := stock.Reading{Value: *k.measured, Hertz: hz, Mode: stock.Mode(k.reading.Mode)}
	if k.reading.Frequency != nil {
		r.Hertz = float64(*k.reading.Frequency)
	}
	if r.Mode == "" {
		r.Mode = stock.Series // the circuit was solved with it as the series value
	}
	e := stock.Part{Kind: kind, Readings: []stock.Reading{r}, Count: 1}.SeriesAt(hz, celsius, stock.HandMeter())
	return e.SE / e.Value
}

// laws is what a job says of the values of its circuit.
type laws struct {
	varied []VariedPart // the job's order
	still  []string     // parts of which it says nothing
	held   []string     // parts with a tolerance that has no value to lie about
}

// lawsOf gives the law of every value that the job says something of. Values of
// a kind that a what-if changes are kept although they stand still.
func (c *Case) lawsOf(q SpreadQuestion) laws {
	var l laws
	for _, k := range c.knownParts() {
		p, ok := c.equaliser.Circuit().Part(k.knob.Part)
		if !ok {
			continue
		}
		v := valueOf(p)
		if coil, is := p.(circuit.Inductor); is && k.knob.Value == "DCR" {
			v = &coil.DCR
		}
		if k.knob.Value == "" || v == nil || !(*v > 0) {
			if k.tolerance != nil {
				l.held = append(l.held, k.knob.Part)
			}
			continue
		}
		law, said := k.law(*v, c.kelvin()-kelvinAtZero, q.AsMarked)
		if said || q.changes(k.kind) || law.Nominal != *v {
			l.varied = append(l.varied, VariedPart{Part: k.knob.Part, Kind: k.kind, Value: k.knob.Value, Law: law})
		}
		if !said {
			l.still = append(l.still, k.knob.Part)
		}
	}
	return l
}

// kelvin is the temperature that every state is solved at.
func (c *Case) kelvin() float64 {
	if t := c.equaliser.Spec().Kelvin; t != 0 {
		return t
	}
	return circuit.DefaultKelvin
}

// drawnFrom gives the values that builds are drawn of, and what is to be said of
// the others: builds do not follow the operating point.
func (c *Case) drawnFrom(st *circuit.State, q SpreadQuestion) ([]VariedPart, finding.List) {
	l := c.lawsOf(q)
	var varied []VariedPart
	for _, v := range l.varied {
		if st.MovesBias(circuit.Knob{Part: v.Part, Value: v.Value}) {
			l.held = append(l.held, v.Part)
			continue
		}
		varied = append(varied, v)
	}
	found := append(standing(IDNotVaried, finding.Note, l.still), standing(IDBiasHeld, finding.Warning, l.held)...)
	return varied, located(found, c.job, c.name)
}

// standing names parts that stand still.
func standing(id finding.ID, level finding.Level, parts []string) finding.List {
	if len(parts) == 0 {
		return nil
	}
	return finding.List{finding.New(id, level, finding.Place{}, finding.Args{"count": len(parts), "parts": strings.Join(parts, ", ")})}
}

// changes says whether a what-if replaces the parts of a kind.
func (q SpreadQuestion) changes(kind string) bool {
	return q.WhatIf != nil && q.WhatIf.Kind == kind
}
