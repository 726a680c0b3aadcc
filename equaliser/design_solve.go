package equaliser

import (
	"context"
	"math"

	"bandwright/leastsq"
)

const (
	// designReached is how far, counted as Counts says, a figure may be off and
	// be reached: with the usual Counts a millionth of the centre, 2e-5 dB.
	designReached = 1e-4
	// designMeasured is the same for one search on one block of builds.
	designMeasured = 1e-5
	// designTrust bounds one search, in ln of a value: beyond it the bands are
	// looked for anew.
	designTrust = 0.5
	// designRounds bounds the searches.
	designRounds = 40
	// designStep is the step of a slope, in ln of a value.
	designStep = 3e-5
)

// solve leads all that moves to what is wanted. What stands at an end of what
// is believable is fixed there, one part at a time, and the rest led anew.
func (d *design) solve(ctx context.Context) error {
	stalled := 0
	for range designRounds {
		s, err := d.newSearch(ctx)
		if err != nil {
			return err
		}
		if len(s.params) == 0 {
			return nil
		}
		before := d.legs()
		result, err := s.run(ctx)
		if err != nil {
			return err
		}
		switch {
		case result == nil || s.free(result): // led to the edge of trust, or a figure was lost
			continue
		case s.worst(result.Residuals) <= designMeasured:
			reached, err := d.correct(ctx, s)
			if err != nil || reached {
				return err
			}
		case s.end(result):
		case !d.movedFrom(before) || stalled > 8:
			return nil
		default:
			stalled++
		}
	}
	return nil
}

// movedFrom says whether a value has changed by more than a ten-thousandth.
func (d *design) movedFrom(before []designLeg) bool {
	for i := range d.bands {
		a, b := d.bands[i].leg, before[i]
		if math.Abs(math.Log(a.henries/b.henries)) > 1e-4 || math.Abs(math.Log(a.farads/b.farads)) > 1e-4 ||
			math.Abs(a.ohms-b.ohms) > 1e-4*(a.ohms+d.bands[i].soft) {
			return true
		}
	}
	return false
}

// correct compares what the builds measure with the circuit itself. A
// difference left is taken off in the next search.
func (d *design) correct(ctx context.Context, s *designSearch) (reached bool, err error) {
	at, err := d.prove(ctx)
	if err != nil {
		return false, err
	}
	reached = true
	for _, r := range s.rows {
		b := &d.bands[r.band]
		off := b.off(r.figure, at.figures[r.band][r.figure], d.Counts)
		if math.IsNaN(off) {
			b.lost[r.figure] = true
			b.assign()
			return false, nil
		}
		b.defect[r.figure] += off
		reached = reached && math.Abs(off) <= designReached
	}
	return reached, nil
}

// designSearch is one search by least squares about the values it began at.
type designSearch struct {
	*designScope
	params []designParam
	rows   []designRow

	at     []float64 // where value and slopes were last taken
	value  []float64
	slopes [][]float64 // by parameter
	err    error       // the context's
}

type designParam struct{ band, part int }

type designRow struct{ band, figure int }

// newSearch gathers what moves. Figures that cannot be had at the values as
// they stand are given up.
func (d *design) newSearch(ctx context.Context) (*designSearch, error) {
	sc, err := d.scope(ctx)
	if err != nil {
		return nil, err
	}
	s := &designSearch{designScope: sc}
	err = sc.take(ctx, 1, func(int, []designLeg) {}, func(_ int, figures [][figuresPerBand]float64) {
		for i := range d.bands {
			b := &d.bands[i]
			for f := range b.active {
				if off := b.off(f, figures[i][f], d.Counts); b.active[f] && math.IsNaN(off) {
					b.lost[f] = true
				}
			}
			b.assign()
		}
	})
	for i := range d.bands {
		for part, vary := range d.bands[i].vary {
			if vary {
				s.params = append(s.params, designParam{i, part})
			}
		}
		for figure, active := range d.bands[i].active {
			if active {
				s.rows = append(s.rows, designRow{i, figure})
			}
		}
	}
	s.value = make([]float64, len(s.rows))
	for range s.params {
		s.slopes = append(s.slopes, make([]float64, len(s.rows)))
	}
	return s, err
}

// run searches and puts the answer into the design. No result: a figure is
// not to be had a step away from the start; it is given up.
func (s *designSearch) run(ctx context.Context) (*leastsq.Result, error) {
	start := make([]float64, len(s.params))
	lower, upper := make([]float64, len(s.params)), make([]float64, len(s.params))
	for k, p := range s.params {
		b := &s.of.bands[p.band]
		low, high := s.of.limits(p)
		start[k] = b.coordinate(p.part, b.value(p.part))
		lower[k] = max(low, start[k]-designTrust)
		upper[k] = min(high, start[k]+designTrust)
	}
	problem := leastsq.Problem{Rows: len(s.rows),
		Residuals: func(p, r []float64) { s.measureAt(ctx, p); copy(r, s.value) },
		Jacobian: func(p []float64, j [][]float64) {
			s.measureAt(ctx, p)
			for k := range j {
				copy(j[k], s.slopes[k])
			}
		}}
	result, err := leastsq.Solve(problem, start, leastsq.Options{Lower: lower, Upper: upper, Iterations: 30,
		Continue: func(int, []float64, float64) bool { return s.err == nil && s.worst(s.value) > designMeasured/10 }})
	if s.err != nil {
		return nil, s.err
	}
	if bad, ok := err.(*leastsq.BadStart); ok {
		row := s.rows[bad.Row]
		s.of.bands[row.band].lost[row.figure] = true
		s.of.bands[row.band].assign()
		return nil, nil
	}
	s.place(result.P, func(band int, leg designLeg) { s.of.bands[band].leg = leg })
	return result, err
}

// measureAt takes value and slopes at p in one block of builds.
func (s *designSearch) measureAt(ctx context.Context, p []float64) {
	if s.err != nil || equal(s.at, p) {
		return
	}
	s.at = append(s.at[:0], p...)
	moved := append([]float64(nil), p...)
	s.err = s.take(ctx, 1+len(p), func(i int, to []designLeg) {
		if i > 0 {
			moved[i-1] += designStep
		}
		s.place(moved, func(band int, leg designLeg) { to[band] = leg })
		if i > 0 {
			moved[i-1] = p[i-1]
		}
	}, func(i int, figures [][figuresPerBand]float64) {
		for n, r := range s.rows {
			b := &s.of.bands[r.band]
			off := b.off(r.figure, figures[r.band][r.figure], s.of.Counts) + b.defect[r.figure]
			if i == 0 {
				s.value[n] = off
			} else {
				s.slopes[i-1][n] = (off - s.value[n]) / designStep
			}
		}
	})
}

func equal(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// place turns coordinates into legs, those of one band together.
func (s *designSearch) place(p []float64, put func(band int, leg designLeg)) {
	for k := 0; k < len(p); {
		band := s.params[k].band
		b := s.of.bands[band] // a copy to move
		for ; k < len(p) && s.params[k].band == band; k++ {
			b.setCoordinate(s.params[k].part, p[k])
		}
		put(band, b.leg)
	}
}

func (b *designBand) value(part int) float64 {
	return [partsPerLeg]float64{b.leg.ohms, b.leg.henries, b.leg.farads}[part]
}

// coordinate is ln of a value; a resistor's is straight about 0, which it
// must be able to reach.
func (b *designBand) coordinate(part int, value float64) float64 {
	if part == partResistor {
		return math.Log(value + b.soft)
	}
	return math.Log(value)
}

func (b *designBand) setCoordinate(part int, x float64) {
	if part == partResistor {
		b.setValue(part, max(math.Exp(x)-b.soft, 0))
		return
	}
	b.setValue(part, math.Exp(x))
}

func (b *designBand) setValue(part int, value float64) {
	switch part {
	case partResistor:
		b.leg.ohms = value
	case partCoil:
		b.setHenries(value)
	case partCapacitor:
		b.leg.farads = value
	}
}

// limits are the coordinates of what is believable.
func (d *design) limits(p designParam) (low, high float64) {
	b, ends := &d.bands[p.band], d.Believable.ends(p.part)
	return b.coordinate(p.part, ends[0]), b.coordinate(p.part, ends[1])
}

func (l Believable) ends(part int) [2]float64 {
	return [partsPerLeg][2]float64{{0, l.HighOhms}, {l.LowHenries, l.HighHenries}, {l.LowFarads, l.HighFarads}}[part]
}

// worst is the largest residual.
func (s *designSearch) worst(r []float64) float64 {
	most := 0.0
	for _, x := range r {
		most = max(most, math.Abs(x))
	}
	return most
}

// free says whether a parameter stopped at the edge of trust alone.
func (s *designSearch) free(result *leastsq.Result) bool {
	for k, side := range result.AtBound {
		low, high := s.of.limits(s.params[k])
		if side < 0 && result.P[k] > low || side > 0 && result.P[k] < high {
			return true
		}
	}
	return false
}

// end fixes the one part at an end of what is believable whose figure is the
// furthest off, if there is one.
func (s *designSearch) end(result *leastsq.Result) bool {
	worst, most := -1, 0.0
	for k, side := range result.AtBound {
		if side == 0 {
			continue
		}
		for n, r := range s.rows {
			if r.band == s.params[k].band && math.Abs(result.Residuals[n]) > most && serves(s.params[k].part, r.figure) {
				worst, most = k, math.Abs(result.Residuals[n])
			}
		}
	}
	if worst < 0 {
		return false
	}
	p := s.params[worst]
	b := &s.of.bands[p.band]
	b.fixed[p.part], b.ended[p.part] = true, result.AtBound[worst]
	ends := s.of.Believable.ends(p.part) // exactly, rounding left out
	if b.ended[p.part] < 0 {
		b.setValue(p.part, ends[0])
	} else {
		b.setValue(p.part, ends[1])
	}
	b.assign()
	if p.part != partResistor && b.active[figureCentre] {
		b.tune(2*math.Pi*b.CentreHz, s.of.Believable)
	}
	return true
}

// serves says whether a part is what a figure is reached with.
func serves(part, figure int) bool {
	return (part == partResistor) == (figure == figureBoost || figure == figureCut)
}
