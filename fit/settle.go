package fit

import (
	"context"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
)

// Which take would part values that are tied is asked of the circuit. What it
// answers hangs on those very values, which may have been found far off along what
// the curves do not tell. It is therefore asked twice: with the values as found,
// and with those that explain the curves and lie nearest to the circuit's own; a
// take counts by the worse answer.

// nearSD is how near, as a standard deviation of the logarithm: parts are within
// 5 to 20 % of what is marked (common practice, no source).
const nearSD = 0.1

// settle finds the ties, the take that would part them, and says so.
func (m *model) settle(ctx context.Context, r *Result) error {
	r.Ties = r.ties()
	if len(r.Ties) == 0 {
		return nil
	}
	places := [][]float64{make([]float64, m.unknowns)}
	for i, v := range r.Values {
		places[0][i] = v.Value
	}
	near, err := m.nearest(ctx)
	if err != nil {
		return err
	}
	if near != nil {
		places = append(places, near)
	}
	further, err := m.further(ctx, places)
	if err != nil {
		return err
	}
	for i := range r.Ties {
		t := &r.Ties[i]
		m.choose(r, t, further)
		r.Findings = append(r.Findings, r.tied(t))
	}
	return nil
}

// nearest gives the values nearest to the circuit's own that explain the curves;
// nil where there are none, or its own mean nothing.
func (m *model) nearest(ctx context.Context) ([]float64, error) {
	if m.plan.FromNothing {
		return nil, nil
	}
	s := &search{ctx: ctx, model: m}
	s.frame()
	for i := range m.unknowns {
		s.priors[i].SD = min(s.priors[i].SD, nearSD)
	}
	m.levelled(s.start)
	r, err := s.solve(m, coarseOffset, reaches[0])
	if err != nil || !m.explained(r) {
		return nil, ctx.Err()
	}
	values := make([]float64, m.unknowns)
	for i := range values {
		values[i] = math.Exp(r.P[i])
	}
	return values, nil
}

// extra is one more take and what it would tell: for each place at which it was
// asked, rows of slopes by unknown, the level taken out.
type extra struct {
	setting curve.Setting
	rows    [][][]float64 // by place and unknown, per standard deviation
}

// further asks the circuit, with the values of each place, at the settings that
// may be proposed.
func (m *model) further(ctx context.Context, places [][]float64) ([]extra, error) {
	p := m.plan
	settings := p.Further
	if settings == nil {
		for _, part := range p.Circuit.Parts() {
			if s, ok := part.(circuit.Slider); ok {
				settings = append(settings, curve.Setting{}.WithSlider(s.Name, -1), curve.Setting{}.WithSlider(s.Name, 1))
			}
		}
	}
	like := m.thinned(max(1, len(m.takes[0].hz)/coarsePoints)).takes[0]
	scale := math.Sqrt(float64(len(m.takes[0].hz))/float64(len(like.hz))) / like.sd
	knobs := make([]circuit.Knob, m.unknowns)
	for i, u := range p.Unknowns {
		knobs[i] = u.Knob
	}
	var list []extra
	for _, s := range settings {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		x, ask := extra{setting: s}, p.solver(ctx, s, knobs)
		for _, values := range places {
			if rows := slopes(ask, values, like.hz, scale); rows != nil {
				x.rows = append(x.rows, rows)
			}
		}
		if len(x.rows) == len(places) {
			list = append(list, x)
		}
	}
	return list, nil
}

// slopes gives a take's rows at some values; nil: there is no gain.
func slopes(ask *solver, values, hz []float64, scale float64) [][]float64 {
	rows := make([][]float64, len(values))
	for i := range rows {
		rows[i] = make([]float64, len(hz))
	}
	ask.Turn(values)
	if !ask.Decibels(hz, make([]float64, len(hz)), rows) {
		return nil
	}
	for i, row := range rows {
		centre(row, values[i]*scale)
	}
	return rows
}

// centre scales a row and takes its mean out: the level of a take is free.
func centre(row []float64, scale float64) {
	mean := 0.0
	for _, x := range row {
		mean += x / float64(len(row))
	}
	for i := range row {
		row[i] = (row[i] - mean) * scale
	}
}

// choose takes the setting after which the loosest of the tied values is known
// best, at worst.
func (m *model) choose(r *Result, t *Tie, further []extra) {
	for _, x := range further {
		worst := 0.0
		for _, rows := range x.rows {
			after := updated(r.Covariance, rows)
			for _, i := range t.Values {
				worst = max(worst, math.Sqrt(max(0, after[i][i])))
			}
		}
		if worst < t.Alone/2 && (t.Settle == nil || worst < t.Then*(1-1e-9)) {
			t.Settle, t.Then = &x.setting, worst
		}
	}
}

// updated is the covariance after more rows, one at a time: C − C·g·gᵀ·C/(1 +
// gᵀ·C·g) (Sherman and Morrison 1950).
func updated(c [][]float64, rows [][]float64) [][]float64 {
	n := len(c)
	after := make([][]float64, n)
	for i := range after {
		after[i] = slices.Clone(c[i])
	}
	cg := make([]float64, n)
	for j := range rows[0] {
		gain := 1.0
		for i := range n {
			cg[i] = 0
			for k := range n {
				cg[i] += after[i][k] * rows[k][j]
			}
			gain += rows[i][j] * cg[i]
		}
		for i := range n {
			for k := range n {
				after[i][k] -= cg[i] * cg[k] / gain
			}
		}
	}
	return after
}
