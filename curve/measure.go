package curve

import (
	"math"

	"bandwright/finding"
)

// measure takes the figures of one extremum.
type measure struct {
	t     trail
	peak  peak
	noise float64 // dB rms; rough at first, from residuals in the end
	width float64 // between the half-height edges, in x; rough

	top       localFit
	centre    float64 // x
	height    float64
	wCentre   []float64 // weights of the points in centre and height
	wHeight   []float64
	half, off [2]*edge // half the height; 3 dB from the top

	rss   float64
	free  int
	notes finding.List
}

// edge is where the curve crosses a level: x, and the points' weights in it.
type edge struct {
	x float64
	w []float64
}

// missed is how far a polynomial over ±c widths misses the true curve in the
// middle of its window, in dB: height times c to the power of the first term
// left out, times a factor. Factors measured on the cookbook's peaking response
// without noise, 3 to 15 dB and Q 0.6 to 4, at the top (2, 4) and at half the
// height (1, 3): the higher a peak in dB, the sharper its top beside its width.
func missed(degree int, heightDB, c float64) float64 {
	h := math.Min(math.Abs(heightDB), 40)
	switch degree {
	case 1:
		return h * 0.3 * c * c
	case 2:
		return h * 0.85 * math.Exp2(h/6.5) * math.Pow(c, 4)
	case 3:
		return h * 0.2 * math.Pow(c, 4)
	}
	return h * 0.65 * math.Exp2(h/3.5) * math.Pow(c, 6)
}

// all runs twice: the first pass turns the rough noise, width and place into
// good ones, which then choose the windows of the second.
func (m *measure) all() error {
	m.roughWidth()
	for range 2 {
		m.rss, m.free, m.notes = 0, 0, nil
		if err := m.fitTop(); err != nil {
			return err
		}
		s := m.t.smooth(math.Min(math.Ln2/24, m.width/10))
		for i, step := range [2]int{-1, +1} {
			m.half[i] = m.fitEdge(s, m.height/2, 0.5, step)
			m.off[i] = nil
			if math.Abs(m.height) > 3 {
				m.off[i] = m.fitEdge(s, m.height-3*m.peak.sign, 1, step)
			}
		}
		if m.free > 0 {
			m.noise = math.Sqrt(m.rss / float64(m.free))
		}
		if m.half[0] != nil && m.half[1] != nil {
			m.width = m.half[1].x - m.half[0].x
		}
	}
	return nil
}

// roughWidth walks down both sides of the smoothed curve to half the height.
// One side alone counts double; with neither, the window reaches an octave or
// to the nearer end of the curve.
func (m *measure) roughWidth() {
	t, p := m.t, m.peak
	reach := math.Ln2 / 24
	for range 2 {
		s := t.smooth(reach)
		low, okLow := t.crossing(s, p, s[p.at]/2, -1)
		high, okHigh := t.crossing(s, p, s[p.at]/2, +1)
		x := t.x[p.at]
		switch {
		case okLow && okHigh:
			m.width = high - low
		case okLow:
			m.width = 2 * (x - low)
		case okHigh:
			m.width = 2 * (high - x)
		default:
			m.width = math.Min(2*math.Ln2, 2*math.Min(x-t.x[0], t.x[len(t.x)-1]-x))
		}
		reach = math.Min(reach, m.width/10)
	}
	m.centre, m.height = t.x[p.at], t.y[p.at]
}

// best fits every degree over windows of ±c widths around x and keeps the one
// whose error, noise and miss together, is the least there.
func (m *measure) best(x float64, degrees []int, widest float64) (localFit, bool) {
	var kept localFit
	least, found := math.Inf(1), false
	for _, degree := range degrees {
		for c := widest; c > 0.04; c *= 0.87 {
			from, to := m.t.window(x-c*m.width, x+c*m.width)
			if to-from < degree+3 {
				break
			}
			f, ok := fitLocal(m.t.x, m.t.y, from, to, degree)
			if !ok {
				break
			}
			miss := missed(degree, m.height, c)
			spread := m.noise * f.spread(x)
			if cost := miss*miss + spread*spread; cost < least {
				kept, least, found = f, cost, true
				kept.miss = miss
			}
		}
	}
	return kept, found
}

// fitTop finds centre and height from the polynomial's own extremum.
func (m *measure) fitTop() error {
	f, ok := m.best(m.centre, []int{2, 4}, 0.5)
	if !ok {
		from, to := m.t.window(m.centre-m.width/2, m.centre+m.width/2)
		return notEnough(to-from, 5)
	}
	x, ok := f.extremum(m.centre, m.peak.sign)
	if !ok {
		from, to := m.t.window(m.centre-math.Ln2, m.centre+math.Ln2)
		return noExtremum(m.t, math.Exp(m.centre), from, to)
	}
	n := len(m.t.x)
	m.top, m.centre, m.height = f, x, f.at(x, 0)
	// p'(x) = 0 holds after noise moved the points: x moves by −δp'/p''.
	m.wCentre = combine(-1/f.at(x, 2), f.weights(n, x, 1), 0, make([]float64, n))
	m.wHeight = f.weights(n, x, 0)
	m.count(f)
	return nil
}

func (m *measure) count(f localFit) {
	m.rss += f.rss
	m.free += f.free()
}

// extremum finds where the slope is zero, nearest to x inside the window, and
// the curve bends the right way.
func (f localFit) extremum(x, sign float64) (float64, bool) {
	return f.root(x, 1, 0, func(x float64) bool { return sign*f.at(x, 2) < 0 })
}

// root finds the x nearest to start, inside the window, where the polynomial's
// derivative has the value and the condition holds, by looking for a change of
// sign on a fine raster and halving it.
func (f localFit) root(start float64, derivative int, value float64, condition func(float64) bool) (float64, bool) {
	const raster = 64
	best, found := 0.0, false
	g := func(x float64) float64 { return f.at(x, derivative) - value }
	step := 2 * f.half / raster
	a := f.mid - f.half
	ga := g(a)
	for range raster {
		b := a + step
		gb := g(b)
		if ga == 0 || ga*gb < 0 {
			x := halve(g, a, b)
			if condition(x) && (!found || math.Abs(x-start) < math.Abs(best-start)) {
				best, found = x, true
			}
		}
		a, ga = b, gb
	}
	return best, found
}

// halve narrows a change of sign down to the last digits.
func halve(g func(float64) float64, a, b float64) float64 {
	ga := g(a)
	if ga == 0 {
		return a
	}
	for range 60 {
		mid := (a + b) / 2
		if gm := g(mid); ga*gm > 0 {
			a = mid
		} else {
			b = mid
		}
	}
	return (a + b) / 2
}

// fitEdge finds where the curve crosses a level on one side (−1 low, +1
// high), starting from the smoothed curve s. share is how much of the
// height's own error the level carries.
func (m *measure) fitEdge(s []float64, level, share float64, step int) *edge {
	near, ok := m.t.crossing(s, m.peak, level, step)
	if !ok {
		m.noEdge(level, step)
		return nil
	}
	downhill := func(f localFit) func(float64) bool {
		return func(x float64) bool { return m.peak.sign*float64(step)*f.at(x, 1) < 0 }
	}
	for _, degrees := range [][]int{{1, 3}, {1}} {
		f, ok := m.best(near, degrees, 0.35)
		if !ok {
			break
		}
		if x, ok := f.root(near, 0, level, downhill(f)); ok {
			w := combine(share, m.wHeight, -1, f.weights(len(m.t.x), x, 0))
			m.count(f)
			return &edge{x, combine(1/f.at(x, 1), w, 0, w)}
		}
	}
	m.noEdge(level, step)
	return nil
}

func (m *measure) noEdge(level float64, step int) {
	side := "low"
	if step > 0 {
		side = "high"
	}
	m.notes = append(m.notes, finding.New(IDEdgeNone, finding.Note, finding.Place{},
		finding.Args{"side": side, "level": level}))
}

// feature turns x into hertz and weights into standard errors.
func (m *measure) feature() Feature {
	f := Feature{Boost: m.peak.sign > 0, NoiseDB: m.noise,
		Points: m.top.to - m.top.from, Degree: len(m.top.coef) - 1}
	hz := math.Exp(m.centre)
	f.Centre = Estimate{hz, hz * m.noise * norm(m.wCentre)}
	f.HeightDB = Estimate{m.height, math.Hypot(m.noise*norm(m.wHeight), m.top.miss)}
	f.Low, f.High = m.inHz(m.half[0]), m.inHz(m.half[1])
	f.Width, f.Q = m.widthAndQ(m.half)
	f.TopLow, f.TopHigh = m.inHz(m.off[0]), m.inHz(m.off[1])
	_, f.QTop = m.widthAndQ(m.off)
	return f
}

func (m *measure) inHz(e *edge) *Estimate {
	if e == nil {
		return nil
	}
	hz := math.Exp(e.x)
	return &Estimate{hz, hz * m.noise * norm(e.w)}
}

// widthAndQ: width = high − low in hertz, Q = centre / width; to first order
// δQ/Q = δx(centre) − δwidth/width.
func (m *measure) widthAndQ(e [2]*edge) (width, q *Estimate) {
	if e[0] == nil || e[1] == nil {
		return nil, nil
	}
	low, high := math.Exp(e[0].x), math.Exp(e[1].x)
	if !(high > low) {
		return nil, nil
	}
	w := high - low
	wWidth := combine(high, e[1].w, -low, e[0].w)
	value := math.Exp(m.centre) / w
	wQ := combine(value, m.wCentre, -value/w, wWidth)
	return &Estimate{w, m.noise * norm(wWidth)}, &Estimate{value, m.noise * norm(wQ)}
}
