package bench

import (
	"maps"
	"slices"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/wiring"
)

// rebuilt is the case of another job in the place of this one; name and files
// are the same. The circuit is not proved anew: only values differ.
func (c *Case) rebuilt(j *job.Job) (*Case, error) {
	spec, wrong := specAs(j, wiring.Complete)
	if err := wrong.Err(); err != nil {
		return nil, err
	}
	built, err := equaliser.Build(spec)
	if err != nil {
		return nil, err
	}
	return &Case{job: j, name: c.name, equaliser: built, files: c.files, states: map[string]*circuit.State{}}, nil
}

// designedJob is the job with the chosen values in it. A part whose value is
// what it was stays as it is written, with its reading. Where a [[part]] gives
// a leg its value, that one is changed and not the band.
func (c *Case) designedJob(d *equaliser.Designed) *job.Job {
	j := *c.job
	j.Bands, j.Parts = slices.Clone(j.Bands), slices.Clone(j.Parts)
	for i := range j.Parts {
		j.Parts[i].Set = maps.Clone(j.Parts[i].Set)
	}
	tolerances := c.tolerances()
	for _, b := range d.Bands {
		at := slices.IndexFunc(j.Bands, func(w job.Band) bool { return w.Name == b.Wanted.Band })
		for _, leg := range legEnds {
			was, _ := c.equaliser.Circuit().Part(b.Wanted.Band + leg.end)
			now, _ := d.Equaliser.Circuit().Part(b.Wanted.Band + leg.end)
			if was == now {
				continue
			}
			w := designedPart{now: now, pick: leg.pick(b.Wanted), name: leg.name(b.Chosen)}
			w.settle(tolerances[now.PartName()])
			if !w.written(&j) {
				w.banded(&j.Bands[at])
			}
		}
	}
	return &j
}

// tolerances gives what the job says of the one value of each part.
func (c *Case) tolerances() map[string]*quantity.Tolerance {
	all := map[string]*quantity.Tolerance{}
	for _, k := range c.knownParts() {
		if k.knob.Value == theValue(k.kind) {
			all[k.knob.Part] = k.tolerance
		}
	}
	return all
}

// legEnds are the parts of a leg: what their names end in, which picks they
// were chosen from and the owned part that was taken.
var legEnds = [...]struct {
	end  string
	pick func(equaliser.Wanted) equaliser.Pick
	name func(equaliser.DesignedLeg) string
}{
	{".resistor", func(w equaliser.Wanted) equaliser.Pick { return w.Resistor }, func(l equaliser.DesignedLeg) string { return l.Resistor }},
	{".coil", func(w equaliser.Wanted) equaliser.Pick { return w.Coil }, func(l equaliser.DesignedLeg) string { return l.Coil }},
	{".capacitor", func(w equaliser.Wanted) equaliser.Pick { return w.Capacitor }, func(l equaliser.DesignedLeg) string { return l.Capacitor }},
}

// designedPart is a part of a leg to be written into a job.
type designedPart struct {
	now  circuit.Part
	pick equaliser.Pick
	name string // of an owned part

	value     float64  // as marked or ordered
	measured  *float64 // nil: not measured
	tolerance *quantity.Tolerance
}

// settle says what is marked, what was read, and the tolerance: of an owned part
// its own; of another what was said, else that of the part it replaces, since
// a person buys the same kind again; else what parts of its series usually
// have.
func (w *designedPart) settle(was *quantity.Tolerance) {
	value := *valueOf(w.now)
	w.value, w.tolerance = asWritten[float64](value), was
	if usual, ok := w.pick.Series.Tolerance(); ok && was == nil {
		w.tolerance = &usual
	}
	if w.pick.Tolerance != nil {
		w.tolerance = w.pick.Tolerance
	}
	for _, o := range w.pick.Owned {
		if o.Name != w.name || o.Value != value {
			continue
		}
		w.value, w.tolerance = value, o.Tolerance
		if o.Marked != 0 {
			w.value, w.measured = o.Marked, &value
		}
		return
	}
}

// written changes the [[part]] that gives this leg its value, if there is one.
func (w *designedPart) written(j *job.Job) bool {
	at := slices.IndexFunc(j.Parts, func(p job.Part) bool { return p.Name == w.now.PartName() })
	if at < 0 {
		return false
	}
	p := &j.Parts[at]
	if coil, ok := w.now.(circuit.Inductor); ok {
		for key, ohms := range map[string]float64{"dcr": coil.DCR, "core_loss": coil.CoreOhms} {
			if p.Set[key] != "" {
				p.Set[key] = asWritten[quantity.Ohms](ohms).String()
			}
		}
	}
	if p.Value+p.Measured == "" {
		return false
	}
	p.Value, p.Measured, p.Tolerance = inUnit(w.now, w.value), "", w.tolerance
	if w.measured != nil {
		p.Measured = inUnit(w.now, *w.measured)
	}
	return true
}

// inUnit writes the value of a part of a leg.
func inUnit(p circuit.Part, value float64) string {
	switch p.(type) {
	case circuit.Inductor:
		return quantity.Henries(value).String()
	case circuit.Capacitor:
		return quantity.Farads(value).String()
	}
	return quantity.Ohms(value).String()
}

// banded changes the band's own part. What was read of the old part, and where
// it lay, goes.
func (w *designedPart) banded(b *job.Band) {
	switch now := w.now.(type) {
	case circuit.Resistor:
		b.Resistor = job.Resistor{ID: w.name, Value: quantity.Ohms(w.value), Tolerance: w.tolerance,
			MeasuredValue: asRead[quantity.Ohms](w.measured)}
	case circuit.Capacitor:
		c := &b.Capacitor
		c.ID, c.Value, c.Tolerance = w.name, quantity.Farads(w.value), w.tolerance
		c.MeasuredValue, c.Measured = asRead[quantity.Farads](w.measured), job.Measured{}
	case circuit.Inductor:
		l := &b.Coil
		dcr, core := asWritten[quantity.Ohms](now.DCR), asWritten[quantity.Ohms](now.CoreOhms)
		l.ID, l.Value, l.Tolerance, l.DCR = w.name, quantity.Henries(w.value), w.tolerance, &dcr
		if l.CoreOhms != nil || l.MeasuredQ != nil && core > 0 {
			l.CoreOhms = &core
		}
		l.MeasuredQ = nil // it was another coil's
		l.MeasuredValue, l.Measured = asRead[quantity.Henries](w.measured), job.Measured{}
	}
}

func asRead[T ~float64](v *float64) *T {
	if v == nil {
		return nil
	}
	t := T(*v)
	return &t
}
