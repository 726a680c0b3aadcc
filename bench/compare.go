package bench

import (
	"context"
	"slices"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
)

// Findings of a comparison.
const (
	// IDNoCurves: the job names no curve to compare with. Hint: add a [[curve]].
	IDNoCurves finding.ID = "bench.no-curves"
	// IDNoFlatCurve: a unit has no curve flat, so its band curves are taken
	// against the predicted flat. unit. Hint: take one with every slider centred.
	IDNoFlatCurve finding.ID = "bench.no-flat-curve"
	// IDBandOff: a unit's band differs from the prediction beyond the limits.
	// Place: the band; unit, centre_percent, boost_db, cut_db (those known).
	IDBandOff finding.ID = "bench.band-off"
	// IDNoBandCurve: a unit has no curve of a band at full boost. Place: the
	// band; unit. Hint: take one with this slider up and the others centred.
	IDNoBandCurve finding.ID = "bench.no-band-curve"
)

// DefaultLimits are what differences are judged by unless the person says
// otherwise: common practice, no source.
func DefaultLimits() Limits { return Limits{CentrePercent: 3, DB: 0.5} }

// Compare sets every measured curve beside the prediction for its setting,
// and every band of every unit beside the predicted band.
func (c *Case) Compare(ctx context.Context) (*CompareAnswer, finding.List, error) {
	features, _, err := c.equaliser.Features(ctx, c.solve, curve.Setting{})
	if err != nil {
		return nil, nil, err
	}
	a := &CompareAnswer{Limits: DefaultLimits()}
	if len(c.curves) == 0 {
		return a, finding.List{finding.New(IDNoCurves, finding.Note, finding.Place{}, nil)}, nil
	}
	var found finding.List
	for _, name := range c.units() {
		u, more, err := c.compareUnit(ctx, name, features, a.Limits)
		if err != nil {
			return nil, nil, err
		}
		a.Units = append(a.Units, u)
		found = append(found, more...)
	}
	a.Worst = found.Worst()
	return a, found, nil
}

// units names the units in the order the job first does.
func (c *Case) units() []string {
	var names []string
	for _, t := range c.curves {
		if !slices.Contains(names, t.Unit) {
			names = append(names, t.Unit)
		}
	}
	return names
}

func (c *Case) compareUnit(ctx context.Context, name string, features []equaliser.Feature, limits Limits) (UnitCompare, finding.List, error) {
	u := UnitCompare{Unit: name}
	var found finding.List
	for _, t := range c.curves {
		if t.Unit != name {
			continue
		}
		u.Role = t.Role
		laid, more, err := c.layOver(ctx, t)
		if err != nil {
			return u, nil, err
		}
		found = append(found, more...)
		u.Curves = append(u.Curves, laid)
	}
	flat, more, err := c.flatOf(ctx, name)
	if err != nil {
		return u, nil, err
	}
	found = append(found, more...)
	for _, f := range features {
		b, more := c.compareBand(name, f, flat, limits)
		found = append(found, more...)
		u.Bands = append(u.Bands, b)
	}
	return u, found, nil
}

// layOver compares one measured curve with the prediction at its own
// frequencies, after taking out the level between them.
func (c *Case) layOver(ctx context.Context, t taken) (CurveCompare, finding.List, error) {
	laid := CurveCompare{
		Name: t.Name, Setting: t.setting.String(), File: t.File, SHA256: t.understood.SHA256,
		Invented: t.Invented, Understood: t.understood, Measured: t.curve,
	}
	predicted, err := c.predicted(ctx, "predicted", t.setting, t.curve.Hz)
	if err != nil {
		return laid, nil, err
	}
	laid.Predicted = predicted
	level, aligned, found, err := curve.Align(t.curve, predicted, curve.Range{Low: audioLow, High: audioHigh}, curve.Median)
	if err != nil {
		return laid, nil, err
	}
	difference, more, err := curve.Difference(level, predicted, curve.Range{})
	if err != nil {
		return laid, nil, err
	}
	e := difference.Measure()
	laid.LevelDB, laid.Difference = aligned.OffsetDB, difference
	laid.RMSDB, laid.MaxDB, laid.MaxHz = e.RMS, e.Farthest, e.AtHz
	return laid, placeIn(append(found, more...), t.File), nil
}

// flatOf gives the unit's own curve with every slider centred, or the
// predicted one with a finding that says so.
func (c *Case) flatOf(ctx context.Context, unit string) (curve.Curve, finding.List, error) {
	if t, ok := c.curveAt(unit, curve.Setting{}); ok {
		return t.curve, nil, nil
	}
	flat, err := c.predicted(ctx, "flat", curve.Setting{}, AudioGrid())
	found := finding.List{finding.New(IDNoFlatCurve, finding.Note, finding.Place{}, finding.Args{"unit": unit})}
	return flat, found, err
}

func (c *Case) curveAt(unit string, s curve.Setting) (taken, bool) {
	for _, t := range c.curves {
		if t.Unit == unit && t.setting.String() == s.String() {
			return t, true
		}
	}
	return taken{}, false
}

// compareBand measures one band of a unit and sets it beside the prediction.
func (c *Case) compareBand(unit string, f equaliser.Feature, flat curve.Curve, limits Limits) (BandCompare, finding.List) {
	b := BandCompare{
		Band: f.Band, StatedHz: f.StatedHz, PredictedHz: f.CentreHz,
		PredictedDB: f.BoostDB, PredictedCut: f.CutDB, PredictedQ: f.Q,
	}
	boost, found := c.bandFeature(unit, f, c.equaliser.Boost(f.Band), flat)
	cut, more := c.bandFeature(unit, f, c.equaliser.Cut(f.Band), flat)
	found = append(found, more...)
	if boost == nil && cut == nil {
		return b, append(found, finding.New(IDNoBandCurve, finding.Note,
			finding.Place{Band: f.Band}, finding.Args{"unit": unit}))
	}
	b.take(f, boost, cut)
	args := finding.Args{"unit": unit}
	for name, difference := range map[string]struct {
		off   *float64
		limit float64
	}{
		"centre_percent": {b.CentreOff, limits.CentrePercent},
		"boost_db":       {b.BoostOff, limits.DB},
		"cut_db":         {b.CutOff, limits.DB},
	} {
		if d := difference.off; d != nil && (*d > difference.limit || -*d > difference.limit) {
			args[name] = *d
			b.Off = true
		}
	}
	if b.Off {
		found = append(found, finding.New(IDBandOff, finding.Warning, finding.Place{Band: f.Band}, args))
	}
	return b, found
}

// bandFeature measures one side of one band of a unit; nil where no such
// curve was taken, or where it shows no extremum (which is a finding).
func (c *Case) bandFeature(unit string, f equaliser.Feature, s curve.Setting, flat curve.Curve) (*curve.Feature, finding.List) {
	t, ok := c.curveAt(unit, s)
	if !ok {
		return nil, nil
	}
	at := finding.Place{Band: f.Band, File: t.File}
	against, _, err := curve.Difference(t.curve, flat, curve.Range{})
	if err != nil {
		return nil, placedAt(findingsOf(err), at)
	}
	near := f.LegHz
	if near == 0 {
		near = f.StatedHz
	}
	measured, found, err := curve.Features(against, near)
	if err != nil {
		return nil, placedAt(asWarnings(findingsOf(err)), at)
	}
	return &measured, placedAt(found, at)
}

// placedAt gives findings a band and a file.
func placedAt(list finding.List, at finding.Place) finding.List {
	for i := range list {
		list[i].Place.Band, list[i].Place.File = at.Band, at.File
	}
	return list
}

// asWarnings lowers errors of one curve: the comparison as a whole stands.
func asWarnings(list finding.List) finding.List {
	for i := range list {
		list[i].Level = min(list[i].Level, finding.Warning)
	}
	return list
}

// take fills in what was measured and how far it is off.
func (b *BandCompare) take(f equaliser.Feature, boost, cut *curve.Feature) {
	if boost != nil {
		b.MeasuredHz, b.ErrorHz = &boost.Centre.Value, &boost.Centre.SE
		b.MeasuredDB, b.ErrorDB = &boost.HeightDB.Value, &boost.HeightDB.SE
		b.StatedOff = percentOff(boost.Centre.Value, f.StatedHz)
		if f.Found {
			b.CentreOff = percentOff(boost.Centre.Value, f.CentreHz)
			off := boost.HeightDB.Value - f.BoostDB
			b.BoostOff = &off
		}
		if boost.Q != nil {
			b.MeasuredQ = &boost.Q.Value
		}
		if boost.Q != nil && f.Q != nil {
			b.QOff = percentOff(boost.Q.Value, *f.Q)
		}
	}
	if cut != nil {
		b.MeasuredCut = &cut.HeightDB.Value
		if f.CutFound {
			off := cut.HeightDB.Value - f.CutDB
			b.CutOff = &off
		}
	}
}

func percentOff(measured, wanted float64) *float64 {
	p := 100 * (measured/wanted - 1)
	return &p
}
