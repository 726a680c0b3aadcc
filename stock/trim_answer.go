package stock

import "math"

// figureNames are the figures of a band in a person's words, in order.
var figureNames = [3]string{"centre", "boost", "Q"}

// answer writes the board that was found.
func (t *trimmer) answer() *Trimmed {
	was := t.solved(make([]int, len(t.Bands)))
	a := &Trimmed{Changes: t.best.rank.changes, Outside: t.best.rank.outside, Before: was.rank.error, Error: t.best.rank.error, Settled: t.settled}
	for band, w := range t.want {
		o, did := t.options[band][t.best.at[band]], t.best.figures[band]
		did, before := there(did), there(was.figures[band])
		b := TrimmedBand{Band: t.Bands[band].Band, Changes: o.changes, Leg: o.leg, Was: before,
			Centre: Reached{w.hertz, did[0]}, Boost: Reached{w.dB, did[1]}, Within: true}
		if b.Changes == nil {
			b.Changes = []Change{}
		}
		if w.q >= 0 {
			b.Q = &Reached{w.Q, did[2]}
		}
		for figure, v := range t.off(band, t.best.figures[band]) {
			if math.Abs(v) > 1 {
				b.Within = false
				b.Unmet = append(b.Unmet, t.unmet(band, figure))
			}
		}
		a.Bands = append(a.Bands, b)
	}
	a.Solved = t.room.solved
	return a
}

// unmet looks at every trim of the band alone for what stands in the way of a
// figure.
func (t *trimmer) unmet(band, figure int) Unmet {
	w := t.want[band]
	u := Unmet{Figure: figureNames[figure], Wanted: [3]float64{w.hertz, w.dB, w.Q}[figure], Reached: there(t.best.figures[band])[figure]}
	var boards [][]int
	for n := range t.options[band] {
		at := append([]int(nil), t.best.at...)
		at[band] = n
		boards = append(boards, at)
	}
	least, off := math.Inf(1), [3]float64{}
	t.take(boards, func(i int, figures [][3]float64) {
		v := t.off(band, figures[band])
		if d := math.Abs(v[figure]); d < least && t.possible(boards[i]) {
			least, off, u.Nearest = d, v, figures[band][figure]
		}
	})
	if least > 1 {
		return u
	}
	worst := 0.0
	for other, v := range off {
		if other != figure && math.Abs(v) > max(1, worst) {
			worst, u.Against = math.Abs(v), figureNames[other]
		}
	}
	if u.Against == "" { // then a neighbour's figures are
		u.Against = "neighbours"
	}
	return u
}

// there are the figures, 0 for one that is not.
func there(figures [3]float64) [3]float64 {
	for i, v := range figures {
		if math.IsNaN(v) {
			figures[i] = 0
		}
	}
	return figures
}
