package stock

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/quantity"
)

// law draws the true values of one part that is in a leg.
type law struct {
	random    Random
	s, limits seen
	marked    Law     // of a part that was not measured
	low, high float64 // of one that was, by its marking; 0 not known
	pool      []Model // believable draws of one that was
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
	} else if p.Marked > 0 && p.Tolerance != nil {
		d.low, d.high = quantity.Range(p.Marked, *p.Tolerance)
	}
	d.fill()
	return d
}

// What the core of a sound audio coil may be at 1 kHz, and the most tan δ of a
// film capacitor: common practice, no source. A meter's limit of D alone would
// leave far more, and with it the boost. Readings that rule these out count
// alone: another kind of part.
const (
	leastCoreQ = 30.0
	mostCoreQ  = 130.0
	mostLoss   = 0.011
	poolSize   = 1024
	drawTries  = 300_000
)

// draw gives one part as it may truly be: every number that was read lies
// anywhere within the meter's limits alike (as JCGM 100:2008 4.3.7 takes a
// limit of which nothing more is known), and a value that was not read within
// its tolerance. Of a measured part the marking and what cores are like are
// known too: draws that go against them are drawn again, as long as readings
// leave others.
func (d *law) draw() Model {
	switch {
	case d == nil:
		return Model{}
	case len(d.pool) == 0:
		return d.once()
	}
	return d.pool[int(d.random.Float64()*float64(len(d.pool)))]
}

// fill draws what the part may be until there is enough to draw from. Value, Q
// and DCR of a coil bind each other, so that of some readings only a corner is
// left: then many draws are needed. Where nothing is left the reading goes
// against the marking, and counts alone.
func (d *law) fill() {
	if d.marked.Nominal > 0 {
		return
	}
	for n := 0; n < drawTries && len(d.pool) < poolSize; n++ {
		if m := d.once(); d.believable(m) {
			d.pool = append(d.pool, m)
		}
	}
}

func (d *law) once() Model {
	s := d.s
	for _, v := range [...]struct {
		to    *float64
		limit float64
	}{{&s.value, d.limits.value}, {&s.loss, d.limits.loss}, {&s.dcr, d.limits.dcr}, {&s.self, d.limits.self},
		{&s.between, d.limits.between}} {
		if v.limit > 0 {
			low := max(*v.to-v.limit, 0)
			*v.to = low + d.random.Float64()*(*v.to+v.limit-low)
		}
	}
	if d.marked.Nominal > 0 {
		s.value = d.marked.at(d.random.Float64())
	}
	return s.model()
}

func (d *law) believable(m Model) bool {
	v := max(m.Henries, m.Farads, m.Ohms)
	if d.high > 0 && !(v >= d.low && v <= d.high) {
		return false
	}
	if d.s.kind == Capacitor && m.Loss > mostLoss {
		return false
	}
	if d.s.kind != Coil || d.s.loss == 0 || d.s.dcr == 0 {
		return true
	}
	q := CoreQ(m.Henries, m.CoreOhms, 1000)
	// Level in Q, where the limit of D is level in 1/Q: dQ = Q² d(1/Q).
	return q >= leastCoreQ && q <= mostCoreQ && d.random.Float64() < square(q/mostCoreQ)
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
