package equaliser

import (
	"math"

	"bandwright/circuit"
)

// A forecast says where the roots of a build lie, to first order in the
// logarithms of its knobs: a centre follows the root of L·C exactly there, and
// the neighbours hardly bend it. Searches that start from it take two gains a
// root, not three or four.
type forecast struct {
	log   []float64 // of each knob in the circuit as it is; NaN: it has none
	slope [][rootsPerSide][]float64
}

// The roots of one side of a band.
const (
	rootPeak = iota
	rootLow  // where the band curve is half its extremum
	rootHigh
	rootsPerSide
)

// forecastStep is how far a knob is turned to see what it moves, in its
// logarithm: one per cent.
const forecastStep = 0.01

// Forecast prepares a Sampling for a great many builds: it turns every knob a
// little and notes what moves. It costs as much as one build a knob, and
// changes no figure beyond what the search settles to.
func (s *Sampling) Forecast() {
	knobs := len(s.Ensemble.Knobs())
	f := &forecast{slope: make([][rootsPerSide][]float64, len(s.nominal))}
	for i := range knobs {
		f.log = append(f.log, logOf(s.Ensemble.Nominal(i)))
	}
	for side := range f.slope {
		for root := range f.slope[side] {
			f.slope[side][root] = make([]float64, knobs)
		}
	}
	b, m := s.Ensemble.NewBuilds(), s.Measure().(*bandMeasure)
	figures := make([][circuit.BuildCount]float64, len(m.Figures()))
	for first := 0; first < knobs; first += circuit.BuildCount {
		n := min(circuit.BuildCount, knobs-first)
		for k := range n {
			b.Set(k, first+k, s.Ensemble.Nominal(first+k)*math.Exp(forecastStep))
		}
		b.Turn(n)
		m.Take(b, n, figures)
		for k := range n {
			f.note(s, m, k, first+k)
			b.Set(k, first+k, s.Ensemble.Nominal(first+k))
		}
	}
	s.forecast = f
}

// logOf is NaN for what has no logarithm: such a knob moves nothing here.
func logOf(v float64) float64 {
	if v > 0 {
		return math.Log(v)
	}
	return math.NaN()
}

// note takes what one knob moved in one build. A root that is lost on so short
// a way forecasts nothing.
func (f *forecast) note(s *Sampling, m *bandMeasure, build, knob int) {
	for side := range f.slope {
		for root := range f.slope[side] {
			by := (m.root[side][root][build] - s.nominal[side].root(root)) / forecastStep
			if math.IsNaN(by) || math.IsNaN(f.log[knob]) {
				by = 0
			}
			f.slope[side][root][knob] = by
		}
	}
}

// root gives where the circuit as it is has a root.
func (n *sideNominal) root(root int) float64 {
	if root == rootPeak {
		return n.peak
	}
	return n.edge[root-rootLow]
}

// turned notes how far the knobs of every build stand from the nominal.
func (m *bandMeasure) turned(b *circuit.Builds, n int) {
	f := m.of.forecast
	if f == nil {
		return
	}
	for i, log := range f.log {
		for k := range n {
			m.turn[i][k] = 0
			if by := math.Log(b.Value(k, i)) - log; !math.IsNaN(by) && !math.IsInf(by, 0) {
				m.turn[i][k] = by
			}
		}
	}
}

// start puts where each build's root is looked for first.
func (m *bandMeasure) start(n, side, root int) {
	for k := range n {
		m.x[k] = m.of.nominal[side].root(root)
	}
	if m.of.forecast == nil {
		return
	}
	for i, slope := range m.of.forecast.slope[side][root] {
		if slope == 0 {
			continue
		}
		for k := range n {
			m.x[k] += slope * m.turn[i][k]
		}
	}
}
