package bench

import (
	"context"
	"strconv"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/spread"
)

// The sheet's ranges are drawn from builds enough for their ends to stand still
// on paper, always the same ones, in a time nobody waits for.
const (
	sheetBuilds    = 2000
	curveBuilds    = 512
	sheetSeed      = 1
	sheetWorkers   = 2
	rangePerOctave = 6
)

// Range holds the central 95 % of builds.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// RangesAnswer is what lies in the predictions of a sheet, for these very parts.
type RangesAnswer struct {
	Builds int          `json:"builds"`
	Seed   uint64       `json:"seed"`
	Bands  []BandRange  `json:"bands"`
	Curves []CurveRange `json:"curves"`
}

// BandRange is one band's central 95 %; null: no build has such a figure.
type BandRange struct {
	Band   string `json:"band"`
	Centre *Range `json:"centre_hz"`
	Boost  *Range `json:"boost_db"`
	Cut    *Range `json:"cut_db"`
	Q      *Range `json:"q"`
}

// CurveRange is the central 95 % of a band curve, dB against flat of the same
// build at each frequency by itself.
type CurveRange struct {
	Setting curve.Setting `json:"setting"`
	Hz      []float64     `json:"hz"`
	Low     []float64     `json:"low_db"`
	High    []float64     `json:"high_db"`
}

// Ranges gives the ranges of the sheet; nil when the job says of no part how
// far it may be off, which a finding says.
func (c *Case) Ranges(ctx context.Context) (*RangesAnswer, finding.List, error) {
	a, plan, found, err := c.bandRanges(ctx)
	if a == nil || err != nil {
		return nil, found, err
	}
	if a.Curves, err = curveRanges(ctx, plan); err != nil {
		return nil, nil, err
	}
	return a, found, nil
}

// bandRanges gives the ranges of the bands alone, and the plan that they were
// drawn by.
func (c *Case) bandRanges(ctx context.Context) (*RangesAnswer, spread.Plan, finding.List, error) {
	q := SpreadQuestion{Count: sheetBuilds, Seed: sheetSeed, Workers: sheetWorkers}
	plan, _, found, err := c.spreadPlan(ctx, q)
	if list, ok := finding.From(err); ok && onlyStill(list) {
		list[0].Level = finding.Note // a sheet without ranges is a sheet
		return nil, plan, list, nil
	}
	if err != nil {
		return nil, plan, nil, err
	}
	plan.Percents = []float64{} // the ends and the middle will do
	result, more, err := spread.Run(ctx, plan)
	if err != nil {
		return nil, plan, nil, err
	}
	if err := ctx.Err(); err != nil { // a sheet of half the builds would be another sheet
		return nil, plan, nil, err
	}
	a := &RangesAnswer{Builds: result.Builds, Seed: result.Seed}
	for _, b := range c.bandSpreads(result) {
		a.Bands = append(a.Bands, BandRange{Band: b.Band, Centre: rangeIn(b.Centre.Figure),
			Boost: rangeIn(b.Boost.Figure), Cut: rangeIn(b.Cut.Figure), Q: rangeIn(b.Q.Figure)})
	}
	return a, plan, located(append(found, more...), c.job, c.name), nil
}

// of gives the ranges of a band; nil when it has none.
func (a *RangesAnswer) of(band string) *BandRange {
	for i := range a.Bands {
		if a.Bands[i].Band == band {
			return &a.Bands[i]
		}
	}
	return nil
}

func onlyStill(list finding.List) bool { return len(list) == 1 && list[0].ID == IDNothingVaries }

func rangeIn(f spread.Figure) *Range {
	if f.Count == 0 {
		return nil
	}
	return &Range{Low: f.At(2.5).Value, High: f.At(97.5).Value}
}

// curveRanges draws the curves of the ensemble's settings in builds of their
// own: the first of the same ones.
func curveRanges(ctx context.Context, plan spread.Plan) ([]CurveRange, error) {
	hz := curve.Grid(audioLow, audioHigh, rangePerOctave)
	settings := plan.Ensemble.Settings()
	if len(settings) < 2 {
		return nil, nil
	}
	plan.Count, plan.Limits = curveBuilds, nil
	plan.Measure = func() circuit.Measure { return newAgainstFlat(plan.Ensemble, hz) }
	result, _, err := spread.Run(ctx, plan)
	if err != nil {
		return nil, err
	}
	var list []CurveRange
	for n, s := range settings[1:] {
		r := CurveRange{Setting: s, Hz: hz}
		for _, f := range result.Figures[n*len(hz) : (n+1)*len(hz)] {
			if f.Count == 0 {
				return nil, nil // nothing comes through: no curve to shade
			}
			r.Low, r.High = append(r.Low, f.At(2.5).Value), append(r.High, f.At(97.5).Value)
		}
		list = append(list, r)
	}
	return list, ctx.Err()
}

// againstFlat measures the band curves of a build, each against the flat of
// that build: the first setting of the ensemble is flat. It belongs to one
// worker.
type againstFlat struct {
	flat  circuit.Measure
	ends  []circuit.Measure
	names []string
	level [][circuit.BuildCount]float64
}

func newAgainstFlat(e *circuit.Ensemble, hz []float64) *againstFlat {
	m := &againstFlat{flat: e.CurveMeasure(0, hz), level: make([][circuit.BuildCount]float64, len(hz))}
	for n := 1; n < len(e.Settings()); n++ {
		end := e.CurveMeasure(n, hz)
		m.ends = append(m.ends, end)
		for _, name := range end.Figures() {
			m.names = append(m.names, strconv.Itoa(n)+" "+name)
		}
	}
	return m
}

// Figures names setting and frequency.
func (m *againstFlat) Figures() []string { return m.names }

// Take measures flat once and every end against it.
func (m *againstFlat) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	m.flat.Take(b, n, m.level)
	for e, end := range m.ends {
		mine := figures[e*len(m.level) : (e+1)*len(m.level)]
		end.Take(b, n, mine)
		for i := range mine {
			for k := range n {
				mine[i][k] -= m.level[i][k]
			}
		}
	}
}
