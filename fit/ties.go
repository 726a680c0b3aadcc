package fit

import (
	"context"
	"math"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// Tie is some values that the curves tell together and not each by itself.
type Tie struct {
	Values []int  `json:"values"` // places in Result.Values
	Known  []Pair `json:"known"`  // what is known of them
	// Scale says that all pairs are ratios of impedances: all ohms and henries
	// larger and all farads smaller by one factor would measure alike.
	Scale bool    `json:"scale,omitempty"`
	Alone float64 `json:"alone"` // least standard error of one by itself (logarithm)
	// Settle is the take that would part them best, Then the largest standard
	// error of one of them after it; nil: none of the settings would halve it.
	Settle *curve.Setting `json:"settle,omitempty"`
	Then   float64        `json:"then,omitempty"`
}

// Pair is a product or quotient of two values and its standard error.
type Pair struct {
	A, B    int
	Product bool // else the quotient A/B
	LogSD   float64
}

const (
	looseShare = 0.03 // a standard error above which a value is not known by itself
	tieFactor  = 2.5  // how many times better a pair must be known than each
)

// ties finds values that are known as products and quotients only.
func (r *Result) ties() []Tie {
	n := len(r.Values)
	group := make([]int, n)
	for i := range group {
		group[i] = i
	}
	pairs := map[int][]Pair{}
	var all []Pair
	for a := range n {
		for b := range a {
			if p, ok := r.pair(b, a); ok {
				all = append(all, p)
				from, to := group[a], group[b]
				for i := range group {
					if group[i] == from {
						group[i] = to
					}
				}
			}
		}
	}
	for _, p := range all {
		pairs[group[p.A]] = append(pairs[group[p.A]], p)
	}
	var list []Tie
	for root := range n {
		if len(pairs[root]) == 0 {
			continue
		}
		t := Tie{Known: spanning(pairs[root], n), Alone: math.Inf(1)}
		for i := range n {
			if group[i] == root {
				t.Values = append(t.Values, i)
				t.Alone = min(t.Alone, r.Values[i].LogSD)
			}
		}
		t.Scale = r.scales(t)
		list = append(list, t)
	}
	return list
}

// scales tells whether a tie is of impedances that all go together: more than one
// leg's values, each pair tied as its units ask.
func (r *Result) scales(t Tie) bool {
	fewest := 4 // a leg's three are told by their pairs more plainly
	admits := func(i int) bool { return unitOf(r.Values[i].Field) == "farad" }
	return len(t.Values) >= fewest && !slices.ContainsFunc(t.Known, func(p Pair) bool {
		return p.Product != (admits(p.A) != admits(p.B))
	})
}

// pair judges one pair.
func (r *Result) pair(a, b int) (Pair, bool) {
	va, vb, c := r.Covariance[a][a], r.Covariance[b][b], r.Covariance[a][b]
	p := Pair{A: a, B: b, Product: c < 0, LogSD: math.Sqrt(max(0, va+vb-2*math.Abs(c)))}
	least := math.Sqrt(min(va, vb))
	return p, least > looseShare && p.LogSD*tieFactor < least
}

// spanning keeps the best known pairs that do not follow from others.
func spanning(pairs []Pair, n int) []Pair {
	slices.SortStableFunc(pairs, func(a, b Pair) int {
		switch {
		case a.LogSD < b.LogSD:
			return -1
		case a.LogSD > b.LogSD:
			return 1
		}
		return 0
	})
	of := make([]int, n)
	for i := range of {
		of[i] = i
	}
	var kept []Pair
	for _, p := range pairs {
		from, to := of[p.A], of[p.B]
		if from == to {
			continue
		}
		for i := range of {
			if of[i] == from {
				of[i] = to
			}
		}
		kept = append(kept, p)
	}
	return kept
}

// settle finds the ties, the take that would part them, and says so.
func (m *model) settle(ctx context.Context, r *Result) error {
	r.Ties = r.ties()
	if len(r.Ties) == 0 {
		return nil
	}
	further, err := m.further(ctx, r)
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

// extra is one more take and what it would tell: rows of slopes by unknown, the
// level taken out.
type extra struct {
	setting curve.Setting
	rows    [][]float64 // by unknown, per standard deviation
}

// further asks the circuit, with the values found, at the settings that may be
// proposed.
func (m *model) further(ctx context.Context, r *Result) ([]extra, error) {
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
	values := make([]float64, m.unknowns)
	for i, u := range p.Unknowns {
		knobs[i], values[i] = u.Knob, r.Values[i].Value
	}
	var list []extra
	for _, s := range settings {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		ask := p.solver(ctx, s, knobs)
		ask.Turn(values)
		x := extra{setting: s, rows: make([][]float64, m.unknowns)}
		for i := range x.rows {
			x.rows[i] = make([]float64, len(like.hz))
		}
		if !ask.Decibels(like.hz, make([]float64, len(like.hz)), x.rows) {
			continue
		}
		for i, row := range x.rows {
			centre(row, values[i]*scale)
		}
		list = append(list, x)
	}
	return list, nil
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
// best.
func (m *model) choose(r *Result, t *Tie, further []extra) {
	for _, x := range further {
		after := updated(r.Covariance, x.rows)
		worst := 0.0
		for _, i := range t.Values {
			worst = max(worst, math.Sqrt(max(0, after[i][i])))
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

// Named gives the names of a tie's values, and what is known of them.
func (r *Result) Named(t Tie) (parts, known []string) {
	name := func(i int) string { return r.Values[i].name() }
	for _, i := range t.Values {
		parts = append(parts, name(i))
	}
	for _, p := range t.Known {
		sign := " / "
		if p.Product {
			sign = " × "
		}
		known = append(known, name(p.A)+sign+name(p.B))
	}
	return parts, known
}

// tied words a tie as a finding.
func (r *Result) tied(t *Tie) finding.Finding {
	parts, known := r.Named(*t)
	settle := ""
	if t.Settle != nil {
		settle = t.Settle.String()
	}
	form := "pairs"
	if t.Scale {
		form = "scale"
	}
	return finding.New(IDTogether, finding.Warning, finding.Place{Part: r.Values[t.Values[0]].Part}, finding.Args{
		"form": form, "parts": strings.Join(parts, ", "), "known": strings.Join(known, ", "),
		"share": t.Known[0].LogSD, "alone": t.Alone, "settle": settle, "then": t.Then})
}

// name is a value's short name: of a part's main value the part's own.
func (v Value) name() string {
	switch v.Field {
	case "Ohms", "Henries", "Farads":
		return v.Part
	}
	return v.Part + " " + v.Field
}
