package fit

import (
	"cmp"
	"math"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
)

// resonances finds where each leg of the plan resonates, 0 where no take tells.
func (s *search) resonances() ([]float64, finding.List) {
	p := s.model.plan
	places := make([]float64, len(p.Legs))
	for i, l := range p.Legs {
		if d, ok := p.alone(l.Slider); ok {
			places[i] = highest(d)
		}
	}
	p.together(places)
	var unseen finding.List
	for i, l := range p.Legs {
		if places[i] == 0 {
			unseen = append(unseen, finding.New(IDUnseen, finding.Warning, finding.Place{Band: l.Band}, nil))
		}
	}
	return places, unseen
}

// alone gives the smoothed difference of the two takes that differ in one slider
// alone, upper less lower; of several pairs that with the longest way.
func (p *Plan) alone(slider string) (curve.Curve, bool) {
	var best curve.Curve
	way := 0.0
	for _, a := range p.Takes {
		for _, b := range p.Takes {
			from, to := b.Curve.Setting, a.Curve.Setting
			length := to.Slider(slider) - from.Slider(slider)
			if length <= way || from.WithSlider(slider, to.Slider(slider)).String() != to.WithSlider(slider, to.Slider(slider)).String() {
				continue
			}
			if d, _, err := curve.Difference(a.Curve, b.Curve, curve.Range{}); err == nil {
				best, way = smoothed(d), length
			}
		}
	}
	return best, way > 0
}

// smoothed is the mean over a sixth of an octave.
func smoothed(c curve.Curve) curve.Curve {
	reach := int(c.PerOctave() / 12)
	db := make([]float64, len(c.DB))
	for i := range db {
		a, b := max(0, i-reach), min(len(db), i+reach+1)
		db[i] = mean(c.DB[a:b])
	}
	c.DB = db
	return c
}

// highest is the frequency of the top.
func highest(c curve.Curve) float64 {
	best := 0
	for i, v := range c.DB {
		if v > c.DB[best] {
			best = i
		}
	}
	return c.Hz[best]
}

// together places the legs that are still without, by two takes that differ in
// their sliders: of several pairs that which tells of most.
func (p *Plan) together(places []float64) {
	var best curve.Curve
	var up, down []int
	for i, a := range p.Takes {
		for _, b := range p.Takes[:i] {
			plus, minus := p.moved(a.Curve.Setting, b.Curve.Setting, places)
			if len(plus)+len(minus) <= len(up)+len(down) {
				continue
			}
			if d, _, err := curve.Difference(a.Curve, b.Curve, curve.Range{}); err == nil {
				best, up, down = smoothed(d), plus, minus
			}
		}
	}
	give(places, up, tops(best, 1, len(up)))
	give(places, down, tops(best, -1, len(down)))
}

// moved lists the legs without a place that are further up, and further down, at
// one setting than at another.
func (p *Plan) moved(a, b curve.Setting, places []float64) (plus, minus []int) {
	for i, l := range p.Legs {
		way := a.Slider(l.Slider) - b.Slider(l.Slider)
		switch {
		case places[i] > 0:
		case way > 0.1:
			plus = append(plus, i)
		case way < -0.1:
			minus = append(minus, i)
		}
	}
	return plus, minus
}

func give(places []float64, legs []int, hz []float64) {
	for i, leg := range legs {
		places[leg] = hz[i]
	}
}

// tops gives the n most prominent local tops (sign −1: dips) in rising order.
// Where there are fewer, the rest is spread evenly over the widest gaps.
func tops(c curve.Curve, sign float64, n int) []float64 {
	type top struct{ hz, rise float64 }
	var all []top
	for i := 1; i < len(c.DB)-1; i++ {
		if v := sign * c.DB[i]; v > sign*c.DB[i-1] && v >= sign*c.DB[i+1] {
			all = append(all, top{c.Hz[i], prominence(c.DB, sign, i)})
		}
	}
	slices.SortStableFunc(all, func(a, b top) int { return cmp.Compare(b.rise, a.rise) })
	var hz []float64
	for _, t := range all[:min(n, len(all))] {
		hz = append(hz, t.hz)
	}
	slices.Sort(hz)
	for n > len(hz) {
		hz = parted(hz, c.Span())
	}
	return hz
}

// prominence is how far one must go down from a top on the way to a higher one,
// on the shallower side.
func prominence(db []float64, sign float64, at int) float64 {
	fall := func(step int) float64 {
		low := sign * db[at]
		for i := at + step; i >= 0 && i < len(db); i += step {
			if sign*db[i] > sign*db[at] {
				break
			}
			low = min(low, sign*db[i])
		}
		return sign*db[at] - low
	}
	return min(fall(-1), fall(1))
}

// parted adds the middle of the widest gap.
func parted(hz []float64, span curve.Range) []float64 {
	edges := slices.Concat([]float64{span.Low}, hz, []float64{span.High})
	widest := 0
	for i := range edges[1:] {
		if edges[i+1]/edges[i] > edges[widest+1]/edges[widest] {
			widest = i
		}
	}
	return slices.Insert(hz, widest, math.Sqrt(edges[widest]*edges[widest+1]))
}
