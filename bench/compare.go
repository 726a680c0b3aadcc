package bench

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

// Findings of a comparison.
const (
	// IDNoCurves: the job names no curve to compare with. Hint: add a [[curve]].
	IDNoCurves finding.ID = "bench.no-curves"
	// IDNoFlatCurve: a unit has no curve flat, so its band curves are taken
	// against the predicted flat. unit. Hint: take one with every slider centred.
	IDNoFlatCurve finding.ID = "bench.no-flat-curve"
	// IDBandOff: a unit's band differs from the prediction beyond the limits, or
	// a curve of it shows no peak where there should be one. Place: the band;
	// unit, centre_percent, boost_db, cut_db (those beyond).
	IDBandOff finding.ID = "bench.band-off"
	// IDNoBandCurve: a unit has no curve of a band at either end. Place: the
	// band; unit. Hint: take one with this slider up and one with it down.
	IDNoBandCurve finding.ID = "bench.no-band-curve"
)

// DefaultLimits are what differences are judged by unless the person says
// otherwise: common practice, no source.
func DefaultLimits() Limits { return Limits{CentrePercent: 3, DB: 0.5} }

// Compare sets every measured curve beside the prediction for its setting,
// and every band of every unit beside the predicted band.
func (c *Case) Compare(ctx context.Context) (*CompareAnswer, finding.List, error) {
	c, err := c.asTaken()
	if err != nil {
		return nil, nil, err
	}
	features, found, err := c.equaliser.Features(ctx, c.solve, curve.Setting{})
	if err != nil {
		return nil, nil, err
	}
	a := &CompareAnswer{Limits: DefaultLimits()}
	if len(c.curves)+len(c.less) == 0 {
		return a, finding.List{finding.New(IDNoCurves, finding.Note, finding.Place{}, nil)}, nil
	}
	found = located(found, c.job, c.name)
	for _, u := range unitsOf(slices.Concat(c.curves, c.less)) {
		answer, more, err := c.compareUnit(ctx, u, features, a.Limits)
		if err != nil {
			return nil, nil, err
		}
		a.Units = append(a.Units, answer)
		found = append(found, more...)
	}
	a.Worst = found.Worst()
	return a, found, nil
}

// asTaken gives the case as the curves were taken: where a generator fed the
// tap-in, its ohms stand in place of the amplifier's own, and the difference
// that makes does not cancel.
func (c *Case) asTaken() (*Case, error) {
	ohms := c.job.TapIn.GeneratorHas
	if ohms == nil || *ohms == c.job.TapIn.SourceOhms {
		return c, nil
	}
	part, ok := c.equaliser.Circuit().Part(sourceOhms)
	source, isResistor := part.(circuit.Resistor)
	if !ok || !isResistor {
		return c, nil // the job has put something else there
	}
	source.Ohms = float64(*ohms)
	fed, err := c.equaliser.Circuit().Replace(source)
	if err != nil {
		return nil, err
	}
	return &Case{
		job: c.job, name: c.name, sha256: c.sha256, equaliser: c.equaliser.With(fed),
		files: c.files, curves: c.curves, less: c.less, states: map[string]*circuit.State{},
	}, nil
}

// sourceOhms is the part that stands for what the tap-in drives from.
const sourceOhms = "source.ohms"

// unit is one amplifier's curves of one role: an original and its copy are
// two, even where the job calls both the same.
type unit struct {
	name, role string
	less       *curve.Setting // whose take was taken off every curve; nil: none
	curves     []taken
	flat       curve.Curve
	ownFlat    bool            // else flat is the predicted one
	level      *float64        // dB that lay its own flat over the predicted; nil: no such curve
	takenAt    *quantity.Level // what that curve was taken at
}

// units gathers the curves of total gain in the order the job first names their
// units.
func (c *Case) units() []*unit { return unitsOf(c.curves) }

// unitsOf parts curves by unit, role, and what was taken off them.
func unitsOf(curves []taken) []*unit {
	var list []*unit
	for _, t := range curves {
		same := func(u *unit) bool { return u.name == t.Unit && u.role == t.Role && sameLess(u.less, t.less) }
		i := slices.IndexFunc(list, same)
		if i < 0 {
			i, list = len(list), append(list, &unit{name: t.Unit, role: t.Role, less: t.less})
		}
		list[i].curves = append(list[i].curves, t)
	}
	return list
}

func sameLess(a, b *curve.Setting) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.String() == b.String()
}

// predictedOf is the prediction of one of a unit's curves: of the total gain, or
// of what is left when another setting's is taken off.
func (c *Case) predictedOf(ctx context.Context, u *unit, s curve.Setting, hz []float64) (curve.Curve, error) {
	total, err := c.predicted(ctx, "predicted", s, hz)
	if err != nil || u.less == nil {
		return total, err
	}
	less, err := c.predicted(ctx, "less", *u.less, hz)
	if err != nil {
		return total, err
	}
	left, _, err := curve.Difference(total, less, curve.Range{})
	left.Name, left.Setting = total.Name, total.Setting
	return left, err
}

func (c *Case) compareUnit(ctx context.Context, u *unit, features []equaliser.Feature, limits Limits) (UnitCompare, finding.List, error) {
	answer := UnitCompare{Unit: u.name, Role: u.role}
	if u.less != nil {
		answer.Less = u.less.String()
	}
	var found finding.List
	if err := c.findLevel(ctx, u); err != nil {
		return answer, nil, err
	}
	for i := range u.curves {
		laid, more, err := c.layOver(ctx, u, &u.curves[i])
		if list, ok := finding.From(err); ok { // the other curves stand
			found = append(found, placeIn(asWarnings(list), u.curves[i].File)...)
			continue
		}
		if err != nil {
			return answer, nil, err
		}
		found = append(found, more...)
		answer.Curves = append(answer.Curves, laid)
	}
	more, err := c.findFlat(ctx, u)
	if err != nil {
		return answer, nil, err
	}
	found = append(found, more...)
	for _, f := range features {
		b, more := u.compareBand(f, limits)
		found = append(found, more...)
		answer.Bands = append(answer.Bands, b)
	}
	return answer, found, nil
}

// findLevel takes the level between a unit's takes and the prediction from
// its own flat curve: a band that is off would move the level it is judged by.
// A unit without one, or one that cannot be laid over, has no common level.
func (c *Case) findLevel(ctx context.Context, u *unit) error {
	t, ok := u.at(curve.Setting{})
	if !ok {
		return nil
	}
	predicted, err := c.predictedOf(ctx, u, t.setting, t.curve.Hz)
	if err != nil {
		return err
	}
	_, aligned, _, err := curve.Align(t.curve, predicted, curve.Range{Low: audioLow, High: audioHigh}, curve.Median)
	if err == nil {
		u.level, u.takenAt = &aligned.OffsetDB, t.Level
	}
	return nil
}

// levelled lays a curve's level over its prediction's: by the unit's own flat
// curve where both were taken at the same level, else by the curve itself.
func (u *unit) levelled(t *taken, predicted curve.Curve) (curve.Curve, float64, finding.List, error) {
	if u.level != nil && given(t.Level) == given(u.takenAt) {
		return t.curve.Raised(*u.level), *u.level, nil, nil
	}
	level, aligned, found, err := curve.Align(t.curve, predicted, curve.Range{Low: audioLow, High: audioHigh}, curve.Median)
	return level, aligned.OffsetDB, found, err
}

// layOver compares one measured curve with the prediction at its own
// frequencies, after taking out the level between them. The error is a finding
// where the two cannot be laid over each other.
func (c *Case) layOver(ctx context.Context, u *unit, t *taken) (CurveCompare, finding.List, error) {
	laid := CurveCompare{
		Name: t.Name, Setting: t.setting.String(), File: t.File, SHA256: t.understood.SHA256,
		Invented: t.Invented, Understood: t.understood, Measured: t.curve,
	}
	predicted, err := c.predictedOf(ctx, u, t.setting, t.curve.Hz)
	if err != nil {
		return laid, nil, err
	}
	laid.Predicted = predicted
	level, offset, found, err := u.levelled(t, predicted)
	if err != nil {
		return laid, nil, err
	}
	difference, more, err := curve.Difference(level, predicted, curve.Range{})
	if err != nil {
		return laid, nil, err
	}
	e := difference.Measure()
	t.levelled = level
	laid.LevelDB, laid.Difference = offset, difference
	laid.RMSDB, laid.MaxDB, laid.MaxHz = e.RMS, e.Farthest, e.AtHz
	return laid, placeIn(append(found, more...), t.File), nil
}

// findFlat takes the unit's own curve with every slider centred, or the
// predicted one with a finding that says so.
func (c *Case) findFlat(ctx context.Context, u *unit) (finding.List, error) {
	if t, ok := u.at(curve.Setting{}); ok {
		u.flat, u.ownFlat = t.curve, true
		return nil, nil
	}
	var err error
	u.flat, err = c.predictedOf(ctx, u, curve.Setting{}, AudioGrid())
	return finding.List{finding.New(IDNoFlatCurve, finding.Note, finding.Place{}, finding.Args{"unit": u.name})}, err
}

func (u *unit) at(s curve.Setting) (taken, bool) {
	for _, t := range u.curves {
		if t.setting.String() == s.String() {
			return t, true
		}
	}
	return taken{}, false
}

// side is one end of a band's slider as a unit's curve shows it.
type side struct {
	taken    bool           // there is a curve
	dead     bool           // it shows no extremum
	measured *curve.Feature // nil: none, or too little to tell
}

// compareBand measures one band of a unit and sets it beside the prediction.
func (u *unit) compareBand(f equaliser.Feature, limits Limits) (BandCompare, finding.List) {
	b := BandCompare{
		Band: f.Band, StatedHz: f.StatedHz, PredictedHz: f.CentreHz,
		PredictedDB: f.BoostDB, PredictedCut: f.CutDB, PredictedQ: f.Q,
	}
	boost, found := u.side(f, 1)
	cut, more := u.side(f, -1)
	found = append(found, more...)
	if !boost.taken && !cut.taken {
		found = append(found, finding.New(IDNoBandCurve, finding.Note,
			finding.Place{Band: f.Band}, finding.Args{"unit": u.name}))
	}
	b.take(f, boost.measured, cut.measured)
	args := b.beyond(limits)
	b.Off = len(args) > 0 || boost.dead && f.Found || cut.dead && f.CutFound
	if b.Off {
		args["unit"] = u.name
		found = append(found, finding.New(IDBandOff, finding.Warning, finding.Place{Band: f.Band}, args))
	}
	return b, found
}

// beyond gives the differences that are larger than the limits.
func (b *BandCompare) beyond(limits Limits) finding.Args {
	args := finding.Args{}
	for _, d := range [...]struct {
		name  string
		off   *float64
		limit float64
	}{
		{"centre_percent", b.CentreOff, limits.CentrePercent},
		{"boost_db", b.BoostOff, limits.DB},
		{"cut_db", b.CutOff, limits.DB},
	} {
		if d.off != nil && (*d.off > d.limit || -*d.off > d.limit) {
			args[d.name] = *d.off
		}
	}
	return args
}

// side measures one end of one band of a unit, −1 cut or +1 boost, the others
// centred. A curve that shows no extremum is a finding. Without a curve flat
// of the unit's own its level is not known; then the one that lays it over
// its prediction is taken.
func (u *unit) side(f equaliser.Feature, position float64) (side, finding.List) {
	t, ok := u.at(curve.Setting{}.WithSlider(f.Band, position))
	if !ok {
		return side{}, nil
	}
	at := finding.Place{Band: f.Band, File: t.File}
	total := t.curve
	if !u.ownFlat {
		total = t.levelled
	}
	against, few, err := curve.Difference(total, u.flat, curve.Range{})
	if err != nil {
		return side{taken: true}, placedAt(asWarnings(findingsOf(err)), at)
	}
	near := f.LegHz
	if near == 0 {
		near = f.StatedHz
	}
	measured, found, err := curve.Features(against, near)
	if err != nil {
		wrong := placedAt(asWarnings(findingsOf(err)), at)
		dead := slices.ContainsFunc(wrong, func(f finding.Finding) bool { return f.ID == curve.IDNoExtremum })
		return side{taken: true, dead: dead}, wrong
	}
	return side{taken: true, measured: &measured}, placedAt(append(few, found...), at)
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
