package stock

import (
	"context"
	"math"
	"slices"

	"bandwright/circuit"
)

// aim is what a band's leg must be for the wanted figures, its neighbours
// given: a resonance, which their pull moves away from the wanted centre, and
// a whole series resistance there.
type aim struct {
	hertz   float64
	ohms    float64
	slope   float64 // of the boost, dB per ln(ohms), below 0
	henries float64 // the design's
	qPerOhm float64 // Q per ohm of reactance
}

const (
	aimRounds  = 8
	aimStep    = 1.1  // in ohms, for the slope of the boost
	leastSlope = -0.2 // dB per ln(ohms): flatter is no guide
)

// reach is how far an aim may be corrected at once, as factors. A round of the
// search takes a step; to judge a board the model must agree with it, however far
// it is from what is wanted.
type reach struct{ hertz, ohms, least float64 }

var (
	aStep     = reach{1.3, 3, leastOhms}
	allTheWay = reach{10, 1e9, 0}
)

// aim leads legs without losses of their own, of the design's inductances, to
// the wanted figures on the whole circuit.
func (c *chooser) aim(ctx context.Context) error {
	for b, band := range c.Bands {
		nominal := func(part, value string) float64 {
			return c.Ensemble.Nominal(slices.Index(c.Ensemble.Knobs(), circuit.Knob{Part: part, Value: value}))
		}
		c.aimed = append(c.aimed, aim{c.want[b].hertz, nominal(band.Resistor, "Ohms") + nominal(band.Coil, "DCR"), -5,
			nominal(band.Coil, "Henries"), 0})
	}
	for range aimRounds {
		if err := ctx.Err(); err != nil {
			return err
		}
		var seen [2][][3]float64
		c.room.take(c.want, 2, func(i, band int) Model {
			a := c.aimed[band]
			return Model{Henries: a.henries, Farads: ResonantFarads(a.henries, a.hertz), Ohms: a.ohms * math.Pow(aimStep, float64(i))}
		}, func(i int, figures [][3]float64) { seen[i] = slices.Clone(figures) })
		for b := range c.aimed {
			a := &c.aimed[b]
			slope := (seen[1][b][1] - seen[0][b][1]) / math.Log(aimStep)
			if slope < leastSlope { // false for NaN too
				a.slope = slope
			}
			a.correct(aStep, c.want[b], seen[0][b], a.hertz, a.ohms, omega(a.hertz)*a.henries)
		}
	}
	return nil
}

// correct takes the aim from a leg and what it did; a figure that is not
// there says nothing.
func (a *aim) correct(by reach, w wish, did [3]float64, hertz, ohms, x float64) {
	if f := w.hertz / did[0]; f > 0 {
		a.hertz = hertz * min(max(f, 1/by.hertz), by.hertz)
	}
	if f := math.Exp((w.dB - did[1]) / a.slope); f > 0 {
		a.ohms = max(ohms*min(max(f, 1/by.ohms), by.ohms), by.least)
	}
	if did[2] > 0 {
		a.qPerOhm = did[2] / x
	}
}

// aimFrom takes the pull of the neighbours from a board that was solved.
func (c *chooser) aimFrom(b board) { c.aimBy(aStep, b) }

func (c *chooser) aimBy(by reach, b board) {
	for i := range c.aimed {
		leg := &b.legs[i]
		c.aimed[i].correct(by, c.want[i], b.figures[i], leg.resonance, leg.ohms, leg.reactance)
	}
}

// figures is the leg model: what a leg does, its neighbours as aimed with.
func (a aim) figures(w wish, resonance, ohms, reactance float64) [3]float64 {
	return [3]float64{w.hertz * resonance / a.hertz, w.dB + a.slope*math.Log(ohms/a.ohms), a.qPerOhm * reactance}
}
