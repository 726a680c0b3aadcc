package bench

import (
	"context"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
)

// Bands gives the band table. others says where the sliders stand that are
// not asked about ("400=+1"); "" is centred.
func (c *Case) Bands(ctx context.Context, others string) (*BandsAnswer, finding.List, error) {
	s, err := c.setting(others)
	if err != nil {
		return nil, nil, err
	}
	features, found, err := c.equaliser.Features(ctx, c.solve, s)
	if err != nil {
		return nil, nil, err
	}
	a := &BandsAnswer{Setting: s.String(), Bands: features, Stable: true}
	if err := c.ranges(ctx, s, a); err != nil {
		return nil, nil, err
	}
	if err := c.scales(ctx, s, a); err != nil {
		return nil, nil, err
	}
	rooms, more, err := c.equaliser.Headroom(ctx, c.solve, features)
	if err != nil {
		return nil, nil, err
	}
	found = append(append(found, more...), c.unjudged()...)
	for _, h := range rooms {
		a.Headroom = append(a.Headroom, BandHeadroom{
			Band: h.Band, AtHz: h.Hz, FlatVolts: h.FlatVolts, UpVolts: h.UpVolts,
			FlatDB: h.FlatDB, UpDB: h.UpDB, LimitedBy: h.UpBy.Part,
		})
	}
	unstable, err := c.restless(ctx)
	if err != nil {
		return nil, nil, err
	}
	a.Stable = len(unstable) == 0
	return a, append(found, unstable...), nil
}

// IDTriodeHeadroom (note): triodes of which headroom knows no limit. count,
// parts (text).
const IDTriodeHeadroom finding.ID = "bench.triode-headroom"

// unjudged names the stages that headroom does not ask.
func (c *Case) unjudged() finding.List {
	var names []string
	for _, p := range c.equaliser.Circuit().Parts() {
		if _, ok := p.(circuit.Triode); ok {
			names = append(names, p.PartName())
		}
	}
	return standing(IDTriodeHeadroom, finding.Note, names)
}

// ranges fills in flat, all up and all down over the audio range, switches as
// in s.
func (c *Case) ranges(ctx context.Context, s curve.Setting, a *BandsAnswer) error {
	hz := AudioGrid()
	flat, err := c.predicted(ctx, "flat", curve.Setting{Switches: s.Switches}, hz)
	if err != nil {
		return err
	}
	a.Flat = rangeOf(flat)
	for _, end := range []struct {
		setting curve.Setting
		answer  *GainRange
	}{{c.equaliser.AllUp(), &a.AllUp}, {c.equaliser.AllDown(), &a.AllDown}} {
		end.setting.Switches = s.Switches
		total, err := c.predicted(ctx, "", end.setting, hz)
		if err != nil {
			return err
		}
		against, _, err := curve.Difference(total, flat, curve.Range{})
		if err != nil {
			return err
		}
		*end.answer = rangeOf(against)
	}
	return nil
}

func rangeOf(c curve.Curve) GainRange {
	e := c.Measure()
	return GainRange{LowDB: e.Lowest, LowHz: e.LowestHz, HighDB: e.Highest, HighHz: e.HighHz}
}

func (c *Case) scales(ctx context.Context, s curve.Setting, a *BandsAnswer) error {
	for _, f := range a.Bands {
		scale, err := c.equaliser.Scale(ctx, c.solve, f, s)
		if err != nil {
			return err
		}
		b := BandScale{Band: f.Band, AtHz: scale.Hz, Travel: points(scale.Travel), Marks: points(scale.Marks)}
		a.Scale = append(a.Scale, b)
	}
	return nil
}

func points(marks []equaliser.ScaleMark) []ScalePoint {
	list := make([]ScalePoint, 0, len(marks))
	for _, m := range marks {
		list = append(list, ScalePoint(m))
	}
	return list
}

// restless names the settings of the family at which the circuit would not
// stay at rest.
func (c *Case) restless(ctx context.Context) (finding.List, error) {
	var found finding.List
	for _, named := range c.equaliser.Family() {
		st, err := c.solve(ctx, named.Setting)
		if err != nil {
			return nil, err
		}
		more, err := c.stability(ctx, st)
		if err != nil {
			return nil, err
		}
		found = append(found, more...)
	}
	return found, nil
}
