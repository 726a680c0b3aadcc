package fit

import (
	"context"
	"math"
	"slices"
	"sync"

	"bandwright/circuit"
	"bandwright/finding"
)

// asker gives the gain of one setting at values that are turned. A
// circuit.Tuning is one; solver, for values that move the operating point, the
// other.
type asker interface {
	Turn(values []float64)
	Decibels(hz, db []float64, by [][]float64) bool
}

// model is the curves as functions of the parameters: first the logarithms of
// the unknowns, then positions, then levels.
type model struct {
	plan      *Plan
	unknowns  int
	positions []Position
	levels    int
	takes     []*take
	stage     *contrast // nil: none
	asked     []float64 // the parameters that the takes hold the answer for
	broken    bool      // and whether there was none
}

// take is one curve with the circuit that answers for it.
type take struct {
	ask      asker
	knobs    []circuit.Knob
	hz, db   []float64 // measured
	sd       float64
	level    int   // its parameter, −1: none
	param    []int // by knob of ask: its parameter
	values   []float64
	got      []float64   // model's dB
	by       [][]float64 // by knob
	residual []float64   // (model − measured)/sd
	columns  [][]float64 // by parameter; nil where it has no part in this take
}

// newModel prepares the circuits of all takes.
func newModel(ctx context.Context, p *Plan) (*model, error) {
	m := &model{plan: p, unknowns: len(p.Unknowns)}
	for i, t := range p.Takes {
		k := &take{hz: t.Curve.Hz, db: t.Curve.DB, sd: p.noise(t)}
		k.knobs = m.knobs(k, i)
		m.takes = append(m.takes, k)
	}
	if err := m.circuits(ctx); err != nil {
		return nil, err
	}
	m.addLevels()
	if p.Stage {
		m.stage = newContrast(m.takes)
	}
	for _, k := range m.takes {
		k.room(m.size())
	}
	return m, nil
}

// circuits puts the circuit at each take's setting and plans its turning, which
// is much of the work of a fit: all takes at once.
func (m *model) circuits(ctx context.Context) error {
	p, failed := m.plan, make([]error, len(m.takes))
	m.each(func(i int, k *take) {
		s := p.Takes[i].Curve.Setting
		turned, err := p.Circuit.Tuning(ctx, s, p.Conditions, k.knobs, p.Source, p.Out)
		if failed[i] = err; err != nil {
			return
		}
		if k.ask = turned; turned.MovesBias() {
			k.ask = p.solver(ctx, s, k.knobs)
		}
	})
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

// each visits every take, all at once: what belongs to one take is written by its
// own visit alone, so that the order is nothing.
func (m *model) each(visit func(i int, k *take)) {
	var wait sync.WaitGroup
	for i, k := range m.takes {
		wait.Go(func() { visit(i, k) })
	}
	wait.Wait()
}

// guessDB is the noise taken before it is found.
const guessDB = 0.05

func (p *Plan) noise(t Take) float64 {
	switch {
	case t.NoiseDB > 0:
		return t.NoiseDB
	case p.NoiseDB > 0:
		return p.NoiseDB
	}
	return guessDB
}

// knobs lists what a take depends on, and which parameter is behind each.
func (m *model) knobs(k *take, number int) []circuit.Knob {
	var knobs []circuit.Knob
	for i, u := range m.plan.Unknowns {
		knobs, k.param = append(knobs, u.Knob), append(k.param, i)
	}
	if m.plan.PositionSD == 0 {
		return knobs
	}
	setting := m.plan.Takes[number].Curve.Setting
	for _, part := range m.plan.Circuit.Parts() {
		s, ok := part.(circuit.Slider)
		if at := setting.Slider(part.PartName()); ok && math.Abs(at) < 1 {
			knobs = append(knobs, circuit.Knob{Part: s.Name, Value: "Position"})
			k.param = append(k.param, m.unknowns+m.position(s.Name, at, number))
		}
	}
	return knobs
}

// position gives the number of a slider's standing, made when it is first met.
func (m *model) position(slider string, at float64, number int) int {
	want := Position{Slider: slider, At: at, Found: at}
	if m.plan.Reset {
		want.Take = number + 1
	}
	if i := slices.Index(m.positions, want); i >= 0 {
		return i
	}
	m.positions = append(m.positions, want)
	return len(m.positions) - 1
}

// addLevels numbers the levels. An unknown stage holds one that all share.
func (m *model) addLevels() {
	first := m.unknowns + len(m.positions)
	for i, k := range m.takes {
		k.level = -1
		switch {
		case m.plan.Level == LevelFree && m.plan.Stage:
			if i > 0 {
				k.level = first + i - 1
			}
		case m.plan.Level == LevelFree:
			k.level = first + i
		case m.plan.Level == LevelShared && !m.plan.Stage:
			k.level = first
		}
		m.levels = max(m.levels, k.level-first+1)
	}
}

func (m *model) size() int { return m.unknowns + len(m.positions) + m.levels }

// room makes a take's slices.
func (k *take) room(size int) {
	n := len(k.hz)
	k.values, k.got, k.residual = make([]float64, len(k.param)), make([]float64, n), make([]float64, n)
	k.columns, k.by = make([][]float64, size), make([][]float64, len(k.param))
	for i := range k.param {
		k.by[i] = make([]float64, n)
	}
	for i, p := range k.param {
		k.columns[p] = k.by[i] // turned into columns where they are
	}
	if k.level >= 0 {
		k.columns[k.level] = make([]float64, n)
		for i := range k.columns[k.level] {
			k.columns[k.level][i] = 1 / k.sd
		}
	}
}

// thinned gives the same model at every n-th point, sharing the circuits.
func (m *model) thinned(n int) *model {
	thin := *m
	thin.takes, thin.asked = nil, nil
	for _, k := range m.takes {
		c := &take{ask: k.ask, sd: k.sd, level: k.level, param: k.param}
		for i := n / 2; i < len(k.hz); i += n {
			c.hz, c.db = append(c.hz, k.hz[i]), append(c.db, k.db[i])
		}
		c.room(m.size())
		thin.takes = append(thin.takes, c)
	}
	return &thin
}

// points counts the measured points.
func (m *model) points() int {
	n := 0
	for _, k := range m.takes {
		n += len(k.hz)
	}
	return n
}

// rows counts the residuals.
func (m *model) rows() int {
	if m.stage != nil {
		return m.points() - len(m.takes[0].hz)
	}
	return m.points()
}

// ask brings the takes to the parameters.
func (m *model) ask(p []float64) {
	if m.asked != nil && slices.Equal(m.asked, p) {
		return
	}
	m.asked = append(m.asked[:0], p...)
	answered := make([]bool, len(m.takes))
	m.each(func(i int, k *take) { answered[i] = k.answer(p, m.unknowns) })
	m.broken = slices.Contains(answered, false)
}

// answer fills in residuals and columns at the parameters.
func (k *take) answer(p []float64, unknowns int) bool {
	for i, n := range k.param {
		if k.values[i] = p[n]; n < unknowns {
			k.values[i] = math.Exp(p[n])
		}
	}
	k.ask.Turn(k.values)
	if !k.ask.Decibels(k.hz, k.got, k.by) {
		return false
	}
	level := 0.0
	if k.level >= 0 {
		level = p[k.level]
	}
	w := 1 / k.sd
	for i, db := range k.got {
		k.residual[i] = (db + level - k.db[i]) * w
	}
	for i, n := range k.param {
		scale := w
		if n < unknowns {
			scale = w * k.values[i]
		}
		for j := range k.by[i] {
			k.by[i][j] *= scale
		}
	}
	return true
}

// residuals is leastsq's question.
func (m *model) residuals(p, r []float64) {
	m.ask(p)
	if m.broken {
		r[0] = math.NaN()
		return
	}
	m.gather(r, func(k *take) []float64 { return k.residual })
}

// jacobian is leastsq's other question.
func (m *model) jacobian(p []float64, j [][]float64) {
	m.ask(p)
	for c := range j {
		m.gather(j[c], func(k *take) []float64 { return k.columns[c] })
	}
}

// gather puts a column together from what the takes hold of it.
func (m *model) gather(to []float64, of func(k *take) []float64) {
	if m.stage != nil {
		m.stage.gather(m.takes, to, of)
		return
	}
	first := 0
	for _, k := range m.takes {
		n := len(k.hz)
		if from := of(k); from != nil {
			copy(to[first:first+n], from)
		}
		first += n
	}
}

// noGain says that the start has no answer.
func (m *model) noGain() finding.List {
	var found finding.List
	for i, t := range m.plan.Takes {
		found = append(found, finding.New(IDNoGain, finding.Error,
			finding.Place{Setting: t.Curve.Setting.String()}, finding.Args{"take": i + 1}))
	}
	return found[:1]
}
