package stock

import (
	"context"
	"math"

	"bandwright/circuit"
)

// law draws the true values of one part that is in a leg.
type law struct {
	random    Random
	s, limits seen
	marked    Law // of a part that was not measured
}

// laws of one leg: coil, capacitors, resistor.
type legLaws struct {
	parts  [4]*law
	series bool
	ohms   float64 // of a new resistor
	within float64 // what it is made to
}

// lawOf looks at one chosen part as its readings left it.
func (c *chooser) lawOf(part int, hertz float64) *law {
	if part < 0 {
		return nil
	}
	p := c.Parts[part]
	d := &law{random: c.Random}
	_, d.s, d.limits = p.look(hertz, c.Celsius, c.Meter)
	if !p.Measured() {
		d.marked, _ = p.markedLaw()
	}
	return d
}

// draw gives one part as it may truly be: every number that was read lies
// anywhere within the meter's limits alike (as JCGM 100:2008 4.3.7 takes a
// limit of which nothing more is known), and a value that was not read within
// its tolerance.
func (d *law) draw() Model {
	if d == nil {
		return Model{}
	}
	s := d.s
	for _, v := range [...]struct {
		to    *float64
		limit float64
	}{{&s.value, d.limits.value}, {&s.loss, d.limits.loss}, {&s.dcr, d.limits.dcr}, {&s.self, d.limits.self},
		{&s.between, d.limits.between}} {
		if v.limit > 0 {
			*v.to = max(*v.to+(2*d.random.Float64()-1)*v.limit, *v.to/1000)
		}
	}
	if d.marked.Nominal > 0 {
		s.value = d.marked.at(d.random.Float64())
	}
	return s.model()
}

// at gives the value that a share u of all lies below, of a marked law: a flat
// one, or a triangle by its inverse distribution (worked out from the
// definition).
func (l Law) at(u float64) float64 {
	wide, down := l.High-l.Low, l.Nominal-l.Low
	switch {
	case l.Shape != Skewed:
		return l.Low + u*wide
	case u*wide < down:
		return l.Low + math.Sqrt(u*wide*down)
	}
	return l.High - math.Sqrt((1-u)*wide*(l.High-l.Nominal))
}

func (l *legLaws) draw(random Random) Model {
	coil, first, second, resistor := l.parts[0].draw(), l.parts[1].draw(), l.parts[2].draw(), l.parts[3].draw()
	ohms := resistor.Ohms
	if l.parts[3] == nil {
		ohms = l.ohms * (1 + (2*random.Float64()-1)*l.within)
	}
	return legOf(coil, first, second, l.series, ohms)
}

// chance draws boards with the parts chosen and counts those that hold, all
// bands together and each alone.
func (c *chooser) chance(ctx context.Context) (*Chance, []float64, error) {
	var laws []legLaws
	for band := range c.best.legs {
		k := &c.best.legs[band]
		l := legLaws{series: k.series, ohms: k.leg.Ohms, within: c.newTolerance()}
		for i, part := range k.parts() {
			l.parts[i] = c.lawOf(part, c.want[band].hertz)
		}
		laws = append(laws, l)
	}
	holding, alone := 0, make([]float64, len(laws))
	for first := 0; first < c.Draws; first += circuit.BuildCount {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		count := min(circuit.BuildCount, c.Draws-first)
		c.room.take(c.want, count, func(_, band int) Model { return laws[band].draw(c.Random) },
			func(_ int, figures [][3]float64) {
				all := true
				for band := range figures {
					holds := c.holds(band, figures[band])
					all = all && holds
					if holds {
						alone[band]++
					}
				}
				if all {
					holding++
				}
			})
	}
	n := float64(c.Draws)
	for band := range alone {
		alone[band] /= n
	}
	share := float64(holding) / n
	// An estimate of exactly 0 or 1 has a standard error too: Laplace's
	// (k+1)/(n+2) in the binomial's √(p(1−p)/n), from memory.
	p := (float64(holding) + 1) / (n + 2)
	return &Chance{share, math.Sqrt(p * (1 - p) / n), c.Draws}, alone, nil
}

// holds says whether a band is within its limits.
func (c *chooser) holds(band int, figures [3]float64) bool {
	for _, v := range c.off(band, figures) {
		if !(math.Abs(v) <= 1) {
			return false
		}
	}
	return true
}
