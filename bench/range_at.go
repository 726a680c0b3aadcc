package bench

import (
	"context"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/spread"
)

// RangeAtAnswer is the central 95 % of the total gain at one setting, at each
// frequency by itself, over builds with these very parts.
type RangeAtAnswer struct {
	Setting string    `json:"setting"`
	Builds  int       `json:"builds"` // made; fewer than wanted when stopped
	Wanted  int       `json:"wanted"`
	Seed    uint64    `json:"seed"`
	Hz      []float64 `json:"hz"`
	Low     []float64 `json:"low_db"`
	High    []float64 `json:"high_db"`
}

// RangeAtQuestion is what to make builds of. The same question has the same
// answer with any number of workers.
type RangeAtQuestion struct {
	Set     string
	Builds  int // 0: as many as the sheet's curves
	Workers int // goroutines; below 1: one
}

// rangeAtPerOctave draws a range as smoothly as the eye asks under a curve.
const rangeAtPerOctave = 12

// RangeAt shades the curve at a setting. progress is told how many builds are
// done; nil is fine. When the context ends it gives what it has.
func (c *Case) RangeAt(ctx context.Context, q RangeAtQuestion, progress func(done, total int)) (*RangeAtAnswer, finding.List, error) {
	s, err := c.setting(q.Set)
	if err != nil {
		return nil, nil, err
	}
	plan, found, err := c.rangePlan(ctx, s, q)
	if err != nil {
		return nil, nil, err
	}
	plan.Progress = progress
	hz := curve.Grid(audioLow, audioHigh, rangeAtPerOctave)
	plan.Measure = func() circuit.Measure { return plan.Ensemble.CurveMeasure(0, hz) }
	result, more, err := spread.Run(ctx, plan)
	if err != nil {
		return nil, nil, err
	}
	a := &RangeAtAnswer{Setting: s.String(), Builds: result.Builds, Wanted: result.Wanted, Seed: result.Seed}
	for i, f := range result.Figures {
		if f.Count == 0 { // nothing comes through there
			continue
		}
		a.Hz = append(a.Hz, hz[i])
		a.Low, a.High = append(a.Low, f.At(2.5).Value), append(a.High, f.At(97.5).Value)
	}
	return a, located(once(append(found, more...)), c.job, c.name), nil
}

// rangePlan joins what is known of the parts to the circuit at one setting.
func (c *Case) rangePlan(ctx context.Context, s curve.Setting, q RangeAtQuestion) (spread.Plan, finding.List, error) {
	st, err := c.solve(ctx, s)
	if err != nil {
		return spread.Plan{}, nil, err
	}
	varied, found := c.drawnFrom(st, SpreadQuestion{})
	if len(varied) == 0 {
		return spread.Plan{}, nil, finding.New(IDNothingVaries, finding.Error, finding.Place{File: c.name}, nil)
	}
	if q.Builds == 0 {
		q.Builds = curveBuilds
	}
	p := spread.Plan{Count: q.Builds, Seed: sheetSeed, Workers: q.Workers, Percents: []float64{}}
	var knobs []circuit.Knob
	for _, v := range varied {
		knobs, p.Laws = append(knobs, circuit.Knob{Part: v.Part, Value: v.Value}), append(p.Laws, v.Law)
	}
	p.Ensemble, err = c.equaliser.Circuit().Ensemble([]*circuit.State{st}, knobs, equaliser.Source, equaliser.OutputPoint)
	if list, ok := finding.From(err); ok {
		return p, nil, located(list, c.job, c.name)
	}
	return p, found, err
}
