package equaliser

import "math"

// rising says whether |y| rises (+1), falls (−1) or stands (0) at sample i.
func (q *search) rising(i int) int {
	switch a := q.y[i] * q.s[i]; {
	case a > 0:
		return 1
	case a < 0:
		return -1
	}
	return 0
}

// bracket says whether |y| has an extremum away from 0 dB between samples i
// and i+1.
func (q *search) bracket(i int) bool {
	return q.rising(i) >= 0 && q.rising(i+1) < 0 && q.y[i]*q.y[i+1] > 0
}

// choosePeak picks, of all extrema in the range, the one nearest the leg
// resonance that is no mere ripple, and remembers the nearest rival. It gives
// false when there is none.
func (q *search) choosePeak() bool {
	top := 0.0
	for i := range q.n - 1 {
		if q.bracket(i) && q.inRange(q.between(i)) {
			top = max(top, math.Abs(q.y[i]), math.Abs(q.y[i+1]))
		}
	}
	if top < deadDB {
		return false
	}
	best := math.Inf(1)
	q.rival = false
	for i := range q.n - 1 {
		x := q.between(i)
		tall := max(math.Abs(q.y[i]), math.Abs(q.y[i+1]))
		if !q.bracket(i) || !q.inRange(x) || tall < rippleShare*top {
			continue
		}
		if away := math.Abs(x - q.leg); away < best {
			if !math.IsInf(best, 1) {
				q.rival, q.rivalX = true, q.peakX
			}
			best, q.peakX = away, x
		} else if !q.rival {
			q.rival, q.rivalX = true, x
		}
	}
	return true
}

func (q *search) inRange(x float64) bool { return x >= q.from && x <= q.to }

// peakCell finds the bracket the chosen peak lies in. The peak's estimate was
// made inside a bracket and later samples only split it, so there is one; of
// the parts of a split bracket the nearest to the estimate is taken.
func (q *search) peakCell() int {
	cell, away := -1, math.Inf(1)
	for i := range q.n - 1 {
		if !q.bracket(i) {
			continue
		}
		d := max(q.x[i]-q.peakX, q.peakX-q.x[i+1], 0)
		if d < away {
			cell, away = i, d
		}
	}
	return cell
}

// straightBelow is the width in ln(frequency) under which the slope is taken
// as a straight line: below it the bend is smaller than the rounding of the
// difference of two levels that would tell it.
const straightBelow = 1e-5

// between estimates where the slope vanishes between samples i and i+1: the
// slope is taken as the parabola through both slopes whose area is the
// difference of the two levels.
func (q *search) between(i int) float64 {
	h := q.x[i+1] - q.x[i]
	a, b, c := q.s[i], q.s[i+1], 0.0
	if h > straightBelow {
		// slope(t) = a + (b−a)t + c·t(1−t) on t = 0…1; its area is a/2 + b/2 + c/6.
		c = 6 * ((q.y[i+1]-q.y[i])/h - (a+b)/2)
	}
	return min(q.x[i]+h*unitRoot(a, b, c), q.x[i+1])
}

// unitRoot gives the root in 0…1 of a + (b−a)t + c·t(1−t), where a and b do
// not share a sign; where rounding leaves none, that of the straight line.
func unitRoot(a, b, c float64) float64 {
	line := a / (a - b)
	if a == b {
		line = 0.5
	}
	linear := b - a + c
	disc := linear*linear + 4*c*a
	if c == 0 || disc < 0 {
		return line
	}
	w := -(linear + math.Copysign(math.Sqrt(disc), linear)) / 2
	for _, t := range [...]float64{a / w, -w / c} {
		if t >= 0 && t <= 1 {
			return t
		}
	}
	return line
}

// proposePeak asks at the estimate, a little to both sides so that the bracket
// closes from both ends at once, and, when the last round did not close it well,
// all through the bracket.
func (q *search) proposePeak(p *proposal) {
	i := q.peakCell()
	a, b := q.x[i], q.x[i+1]
	h := b - a
	x := q.between(i)
	side := max(min(0.01*h, h*h), 1e-9)
	p.at(x)
	p.at(max(x-side, a))
	p.at(min(x+side, b))
	if h > 0.2*q.width {
		for k := 1; k < 6; k++ {
			p.at(a + h*float64(k)/6)
		}
	}
	q.width = h
}

func (q *search) takePeak() {
	i := q.peakCell()
	if i < 0 {
		q.stage = stageNone
		return
	}
	q.peakX = q.between(i)
	q.peakY = q.height(i, q.peakX)
	if q.x[i+1]-q.x[i] < peakSettled {
		q.stage = stageEdges
		q.takeEdges()
	}
}

// peakSettled is the width of the bracket at which the straight line between
// its slopes is better than settledX: its error is of the second order of the
// width, times the bend of the slope over the slope's slope, which is a few
// times the Q.
const peakSettled = 1e-6

// height gives the level at x between samples i and i+1 by the cubic through
// both levels and both slopes (Hermite).
func (q *search) height(i int, x float64) float64 {
	h := q.x[i+1] - q.x[i]
	t := (x - q.x[i]) / h
	return hermite(t, q.y[i], h*q.s[i], q.y[i+1], h*q.s[i+1])
}

// hermite is the cubic on t = 0…1 with values a, b and slopes da, db at its ends.
func hermite(t, a, da, b, db float64) float64 {
	u := 1 - t
	return u*u*(a*(1+2*t)+da*t) + t*t*(b*(3-2*t)-db*u)
}
