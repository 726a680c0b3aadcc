package fault

import (
	"math"

	"bandwright/reading"
)

// entered is one number as read, of a row of the table.
type entered struct {
	row   int
	value float64
	lacks bool // the display said "open", or nothing; a curve is at the floor or below
}

// Degrees of freedom of Student's law. Lange, Little and Taylor (1989; memory)
// take 4 for errors without limits; parts and meters have some, so that its tails
// are too long here: by trial, 6 leaves one mistyped number its chance and no more.
// A curve is not typed, and has no wild points: 30 is all but normal.
const (
	typed    = 6.0
	recorded = 30.0
)

// student is the logarithm of Student's density at w, of unit scale.
func student(w, freedom float64) float64 {
	scale := -0.9272703254 // ln Γ(31/2) − ln Γ(15) − ln(30π)/2
	if freedom == typed {
		scale = -0.9604182558 // ln Γ(7/2) − ln Γ(3) − ln(6π)/2
	}
	return scale - (freedom+1)/2*math.Log1p(w*w/freedom)
}

// judge holds workspace for likelihoods of one set of entered values.
type judge struct {
	table  *Table
	values []entered
	white  reading.Whitener
	dense  [][]float64
	row    []float64
	resid  []float64
	free   []float64
	rows   []int
}

func (t *Table) judge(values []entered) *judge {
	j := &judge{table: t, values: values, row: make([]float64, len(values))}
	for range values {
		j.dense = append(j.dense, make([]float64, t.causes.count))
	}
	return j
}

// log gives the logarithm of the likelihood of all entered values in a case, or,
// once it is sure to lie below least, least: each value still to come can add no
// more than Student's density at its middle, of the deviation that is its own.
func (j *judge) log(c *column, least float64) float64 {
	sum, hope := j.sort(c)
	j.free = j.free[:0]
	j.white.Clear()
	for n, x := range j.resid {
		v := j.values[j.rows[n]]
		freedom := typed
		if j.table.rows[v.row].hz > 0 {
			freedom = recorded
		}
		hope -= student(0, freedom) - math.Log(c.own[v.row])
		if !j.white.Grow(j.covariance(c, n, c.width*c.width/12)) {
			panic("fault: a covariance without freedom; every row has some of its own")
		}
		w, sd := j.white.Last(x, j.free)
		j.free = append(j.free, w)
		if sum += student(w, freedom) - math.Log(sd); sum+hope < least {
			return least
		}
	}
	return sum
}

// sort finds the values that both display and case have a number of, in rows and
// resid; it gives the likelihood of the others, and what those can add at most.
func (j *judge) sort(c *column) (sum, hope float64) {
	j.rows, j.resid = j.rows[:0], j.resid[:0]
	for i, v := range j.values {
		if c.state[v.row] != number || v.lacks {
			sum += j.table.odd(c, v)
			continue
		}
		j.rows = append(j.rows, i)
		j.resid = append(j.resid, v.value-c.value[v.row])
		freedom := typed
		if j.table.rows[v.row].hz > 0 {
			freedom = recorded
		}
		hope += student(0, freedom) - math.Log(c.own[v.row])
	}
	return sum, hope
}

// covariance of the n-th row in play with those before it: what they share, what
// is its own, and a variance of the size within its cell.
func (j *judge) covariance(c *column, n int, cell float64) []float64 {
	at := j.values[j.rows[n]].row
	mine := c.loads[at]
	clear(j.dense[n])
	for _, l := range mine {
		j.dense[n][l.cause] = float64(l.by)
	}
	for m := range n + 1 {
		sum, other := 0.0, j.dense[m]
		for _, l := range mine {
			sum += float64(l.by) * other[l.cause]
		}
		if c.slope != nil {
			sum += cell * c.slope[at] * c.slope[j.values[j.rows[m]].row]
		}
		j.row[m] = sum
	}
	j.row[n] += c.own[at] * c.own[at]
	return j.row[:n+1]
}

// inCell gives where in its cell a case's size lies by the entered values: the
// middle, as ln size from the case's own, and the deviation (a normal law of the
// cell's variance before, and a straight line within it).
func (j *judge) inCell(c *column) (middle, sd float64) {
	precision := 12 / (c.width * c.width)
	j.sort(c)
	j.white.Clear()
	var white, by []float64
	for n, x := range j.resid {
		j.white.Grow(j.covariance(c, n, 0))
		w, _ := j.white.Last(x, white)
		g, _ := j.white.Last(c.slope[j.values[j.rows[n]].row], by)
		white, by = append(white, w), append(by, g)
		middle += g * w
		precision += g * g
	}
	return max(-c.width/2, min(middle/precision, c.width/2)), 1 / math.Sqrt(precision)
}

// odd is the likelihood of a value where case and display do not both have a
// number.
func (t *Table) odd(c *column, v entered) float64 {
	wide := &t.wide[t.rows[v.row].reading]
	switch {
	case c.state[v.row] == unknown:
		return wide.one(v)
	case c.state[v.row] == lacking && v.lacks:
		return math.Log(1 - stray)
	case c.state[v.row] == lacking:
		return math.Log(stray) + wide.one(v)
	}
	// A number is predicted and none was shown: it may lie beyond the range, or below the floor.
	r := t.Readings[t.rows[v.row].reading]
	beyond := 0.0
	if most := r.Meter.MostOhms; r.Kind == reading.Ohms && most > 0 {
		beyond = 0.5 * math.Erfc((most-c.value[v.row])/(math.Sqrt2*c.sd(v.row)))
	}
	if r.Kind == reading.Gain {
		beyond = 0.5 * math.Erfc((c.value[v.row]-floorDB)/(math.Sqrt2*c.sd(v.row)))
	}
	return math.Log(stray + (1-stray)*beyond)
}

// sd is a row's whole deviation in a case.
func (c *column) sd(row int) float64 {
	sum := c.own[row] * c.own[row]
	for _, l := range c.loads[row] {
		sum += float64(l.by) * float64(l.by)
	}
	if c.slope != nil {
		v := c.slope[row] * c.width
		sum += v * v / 12
	}
	return math.Sqrt(sum)
}

// logSum is the logarithm of a sum of exponentials.
func logSum(logs []float64) float64 {
	most := math.Inf(-1)
	for _, v := range logs {
		most = max(most, v)
	}
	if math.IsInf(most, -1) {
		return most
	}
	sum := 0.0
	for _, v := range logs {
		sum += math.Exp(v - most)
	}
	return most + math.Log(sum)
}
