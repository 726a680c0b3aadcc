package bench

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// Between the ids of a pair of capacitors that a job has as one.
const (
	besideEachOther = " + "
	behindEachOther = " in series with "
)

// filledJob is the job with the chosen parts in its legs: their ids, what is
// marked on them, and the values they were reckoned with as measured ones. Two
// capacitors become one, with both ids.
func (c *Case) filledJob(d *DrawerAnswer, chosen []ChooseBand, celsius float64) *job.Job {
	j := *c.job
	j.Bands, j.Parts = slices.Clone(j.Bands), slices.Clone(j.Parts)
	for i := range j.Parts {
		j.Parts[i].Set = maps.Clone(j.Parts[i].Set)
	}
	drawer := map[string]stock.Part{}
	for _, p := range d.Parts {
		drawer[p.ID] = p.Part
	}
	for _, b := range chosen {
		at := slices.IndexFunc(j.Bands, func(w job.Band) bool { return w.Name == b.Band })
		f := fill{band: &j.Bands[at], work: j.Celsius}
		f.coil(b, drawer[b.Coil.ID])
		f.capacitor(b, drawer)
		f.resistor(b, drawer)
		for i := range j.Parts {
			f.written(&j.Parts[i], b.Leg)
		}
	}
	return &j
}

// fill writes one band's parts.
type fill struct {
	band *job.Band
	work *quantity.Celsius
}

// asWritten is a value in the digits a job is written with: seven, which move
// no figure that anyone can measure.
func asWritten[T ~float64](v float64) T {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 6, 64), 64)
	if err != nil {
		panic("bench: " + err.Error())
	}
	return T(short)
}

// unlessNone writes a value, nil for one that is not there.
func unlessNone[T ~float64](v float64) *T {
	if v == 0 {
		return nil
	}
	t := asWritten[T](v)
	return &t
}

// marked splits what is reckoned with into what is marked and what was read:
// a part that was not measured has no reading, and one without a mark, or
// reckoned with otherwise than it says, is called by its value.
func marked[T ~float64](p stock.Part, value float64) (mark T, read *T) {
	reckoned := asWritten[T](value)
	if p.Measured() {
		read = &reckoned
	}
	if p.Marked > 0 && (read != nil || asWritten[T](p.Marked) == reckoned) {
		return T(p.Marked), read
	}
	return reckoned, read
}

func (f fill) coil(b ChooseBand, p stock.Part) {
	l := job.Coil{ID: p.ID, Tolerance: p.Tolerance, DCR: unlessNone[quantity.Ohms](b.Leg.DCR),
		CoreOhms: unlessNone[quantity.Ohms](b.Leg.CoreOhms), SelfFarads: unlessNone[quantity.Farads](b.Leg.SelfFarads)}
	l.Value, l.MeasuredValue = marked[quantity.Henries](p, b.Leg.Henries)
	l.Measured = f.reading(p)
	// The copper is as warm as the parts at work; the job's own temperature,
	// where it says one, lets it follow when that changes.
	l.Measured.Celsius = f.work
	f.band.Coil = l
}

func (f fill) resistor(b ChooseBand, drawer map[string]stock.Part) {
	p, own := drawer[b.Resistor.ID]
	r := job.Resistor{ID: p.ID, Tolerance: p.Tolerance}
	r.Value, r.MeasuredValue = marked[quantity.Ohms](p, b.Resistor.Value)
	if !own { // a person buys the same kind again
		r.Tolerance = f.band.Resistor.Tolerance
	}
	r.Measured = f.reading(p)
	f.band.Resistor = r
}

// capacitor writes one capacitor, or a pair as one. The tolerance of a pair is
// the worse of the two, which it never exceeds.
func (f fill) capacitor(b ChooseBand, drawer map[string]stock.Part) {
	if len(b.Capacitors) > 1 && b.Capacitors[1].Value > b.Capacitors[0].Value { // the one trimmed comes first
		slices.Reverse(b.Capacitors)
	}
	p := drawer[b.Capacitors[0].ID]
	c := job.Capacitor{ID: p.ID, Tolerance: p.Tolerance, Loss: unlessNone[float64](b.Leg.Loss)}
	if len(b.Capacitors) == 1 {
		c.Value, c.MeasuredValue = marked[quantity.Farads](p, b.Leg.Farads)
		c.Measured = f.reading(p)
		f.band.Capacitor = c
		return
	}
	second := drawer[b.Capacitors[1].ID]
	between := besideEachOther
	if b.InSeries {
		between = behindEachOther
	}
	c.ID += between + second.ID
	c.Value = asWritten[quantity.Farads](b.Leg.Farads)
	c.Tolerance = worse(p.Tolerance, second.Tolerance)
	if p.Measured() && second.Measured() {
		c.MeasuredValue = &c.Value
		c.Measured = alike(f.reading(p), f.reading(second))
		c.Measured.Meter = p.ID + " " + showed(p) + ", " + second.ID + " " + showed(second)
	}
	f.band.Capacitor = c
}

// worse is the wider of two tolerances on each side; nil where one is not
// known.
func worse(a, b *quantity.Tolerance) *quantity.Tolerance {
	if a == nil || b == nil {
		return nil
	}
	return &quantity.Tolerance{Minus: max(a.Minus, b.Minus), Plus: max(a.Plus, b.Plus)}
}

// alike keeps what two readings have in common.
func alike(a, b job.Measured) job.Measured {
	if given(a.Frequency) != given(b.Frequency) {
		a.Frequency = nil
	}
	if given(a.Level) != given(b.Level) {
		a.Level = nil
	}
	return a
}

// reading says how a part was measured. The value beside it is the one that
// the reading comes to, so that what the meter showed stands with the meter.
func (f fill) reading(p stock.Part) job.Measured {
	if !p.Measured() {
		return job.Measured{}
	}
	m := job.Measured{Meter: showed(p)}
	if p.Kind != stock.Resistor {
		m.Mode = string(stock.Series)
	}
	if one, ok := onlyReading(p); ok {
		m.Frequency, m.Level = unlessNone[quantity.Hertz](one.Hertz), unlessNone[quantity.Volts](one.Level)
	}
	return m
}

// onlyReading gives the one reading of a value that a part has.
func onlyReading(p stock.Part) (stock.Reading, bool) {
	var valued []stock.Reading
	for _, r := range p.Readings {
		if r.Value > 0 {
			valued = append(valued, r)
		}
	}
	if len(valued) != 1 {
		return stock.Reading{}, false
	}
	return valued[0], true
}

// showed says what the meter showed of a part.
func showed(p stock.Part) string {
	one, ok := onlyReading(p)
	if !ok {
		return "was read several times"
	}
	words := []string{"showed " + p.Kind.Display(one.Value, 5)}
	if one.Meter != "" {
		words = append(words, one.Meter)
	}
	return strings.Join(words, ", ")
}

// written sets the values of a [[part]] that says something of a part of the
// leg, so that it does not stand in the way of what the band now has.
func (f fill) written(p *job.Part, leg stock.Model) {
	end, ok := strings.CutPrefix(p.Name, f.band.Name)
	if !ok {
		return
	}
	set := func(key string, value float64, write func(float64) string) {
		delete(p.Set, key)
		if value > 0 {
			if p.Set == nil {
				p.Set = map[string]string{}
			}
			p.Set[key] = write(value)
		}
	}
	ohms := func(v float64) string { return asWritten[quantity.Ohms](v).String() }
	farads := func(v float64) string { return asWritten[quantity.Farads](v).String() }
	switch end {
	case ".coil":
		values(p, f.band.Coil.Value, f.band.Coil.MeasuredValue, f.band.Coil.Tolerance)
		set("dcr", leg.DCR, ohms)
		set("core_loss", leg.CoreOhms, ohms)
		set("self_capacitance", leg.SelfFarads, farads)
		delete(p.Set, "self_capacitance_inside")
	case ".capacitor":
		values(p, f.band.Capacitor.Value, f.band.Capacitor.MeasuredValue, f.band.Capacitor.Tolerance)
		set("loss", leg.Loss, func(v float64) string { return strconv.FormatFloat(asWritten[float64](v), 'g', -1, 64) })
		delete(p.Set, "esr")
	case ".resistor":
		values(p, f.band.Resistor.Value, f.band.Resistor.MeasuredValue, f.band.Resistor.Tolerance)
	}
}

func values[T quantity.Ohms | quantity.Farads | quantity.Henries](p *job.Part, marked T, read *T, tolerance *quantity.Tolerance) {
	p.Value, p.Measured, p.Tolerance = fmt.Sprint(marked), "", tolerance
	if read != nil {
		p.Measured = fmt.Sprint(*read)
	}
}
