package equaliser

import (
	"context"
	"math"

	"bandwright/circuit"
)

// leastKnobOhms is the least a resistor may be as a knob: below it the
// circuit writes it by another equation. What is missing is taken off the
// coil's copper, which lies in series with it.
const leastKnobOhms = 1.0

// equaliser builds the circuit with the values as they stand, no resistor
// below least.
func (d *design) equaliser(least float64) (*Equaliser, error) {
	var parts []circuit.Part
	for i := range d.bands {
		b := &d.bands[i]
		r, l, c := b.resistor, b.coil, b.capacitor
		r.Ohms, c.Farads = max(b.leg.ohms, least), b.leg.farads
		l.Henries, l.DCR, l.CoreOhms = b.leg.henries, b.leg.dcr, b.core*b.leg.henries
		parts = append(parts, r, l, c)
	}
	c, err := d.of.circuit.Replace(parts...)
	if err != nil {
		return nil, err
	}
	return d.of.With(c), nil
}

// designScope measures many sets of values about those it was made at.
type designScope struct {
	of      *design
	builds  *circuit.Builds
	measure circuit.Measure
	figures [][circuit.BuildCount]float64
	place   []int // by wanted band: its place in the measure, −1 for none
}

// knobsPerLeg are a leg's values in the order set writes them; the core loss
// comes last, where there is one.
const knobsPerLeg = 4

func (d *design) scope(ctx context.Context) (*designScope, error) {
	e, err := d.equaliser(leastKnobOhms)
	if err != nil {
		return nil, err
	}
	var knobs []circuit.Knob
	for i := range d.bands {
		name := d.bands[i].Band
		knobs = append(knobs, circuit.Knob{Part: name + ".resistor", Value: "Ohms"},
			circuit.Knob{Part: name + ".coil", Value: "Henries"}, circuit.Knob{Part: name + ".coil", Value: "DCR"},
			circuit.Knob{Part: name + ".capacitor", Value: "Farads"})
	}
	for i := range d.bands {
		if d.bands[i].core > 0 {
			knobs = append(knobs, circuit.Knob{Part: d.bands[i].Band + ".coil", Value: "CoreOhms"})
		}
	}
	s, _, err := e.Sampling(ctx, nil, knobs)
	if err != nil {
		return nil, err
	}
	s.Fine()
	s.skip[figureCut], s.skip[figureQ] = true, true
	for i := range d.bands {
		for figure, want := range d.bands[i].wanted {
			s.skip[figure] = s.skip[figure] && want == 0
		}
	}
	sc := &designScope{of: d, builds: s.Ensemble.NewBuilds(), measure: s.Measure()}
	sc.figures = make([][circuit.BuildCount]float64, len(sc.measure.Figures()))
	for i := range d.bands {
		sc.place = append(sc.place, -1)
		for k, name := range s.bands {
			if name == d.bands[i].Band {
				sc.place[i] = k
			}
		}
	}
	return sc, nil
}

// set puts a set of values into one build.
func (sc *designScope) set(build int, legs []designLeg) {
	core := knobsPerLeg * len(legs)
	for i, leg := range legs {
		ohms := max(leg.ohms, leastKnobOhms)
		k := knobsPerLeg * i
		sc.builds.Set(build, k, ohms)
		sc.builds.Set(build, k+1, leg.henries)
		sc.builds.Set(build, k+2, leg.dcr+leg.ohms-ohms)
		sc.builds.Set(build, k+3, leg.farads)
		if perHenry := sc.of.bands[i].core; perHenry > 0 {
			sc.builds.Set(build, core, perHenry*leg.henries)
			core++
		}
	}
}

// take measures n sets of values, each written by legs into the slice it is
// given, which holds the design's own values, and hands on their figures.
func (sc *designScope) take(ctx context.Context, n int, legs func(i int, to []designLeg), each func(i int, figures [][figuresPerBand]float64)) error {
	own := sc.of.legs()
	set := make([]designLeg, len(own))
	figures := make([][figuresPerBand]float64, len(own))
	for first := 0; first < n; first += circuit.BuildCount {
		if err := ctx.Err(); err != nil {
			return err
		}
		count := min(circuit.BuildCount, n-first)
		for k := range count {
			copy(set, own)
			legs(first+k, set)
			sc.set(k, set)
		}
		sc.builds.Turn(count)
		sc.measure.Take(sc.builds, count, sc.figures)
		for k := range count {
			sc.read(k, figures)
			each(first+k, figures)
		}
	}
	return nil
}

func (sc *designScope) read(build int, figures [][figuresPerBand]float64) {
	for i, place := range sc.place {
		for f := range figuresPerBand {
			figures[i][f] = math.NaN()
			if place >= 0 {
				figures[i][f] = sc.figures[place*figuresPerBand+f][build]
			}
		}
	}
}

func (d *design) legs() []designLeg {
	legs := make([]designLeg, len(d.bands))
	for i := range d.bands {
		legs[i] = d.bands[i].leg
	}
	return legs
}

// off is how far a figure lies from what is wanted, counted as Counts says.
func (b *designBand) off(figure int, at float64, counts Counts) float64 {
	want := b.wanted[figure]
	switch figure {
	case figureCentre:
		return math.Log(at/want) / counts.Centre
	case figureQ:
		return math.Log(at/want) / counts.Q
	}
	return (at - want) / counts.DB
}

// error is the weighted error of a band: infinite where a wanted figure is
// missing that values of any size do give.
func (b *designBand) error(figures [figuresPerBand]float64, counts Counts) float64 {
	sum := 0.0
	for f, want := range b.wanted {
		if want == 0 || b.none[f] {
			continue
		}
		off := b.off(f, figures[f], counts)
		if math.IsNaN(off) {
			return math.Inf(1)
		}
		sum += off * off
	}
	return sum
}
