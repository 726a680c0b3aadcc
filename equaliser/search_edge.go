package equaliser

import "math"

// level gives |y| at an edge; false: the peak is not high enough to have it.
func (q *search) level(k int) (float64, bool) {
	top := math.Abs(q.peakY)
	if k == topLow || k == topHigh {
		return top - 3, top > 3
	}
	return top / 2, true
}

// over gives how far sample i stands over the level, and its slope outwards
// unchanged in x: both turned so that the peak is up.
func (q *search) over(i int, level float64) (g, slope float64) {
	if q.peakY < 0 {
		return -q.y[i] - level, -q.s[i]
	}
	return q.y[i] - level, q.s[i]
}

// crossing is what the samples tell of an edge: the last sample over the level
// and the first under it, going outwards. under is −1 when all stand over it:
// then over is the outermost. With dip the edge is not told yet: the curve may
// fall under the level and rise again between the two, about x.
type crossing struct {
	over, under int
	dip         bool
	x           float64
}

// cross walks from the peak outwards to the first sample under the level.
func (q *search) cross(k int, level float64) crossing {
	step, i := 1, 0
	for q.x[i] < q.peakX {
		i++
	}
	if k == halfLow || k == topLow {
		step = -1
		if q.x[i] > q.peakX {
			i--
		}
	}
	last := i
	for ; i >= 0 && i < q.n; i += step {
		if g, _ := q.over(i, level); g < 0 {
			return crossing{over: last, under: i}
		}
		if x, dips := q.dip(last, i, level); dips {
			return crossing{over: last, under: i, dip: true, x: x}
		}
		last = i
	}
	return crossing{over: last, under: -1}
}

// dip says whether the cubic through two samples over the level, the first
// nearer the peak, goes under it between them, and where it is lowest.
func (q *search) dip(inner, outer int, level float64) (x float64, dips bool) {
	h := q.x[outer] - q.x[inner]
	a, da := q.over(inner, level)
	b, db := q.over(outer, level)
	da, db = da*h, db*h
	if inner == outer || da >= 0 || db <= 0 || math.Abs(h) < dipWidth {
		return 0, false
	}
	t := unitRoot(da, db, 6*(b-a-(da+db)/2))
	return q.x[inner] + h*t, hermite(t, a, da, b, db) < 0
}

// dipWidth is how narrow, in ln(frequency), a dip may be before it is not
// looked for: much narrower than any leg makes it.
const dipWidth = 1e-3

// takeEdges settles what the samples now allow.
func (q *search) takeEdges() {
	open := false
	for k := range q.edge {
		if !q.edge[k].done {
			q.takeEdge(k)
		}
		open = open || !q.edge[k].done
	}
	if !open {
		q.stage = stageDone
	}
}

func (q *search) takeEdge(k int) {
	e := &q.edge[k]
	level, has := q.level(k)
	if !has {
		e.done = true
		return
	}
	c := q.cross(k, level)
	if c.dip {
		return
	}
	if c.under < 0 {
		limit := math.Log(highestHz)
		if k == halfLow || k == topLow {
			limit = math.Log(lowestHz)
		}
		e.done = math.Abs(q.x[c.over]-limit) < 1e-9
		return
	}
	x, step := q.newton(c, level)
	if math.Abs(step) < newtonSettled || math.Abs(q.x[c.under]-q.x[c.over]) < settledX {
		e.done, e.found = true, true
		e.x = x + max(-newtonSettled, min(step, newtonSettled))
	}
}

// newtonSettled: a Newton step this short leaves an error of its square times
// the bend over twice the slope, under settledX for any Q met in a leg.
const newtonSettled = 1e-7

// newton gives the end of a crossing that is nearer the level, and the step
// from it to the level along its slope.
func (q *search) newton(c crossing, level float64) (x, step float64) {
	nearest := math.Inf(1)
	for _, i := range [...]int{c.over, c.under} {
		g, slope := q.over(i, level)
		if slope == 0 {
			continue
		}
		if d := -g / slope; math.Abs(d) < nearest {
			x, step, nearest = q.x[i], d, math.Abs(d)
		}
	}
	if math.IsInf(nearest, 1) {
		return q.x[c.under], nearest
	}
	return x, step
}

// proposeEdges asks for the next frequency of each edge that is not settled:
// inside the crossing when there is one, else further out.
func (q *search) proposeEdges(p *proposal) {
	q.closed++
	for k := range q.edge {
		if q.edge[k].done {
			continue
		}
		level, _ := q.level(k)
		c := q.cross(k, level)
		switch {
		case c.dip:
			p.at(c.x)
		case c.under < 0:
			q.proposeOutwards(k, c.over, p)
		default:
			p.at(q.within(c, level))
			if q.closed > 4 { // slow: halve it as well, which is sure
				p.at((q.x[c.over] + q.x[c.under]) / 2)
			}
		}
	}
}

// proposeOutwards marches away from the peak, two steps a round, in steps that
// grow to half an octave.
func (q *search) proposeOutwards(k, outermost int, p *proposal) {
	x := q.x[outermost]
	for range 2 {
		step := min(0.05+0.3*math.Abs(x-q.peakX), math.Ln2/2)
		if k == halfLow || k == topLow {
			x = max(x-step, math.Log(lowestHz))
		} else {
			x = min(x+step, math.Log(highestHz))
		}
		p.at(x)
	}
}

// within estimates the crossing between two samples from the cubic through
// both levels and both slopes, by halving on the cubic: sure, and cheap beside
// one solve of a circuit.
func (q *search) within(c crossing, level float64) float64 {
	h := q.x[c.under] - q.x[c.over] // negative below the peak: t runs outwards
	a, da := q.over(c.over, level)
	b, db := q.over(c.under, level)
	low, high := 0.0, 1.0
	for range 50 {
		if t := (low + high) / 2; hermite(t, a, h*da, b, h*db) > 0 {
			low = t
		} else {
			high = t
		}
	}
	return q.x[c.over] + h*(low+high)/2
}
