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
	return a, once(found), nil
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
	written := c.writtenParts()
	var bands, rest []FittedPart
	for _, b := range c.job.Bands {
		bands = append(bands, c.bandParts(b)...)
	}
	for _, p := range c.equaliser.Circuit().Parts() {
		name := p.PartName()
		if slices.ContainsFunc(bands, func(f FittedPart) bool { return f.Part == name }) {
			continue
		}
		f := FittedPart{Part: name, Kind: kindOf(p), Points: p.Terminals(), Value: valueOf(p), Marked: valueOf(p)}
		if w, ok := written[name]; ok {
			f.fill(w)
		}
		rest = append(rest, f)
	}
	return append(bands, rest...)
}

func (c *Case) writtenParts() map[string]job.Part {
	written := map[string]job.Part{}
	for _, p := range c.job.Parts {
		written[p.Name] = p
	}
	return written
}

// fill takes over what a [[part]] says.
func (f *FittedPart) fill(w job.Part) {
	kind, _ := job.KindNamed(f.Kind)
	read := func(text string) *float64 {
		if text == "" || kind.Value == job.UnitNone {
			return nil
		}
		v, err := kind.Value.Read(text)
		if err != nil {
			return nil // said already when the circuit was built
		}
		return &v
	}
	if v := read(w.Value); v != nil {
		f.Marked = v
	}
	f.Measured = read(w.Measured)
	f.Tolerance = toleranceText(w.Tolerance)
}

func toleranceText(t *quantity.Tolerance) string {
	if t == nil {
		return ""
	}
	return t.Display()
}

// bandParts gives slider, resistor, coil and capacitor of one band.
func (c *Case) bandParts(b job.Band) []FittedPart {
	part := func(name, kind string) FittedPart {
		f := FittedPart{Part: name, Kind: kind, Band: b.Name}
		if p, ok := c.equaliser.Circuit().Part(name); ok {
			f.Points, f.Value = p.Terminals(), valueOf(p)
		}
		return f
	}
	slider := part(b.Name, "slider")
	slider.Marked, slider.Tolerance = number(b.Slider.Value), toleranceText(b.Slider.Tolerance)
	resistor := part(b.Name+".resistor", "resistor")
	resistor.Marked, resistor.Tolerance = number(b.Resistor.Value), toleranceText(b.Resistor.Tolerance)
	resistor.Measured, resistor.Note = numberOr(b.Resistor.MeasuredValue), noteOf(b.Resistor.ID, b.Resistor.Measured)
	coil := part(b.Name+".coil", "inductor")
	coil.Marked, coil.Tolerance = number(b.Coil.Value), toleranceText(b.Coil.Tolerance)
	coil.Measured, coil.Note = numberOr(b.Coil.MeasuredValue), noteOf(b.Coil.ID, b.Coil.Measured)
	coil.DCR = numberOr(b.Coil.DCR)
	capacitor := part(b.Name+".capacitor", "capacitor")
	capacitor.Marked, capacitor.Tolerance = number(b.Capacitor.Value), toleranceText(b.Capacitor.Tolerance)
	capacitor.Measured, capacitor.Note = numberOr(b.Capacitor.MeasuredValue), noteOf(b.Capacitor.ID, b.Capacitor.Measured)
	return []FittedPart{slider, resistor, coil, capacitor}
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
	}
	return nil
}
