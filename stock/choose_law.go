package stock

import (
	"math"

	"bandwright/quantity"
)

// What the core of a sound audio coil may be at 1 kHz, and the most tan δ of a
// film capacitor, every value between alike: common practice, no source. A
// meter's limit of D alone would leave far more, and with it the boost.
// Readings that rule these out count alone: another kind of part.
const (
	leastCoreQ = 30.0
	mostCoreQ  = 130.0
	mostLoss   = 0.011
	coreHertz  = 1000.0
	drawTries  = 300_000
	matchSteps = 40
	matched    = 1e-10 // of the value to be shown
)

// belief is what of a part is held to, beside its readings. Where these leave
// nothing the next belief holds.
type belief int

const (
	soundAndMarked belief = iota // its marking, and what cores are like
	sound                        // what cores are like
	readAlone                    // nothing
)

// law draws the true values of one part that is in a leg. What it believes is
// told at Chance.
type law struct {
	random    Random
	s, limits seen
	marked    Law     // of a part that was not measured
	low, high float64 // of one that was, by its marking; 0 not known
	pool      []Model
	next      int
}

// lawOf looks at one chosen part as its readings left it, and draws what it
// may be, for so many boards.
func (c *chooser) lawOf(part int, hertz float64) *law {
	if part < 0 {
		return nil
	}
	p := c.Parts[part]
	d := &law{random: c.Random}
	_, d.s, d.limits = p.look(hertz, c.Celsius, c.Meter)
	if !p.Measured() {
		d.marked, _ = p.markedLaw()
		d.s.hertz = 0 // a marking is the value itself, not one seen at a frequency
	} else if p.Marked > 0 && p.Tolerance != nil {
		d.low, d.high = quantity.Range(p.Marked, *p.Tolerance)
	}
	d.fill(c.Draws)
	return d
}

// fill draws what the part may be until there is one for every board. Value, Q
// and DCR of a coil bind each other, so that some readings leave only a corner,
// for which many draws are needed.
func (d *law) fill(boards int) {
	for by := soundAndMarked; by <= readAlone && len(d.pool) == 0; by++ {
		for n := 0; n < drawTries && len(d.pool) < boards; n++ {
			if m, ok := d.once(by); ok {
				d.pool = append(d.pool, m)
			}
		}
	}
}

// draw gives one part as it may truly be; nothing where there is no part.
func (d *law) draw() Model {
	if d == nil {
		return Model{}
	}
	m := d.pool[d.next]
	d.next = (d.next + 1) % len(d.pool)
	return m
}

// once draws a part and says whether it may be believed.
func (d *law) once(by belief) (m Model, ok bool) {
	s := d.s
	s.value = d.about(d.s.value, d.limits.value)
	if d.marked.Nominal > 0 {
		s.value = d.marked.at(d.random.Float64())
	}
	if s.mode == "" { // one of the two, nobody knows which
		s.mode = [...]Mode{Series, Parallel}[int(2*d.random.Float64())]
	}
	switch s.kind {
	case Capacitor:
		s.loss = d.filmLoss()
		m = s.model()
	case Coil:
		if m, ok = d.coil(s, by); !ok {
			return m, false
		}
	default:
		m = s.model()
	}
	v := max(m.Henries, m.Farads, m.Ohms)
	return m, v > 0 && (by > soundAndMarked || d.high == 0 || v >= d.low && v <= d.high)
}

// about draws within a limit on either side, not below nought.
func (d *law) about(v, limit float64) float64 {
	if limit == 0 {
		return v
	}
	low := max(v-limit, 0)
	return low + d.random.Float64()*(v+limit-low)
}

// filmLoss draws a tan δ that both the reading and a film capacitor allow, or
// the reading alone.
func (d *law) filmLoss() float64 {
	low, high := 0.0, mostLoss
	if d.s.loss > 0 {
		low, high = max(d.s.loss-d.limits.loss, 0), d.s.loss+d.limits.loss
		if low < mostLoss {
			high = min(high, mostLoss)
		}
	}
	return low + d.random.Float64()*(high-low)
}

// coil draws copper, self-capacitance and core, finds the inductance that
// shows the value, and asks whether the loss could then have been read.
func (d *law) coil(s seen, by belief) (Model, bool) {
	s.dcr, s.self = d.about(s.dcr, d.limits.dcr), d.about(s.self, d.limits.self)
	if by == readAlone || s.dcr == 0 {
		s.loss = d.about(s.loss, d.limits.loss)
		m := s.model()
		return m, true
	}
	q := leastCoreQ + d.random.Float64()*(mostCoreQ-leastCoreQ)
	m, loss := s.showing(q)
	m.DCR *= s.warmer
	return m, s.loss == 0 || s.hertz == 0 || math.Abs(loss-s.loss) <= d.limits.loss
}

// showing gives the coil of a core that shows the value seen, with its copper
// as warm as it was read, and the loss (1/Q) it shows. Without a frequency the
// value is the inductance itself.
func (s seen) showing(coreQ float64) (m Model, loss float64) {
	m = Model{Henries: s.value, DCR: s.dcr, CoreOhms: CoreOhms(s.value, coreQ, coreHertz), SelfFarads: s.self}
	if s.hertz == 0 {
		return m, 0
	}
	for range matchSteps {
		z := m.Impedance(s.hertz)
		loss = real(z) / imag(z)
		henries := imag(z) / omega(s.hertz)
		if s.mode == Parallel {
			henries *= 1 + loss*loss
		}
		by := s.value / henries
		if !(by > 0.1 && by < 10) { // beyond its self-resonance: no coil shows that
			return Model{}, loss
		}
		m.Henries *= by
		m.CoreOhms *= by
		if math.Abs(by-1) < matched {
			break
		}
	}
	return m, loss
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
