package reading

import (
	"context"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
)

// IDOverRange: a meter is led to more volts than it is made for. Place: the
// point, the setting. volts, most, instrument.
const IDOverRange finding.ID = "reading.over-range"

// Conditions are what readings depend on beside circuit, setting and
// instrument.
type Conditions struct {
	Kelvin     float64            // 0 means circuit.DefaultKelvin
	SourceOhms map[string]float64 // what dead sources still are on ohms: see circuit.PowerOff
}

// Expected is a number with its range. Low ≤ Nominal ≤ High.
type Expected struct {
	Low     float64 `json:"low"`
	Nominal float64 `json:"nominal"`
	High    float64 `json:"high"`
}

// Holds says whether a value lies within the range, ends included.
func (e Expected) Holds(value float64) bool { return value >= e.Low && value <= e.High }

// Lack says why a reading has no number.
type Lack string

// What a reading may lack.
const (
	Nothing  Lack = ""         // it has a number
	Open     Lack = "open"     // ohms: no path, or more than the meter can tell
	Floating Lack = "floating" // volts: no direct current passes between the points
	Silent   Lack = "silent"   // gain: no signal at all, so no decibels
)

// Row is one expected number: a reading, or one frequency of a curve.
type Row struct {
	Reading int       `json:"reading"`      // number of the reading, from 0
	Hz      float64   `json:"hz,omitempty"` // gain
	Lack    Lack      `json:"lack,omitempty"`
	Worst   Expected  `json:"worst"`  // parts at their limits, linear; instrument's limit added
	Likely  Expected  `json:"likely"` // 95 %, from the covariance; never wider than Worst
	PartSD  float64   `json:"part_sd"`
	MeterSD float64   `json:"meter_sd"` // of the instrument alone
	By      []float64 `json:"-"`        // d(reading)/d(knob), by uncertainty
}

// Prediction is many readings of one circuit. It is never changed.
type Prediction struct {
	Readings []Reading
	Parts    []Uncertainty
	Rows     []Row
	Findings finding.List // what weakens it
	numbered []int        // rows that have a number
	factors  [][]float64  // by numbered row: its loading on every independent cause
}

// Predict puts readings to a circuit in which some values are not quite known.
// The error is a finding.List: everything wrong with the questions, with its
// place, or what the circuit says (no such point, no operating point).
func Predict(ctx context.Context, c *circuit.Circuit, readings []Reading, parts []Uncertainty, cond Conditions) (*Prediction, error) {
	found := checkUncertainties(c, parts)
	for _, r := range readings {
		found = append(found, r.check()...)
	}
	if err := found.Err(); err != nil {
		return nil, err
	}
	a := newAsker(c, parts, cond)
	p := &Prediction{Readings: slices.Clone(readings), Parts: slices.Clone(parts)}
	for i, r := range readings {
		rows, err := a.ask(ctx, r)
		if err != nil {
			list, ok := finding.From(err)
			if !ok {
				return nil, err
			}
			a.found = append(a.found, list...)
			continue
		}
		for _, row := range rows {
			row.Reading = i
			p.Rows = append(p.Rows, row)
		}
	}
	if err := a.found.Err(); err != nil {
		return nil, err
	}
	p.Findings = append(a.found, a.idle()...)
	p.load()
	for i := range p.Rows {
		if row := &p.Rows[i]; row.Lack == Nothing {
			p.range95(row, p.worst(row))
		}
	}
	return p, nil
}

// worst fills the range of the parts' limits. The instrument's limit is that
// at the ends, and is given back as that at the nominal value.
func (p *Prediction) worst(row *Row) (limit float64) {
	r := p.Readings[row.Reading]
	low, high := row.Worst.Nominal, row.Worst.Nominal
	for k, u := range p.Parts {
		down, up := u.worst(row.By[k])
		low, high = low+down, high+up
	}
	row.Worst.Low, row.Worst.High = low-r.limit(low), high+r.limit(high)
	return r.limit(row.Worst.Nominal)
}

// coverage95 is the half width of the middle 95 % of a normal law, in
// deviations.
const coverage95 = 1.959963984540054

// range95 fills the range of 95 %. It is cut where the limits are narrower: a
// flat law's 1.96 deviations lie beyond its ends.
func (p *Prediction) range95(row *Row, limit float64) {
	half := coverage95 * math.Hypot(row.PartSD, row.MeterSD)
	row.Likely = Expected{
		Low:     max(row.Worst.Nominal-half, row.Worst.Low),
		Nominal: row.Worst.Nominal,
		High:    min(row.Worst.Nominal+half, row.Worst.High),
	}
}

// limit gives how far the instrument may be off, to either side. Noise has no
// limit; two deviations are taken.
func (r Reading) limit(shown float64) float64 {
	switch r.Kind {
	case Volts:
		return r.Meter.Volts.Limit(shown)
	case Ohms:
		return r.Meter.Ohms.Limit(shown) + r.Meter.LeadOhms
	}
	return r.level() + 2*r.pointDB()
}

// level gives the limit of the error that all curves of an interface share; it
// falls out of a difference of two.
func (r Reading) level() float64 {
	if r.Less != nil {
		return 0
	}
	return r.Interface.LevelDB
}

// pointDB gives the deviation of a point: of two, where one is taken off.
func (r Reading) pointDB() float64 {
	if r.Less != nil {
		return math.Sqrt2 * r.Interface.PointDB
	}
	return r.Interface.PointDB
}

// own gives the deviation of the error that this reading makes alone.
func (r Reading) own(shown float64) float64 {
	switch r.Kind {
	case Volts:
		return rectangular(r.Meter.Volts.Limit(shown))
	case Ohms: // the display and the leads err apart
		return math.Hypot(rectangular(r.Meter.Ohms.Limit(shown)), rectangular(r.Meter.LeadOhms))
	}
	return r.pointDB()
}

// idle warns of values of 0 that no reading knew.
func (a *asker) idle() finding.List {
	var found finding.List
	for k, u := range a.parts {
		if value, _ := a.circuit.Value(u.Knob); value == 0 && u.SD > 0 && !a.met[k] && a.live {
			found = append(found, finding.New(IDNoEffect, finding.Warning,
				finding.Place{Part: u.Knob.Part}, finding.Args{"value": u.Knob.Value}))
		}
	}
	return found
}
