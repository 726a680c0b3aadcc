package bench

import (
	"context"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/reading"
	"bandwright/spread"
)

// The sheet's ranges are drawn from builds enough for their ends to stand still
// on paper, always the same ones, in a time nobody waits for.
const (
	sheetBuilds    = 2000
	sheetSeed      = 1
	sheetWorkers   = 2
	rangePerOctave = 6
)

// Range holds the central 95 %.
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

// CurveRange is the likely range of a band curve for these very parts, dB
// against flat at each frequency by itself.
type CurveRange struct {
	Setting curve.Setting `json:"setting"`
	Hz      []float64     `json:"hz"`
	Low     []float64     `json:"low_db"`
	High    []float64     `json:"high_db"`
}

// Ranges gives the ranges of the sheet; nil when the job says of no part how
// far it may be off, which a finding says.
func (c *Case) Ranges(ctx context.Context) (*RangesAnswer, finding.List, error) {
	a, found, err := c.bandRanges(ctx)
	if a == nil || err != nil {
		return nil, found, err
	}
	if a.Curves, err = c.curveRanges(ctx); err != nil {
		return nil, nil, err
	}
	return a, found, nil
}

// bandRanges gives the ranges of the bands alone: of figures that are searched
// for, and so drawn from builds.
func (c *Case) bandRanges(ctx context.Context) (*RangesAnswer, finding.List, error) {
	q := SpreadQuestion{Count: sheetBuilds, Seed: sheetSeed, Workers: sheetWorkers, fine: true}
	plan, _, found, err := c.spreadPlan(ctx, q)
	if list, ok := finding.From(err); ok && onlyStill(list) {
		list[0].Level = finding.Note // a sheet without ranges is a sheet
		return nil, list, nil
	}
	if err != nil {
		return nil, nil, err
	}
	plan.Percents = []float64{} // the ends and the middle will do
	result, more, err := spread.Run(ctx, plan)
	if err != nil {
		return nil, nil, err
	}
	if err := ctx.Err(); err != nil { // a sheet of half the builds would be another sheet
		return nil, nil, err
	}
	a := &RangesAnswer{Builds: result.Builds, Seed: result.Seed}
	for _, b := range c.bandSpreads(result) {
		a.Bands = append(a.Bands, BandRange{Band: b.Band, Centre: rangeIn(b.Centre.Figure),
			Boost: rangeIn(b.Boost.Figure), Cut: rangeIn(b.Cut.Figure), Q: rangeIn(b.Q.Figure)})
	}
	return a, located(append(found, more...), c.job, c.name), nil
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

// curveRanges predicts the band curves, each against flat: what a curve less
// the one taken flat should show. The parts alone have a range; instruments
// differ from bench to bench.
func (c *Case) curveRanges(ctx context.Context) ([]CurveRange, error) {
	hz, flat := curve.Grid(audioLow, audioHigh, rangePerOctave), c.equaliser.Flat()
	var q ExpectQuestion
	for _, band := range c.equaliser.Bands() {
		for _, s := range [...]curve.Setting{c.equaliser.Boost(band), c.equaliser.Cut(band)} {
			q.Readings = append(q.Readings, reading.Reading{Kind: reading.Gain, Hz: hz, Setting: s, Less: &flat})
		}
	}
	expected, _, err := c.Expect(ctx, q)
	if err != nil {
		return nil, err
	}
	list := make([]CurveRange, len(q.Readings))
	for i, r := range q.Readings {
		list[i] = CurveRange{Setting: r.Setting, Hz: hz}
	}
	for _, row := range expected.Rows {
		if row.Shown == nil {
			return nil, nil // nothing comes through: no curve to shade
		}
		r := &list[row.Reading]
		r.Low, r.High = append(r.Low, row.Shown.Likely.Low), append(r.High, row.Shown.Likely.High)
	}
	return list, nil
}
