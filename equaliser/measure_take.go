package equaliser

import (
	"math"
	"math/cmplx"

	"bandwright/circuit"
)

const (
	// sampleRounds bounds the steps to a root; a build whose root is not
	// settled by then has no such figure.
	sampleRounds = 24
	// sampleSettled is how near in ln(frequency) a root must be for a figure:
	// a thousandth of a per cent, far below what a hundred thousand builds tell.
	sampleSettled = 1e-5
	// fineSettled is the same where slopes are taken from the figures.
	fineSettled = 1e-9
	// curving is above what half the second derivative over the first is at the
	// roots, per neper: bands are about a neper wide.
	curving = 4
)

// bandMeasure takes the figures of every band of a Sampling.
type bandMeasure struct {
	of        *Sampling
	settledAt float64
	flatY     [][circuit.BuildCount]float64 // by node: dB

	x, y, s    [circuit.BuildCount]float64 // where each build was last asked
	lastX      [circuit.BuildCount]float64
	lastS      [circuit.BuildCount]float64 // the slope there, or for an edge the gain
	done       [circuit.BuildCount]bool
	peakX      [circuit.BuildCount]float64
	peakY      [circuit.BuildCount]float64
	build      [circuit.BuildCount]int32
	hz         [circuit.BuildCount]float64
	gain, byHz [circuit.BuildCount]complex128
}

// Measure makes a worker's measure of the bands.
func (s *Sampling) Measure() circuit.Measure {
	return &bandMeasure{of: s, settledAt: s.settled(),
		flatY: make([][circuit.BuildCount]float64, len(s.nodes))}
}

// settled is how near in ln(frequency) a root must be for a figure.
func (s *Sampling) settled() float64 {
	if s.fine {
		return fineSettled
	}
	return sampleSettled
}

// near says whether a step ends at the root: because it is short, or because it
// is one through the last two places, which leaves no more than their product
// times what the function curves (the secant's error).
func (m *bandMeasure) near(step, last float64, secant bool) bool {
	step = math.Abs(step)
	return step < m.settledAt || secant && curving*step*math.Abs(last) < m.settledAt
}

// Figures names the figures: the band, a space and one of FigureNames.
func (m *bandMeasure) Figures() []string {
	var names []string
	for _, band := range m.of.bands {
		for _, f := range FigureNames() {
			names = append(names, band+" "+f)
		}
	}
	return names
}

// Take follows every band's centre and edges from where the circuit as it is
// has them. Newton's method on the analytic slope finds a centre in three or
// four gains, an edge in three; the flat gain, nearly level, is taken at a few
// nodes and joined by cubics, unless figures are to be fine: the joints would
// show in their slopes.
func (m *bandMeasure) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	if !m.of.fine {
		m.takeFlat(b, n)
	}
	for band := range m.of.bands {
		out := figures[band*figuresPerBand:][:figuresPerBand]
		boost, cut := 2*band, 2*band+1
		m.takePeak(b, n, boost, -1)
		for k := range n {
			out[figureCentre][k], out[figureBoost][k] = math.Exp(m.peakX[k]), m.peakY[k]
		}
		for k := range n {
			out[figureQ][k], out[figureCut][k] = math.NaN(), math.NaN()
		}
		if !m.of.skip[figureQ] {
			m.takeQ(b, n, boost, &out[figureQ])
		}
		if m.of.skip[figureCut] {
			continue
		}
		m.takePeak(b, n, cut, boost)
		for k := range n {
			out[figureCut][k] = m.peakY[k]
		}
	}
}

// takeFlat asks for the flat gain at the nodes.
func (m *bandMeasure) takeFlat(b *circuit.Builds, n int) {
	for i, x := range m.of.nodes {
		for k := range n {
			m.x[k] = x
		}
		m.askGain(b, 0, n)
		m.flatY[i] = m.y
	}
}

// place says at which frequency each build is asked.
func (m *bandMeasure) place(n int) {
	for k := range n {
		m.build[k], m.hz[k] = int32(k), math.Exp(m.x[k])
	}
}

// askGain takes the total gain in dB of every build at its own x.
func (m *bandMeasure) askGain(b *circuit.Builds, setting, n int) {
	m.place(n)
	ok := b.Gains(setting, m.build[:n], m.hz[:n], m.gain[:n])
	m.takeGains(n, ok)
}

func (m *bandMeasure) takeGains(n int, ok bool) {
	for k := range n {
		m.y[k] = math.NaN()
		if ok && m.gain[k] != 0 {
			m.y[k] = 20 * math.Log10(cmplx.Abs(m.gain[k]))
		}
	}
}

// askSlope is askGain, and the slope by ln(frequency).
func (m *bandMeasure) askSlope(b *circuit.Builds, setting, n int) {
	const perNeper = 20 / math.Ln10
	m.place(n)
	ok := b.Slopes(setting, m.build[:n], m.hz[:n], m.gain[:n], m.byHz[:n])
	m.takeGains(n, ok)
	for k := range n {
		m.s[k] = perNeper * m.hz[k] * real(m.byHz[k]/m.gain[k])
	}
}

// lessFlat turns total gains (and slopes) into the band curve's.
func (m *bandMeasure) lessFlat(b *circuit.Builds, n int) {
	if m.of.fine {
		y, s := m.y, m.s
		m.askSlope(b, 0, n)
		for k := range n {
			m.y[k], m.s[k] = y[k]-m.y[k], s[k]-m.s[k]
		}
		return
	}
	for k := range n {
		y, s := m.flat(k, m.x[k])
		m.y[k] -= y
		m.s[k] -= s
	}
}

// flat gives a build's flat gain at x and its slope: the cubic through the
// four nodes about it (Lagrange).
func (m *bandMeasure) flat(k int, x float64) (y, s float64) {
	nodes := m.of.nodes
	h := nodes[1] - nodes[0]
	i := min(max(int((x-nodes[0])/h)-1, 0), len(nodes)-4)
	t := (x - nodes[i]) / h
	f := [4]float64{m.flatY[i][k], m.flatY[i+1][k], m.flatY[i+2][k], m.flatY[i+3][k]}
	// Newton's divided differences over 0, 1, 2, 3
	d1, d2, d3 := f[1]-f[0], (f[2]-2*f[1]+f[0])/2, (f[3]-3*f[2]+3*f[1]-f[0])/6
	y = f[0] + t*(d1+(t-1)*(d2+(t-2)*d3))
	s = (d1 + d2*(2*t-1) + d3*(3*t*t-6*t+2)) / h
	return y, s
}

// takePeak finds the extremum of one side in every build: from where the circuit
// as it is has it, moved as the band's other side was if that was found before;
// −1: none was.
func (m *bandMeasure) takePeak(b *circuit.Builds, n, side, before int) {
	nominal := &m.of.nominal[side]
	for k := range n {
		m.x[k], m.done[k] = nominal.peak, false
		if before < 0 {
			continue
		}
		if moved := m.peakX[k] - m.of.nominal[before].peak; moved == moved { // it has one
			m.x[k] += moved
		}
	}
	for round := range sampleRounds {
		m.askSlope(b, 1+side, n)
		m.lessFlat(b, n)
		if m.stepPeaks(n, round, nominal) {
			return
		}
	}
	for k := range n {
		if !m.done[k] {
			m.peakX[k], m.peakY[k] = math.NaN(), math.NaN()
		}
	}
}

// stepPeaks takes one step to where the slope is zero: by the nominal bend
// first, by the slopes of the last two places after that.
func (m *bandMeasure) stepPeaks(n, round int, nominal *sideNominal) (all bool) {
	all = true
	for k := range n {
		if m.done[k] {
			continue
		}
		bend, last, secant := nominal.bend, m.x[k]-m.lastX[k], false
		if round > 0 && last != 0 {
			bend, secant = (m.s[k]-m.lastS[k])/last, true
			if bend*nominal.sign >= 0 { // not about an extremum of this kind
				bend, secant = nominal.bend, false
			}
		}
		step := min(max(-m.s[k]/bend, -longestStep), longestStep)
		// On a joint of the flat gain's cubics the slope may leap past zero.
		leapt := !m.of.fine && round >= leapRounds && m.s[k]*m.lastS[k] < 0 && math.Abs(last) < leap
		m.lastX[k], m.lastS[k] = m.x[k], m.s[k]
		m.x[k] += step
		if leapt || m.near(step, last, secant) {
			m.done[k] = true
			m.peakX[k], m.peakY[k] = m.x[k], m.y[k]+m.s[k]*step/2
			if math.Abs(m.x[k]-nominal.leg) > math.Ln2 {
				m.peakX[k], m.peakY[k] = math.NaN(), math.NaN()
			}
			continue
		}
		all = all && m.y[k] != m.y[k] // a build without an answer never settles
	}
	return all
}

// A search that still leaps past zero by less than leap, in ln(frequency),
// after leapRounds steps is at such a joint: any other has settled by then.
const (
	leap       = 1e-3
	leapRounds = 6
)

// longestStep keeps a step in ln(frequency) within what the tops of bands
// are alike over.
const longestStep = 0.15

// takeQ finds both edges at half the extremum and puts centre / width to q.
func (m *bandMeasure) takeQ(b *circuit.Builds, n, side int, q *[circuit.BuildCount]float64) {
	var edge [2][circuit.BuildCount]float64
	for e := range edge {
		m.takeEdge(b, n, side, e, &edge[e])
	}
	for k := range n {
		q[k] = math.Exp(m.peakX[k]) / (math.Exp(edge[1][k]) - math.Exp(edge[0][k]))
	}
}

// takeEdge finds one edge in every build: the first step by the slope that
// the edge has in the circuit as it is, the others through the last two places.
func (m *bandMeasure) takeEdge(b *circuit.Builds, n, side, e int, at *[circuit.BuildCount]float64) {
	nominal := &m.of.nominal[side]
	for k := range n {
		m.done[k] = !nominal.hasEdge[e] || m.peakX[k] != m.peakX[k]
		at[k] = math.NaN()
		m.x[k] = nominal.edge[e]
		if !m.done[k] {
			m.x[k] += m.peakX[k] - nominal.peak
		}
	}
	for round := range sampleRounds {
		m.askGain(b, 1+side, n)
		m.lessFlat(b, n) // the slope with it is not used
		if m.stepEdges(n, round, nominal.edgeSlope[e], at) {
			return
		}
	}
}

// stepEdges takes one step to where the band curve is half its extremum.
func (m *bandMeasure) stepEdges(n, round int, nominal float64, at *[circuit.BuildCount]float64) (all bool) {
	all = true
	for k := range n {
		if m.done[k] {
			continue
		}
		slope, last, secant := nominal, m.x[k]-m.lastX[k], false
		if round > 0 && last != 0 {
			slope, secant = (m.y[k]-m.lastS[k])/last, true
			if slope*nominal <= 0 {
				slope, secant = nominal, false
			}
		}
		step := min(max((m.peakY[k]/2-m.y[k])/slope, -longestStep), longestStep)
		m.lastX[k], m.lastS[k] = m.x[k], m.y[k]
		m.x[k] += step
		if m.near(step, last, secant) {
			m.done[k], at[k] = true, m.x[k]
			continue
		}
		all = all && m.y[k] != m.y[k]
	}
	return all
}
