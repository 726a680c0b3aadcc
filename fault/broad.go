package fault

import (
	"math"

	"bandwright/reading"
)

// broad is what a reading may show when nothing is known of the fault: anywhere
// at all. A curve moves as a whole and bends slowly.
type broad struct {
	ohms      bool
	low, wide float64              // volts: from low on, so wide
	bends     [2]*reading.Whitener // gain: smoothly, and jagged
	centre    []float64            // gain: as built
}

// bending says how far a curve may be from the healthy one with a fault that is not
// in the list, dB: as a whole, bending, with the distance (in e-folds of frequency)
// over which a bend holds, and roughly. Common practice, no source.
type bending struct{ whole, bent, over, rough float64 }

// between is the covariance of a curve's distance from the healthy one at two
// frequencies.
func (b bending) between(hz, other float64) float64 {
	far := math.Log(hz/other) / b.over
	return b.whole*b.whole + b.bent*b.bent*math.Exp(-far*far/2)
}

// smoothly is a curve with the wrong weight in the bass or treble, jagged one with
// a resonance of its own.
var bendings = [2]bending{{8, 5, 1, 0.1}, {8, 8, 0.35, 1}}

const (
	// anyDB is what a curve may lie within that follows no rule at all.
	anyDB = 130.0
	// ohmsRange is the natural logarithm of what an ohmmeter's display spans.
	ohmsRange = 18.0
	// openShare is how often a reading of ohms is "open" with anything wrong.
	openShare = 0.2
	// deadShare is how often no signal at all comes through with anything wrong.
	deadShare = 0.2
	// stray is how likely a display shows a number where there is none, or none
	// where there is one.
	stray = 1e-3
)

// loosen adds to a case how loosely a fault's effect is known: not where it has a
// size, which would take it up, unless devices have left their operating point.
func (t *Table) loosen(c *column) {
	built := &t.columns[0]
	for r := range t.rows {
		if c.state[r] != number || built.state[r] != number {
			continue
		}
		gain := t.Readings[t.rows[r].reading].Kind == reading.Gain
		share := loose
		switch {
		case c.moved && gain:
			share = looseMoved
		case c.width > 0:
			share = 0
		}
		off := share * (c.value[r] - built.value[r])
		if t.Readings[t.rows[r].reading].Kind == reading.Ohms { // beside much, a short is as short as beside little
			off = share * min(math.Abs(c.value[r]-built.value[r]), c.value[r])
		}
		if gain { // what lies below the floor is not loose: it does not show
			off *= c.shows[r]
		}
		if gain && off != 0 { // a curve is off as a whole
			c.loads[r] = append(c.loads[r], load{int32(t.causes.loose), float32(off)})
			off *= looseRow
		}
		c.own[r] = math.Hypot(c.own[r], off)
	}
}

// spreadOut loosens every case, and finds what each reading may show at all.
func (t *Table) spreadOut() {
	built := &t.columns[0]
	for k := range t.columns[1:] {
		t.loosen(&t.columns[k+1])
	}
	for i, r := range t.Readings {
		w := broad{ohms: r.Kind == reading.Ohms}
		switch r.Kind {
		case reading.Volts:
			w.low, w.wide = t.span(t.first[i])
		case reading.Gain:
			w.bent(built, t.first[i], r)
		}
		t.wide = append(t.wide, w)
	}
}

// span gives half as much again as all cases reach.
func (t *Table) span(at int) (low, wide float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range t.columns {
		if c.state[at] == number {
			low, high = min(low, c.value[at]), max(high, c.value[at])
		}
	}
	if low > high {
		return -0.5, 1
	}
	wide = 1.5*(high-low) + 0.1
	return (low+high)/2 - wide/2, wide
}

func (w *broad) bent(built *column, at int, r Allowed) {
	n := len(r.Hz)
	for k, law := range bendings {
		v := make([][]float64, n)
		for i := range n {
			v[i] = make([]float64, n)
			for j := range n {
				v[i][j] = law.between(r.Hz[i], r.Hz[j])
			}
			own := built.own[at+i]
			v[i][i] += own*own + law.rough*law.rough
		}
		w.bends[k], _ = reading.NewWhitener(v)
	}
	w.centre = built.value[at : at+n]
}

// log gives the logarithm of the density of a reading's numbers.
func (w *broad) log(values []entered) float64 {
	switch {
	case w.centre != nil && len(values) == len(w.centre):
		r := make([]float64, len(values))
		for i, v := range values {
			r[i] = v.value - w.centre[i]
		}
		return logSum([]float64{gaussian(w.bends[0], r), gaussian(w.bends[1], r), -float64(len(r)) * math.Log(anyDB)}) - math.Log(3)
	case w.centre != nil: // some of the frequencies
		return float64(len(values)) * -math.Log(4*bendings[0].bent)
	}
	sum := 0.0
	for _, v := range values {
		sum += w.one(v)
	}
	return sum
}

func (w *broad) one(v entered) float64 {
	if w.centre != nil {
		return -math.Log(3 * bendings[0].whole)
	}
	if w.ohms {
		if v.lacks {
			return math.Log(openShare)
		}
		return math.Log(1-openShare) - math.Log(ohmsRange) - math.Log(max(math.Abs(v.value), 0.1))
	}
	if v.lacks {
		return math.Log(stray)
	}
	beyond := max(w.low-v.value, v.value-w.low-w.wide, 0) / w.wide
	return -math.Log(w.wide) - 2*math.Log1p(beyond)
}

// gaussian is the logarithm of a normal density of residuals.
func gaussian(w *reading.Whitener, residual []float64) float64 {
	sum := w.LogDet() + float64(len(residual))*math.Log(2*math.Pi)
	for _, x := range w.Whiten(residual) {
		sum += x * x
	}
	return -sum / 2
}
