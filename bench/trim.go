package bench

import (
	"context"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// TrimQuestion is a board that is made and is to be brought within limits.
type TrimQuestion struct {
	Unit     string             // as its curves show it, see Fit; "": as the job's parts are
	Original []equaliser.Wanted // what an original does, see WantedAfter; then no Bands
	Bands    []string           // "400: centre 400Hz boost 10dB q 1"; see ChooseBand for what is not named
	Limits   stock.Limits       // zeros: 1 %, 0.2 dB, and 20 % where a Q is wanted

	Drawer     *DrawerAnswer   // the parts at hand; nil: none
	Capacitors quantity.Series // that may be bought; 0: none
	Resistors  quantity.Series // that may be bought; 0: none
	Most       int             // parts added or changed a band: 1 or 2
}

// IDTrimUnmet (warning): no trim allowed brings a figure within its limit. Place
// band; figure ("centre", "boost", "Q"), unit, wanted, reached, nearest; against (the
// figure that is then beyond its limit, "neighbours", or "": none brings it there).
const IDTrimUnmet finding.ID = "bench.trim-unmet"

// TrimAnswer is the fewest changes; stock.Trimmed says what the counts are.
type TrimAnswer struct {
	Unit    string       `json:"unit,omitempty"`
	Drawer  string       `json:"drawer,omitempty"`
	Limits  stock.Limits `json:"limits"`
	Bands   []TrimBand   `json:"bands"`
	Changes int          `json:"changes"`
	Outside int          `json:"outside"`
	Before  float64      `json:"before"`
	Error   float64      `json:"error"`
	Settled bool         `json:"settled"`
	Solved  int          `json:"solved"`
	Builds  int          `json:"builds"` // behind the ranges; 0: there are none

	job *job.Job
}

// TrimBand is what is done to one band and what comes of it. Where what is wanted
// comes from is told as in ChooseBand.
type TrimBand struct {
	stock.TrimmedBand
	CentreFrom string            `json:"centre_from"`
	BoostFrom  string            `json:"boost_from"`
	QFrom      string            `json:"q_from,omitempty"`
	Before     equaliser.Feature `json:"before"`
	After      equaliser.Feature `json:"after"`
	Range      *BandRange        `json:"range"` // of what comes; null: no part says how far it may be off
}

// Job gives the job with the trims in it, to be written by job.Update; do not change
// it.
func (a *TrimAnswer) Job() *job.Job { return a.job }

// Trim finds the fewest parts to add or change that bring a made board to what is
// wanted of the job; see stock.Trim.
func (c *Case) Trim(ctx context.Context, q TrimQuestion) (*TrimAnswer, finding.List, error) {
	choose := ChooseQuestion{Bands: q.Bands, Original: q.Original, Limits: q.Limits}
	if err := choose.checked(); err != nil {
		return nil, nil, err
	}
	wishes, found, err := c.wishes(ctx, choose)
	if err != nil {
		return nil, found, err
	}
	made, more, err := c.boardAsIs(ctx, q.Unit)
	if found = append(found, more...); err != nil {
		return nil, found, err
	}
	trims, err := made.trims(ctx, wishes)
	if err != nil {
		return nil, found, err
	}
	trims.Limits, trims.Capacitors, trims.Resistors, trims.Most = choose.limits(wishes), q.Capacitors, q.Resistors, q.Most
	a := &TrimAnswer{Unit: q.Unit, Limits: trims.Limits}
	drawer := &DrawerAnswer{}
	if q.Drawer != nil {
		drawer, a.Drawer = q.Drawer, q.Drawer.File
	}
	for _, p := range drawer.Parts {
		trims.Parts = append(trims.Parts, p.Part)
	}
	trimmed, err := stock.Trim(ctx, trims)
	if err != nil {
		return nil, found, err
	}
	a.Changes, a.Outside, a.Before, a.Error = trimmed.Changes, trimmed.Outside, trimmed.Before, trimmed.Error
	a.Settled, a.Solved = trimmed.Settled, trimmed.Solved
	for i, b := range trimmed.Bands {
		a.Bands = append(a.Bands, TrimBand{TrimmedBand: b, CentreFrom: wishes[i].centre, BoostFrom: wishes[i].boost, QFrom: wishes[i].q})
		found = append(found, unmetIn(b)...)
	}
	a.job = made.trimmedJob(a, drawer, q)
	more, err = a.predicted(ctx, made)
	return a, once(located(append(found, more...), c.job, c.name)), err
}

// boardAsIs is the board to trim: the job's own, or a unit as its curves show it.
func (c *Case) boardAsIs(ctx context.Context, unit string) (*Case, finding.List, error) {
	if unit == "" {
		return c, nil, nil
	}
	a, found, err := c.Fit(ctx, FitQuestion{Unit: unit})
	if err != nil {
		return nil, found, err
	}
	made, err := c.rebuilt(a.Job())
	return made, found, err
}

// trims makes the question of a board's legs as they are.
func (c *Case) trims(ctx context.Context, wishes []wish) (stock.Trims, error) {
	q := stock.Trims{Meter: stock.HandMeter(), Celsius: c.kelvin() - kelvinAtZero}
	var b stock.Board
	if err := c.hands(ChooseQuestion{}, wishes, &b); err != nil {
		return q, err
	}
	var parts []circuit.Part
	for i, w := range wishes {
		coil, capacitor, resistor, _ := legOf(c.equaliser.Circuit(), w.Band) // wishes has refused other legs
		q.Bands = append(q.Bands, stock.TrimBand{BoardBand: b.Bands[i], Leg: stock.Model{
			Henries: coil.Henries, DCR: coil.DCR, CoreOhms: coil.CoreOhms, SelfFarads: coil.SelfFarads,
			Farads: capacitor.Farads, Loss: capacitor.Loss, Ohms: resistor.Ohms + capacitor.ESR}}) // in series: one for both
		inside := coil.SelfInside
		coil = withLosses(coil, w.CentreHz)
		coil.SelfInside = inside
		parts = append(parts, coil, lossy(capacitor), circuit.Resistor{Name: resistor.Name,
			A: resistor.A, B: resistor.B, Ohms: max(resistor.Ohms, leastChosenOhms)})
	}
	placed, err := c.equaliser.Circuit().Replace(parts...)
	if err != nil {
		return q, err
	}
	sampling, found, err := c.equaliser.With(placed).Sampling(ctx, nil, stock.Knobs(b.Bands))
	if list, ok := finding.From(err); ok {
		return q, located(list, c.job, c.name)
	}
	if err != nil {
		return q, err
	}
	if len(found) > 0 {
		return q, finding.New(IDChooseNoPeak, finding.Error, found[0].Place, nil)
	}
	q.Ensemble, q.Measure = sampling.Ensemble, sampling.Measure()
	return q, nil
}

// unmetIn says of a band's figures what stands in their way.
func unmetIn(b stock.TrimmedBand) (found finding.List) {
	for _, u := range b.Unmet {
		unit := map[string]string{"centre": "hertz", "boost": "decibel"}[u.Figure]
		found = append(found, finding.New(IDTrimUnmet, finding.Warning, finding.Place{Band: b.Band}, finding.Args{"figure": u.Figure,
			"unit": unit, "wanted": u.Wanted, "reached": u.Reached, "nearest": u.Nearest, "against": u.Against}))
	}
	return found
}

// predicted takes the figures, and their ranges, from the board as it is written
// into the job, as every other question to that job has them.
func (a *TrimAnswer) predicted(ctx context.Context, made *Case) (finding.List, error) {
	after, err := made.rebuilt(a.job)
	if err != nil {
		return nil, err
	}
	for i := range a.Bands {
		b := &a.Bands[i]
		if b.Before, _, err = made.equaliser.Feature(ctx, made.solve, b.Band, curve.Setting{}); err != nil {
			return nil, err
		}
		if b.After, _, err = after.equaliser.Feature(ctx, after.solve, b.Band, curve.Setting{}); err != nil {
			return nil, err
		}
		b.Centre.At, b.Boost.At = b.After.CentreHz, b.After.BoostDB
		if b.Q != nil && b.After.Q != nil {
			b.Q.At = *b.After.Q
		}
	}
	ranges, found, err := after.bandRanges(ctx)
	if err != nil || ranges == nil {
		return found, err
	}
	a.Builds = ranges.Builds
	for i := range a.Bands {
		a.Bands[i].Range = ranges.of(a.Bands[i].Band)
	}
	return found, nil
}
