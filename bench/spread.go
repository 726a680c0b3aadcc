package bench

import (
	"context"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/spread"
)

// SpreadQuestion is what to make builds of. The same question has the same
// answer, byte for byte, with any number of workers.
type SpreadQuestion struct {
	Count   int // builds
	Seed    uint64
	Workers int // goroutines; below 1: one
	// Hold is called before every few builds, from any worker, and may keep
	// them back; nil is fine. It changes no answer.
	Hold     func()
	AsMarked bool // as if no part had been measured: a board yet to be filled
	Limits   SpreadLimits
	WhatIf   *WhatIf // nil: none asked
	fine     bool    // figures as exact as any answer's, for a record that is worked out again
}

// SpreadLimits are what every band must hold; 0 leaves a figure open.
type SpreadLimits struct {
	Centre float64 `json:"centre,omitempty"`   // share of the stated centre, either way
	DB     float64 `json:"boost_db,omitempty"` // boost and cut, each beside what is predicted for the job as it stands
	Q      float64 `json:"q,omitempty"`        // share of the predicted Q, either way
}

// WhatIf replaces every part of a kind by one of the same value within a
// tolerance.
type WhatIf struct {
	Kind      string             `json:"kind"` // as job.Kinds names it
	Tolerance quantity.Tolerance `json:"tolerance"`
}

// SpreadAnswer is how the bands spread over many builds.
type SpreadAnswer struct {
	Builds   int           `json:"builds"` // made; fewer than wanted when stopped
	Wanted   int           `json:"wanted"`
	Seed     uint64        `json:"seed"`
	Solves   int           `json:"solves"`
	AsMarked bool          `json:"as_marked"`
	Limits   SpreadLimits  `json:"limits"`
	Bands    []BandSpread  `json:"bands"`
	Yield    *spread.Yield `json:"yield"` // of the whole board; null: no limits
	Varied   []VariedPart  `json:"varied"`
	WhatIf   *WhatIfAnswer `json:"what_if"` // null: not asked, or stopped before
}

// BandSpread is one band's figures.
type BandSpread struct {
	Band     string       `json:"band"`
	StatedHz float64      `json:"stated_hz"`
	Centre   FigureSpread `json:"centre_hz"`
	Boost    FigureSpread `json:"boost_db"`
	Cut      FigureSpread `json:"cut_db"`
	Q        FigureSpread `json:"q"`
}

// FigureSpread is one figure over all builds; its shares are the largest few.
// The worst case has every part at the end of its law that is worst for it;
// null: there is none, or the work was stopped before. The linear range is the
// central 95 % by sensitivities alone; a finding says where the sampled one is
// another.
type FigureSpread struct {
	spread.Figure
	WorstLow   *float64 `json:"worst_low"`
	WorstHigh  *float64 `json:"worst_high"`
	LinearLow  *float64 `json:"linear_low"`
	LinearHigh *float64 `json:"linear_high"`
}

// WhatIfAnswer is what other parts would bring: half of the central 95 % of
// every figure, before and after.
type WhatIfAnswer struct {
	WhatIf
	Changes []spread.Change `json:"changes"`
	Yield   *spread.Yield   `json:"yield"`
}

// mostShares are listed of each figure.
const mostShares = 5

// Spread makes many builds of the job's circuit with parts drawn from what is
// known of them. progress is told how many builds are done of how many, of
// each of the runs; nil is fine. When the context ends it gives what it has.
func (c *Case) Spread(ctx context.Context, q SpreadQuestion, progress func(done, total int)) (*SpreadAnswer, finding.List, error) {
	plan, varied, found, err := c.spreadPlan(ctx, q)
	if err != nil {
		return nil, nil, err
	}
	plan.Progress = progress
	result, more, err := spread.Run(ctx, plan)
	if err != nil {
		return nil, nil, err
	}
	found = append(found, more...)
	a := &SpreadAnswer{Builds: result.Builds, Wanted: result.Wanted, Seed: result.Seed, Solves: result.Solves,
		AsMarked: q.AsMarked, Limits: q.Limits, Yield: result.Yield, Varied: varied}
	a.Bands = c.bandSpreads(result)
	if ctx.Err() != nil {
		return a, located(found, c.job, c.name), nil
	}
	more, err = a.corners(ctx, plan, result)
	found = append(found, more...)
	if err == nil {
		more, err = a.linear(ctx, plan, result)
		found = append(found, more...)
	}
	if err == nil && q.WhatIf != nil {
		more, err = a.whatIf(ctx, plan, result, *q.WhatIf, varied)
		found = append(found, more...)
	}
	if err != nil && ctx.Err() == nil {
		return nil, nil, err
	}
	return a, located(once(found), c.job, c.name), nil
}

// spreadPlan joins laws, circuit and limits.
func (c *Case) spreadPlan(ctx context.Context, q SpreadQuestion) (spread.Plan, []VariedPart, finding.List, error) {
	flat, err := c.solve(ctx, curve.Setting{})
	if err != nil {
		return spread.Plan{}, nil, nil, err
	}
	varied, found := c.drawnFrom(flat, q)
	if len(varied) == 0 {
		return spread.Plan{}, nil, nil, finding.New(IDNothingVaries, finding.Error, finding.Place{File: c.name}, nil)
	}
	p := spread.Plan{Count: q.Count, Seed: q.Seed, Workers: q.Workers}
	var knobs []circuit.Knob
	for _, v := range varied {
		knobs, p.Laws = append(knobs, circuit.Knob{Part: v.Part, Value: v.Value}), append(p.Laws, v.Law)
	}
	sampling, more, err := c.equaliser.Sampling(ctx, c.solve, knobs)
	if list, ok := finding.From(err); ok {
		return spread.Plan{}, nil, nil, located(list, c.job, c.name)
	}
	if err != nil {
		return spread.Plan{}, nil, nil, err
	}
	if q.fine {
		sampling.Fine()
	}
	sampling.Forecast()
	p.Ensemble, p.Measure = sampling.Ensemble, sampling.Measure
	if q.Hold != nil {
		p.Measure = func() circuit.Measure { return held{sampling.Measure(), q.Hold} }
	}
	p.Limits, err = c.spreadLimits(ctx, q.Limits, p.Measure().Figures())
	return p, varied, append(found, more...), err
}

// held asks before it measures whether it may.
type held struct {
	circuit.Measure
	hold func()
}

// Take waits, and measures.
func (h held) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	h.hold()
	h.Measure.Take(b, n, figures)
}

// spreadLimits sets the limits of every figure that is measured.
func (c *Case) spreadLimits(ctx context.Context, l SpreadLimits, measured []string) ([]spread.Limit, error) {
	if l == (SpreadLimits{}) {
		return nil, nil
	}
	features, _, err := c.equaliser.Features(ctx, c.solve, curve.Setting{})
	if err != nil {
		return nil, err
	}
	there := map[string]bool{}
	for _, name := range measured {
		there[name] = true
	}
	var list []spread.Limit
	add := func(name string, about, by float64) {
		if by > 0 && there[name] {
			list = append(list, spread.Limit{Figure: name, Low: about - by, High: about + by})
		}
	}
	names := equaliser.FigureNames()
	for _, f := range features {
		add(f.Band+" "+names[0], f.StatedHz, l.Centre*f.StatedHz)
		add(f.Band+" "+names[1], f.BoostDB, l.DB)
		add(f.Band+" "+names[2], f.CutDB, l.DB)
		if f.Q != nil {
			add(f.Band+" "+names[3], *f.Q, l.Q*(*f.Q))
		}
	}
	return list, nil
}

// bandSpreads sorts the figures by band; bands that could not be sampled are
// left out.
func (c *Case) bandSpreads(r *spread.Result) []BandSpread {
	var list []BandSpread
	names := equaliser.FigureNames()
	for _, b := range c.equaliser.Spec().Bands {
		s := BandSpread{Band: b.Name, StatedHz: b.Hz}
		for i, to := range s.figures() {
			f, ok := r.At(b.Name + " " + names[i])
			if !ok {
				break
			}
			f.Shares = f.Shares[:min(len(f.Shares), mostShares)]
			to.Figure = f
		}
		if s.Centre.Name != "" {
			list = append(list, s)
		}
	}
	return list
}

// figures gives a band's figures in the order of equaliser.FigureNames.
func (s *BandSpread) figures() [4]*FigureSpread {
	return [4]*FigureSpread{&s.Centre, &s.Boost, &s.Cut, &s.Q}
}

// corners adds the worst cases.
func (a *SpreadAnswer) corners(ctx context.Context, p spread.Plan, r *spread.Result) (finding.List, error) {
	corners, found, err := spread.Corners(ctx, p)
	if err != nil {
		return nil, err
	}
	worst := map[string]spread.Corner{}
	for _, c := range corners {
		worst[c.Figure] = c
	}
	for i := range a.Bands {
		for _, f := range a.Bands[i].figures() {
			f.WorstLow, f.WorstHigh = worst[f.Name].Low.Value, worst[f.Name].High.Value
		}
	}
	return append(found, spread.CheckCorners(corners, r)...), nil
}

// linear adds the ranges by sensitivities and says which of them are off.
func (a *SpreadAnswer) linear(ctx context.Context, p spread.Plan, r *spread.Result) (finding.List, error) {
	list, found, err := spread.Linearised(ctx, p)
	if err != nil {
		return nil, err
	}
	by := map[string]spread.Linear{}
	for _, l := range list {
		by[l.Figure] = l
	}
	for i := range a.Bands {
		for _, f := range a.Bands[i].figures() {
			if l, ok := by[f.Name]; ok {
				f.LinearLow, f.LinearHigh = &l.Low, &l.High
			}
		}
	}
	return append(found, spread.CompareLinear(list, r)...), nil
}

// whatIf runs the same builds again with the other parts: the seed is the
// same, so that only the change differs.
func (a *SpreadAnswer) whatIf(ctx context.Context, p spread.Plan, before *spread.Result, w WhatIf, varied []VariedPart) (finding.List, error) {
	kind := map[circuit.Knob]string{}
	for _, v := range varied {
		kind[circuit.Knob{Part: v.Part, Value: v.Value}] = v.Kind
	}
	after, found, err := spread.Run(ctx, p.With(func(k circuit.Knob, l spread.Law) spread.Law {
		if kind[k] != w.Kind {
			return l
		}
		return spread.Within(spread.Flat, l.Nominal, w.Tolerance)
	}))
	if err != nil || ctx.Err() != nil {
		return found, err // half a run would be set beside a whole one
	}
	a.WhatIf = &WhatIfAnswer{WhatIf: w, Changes: spread.Compare(before, after), Yield: after.Yield}
	return found, nil
}
