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
	// curving over a band's width is above what half the second derivative over
	// the first is at its roots: a band curve has no features narrower than
	// itself. Widths are nepers.
	curving = 6
	// flatter is how many times less the slope at a root may be in a build than
	// in the circuit as it is.
	flatter = 8
)

// bandMeasure takes the figures of every band of a Sampling.
type bandMeasure struct {
	of        *Sampling
	settledAt float64
	flatY     [][circuit.BuildCount]float64               // by node: dB more than the circuit as it is
	flatS     [][circuit.BuildCount]float64               // by node: its slope by ln(frequency)
	turn      [][circuit.BuildCount]float64               // by knob, when there is a forecast: ln of how far it stands from the nominal
	root      [][rootsPerSide][circuit.BuildCount]float64 // by side: what was found

	x, y, s    [circuit.BuildCount]float64 // where each build was last asked
	lastX      [circuit.BuildCount]float64
	lastS      [circuit.BuildCount]float64 // the slope there, or for an edge the gain
	done       [circuit.BuildCount]bool
	peakX      [circuit.BuildCount]float64
	peakStart  [circuit.BuildCount]float64 // where its search began
	peakY      [circuit.BuildCount]float64
	build      [circuit.BuildCount]int32
	hz         [circuit.BuildCount]float64
	gain, byHz [circuit.BuildCount]complex128
}

// Measure makes a worker's measure of the bands.
func (s *Sampling) Measure() circuit.Measure {
	m := &bandMeasure{of: s, settledAt: s.settled(),
		root: make([][rootsPerSide][circuit.BuildCount]float64, len(s.nominal))}
	if s.flat != nil {
		m.flatY = make([][circuit.BuildCount]float64, len(s.flat.nodes))
		m.flatS = make([][circuit.BuildCount]float64, len(s.flat.nodes))
	}
	if s.forecast != nil {
		m.turn = make([][circuit.BuildCount]float64, len(s.forecast.log))
	}
	return m
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
// times what the function curves (the secant's error). A step by the slope of
// the circuit as it is must be shorter: a build's own may be some times flatter.
func (m *bandMeasure) near(step, last float64, secant bool, width float64) bool {
	step = math.Abs(step)
	if !secant {
		return flatter*step < m.settledAt
	}
	return step < m.settledAt || curving*step*math.Abs(last) < m.settledAt*width
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
// four gains, an edge in three, and a forecast saves one of each; the flat gain,
// nearly level, is taken at a few nodes and joined by cubics, unless figures are
// to be fine: the joints would show in their slopes.
func (m *bandMeasure) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	if !m.of.fine && m.of.flat != nil {
		m.takeFlat(b, n)
	}
	m.turned(b, n)
	for band := range m.of.bands {
		out := figures[band*figuresPerBand:][:figuresPerBand]
		boost, cut := 2*band, 2*band+1
		m.takePeak(b, n, boost, false)
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
		m.takePeak(b, n, cut, true)
		for k := range n {
			out[figureCut][k] = m.peakY[k]
		}
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

// takePeak finds the extremum of one side in every build: from where it is
// looked for first, moved as the band's other side was if that was found before.
func (m *bandMeasure) takePeak(b *circuit.Builds, n, side int, before bool) {
	nominal := &m.of.nominal[side]
	m.start(n, side, rootPeak)
	for k := range n {
		m.done[k] = false
		if moved := m.peakX[k] - m.peakStart[k]; before && moved == moved { // it has one
			m.x[k] += moved
		}
	}
	m.peakStart = m.x
	m.searchPeak(b, n, side, nominal)
	m.root[side][rootPeak] = m.peakX
}

func (m *bandMeasure) searchPeak(b *circuit.Builds, n, side int, nominal *sideNominal) {
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
		m.lastX[k], m.lastS[k] = m.x[k], m.s[k]
		m.x[k] += step
		if m.near(step, last, secant, nominal.width()) {
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

// longestStep keeps a step in ln(frequency) within what the tops of bands
// are alike over.
const longestStep = 0.15

// takeQ finds both edges at half the extremum and puts centre / width to q.
func (m *bandMeasure) takeQ(b *circuit.Builds, n, side int, q *[circuit.BuildCount]float64) {
	var edge [2][circuit.BuildCount]float64
	for e := range edge {
		m.takeEdge(b, n, side, e, &edge[e])
		m.root[side][rootLow+e] = edge[e]
	}
	for k := range n {
		q[k] = math.Exp(m.peakX[k]) / (math.Exp(edge[1][k]) - math.Exp(edge[0][k]))
	}
}

// takeEdge finds one edge in every build: the first step by the slope that
// the edge has in the circuit as it is, the others through the last two places.
func (m *bandMeasure) takeEdge(b *circuit.Builds, n, side, e int, at *[circuit.BuildCount]float64) {
	nominal := &m.of.nominal[side]
	m.start(n, side, rootLow+e)
	for k := range n {
		m.done[k] = !nominal.hasEdge[e] || m.peakX[k] != m.peakX[k]
		at[k] = math.NaN()
		if !m.done[k] {
			m.x[k] += m.peakX[k] - m.peakStart[k]
		}
	}
	for round := range sampleRounds {
		m.askGain(b, 1+side, n)
		m.lessFlat(b, n) // the slope with it is not used
		if m.stepEdges(n, round, nominal, e, at) {
			return
		}
	}
}

// stepEdges takes one step to where the band curve is half its extremum.
func (m *bandMeasure) stepEdges(n, round int, nominal *sideNominal, e int, at *[circuit.BuildCount]float64) (all bool) {
	all = true
	nominalSlope := nominal.edgeSlope[e]
	for k := range n {
		if m.done[k] {
			continue
		}
		slope, last, secant := nominalSlope, m.x[k]-m.lastX[k], false
		if round > 0 && last != 0 {
			slope, secant = (m.y[k]-m.lastS[k])/last, true
			if slope*nominalSlope <= 0 {
				slope, secant = nominalSlope, false
			}
		}
		step := min(max((m.peakY[k]/2-m.y[k])/slope, -longestStep), longestStep)
		m.lastX[k], m.lastS[k] = m.x[k], m.y[k]
		m.x[k] += step
		if m.near(step, last, secant, nominal.width()) {
			m.done[k], at[k] = true, m.x[k]
			continue
		}
		all = all && m.y[k] != m.y[k]
	}
	return all
}
