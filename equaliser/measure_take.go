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
	// a ten-thousandth of a per cent.
	sampleSettled = 1e-6
)

// bandMeasure takes the figures of every band of a Sampling.
type bandMeasure struct {
	of    *Sampling
	flatY [][circuit.BuildCount]float64 // by node: dB
	flatS [][circuit.BuildCount]float64 // and its slope by ln(frequency)

	x, y, s    [circuit.BuildCount]float64 // where each build was last asked
	lastX      [circuit.BuildCount]float64
	lastS      [circuit.BuildCount]float64
	done       [circuit.BuildCount]bool
	peakX      [circuit.BuildCount]float64
	peakY      [circuit.BuildCount]float64
	build      [circuit.BuildCount]int32
	hz         [circuit.BuildCount]float64
	gain, byHz [circuit.BuildCount]complex128
}

// Measure makes a worker's measure of the bands.
func (s *Sampling) Measure() circuit.Measure {
	return &bandMeasure{of: s,
		flatY: make([][circuit.BuildCount]float64, len(s.nodes)),
		flatS: make([][circuit.BuildCount]float64, len(s.nodes))}
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
// nodes and joined by cubics.
func (m *bandMeasure) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	m.takeFlat(b, n)
	for band := range m.of.bands {
		out := figures[band*figuresPerBand:][:figuresPerBand]
		boost, cut := 2*band, 2*band+1
		m.takePeak(b, n, boost)
		for k := range n {
			out[figureCentre][k], out[figureBoost][k] = math.Exp(m.peakX[k]), m.peakY[k]
		}
		m.takeQ(b, n, boost, &out[figureQ])
		m.takePeak(b, n, cut)
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
		m.ask(b, 0, n)
		m.flatY[i], m.flatS[i] = m.y, m.s
	}
}

// ask takes the total gain in dB and its slope by ln(frequency) of every
// build at its own x.
func (m *bandMeasure) ask(b *circuit.Builds, setting, n int) {
	const perNeper = 20 / math.Ln10
	for k := range n {
		m.build[k], m.hz[k] = int32(k), math.Exp(m.x[k])
	}
	ok := b.Slopes(setting, m.build[:n], m.hz[:n], m.gain[:n], m.byHz[:n])
	for k := range n {
		if !ok || m.gain[k] == 0 {
			m.y[k], m.s[k] = math.NaN(), math.NaN()
			continue
		}
		m.y[k] = 20 * math.Log10(cmplx.Abs(m.gain[k]))
		m.s[k] = perNeper * m.hz[k] * real(m.byHz[k]/m.gain[k])
	}
}

// askBand is ask for the band curve: less the flat gain.
func (m *bandMeasure) askBand(b *circuit.Builds, setting, n int) {
	m.ask(b, setting, n)
	for k := range n {
		y, s := m.flat(k, m.x[k])
		m.y[k] -= y
		m.s[k] -= s
	}
}

// flat gives a build's flat gain at x and its slope: Hermite's cubic between
// the nodes.
func (m *bandMeasure) flat(k int, x float64) (y, s float64) {
	nodes := m.of.nodes
	h := nodes[1] - nodes[0]
	i := min(max(int((x-nodes[0])/h), 0), len(nodes)-2)
	t := (x - nodes[i]) / h
	y0, y1, s0, s1 := m.flatY[i][k], m.flatY[i+1][k], m.flatS[i][k]*h, m.flatS[i+1][k]*h
	rise := y1 - y0
	c2, c3 := 3*rise-2*s0-s1, s0+s1-2*rise
	return y0 + t*(s0+t*(c2+t*c3)), (s0 + t*(2*c2+t*3*c3)) / h
}

// takePeak finds the extremum of one side in every build.
func (m *bandMeasure) takePeak(b *circuit.Builds, n, side int) {
	nominal := &m.of.nominal[side]
	for k := range n {
		m.x[k], m.done[k] = nominal.peak, false
	}
	for round := range sampleRounds {
		m.askBand(b, 1+side, n)
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
		bend := nominal.bend
		if round > 0 && m.x[k] != m.lastX[k] {
			bend = (m.s[k] - m.lastS[k]) / (m.x[k] - m.lastX[k])
			if bend*nominal.sign >= 0 { // not about an extremum of this kind
				bend = nominal.bend
			}
		}
		step := min(max(-m.s[k]/bend, -longestStep), longestStep)
		m.lastX[k], m.lastS[k] = m.x[k], m.s[k]
		m.x[k] += step
		if math.Abs(step) < m.of.settled {
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
	}
	for k := range n {
		q[k] = math.Exp(m.peakX[k]) / (math.Exp(edge[1][k]) - math.Exp(edge[0][k]))
	}
}

// takeEdge finds one edge in every build.
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
	for range sampleRounds {
		m.askBand(b, 1+side, n)
		all := true
		for k := range n {
			if m.done[k] {
				continue
			}
			step := (m.peakY[k]/2 - m.y[k]) / m.s[k]
			step = min(max(step, -longestStep), longestStep)
			m.x[k] += step
			if math.Abs(step) < m.of.settled {
				m.done[k], at[k] = true, m.x[k]
				continue
			}
			all = all && step != step
		}
		if all {
			return
		}
	}
}
