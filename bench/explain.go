package bench

import (
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/fit"
)

// The sides of an account that are no unit.
const (
	SideStated    = "stated"    // what the job says of the bands
	SidePredicted = "predicted" // what the circuit makes of the job's parts
)

// ExplainQuestion asks why one side differs from another: SideStated,
// SidePredicted or a unit's name.
type ExplainQuestion struct {
	From string // "": the original, where the job has its curves, else SidePredicted
	To   string // "": every measured unit, one account each
	Set  string // a setting at which the curves' difference is shared out too; "": none
}

// Findings of an account's question.
const (
	// IDExplainSide (error): no such side. side, known.
	IDExplainSide finding.ID = "bench.explain-side"
	// IDExplainSame (error): both sides are one. side.
	IDExplainSame finding.ID = "bench.explain-same"
)

// ExplainAnswer is one account for every pair of sides.
type ExplainAnswer struct {
	Accounts []Account `json:"accounts"`
}

// Account shares the difference of two sides out among the parts; see fit.Account.
type Account struct {
	From  string        `json:"from"`
	To    string        `json:"to"`
	Bands []AccountBand `json:"bands"`
	// Hiss is predicted from each side's own parts, flat, 20 Hz to 20 kHz; null:
	// the circuit makes none. Hum is no circuit's to predict: it stands as it was
	// written down.
	HissFrom *float64          `json:"hiss_from_dbu"`
	HissTo   *float64          `json:"hiss_to_dbu"`
	HumFound string            `json:"hum_found"`
	HumLeft  string            `json:"hum_left"`
	Curve    *fit.CurveAccount `json:"curve,omitempty"`
}

// AccountBand is one band's figures; null: on one side there is none, or nothing
// was measured that could differ.
type AccountBand struct {
	Band     string         `json:"band"`
	Reversed bool           `json:"reversed,omitempty"` // its slider stands the wrong way round on one side
	Centre   *AccountFigure `json:"centre"`
	Boost    *AccountFigure `json:"boost"`
	Cut      *AccountFigure `json:"cut"`
	Width    *AccountFigure `json:"width"`
}

// AccountFigure is one figure's account.
type AccountFigure struct {
	fit.Figure
	// Drawn is what of the difference lies between what is stated and what the
	// job's own parts make of it; null: nothing stated is a side.
	Drawn *float64 `json:"as_drawn"`
	// Reading is how far what is not explained may be an error of reading the
	// figure off the curves, 95 %; null: it was not read.
	Reading *float64 `json:"reading"`
}

// side of an account.
type accountSide struct {
	name   string
	side   fit.Side
	bands  map[string]BandCompare // of a unit: as read off its curves
	fitted *FitAnswer             // of a unit
}

// Explain says why sides differ, band by band.
func (c *Case) Explain(ctx context.Context, q ExplainQuestion) (*ExplainAnswer, finding.List, error) {
	c, err := c.asTaken()
	if err != nil {
		return nil, nil, err
	}
	from, to, err := c.accountSides(q)
	if err != nil {
		return nil, nil, err
	}
	plan, found, err := c.fitPlan(FitQuestion{})
	if err != nil {
		return nil, found, err
	}
	w := explainer{Case: c, legs: plan.Legs}
	for _, u := range plan.Unknowns {
		w.knobs = append(w.knobs, u.Knob)
	}
	first, more, err := w.sideOf(ctx, from)
	if found = append(found, more...); err != nil {
		return nil, found, err
	}
	a := &ExplainAnswer{Accounts: []Account{}}
	for _, name := range to {
		second, more, err := w.sideOf(ctx, name)
		if found = append(found, more...); err != nil {
			return nil, found, err
		}
		account, more, err := w.account(ctx, first, second, q.Set)
		if found = append(found, more...); err != nil {
			return nil, found, err
		}
		a.Accounts = append(a.Accounts, *account)
	}
	return a, once(found), nil
}

// explained is what the sheet says of why units differ: of each whose curves tell.
// One that cannot be explained is a warning, and the sheet stands.
func (c *Case) explained(ctx context.Context) (*ExplainAnswer, finding.List, error) {
	var all *ExplainAnswer
	var found finding.List
	for _, u := range c.units() {
		if u.role != "measured" || !u.tells(c.equaliser.Bands()) {
			continue
		}
		a, more, err := c.Explain(ctx, ExplainQuestion{To: u.name})
		if list, ok := finding.From(err); ok {
			found = append(found, asWarnings(append(more, list...))...)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		if found = append(found, more...); all == nil {
			all = &ExplainAnswer{}
		}
		all.Accounts = append(all.Accounts, a.Accounts...)
	}
	return all, found, nil
}

// tells says whether a unit has a curve flat and one with each slider moved: less
// leaves its parts to what the job knows of them.
func (u *unit) tells(bands []string) bool {
	_, flat := u.at(curve.Setting{})
	return flat && !slices.ContainsFunc(bands, func(band string) bool {
		return !slices.ContainsFunc(u.curves, func(t taken) bool { return t.setting.Slider(band) != 0 })
	})
}

// accountSides settles which sides are meant.
func (c *Case) accountSides(q ExplainQuestion) (from string, to []string, err error) {
	known := []string{SideStated, SidePredicted}
	var originals, measured []string
	for _, u := range c.units() {
		switch u.role {
		case "original":
			originals = append(originals, u.name)
		case "measured":
			measured = append(measured, u.name)
		}
	}
	known = append(append(known, originals...), measured...)
	from, to = q.From, []string{q.To}
	if from == "" {
		if from = SidePredicted; len(originals) > 0 {
			from = originals[0]
		}
	}
	if q.To == "" {
		to = slices.DeleteFunc(measured, func(name string) bool { return name == from })
	}
	if len(to) == 0 {
		return "", nil, finding.New(IDFitNoUnit, finding.Error, finding.Place{File: c.name}, finding.Args{"unit": "", "known": strings.Join(known[2:], ", ")})
	}
	for _, side := range append([]string{from}, to...) {
		if !slices.Contains(known, side) {
			return "", nil, finding.New(IDExplainSide, finding.Error, finding.Place{File: c.name}, finding.Args{"side": side, "known": strings.Join(known, ", ")})
		}
	}
	if slices.Contains(to, from) {
		return "", nil, finding.New(IDExplainSame, finding.Error, finding.Place{File: c.name}, finding.Args{"side": from})
	}
	return from, to, nil
}

// explainer makes accounts of one case.
type explainer struct {
	*Case
	legs  []fit.Leg
	knobs []circuit.Knob
}

// sideOf gives a side's values, and of a unit what its curves show.
func (w explainer) sideOf(ctx context.Context, name string) (accountSide, finding.List, error) {
	s := accountSide{name: name}
	if name == SideStated || name == SidePredicted {
		for _, k := range w.knobs {
			v, err := w.equaliser.Circuit().Value(k)
			if err != nil {
				return s, nil, err
			}
			s.side.Values = append(s.side.Values, v)
		}
		return s, nil, nil
	}
	a, found, err := w.Fit(ctx, FitQuestion{Unit: name})
	if err != nil {
		return s, found, err
	}
	s.fitted, s.side, s.bands = a, a.result.Side(), map[string]BandCompare{}
	features, _, err := w.equaliser.Features(ctx, w.solve, curve.Setting{})
	if err != nil {
		return s, found, err
	}
	u, err := w.fittedUnit(FitQuestion{Unit: name})
	if err != nil {
		return s, found, err
	}
	compared, _, err := w.compareUnit(ctx, u, features, DefaultLimits()) // what it finds, compare says
	for _, b := range compared.Bands {
		if !slices.Contains(a.Reversed, b.Band) {
			s.bands[b.Band] = b
		}
	}
	return s, found, err
}

// hisses measures both sides by their own noise.
func (w explainer) hisses(ctx context.Context, a *Account, from, to accountSide) (err error) {
	if a.HissFrom, err = w.hissOf(ctx, from); err != nil {
		return err
	}
	a.HissTo, err = w.hissOf(ctx, to)
	return err
}

// account shares the differences out.
func (w explainer) account(ctx context.Context, from, to accountSide, set string) (*Account, finding.List, error) {
	e := w.equaliser
	sampling, found, err := e.Sampling(ctx, w.solve, w.knobs)
	if err != nil {
		return nil, nil, err
	}
	sampling.Fine() // a record works it out again
	features, _, err := e.Features(ctx, w.solve, curve.Setting{})
	if err != nil {
		return nil, nil, err
	}
	f := fit.Account{Circuit: e.Circuit(), Conditions: e.Conditions(), Source: equaliser.Source, Out: equaliser.OutputPoint,
		Knobs: w.knobs, From: from.side, To: to.side, Owner: map[string]string{}}
	for _, l := range w.legs {
		for _, part := range [...]string{l.Slider, l.Resistor, l.Coil, l.Capacitor} {
			f.Owner[part] = l.Band
		}
	}
	list, more, err := f.Figures(ctx, sampling.Ensemble, sampling.Measure(), measuredOn(features, from, to))
	if err != nil {
		return nil, nil, err
	}
	more = slices.DeleteFunc(more, func(f finding.Finding) bool { // the width says it
		return f.ID == fit.IDUnexplained && f.Args["figure"] == f.Place.Band+" q"
	})
	found = located(append(found, more...), w.job, w.name)
	a := &Account{From: from.name, To: to.name, HumFound: w.job.Found.Hum, HumLeft: w.job.Left.Hum}
	for _, feature := range features {
		a.Bands = append(a.Bands, accountBand(feature, list, from, to))
	}
	if err := w.hisses(ctx, a, from, to); err != nil {
		return nil, nil, err
	}
	if set != "" {
		more, err = w.shareCurve(ctx, &f, a, from, to, set)
	}
	return a, append(found, more...), err
}

// figureOf reads a figure of a band on a side; nil where it was not read there.
func (s accountSide) figureOf(f equaliser.Feature, figure string) *float64 {
	switch {
	case s.name == SideStated && figure == "centre_hz":
		return &f.StatedHz
	case s.fitted == nil:
		return map[string]*float64{"centre_hz": &f.CentreHz, "boost_db": &f.BoostDB, "cut_db": &f.CutDB, "q": f.Q}[figure]
	}
	b, ok := s.bands[f.Band]
	if !ok {
		return nil
	}
	return map[string]*float64{"centre_hz": b.MeasuredHz, "boost_db": b.MeasuredDB, "cut_db": b.MeasuredCut, "q": b.MeasuredQ}[figure]
}

// measuredOn gathers the figures that were read on both sides, widths among them.
func measuredOn(features []equaliser.Feature, from, to accountSide) map[string]fit.Measured {
	all := map[string]fit.Measured{}
	for _, f := range features {
		for _, figure := range equaliser.FigureNames() {
			if a, b := from.figureOf(f, figure), to.figureOf(f, figure); a != nil && b != nil {
				all[f.Band+" "+figure] = fit.Measured{From: *a, To: *b}
			}
		}
		centre, has := all[f.Band+" centre_hz"]
		q, also := all[f.Band+" q"]
		if has && also && from.name != SideStated {
			all[f.Band+" width_hz"] = fit.Measured{From: centre.From / q.From, To: centre.To / q.To}
		}
	}
	return all
}

// accountBand puts a band's figures together.
func accountBand(feature equaliser.Feature, list []fit.Figure, from, to accountSide) AccountBand {
	b := AccountBand{Band: feature.Band}
	for _, s := range [...]accountSide{from, to} {
		b.Reversed = b.Reversed || s.fitted != nil && slices.Contains(s.fitted.Reversed, feature.Band)
	}
	for _, f := range list {
		figure, ok := strings.CutPrefix(f.Figure, feature.Band+" ")
		if !ok {
			continue
		}
		a := &AccountFigure{Figure: f, Reading: reading95(feature.Band, figure, from, to)}
		if from.name == SideStated && figure == "centre_hz" && f.From == feature.StatedHz {
			drawn := feature.CentreHz/feature.StatedHz - 1
			a.Drawn = &drawn
			a.NotExplained -= drawn
		}
		switch figure {
		case "centre_hz":
			b.Centre = a
		case "boost_db":
			b.Boost = a
		case "cut_db":
			b.Cut = a
		case "width_hz":
			b.Width = a
		}
	}
	return b
}

// reading95 is the error of reading a centre or a boost off the curves of both
// sides, 95 %: a centre's as a share.
func reading95(band, figure string, sides ...accountSide) *float64 {
	variance, any := 0.0, false
	for _, s := range sides {
		b, ok := s.bands[band]
		se := 0.0
		switch {
		case ok && figure == "centre_hz" && b.ErrorHz != nil:
			se = *b.ErrorHz / *b.MeasuredHz
		case ok && figure == "boost_db" && b.ErrorDB != nil:
			se = *b.ErrorDB
		}
		variance, any = variance+se*se, any || se > 0
	}
	if !any {
		return nil
	}
	half := fit.Ninety5(variance)
	return &half
}

// hissOf predicts the hiss with a side's parts.
func (w explainer) hissOf(ctx context.Context, s accountSide) (*float64, error) {
	var edits []circuit.Edit
	for i, k := range w.knobs {
		edits = append(edits, circuit.Set(k.Part, k.Value, s.side.Values[i]))
	}
	edited, err := w.equaliser.Circuit().Edited(edits...)
	if err != nil {
		return nil, err
	}
	of := &Case{job: w.job, name: w.name, equaliser: w.equaliser.With(edited), states: map[string]*circuit.State{}}
	n, _, err := of.Noise(ctx, "")
	if err != nil {
		return nil, err
	}
	return n.DBu, nil
}

// accountPerOctave is how finely a curve's difference is shared out.
const accountPerOctave = 6

// shareCurve shares the difference of the curves at one setting out: as measured
// where both sides have a curve there, or are no unit.
func (w explainer) shareCurve(ctx context.Context, f *fit.Account, a *Account, from, to accountSide, set string) (finding.List, error) {
	s, err := w.setting(set)
	if err != nil {
		return nil, err
	}
	hz := curve.Grid(audioLow, audioHigh, accountPerOctave)
	var measured [2][]float64
	for i, side := range [...]accountSide{from, to} {
		if measured[i], err = w.levelledAt(ctx, side, s, hz); err != nil {
			return nil, err
		}
	}
	if measured[0] == nil || measured[1] == nil {
		measured = [2][]float64{}
	}
	a.Curve, err = f.Curve(ctx, s, hz, measured[0], measured[1])
	if list, ok := finding.From(err); ok {
		return nil, located(list, w.job, w.name)
	}
	return nil, err
}

// levelledAt gives a side's curve at a setting in volts per volt, its level as
// fitted; nil: it has none.
func (w explainer) levelledAt(ctx context.Context, s accountSide, at curve.Setting, hz []float64) ([]float64, error) {
	if s.fitted == nil {
		own, err := w.predicted(ctx, s.name, at, hz)
		return own.DB, err
	}
	u, err := w.fittedUnit(FitQuestion{Unit: s.name})
	if err != nil {
		return nil, err
	}
	for i, t := range u.curves {
		if t.setting.String() != at.String() || i >= len(s.fitted.Levels) {
			continue
		}
		on, _, err := curve.Resample(t.curve, hz)
		if err != nil || len(on.DB) != len(hz) {
			return nil, nil // it does not reach over the audio range: the parts tell
		}
		return on.Raised(-s.fitted.Levels[i].DB).DB, nil
	}
	return nil, nil
}
