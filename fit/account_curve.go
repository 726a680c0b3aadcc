package fit

import (
	"cmp"
	"context"
	"math"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
)

// CurveShare is what one value contributes to the difference of two curves.
type CurveShare struct {
	Part  string    `json:"part"`
	Field string    `json:"field"`
	Band  string    `json:"band,omitempty"`
	DB    []float64 `json:"db"` // by frequency
}

// CurveAccount is the account of a difference over frequency: at each frequency
// the shares and what is not explained add up to the difference.
type CurveAccount struct {
	Setting      curve.Setting `json:"setting"`
	Hz           []float64     `json:"hz"`
	Difference   []float64     `json:"difference_db"`
	Shares       []CurveShare  `json:"shares"`
	NotExplained []float64     `json:"not_explained_db"`
}

// Curve shares out the difference of two curves at one setting. from and to were
// measured at the same frequencies, their levels already made comparable; nil for
// both means the circuit's own, at hz.
func (a *Account) Curve(ctx context.Context, s curve.Setting, hz []float64, from, to []float64) (*CurveAccount, error) {
	a.check()
	tuning, err := a.Circuit.Tuning(ctx, s, a.Conditions, a.Knobs, a.Source, a.Out)
	if err != nil {
		return nil, err
	}
	w := &curveWalk{account: a, hz: hz, ask: tuning}
	if tuning.MovesBias() {
		w.ask = &solver{ctx: ctx, circuit: a.Circuit, conditions: a.Conditions, source: a.Source, out: a.Out,
			setting: s, knobs: a.Knobs}
	}
	own, ok := w.difference()
	for panels := 1; ok && panels <= mostPanels; panels *= 2 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if ok = w.integrate(panels); ok && w.adds(own) {
			break
		}
	}
	if !ok {
		return nil, finding.List{finding.New(IDNoGain, finding.Error, finding.Place{Setting: s.String()}, finding.Args{"take": 1})}
	}
	c := &CurveAccount{Setting: s, Hz: hz, Difference: own}
	if from != nil {
		c.Difference = make([]float64, len(hz))
		for i := range hz {
			c.Difference[i] = to[i] - from[i]
		}
	}
	w.fill(c)
	return c, nil
}

// curveWalk is the way of an account with a curve at each stop.
type curveWalk struct {
	account *Account
	ask     asker
	hz      []float64
	shares  [][]float64 // by knob and frequency
}

// turn brings the circuit to a place of the way.
func (w *curveWalk) turn(t float64) {
	values := make([]float64, len(w.account.Knobs))
	for k := range values {
		values[k] = w.account.at(k, t, 0)
	}
	w.ask.Turn(values)
}

// difference is the circuit's own, to less from.
func (w *curveWalk) difference() ([]float64, bool) {
	from, to := make([]float64, len(w.hz)), make([]float64, len(w.hz))
	w.turn(0)
	ok := w.ask.Decibels(w.hz, from, nil)
	w.turn(1)
	ok = ok && w.ask.Decibels(w.hz, to, nil)
	for i := range to {
		to[i] -= from[i]
	}
	return to, ok
}

// integrate sums every knob's slopes along the way.
func (w *curveWalk) integrate(panels int) bool {
	a := w.account
	db, by := make([]float64, len(w.hz)), make([][]float64, len(a.Knobs))
	w.shares = make([][]float64, len(a.Knobs))
	for k := range by {
		by[k], w.shares[k] = make([]float64, len(w.hz)), make([]float64, len(w.hz))
	}
	at, weight := stops(panels)
	for n, t := range at {
		w.turn(t)
		if !w.ask.Decibels(w.hz, db, by) {
			return false
		}
		for k, slopes := range by {
			scale := weight[n] * a.way(k)
			if a.Knobs[k].Value != "Position" {
				scale *= a.at(k, t, 0)
			}
			for i, x := range slopes {
				w.shares[k][i] += scale * x
			}
		}
	}
	return true
}

// adds tells whether the shares add up to the circuit's own difference.
func (w *curveWalk) adds(difference []float64) bool {
	for i, rest := range difference {
		for k := range w.shares {
			rest -= w.shares[k][i]
		}
		if math.Abs(rest) > wayError {
			return false
		}
	}
	return true
}

// fill hands the shares over and finds what they leave.
func (w *curveWalk) fill(c *CurveAccount) {
	for k, knob := range w.account.Knobs {
		c.Shares = append(c.Shares, CurveShare{knob.Part, knob.Value, w.account.Owner[knob.Part], w.shares[k]})
	}
	c.NotExplained = make([]float64, len(c.Hz))
	for i, rest := range c.Difference {
		for k := range w.shares {
			rest -= w.shares[k][i]
		}
		c.NotExplained[i] = rest
	}
}

// Largest gives the n largest shares at a frequency, by its place.
func (c *CurveAccount) Largest(at, n int) []CurveShare {
	list := slices.Clone(c.Shares)
	slices.SortStableFunc(list, func(a, b CurveShare) int { return cmp.Compare(math.Abs(b.DB[at]), math.Abs(a.DB[at])) })
	return list[:min(n, len(list))]
}
