package bench

import (
	"maps"
	"slices"
	"strconv"

	"bandwright/circuit"
	"bandwright/job"
	"bandwright/quantity"
)

// leastKnown is the tolerance of a value that is known better than it can be
// trusted to stay: common practice, no source.
const leastKnown = 0.0005

// fittedJob is the job with the values found: of legs, tracks, feed and feedback.
// Each has its interval for a tolerance, within which it lies by the normal law;
// what was measured of the part before is no longer what is reckoned with.
func (c *Case) fittedJob(a *FitAnswer) *job.Job {
	j := *c.job
	j.Bands, j.Parts = slices.Clone(j.Bands), slices.Clone(j.Parts)
	for i := range j.Parts {
		j.Parts[i].Set = maps.Clone(j.Parts[i].Set)
	}
	for _, l := range a.Legs {
		at := slices.IndexFunc(j.Bands, func(b job.Band) bool { return b.Name == l.Band })
		if at < 0 {
			continue // a leg made of [[part]]s
		}
		b := &j.Bands[at]
		b.Resistor.Value, b.Resistor.Tolerance, b.Resistor.Lies = asWritten[quantity.Ohms](l.Resistor.Value.Value), l.Resistor.tolerance(), "normal"
		b.Resistor.MeasuredValue, b.Resistor.Measured, b.Resistor.Batch = nil, job.Measured{}, ""
		b.Coil.Value, b.Coil.Tolerance, b.Coil.Lies = asWritten[quantity.Henries](l.Coil.Value.Value), l.Coil.tolerance(), "normal"
		b.Coil.MeasuredValue, b.Coil.Batch = nil, ""
		b.Coil.Measured = job.Measured{Celsius: b.Coil.Measured.Celsius} // its copper was read at that
		b.Capacitor.Value, b.Capacitor.Tolerance, b.Capacitor.Lies = asWritten[quantity.Farads](l.Capacitor.Value.Value), l.Capacitor.tolerance(), "normal"
		b.Capacitor.MeasuredValue, b.Capacitor.Measured, b.Capacitor.Batch = nil, job.Measured{}, ""
		for _, v := range [...]FitValue{l.Resistor, l.Coil, l.Capacitor} {
			c.overwritten(&j, v)
		}
	}
	for _, v := range a.Others {
		c.besideWritten(&j, v)
	}
	return &j
}

// tolerance is a value's interval; nil for one that the curves do not tell.
func (v FitValue) tolerance() *quantity.Tolerance {
	half := max(v.High/v.Value.Value-1, leastKnown)
	if !v.Told || half >= 1 {
		return nil
	}
	short, err := strconv.ParseFloat(strconv.FormatFloat(half, 'e', 1, 64), 64) // of an interval two digits
	if err != nil {
		panic("bench: " + err.Error())
	}
	return &quantity.Tolerance{Minus: short, Plus: short}
}

// overwritten changes the [[part]] that gives a part its value, where one does.
func (c *Case) overwritten(j *job.Job, v FitValue) bool {
	at := slices.IndexFunc(j.Parts, func(p job.Part) bool { return p.Name == v.Part && p.Value+p.Measured != "" })
	part, ok := c.equaliser.Circuit().Part(v.Part)
	if at < 0 || !ok {
		return false
	}
	p := &j.Parts[at]
	p.Value, p.Measured, p.Tolerance, p.Lies, p.Batch = inUnit(part, asWritten[float64](v.Value.Value)), "", v.tolerance(), "normal", ""
	return true
}

// besideWritten writes a value that belongs to no leg, where the job has a place
// for it.
func (c *Case) besideWritten(j *job.Job, v FitValue) {
	if v.Field == "Ohms" && c.overwritten(j, v) {
		return
	}
	ohms := asWritten[quantity.Ohms](v.Value.Value)
	switch {
	case v.Part == "feed" && v.Field == "Ohms":
		j.Driver.Feed = &ohms
	case v.Part == "feedback" && v.Field == "Ohms":
		j.Driver.Feedback = &ohms
	case v.Part == sourceOhms:
		if j.TapIn.GeneratorHas == nil { // else it is the generator's, not the amplifier's
			j.TapIn.SourceOhms = ohms
		}
	}
	for i := range j.Bands {
		b := &j.Bands[i]
		switch k := (circuit.Knob{Part: v.Part, Value: v.Field}); k {
		case circuit.Knob{Part: b.Name, Value: "Track"}:
			b.Slider.Value, b.Slider.Tolerance, b.Slider.Lies = ohms, v.tolerance(), "normal"
		case circuit.Knob{Part: b.Name + ".coil", Value: "DCR"}:
			b.Coil.DCR = &ohms
			b.Coil.Measured.Celsius = j.Celsius // as warm as it was in the curves
		case circuit.Knob{Part: b.Name + ".coil", Value: "CoreOhms"}:
			b.Coil.CoreOhms, b.Coil.MeasuredQ = &ohms, nil
		}
	}
}
