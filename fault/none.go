package fault

import (
	"math"

	"bandwright/reading"
)

// none is the likelihood of "none of these": each reading is as the healthy
// circuit has it or, as likely, anywhere; and of curves those that are off are so each
// in its way or, as likely, alike, or every curve is dead at once.
func (t *Table) none(values []entered) float64 {
	sum, apart, asBuilt, dead := 0.0, 0.0, 0.0, 0.0
	var curves int
	var off []entered
	for first := 0; first < len(values); {
		next := first + 1
		which := t.rows[values[first].row].reading
		for next < len(values) && t.rows[values[next].row].reading == which && values[next].row != values[first].row {
			next++
		}
		part := values[first:next]
		built, wide := t.judge(part).log(&t.columns[0], math.Inf(-1)), t.wide[which].log(part)
		either := logSum([]float64{built, wide}) + math.Log(0.5)
		first = next
		if r := t.Readings[which]; r.Kind != reading.Gain || r.Less != nil {
			sum += either
			continue
		}
		curves++
		apart += either
		dead += silent(part)
		if built > wide {
			asBuilt += built
		} else {
			off = append(off, part...)
		}
	}
	if curves == 0 {
		return sum
	}
	alike := asBuilt + t.offAlike(off) - float64(curves)*math.Ln2
	return sum + logSum([]float64{apart + math.Log((1-deadShare)/2), alike + math.Log((1-deadShare)/2), dead + math.Log(deadShare)})
}

// silent is the likelihood of a curve of which nothing is left but the floor.
func silent(values []entered) float64 {
	sum := 0.0
	for _, v := range values {
		if v.lacks {
			sum -= math.Ln2
		} else {
			sum += student((v.value-floorDB)/floorSD, recorded) - math.Log(floorSD)
		}
	}
	return sum
}

// unlike is the share of what a fault that is not in the list does to a curve that
// it does to this one alone, at this setting. Common practice, no source.
const unlike = 0.1

// offAlike is the likelihood of curves that are off the healthy circuit's by much
// the same, whatever the setting: what loads the input or shunts the output does so.
// Held one by one, each would be as much of a surprise as the first, and some fault
// that is far off, but off alike, would be taken for all of them.
func (t *Table) offAlike(values []entered) float64 {
	j := t.judge(values)
	j.sort(&t.columns[0])
	if len(j.rows) < len(values) { // the floor, or a healthy circuit without an answer
		return math.Inf(-1)
	}
	j.white.Clear()
	law := bendings[0]
	var white []float64
	sum := 0.0
	for n, x := range j.resid {
		v := j.covariance(&t.columns[0], n, 0)
		mine := t.rows[j.values[n].row]
		for m := range v {
			other := t.rows[j.values[m].row]
			by := law.between(mine.hz, other.hz)
			if other.reading == mine.reading {
				by *= 1 + unlike*unlike
			}
			v[m] += by
		}
		v[n] += law.rough * law.rough
		if !j.white.Grow(v) {
			panic("fault: a covariance without freedom; every row has some of its own")
		}
		w, sd := j.white.Last(x, white)
		white = append(white, w)
		sum -= w*w/2 + math.Log(sd) + math.Log(2*math.Pi)/2
	}
	return sum
}
