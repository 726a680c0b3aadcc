package stock

import (
	"math"
	"slices"

	"bandwright/circuit"
)

// What a knob must at least be, that its equation keeps its place, and what
// stands for "no core loss".
const (
	leastOhms    = 1.0
	leastDCR     = 1e-6
	leastFarads  = 1e-18
	leastLoss    = 1e-12
	noLossInCore = 1e12
)

// board is a candidate for every band, and what it does once solved.
type board struct {
	legs    []candidate
	figures [][3]float64 // by band: centre, boost, Q
	errors  []float64    // by band
	error   float64      // of the whole
}

func (b board) clone() board {
	return board{slices.Clone(b.legs), slices.Clone(b.figures), slices.Clone(b.errors), b.error}
}

// solver solves whole boards, circuit.BuildCount at once.
type solver struct {
	of      *chooser
	builds  *circuit.Builds
	measure circuit.Measure
	names   []string
	knobs   []int // by band and value, in the order of Knobs
	out     [][circuit.BuildCount]float64
	solved  int
}

const knobsPerBand = 7

func newSolver(q Board) *solver {
	s := &solver{builds: q.Ensemble.NewBuilds(), measure: q.Measure, names: q.Measure.Figures()}
	s.out = make([][circuit.BuildCount]float64, len(s.names))
	for _, k := range Knobs(q.Bands) {
		i := slices.Index(q.Ensemble.Knobs(), k)
		if i < 0 {
			panic("stock: no knob " + k.Part + " " + k.Value)
		}
		if least := map[string]float64{"Ohms": leastOhms}[k.Value]; !(q.Ensemble.Nominal(i) > 0 && q.Ensemble.Nominal(i) >= least) {
			panic("stock: the knob " + k.Part + " " + k.Value + " has no place in the equations")
		}
		s.knobs = append(s.knobs, i)
	}
	return s
}

func (s *solver) figure(name string) int {
	i := slices.Index(s.names, name)
	if i < 0 {
		panic("stock: the measure has no figure " + name)
	}
	return i
}

// set puts one band's leg into one build.
func (s *solver) set(build, band int, m Model) {
	core := m.CoreOhms
	if core == 0 {
		core = noLossInCore
	}
	for i, v := range [knobsPerBand]float64{m.Henries, max(m.DCR, leastDCR), core, max(m.SelfFarads, leastFarads),
		m.Farads, max(m.Loss, leastLoss), max(m.Ohms, leastOhms)} {
		s.builds.Set(build, s.knobs[band*knobsPerBand+i], v)
	}
}

// take solves n boards, each written leg by leg, and hands on their figures.
func (s *solver) take(want []wish, n int, leg func(i, band int) Model, each func(i int, figures [][3]float64)) {
	figures := make([][3]float64, len(want))
	for first := 0; first < n; first += circuit.BuildCount {
		count := min(circuit.BuildCount, n-first)
		for k := range count {
			for band := range want {
				s.set(k, band, leg(first+k, band))
			}
		}
		s.builds.Turn(count)
		s.measure.Take(s.builds, count, s.out)
		s.solved += count
		for k := range count {
			for band, w := range want {
				figures[band] = [3]float64{s.out[w.centre][k], s.out[w.boost][k], 0}
				if w.q >= 0 {
					figures[band][2] = s.out[w.q][k]
				}
			}
			each(first+k, figures)
		}
	}
}

// solve fills in what one board does.
func (s *solver) solve(b *board) {
	s.take(s.of.want, 1, func(_, band int) Model { return b.legs[band].leg }, func(_ int, figures [][3]float64) {
		s.of.judge(b, figures)
	})
}

// judge writes figures and errors of a board.
func (c *chooser) judge(b *board, figures [][3]float64) {
	b.figures = append(b.figures[:0], figures...)
	b.errors = b.errors[:0]
	for band := range figures {
		b.errors = append(b.errors, c.errorOf(band, figures[band])+b.legs[band].doubt)
	}
	b.error = c.total(b.errors)
}

// off gives a band's deviations in limits. A figure that a build has not is
// infinitely far off.
func (c *chooser) off(band int, figures [3]float64) (off [3]float64) {
	w := c.want[band]
	off[0] = (figures[0]/w.hertz - 1) / c.Limits.Centre
	off[1] = (figures[1] - w.dB) / c.Limits.Boost
	if w.q >= 0 {
		off[2] = (figures[2]/w.Q - 1) / c.Limits.Q
	}
	for i := range off {
		if math.IsNaN(off[i]) {
			off[i] = math.Inf(1)
		}
	}
	return off
}

func (c *chooser) errorOf(band int, figures [3]float64) (sum float64) {
	for _, v := range c.off(band, figures) {
		sum += v * v
	}
	return sum
}

// total puts the bands' errors together.
func (c *chooser) total(errors []float64) (sum float64) {
	for _, e := range errors {
		sum = c.join(sum, e)
	}
	return sum
}

func (c *chooser) join(a, b float64) float64 {
	if c.Worst {
		return max(a, b)
	}
	return a + b
}
