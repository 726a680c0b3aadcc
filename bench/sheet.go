package bench

import (
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// Sheet asks everything the job sheet says.
func (c *Case) Sheet(ctx context.Context) (*SheetAnswer, finding.List, error) {
	a := &SheetAnswer{Title: c.job.Title, JobFile: c.name, JobSHA256: c.sha256, Parts: c.parts()}
	var found finding.List
	bands, more, err := c.Bands(ctx, "")
	if err != nil {
		return nil, nil, err
	}
	a.Bands, found = *bands, append(found, more...)
	if a.Family, err = c.family(ctx); err != nil {
		return nil, nil, err
	}
	if a.Ranges, more, err = c.Ranges(ctx); err != nil {
		return nil, nil, err
	}
	found = append(found, more...)
	volts, more, err := c.Volts(ctx, "")
	if err != nil {
		return nil, nil, err
	}
	a.Volts, found = *volts, append(found, more...)
	for _, s := range []curve.Setting{{}, c.equaliser.AllUp()} {
		n, more, err := c.Noise(ctx, s.String())
		if err != nil {
			return nil, nil, err
		}
		a.Noise, found = append(a.Noise, *n), append(found, more...)
	}
	if len(c.curves) > 0 {
		if a.Compare, more, err = c.Compare(ctx); err != nil {
			return nil, nil, err
		}
		found = append(found, more...)
	}
	if a.Explain, more, err = c.explained(ctx); err != nil {
		return nil, nil, err
	}
	return a, once(append(found, more...)), nil
}

// once drops findings that say the same of the same place again.
func once(list finding.List) finding.List {
	var kept finding.List
	seen := map[string]bool{}
	for _, f := range list {
		if text := f.Error(); !seen[text] {
			seen[text] = true
			kept = append(kept, f)
		}
	}
	return kept
}

// family gives the band curves on paper: every boost, every cut, all up and
// all down, each against flat, at the settings of the switches at rest.
func (c *Case) family(ctx context.Context) ([]curve.Curve, error) {
	flat, err := c.predicted(ctx, "flat", curve.Setting{}, AudioGrid())
	if err != nil {
		return nil, err
	}
	var list []curve.Curve
	for _, named := range c.equaliser.Family() {
		if len(named.Setting.Sliders) == 0 {
			continue // flat itself, lifted, bypassed: not band curves
		}
		total, err := c.predicted(ctx, named.Name, named.Setting, AudioGrid())
		if err != nil {
			return nil, err
		}
		against, _, err := curve.Difference(total, flat, curve.Range{})
		if err != nil {
			return nil, err
		}
		against.Name, against.Setting = named.Name, named.Setting
		list = append(list, against)
	}
	return list, nil
}

// parts lists every part of the circuit as marked and as measured: the bands'
// first, in the job's order, then the rest in the drawing's.
func (c *Case) parts() []FittedPart {
	var list []FittedPart
	banded := map[string]bool{}
	for _, b := range c.job.Bands {
		for _, f := range c.bandParts(b) {
			banded[f.Part] = true
			list = append(list, f)
		}
	}
	drawn := c.drawn()
	for _, p := range c.equaliser.Circuit().Parts() {
		if banded[p.PartName()] || c.ofHarness(p.PartName()) { // the harness has sheets of its own
			continue
		}
		f := FittedPart{Part: p.PartName(), Marked: valueOf(p)}
		if was, ok := drawn[f.Part]; ok && kindOf(was) == kindOf(p) {
			f.Marked = valueOf(was)
		}
		list = append(list, c.fitted(f))
	}
	return list
}

// drawn gives the parts as drawing and bands make them, before the job's own.
func (c *Case) drawn() map[string]circuit.Part {
	parts, _ := c.equaliser.Spec().Drawn() // what is wrong with it was said by Open
	byName := make(map[string]circuit.Part, len(parts))
	for _, p := range parts {
		byName[p.PartName()] = p
	}
	return byName
}

// fitted fills in what the circuit has under the part's name, and what a
// [[part]] says of it.
func (c *Case) fitted(f FittedPart) FittedPart {
	p, ok := c.equaliser.Circuit().Part(f.Part)
	if !ok {
		panic("bench: no part " + f.Part)
	}
	f.Kind, f.Points, f.Value = kindOf(p), p.Terminals(), valueOf(p)
	i := slices.IndexFunc(c.job.Parts, func(w job.Part) bool { return w.Name == f.Part })
	if i < 0 {
		return f
	}
	w := c.job.Parts[i]
	if l, ok := p.(circuit.Inductor); ok && w.Set["dcr"] != "" {
		f.DCR = &l.DCR
	}
	kind, _ := job.KindNamed(f.Kind)
	if v := read(kind, w.Value); v != nil { // what a band measured is no longer meant
		f.Marked, f.Measured, f.Note = v, nil, ""
	}
	if v := read(kind, w.Measured); v != nil {
		f.Measured, f.Note = v, ""
	}
	if w.Tolerance != nil {
		f.Tolerance = toleranceText(w.Tolerance)
	}
	return f
}

// read reads a value in its kind's unit; nil where there is none.
func read(kind job.Kind, text string) *float64 {
	if text == "" || kind.Value == job.UnitNone {
		return nil
	}
	v, err := kind.Value.Read(text)
	if err != nil {
		return nil // said already when the circuit was built
	}
	return &v
}

func toleranceText(t *quantity.Tolerance) string {
	if t == nil {
		return ""
	}
	return t.Display()
}

// bandParts gives slider, resistor, coil and capacitor of one band.
func (c *Case) bandParts(b job.Band) []FittedPart {
	slider := FittedPart{Part: b.Name, Marked: number(b.Slider.Value), Tolerance: toleranceText(b.Slider.Tolerance)}
	resistor := FittedPart{
		Part: b.Name + ".resistor", Marked: number(b.Resistor.Value), Tolerance: toleranceText(b.Resistor.Tolerance),
		Measured: numberOr(b.Resistor.MeasuredValue), Note: noteOf(b.Resistor.ID, b.Resistor.Measured),
	}
	coil := FittedPart{
		Part: b.Name + ".coil", Marked: number(b.Coil.Value), Tolerance: toleranceText(b.Coil.Tolerance),
		Measured: numberOr(b.Coil.MeasuredValue), Note: noteOf(b.Coil.ID, b.Coil.Measured), DCR: numberOr(b.Coil.DCR),
	}
	capacitor := FittedPart{
		Part: b.Name + ".capacitor", Marked: number(b.Capacitor.Value), Tolerance: toleranceText(b.Capacitor.Tolerance),
		Measured: numberOr(b.Capacitor.MeasuredValue), Note: noteOf(b.Capacitor.ID, b.Capacitor.Measured),
	}
	list := []FittedPart{slider, resistor, coil, capacitor}
	for i := range list {
		list[i].Band = b.Name
		list[i] = c.fitted(list[i])
	}
	return list
}

func number[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

func numberOr[T ~float64](v *T) *float64 {
	if v == nil {
		return nil
	}
	return number(*v)
}

// noteOf says in one line which part it is and how it was measured.
func noteOf(id string, m job.Measured) string {
	var words []string
	add := func(text string) {
		if text != "" {
			words = append(words, text)
		}
	}
	add(id)
	if m.Frequency != nil {
		add("at " + m.Frequency.Display(3))
	}
	add(m.Mode)
	if m.Level != nil {
		add(m.Level.Display(3))
	}
	if m.Celsius != nil {
		add(m.Celsius.Display(3))
	}
	add(m.Meter)
	add(m.Date)
	return strings.Join(words, ", ")
}

// valueOf gives a part's one value in its base unit; nil for a kind that has
// none.
func valueOf(p circuit.Part) *float64 {
	switch p := p.(type) {
	case circuit.Resistor:
		return &p.Ohms
	case circuit.Capacitor:
		return &p.Farads
	case circuit.Inductor:
		return &p.Henries
	case circuit.Slider:
		return &p.Track
	case circuit.VoltageSource:
		return &p.DC
	case circuit.CurrentSource:
		return &p.DC
	case circuit.Contact:
		return &p.OnOhms
	case circuit.Zener:
		return &p.Volts
	case circuit.Coupling:
		return &p.K
	}
	return nil
}
