package bench

import (
	"context"
	"math/rand/v2"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// ChooseQuestion is a board to be filled from a drawer.
type ChooseQuestion struct {
	Drawer   *DrawerAnswer      // the parts at hand
	Original []equaliser.Wanted // what an original does, see WantedAfter; then no Bands
	Bands    []string           // "400: centre 400Hz boost 10dB q 1"; see ChooseBand for what is not named
	Fixed    []string           // "63: C17", an id that the band must have
	Barred   []string           // "C17", or "63: C17" of one band

	Limits       stock.Limits // zeros: 1 %, 0.2 dB, and 20 % where a Q is wanted
	Worst        bool         // the least worst band instead of the least total
	NewOhms      quantity.Series
	OneCapacitor bool

	Draws int // boards drawn for the chance that all bands hold; 0: not asked
	Seed  uint64
}

// ChooseAnswer is the board that was chosen; stock.Chosen says what error,
// bound, gap, proven and model error are.
type ChooseAnswer struct {
	Drawer  string       `json:"drawer"`
	Meter   string       `json:"meter"` // whose limits the chance rests on
	Celsius float64      `json:"celsius"`
	Limits  stock.Limits `json:"limits"`
	Least   string       `json:"least"` // error: "total" of all bands, or of the "worst"
	Bands   []ChooseBand `json:"bands"`

	Error      float64       `json:"error"`
	Bound      float64       `json:"bound"`
	Gap        float64       `json:"gap"`
	Proven     bool          `json:"proven"`
	ModelError float64       `json:"model_error"`
	Settled    bool          `json:"settled"`
	Solved     int           `json:"solved"`
	Chance     *stock.Chance `json:"chance"` // null: not asked
	Seed       uint64        `json:"seed"`
	Picked     PickAnswer    `json:"picked"`

	job *job.Job
}

// ChooseBand is one band's parts and figures, and where what is wanted of it
// comes from: "asked", "original", "job" (what it wants, or its stated centre)
// or "predicted" (what the job's own parts give).
type ChooseBand struct {
	stock.ChosenBand
	CentreFrom string `json:"centre_from"`
	BoostFrom  string `json:"boost_from"`
	QFrom      string `json:"q_from,omitempty"`
	// Feature is all that the band does with these parts, Was with the job's own.
	Feature equaliser.Feature `json:"feature"`
	Was     equaliser.Feature `json:"was"`
}

// Job gives the job with the chosen parts in it, to be written by job.Update;
// do not change it.
func (a *ChooseAnswer) Job() *job.Job { return a.job }

// Choose fills the job's board from a drawer; see stock.Choose. progress is
// told how many boards have been solved; nil is fine.
func (c *Case) Choose(ctx context.Context, q ChooseQuestion, progress func(solved int)) (*ChooseAnswer, finding.List, error) {
	if err := q.checked(); err != nil {
		return nil, nil, err
	}
	wishes, found, err := c.wishes(ctx, q)
	if err != nil {
		return nil, found, err
	}
	board, err := c.board(ctx, q, wishes, progress)
	if err != nil {
		return nil, found, err
	}
	chosen, err := stock.Choose(ctx, board)
	if list, ok := finding.From(err); ok {
		return nil, found, c.ofDrawer(list, q.Drawer.File)
	}
	if err != nil {
		return nil, found, err
	}
	a := &ChooseAnswer{Drawer: q.Drawer.File, Meter: board.Meter.Name, Celsius: board.Celsius, Limits: q.limits(wishes),
		Least: map[bool]string{false: "total", true: "worst"}[q.Worst], Error: chosen.Error, Bound: chosen.Bound, Gap: chosen.Gap,
		Proven: chosen.Proven, ModelError: chosen.ModelError, Settled: chosen.Settled, Solved: chosen.Solved, Chance: chosen.Chance, Seed: q.Seed}
	for i, b := range chosen.Bands {
		w := wishes[i]
		a.Bands = append(a.Bands, ChooseBand{ChosenBand: b, CentreFrom: w.centre, BoostFrom: w.boost, QFrom: w.q, Was: w.now})
	}
	a.job = c.filledJob(q.Drawer, a.Bands, board.Celsius)
	if err := a.predicted(ctx, c); err != nil {
		return nil, found, err
	}
	picked, _ := pickFor(a.job, q.Drawer) // the parts are from this very drawer
	a.Picked = *picked
	found = append(found, c.ofDrawer(told(chosen.Findings, q.Drawer), q.Drawer.File)...)
	found = append(found, c.ofDrawer(a.widths(), q.Drawer.File)...)
	return a, once(append(found, c.besides(q.Drawer)...)), nil
}

// predicted takes the figures from the board as it is written into the job, as
// every other question to that job has them; the search is content with 1e-4 dB.
func (a *ChooseAnswer) predicted(ctx context.Context, c *Case) error {
	built, err := c.rebuilt(a.job)
	if err != nil {
		return err
	}
	for i := range a.Bands {
		b := &a.Bands[i]
		f, _, err := built.equaliser.Feature(ctx, built.solve, b.Band, curve.Setting{})
		if err != nil {
			return err
		}
		b.Feature, b.Centre.At, b.Boost.At = f, f.CentreHz, f.BoostDB
		if b.Q != nil && f.Q != nil {
			b.Q.At = *f.Q
		}
	}
	return nil
}

// widths names the bands whose Q nobody wants and that come out far wider or
// narrower than they were: the drawer's coils are of other sizes.
func (a *ChooseAnswer) widths() (found finding.List) {
	for _, b := range a.Bands {
		if b.Q != nil || b.Feature.Q == nil || b.Was.Q == nil {
			continue
		}
		if now, was := *b.Feature.Q, *b.Was.Q; max(now, was) > otherWidth*min(now, was) {
			found = append(found, finding.New(IDChooseWidth, finding.Warning, finding.Place{Band: b.Band}, finding.Args{"q": now, "was": was}))
		}
	}
	return found
}

// board joins what is wanted, the drawer and the circuit.
func (c *Case) board(ctx context.Context, q ChooseQuestion, wishes []wish, progress func(int)) (stock.Board, error) {
	b := stock.Board{Barred: nil, Limits: q.limits(wishes), Worst: q.Worst, Doubt: 1, NewOhms: q.NewOhms,
		OneCapacitor: q.OneCapacitor, Meter: stock.HandMeter(), Draws: q.Draws, Random: rand.New(rand.NewPCG(q.Seed, 0))}
	for _, p := range q.Drawer.Parts {
		b.Parts = append(b.Parts, p.Part)
	}
	if err := c.hands(q, wishes, &b); err != nil {
		return b, err
	}
	flat, err := c.solve(ctx, curve.Setting{})
	if err != nil {
		return b, err
	}
	b.Celsius = flat.Kelvin() - kelvinAtZero
	near, err := c.nearBoard(ctx, wishes)
	if err != nil {
		return b, err
	}
	sampling, found, err := near.Sampling(ctx, nil, stock.Knobs(b.Bands))
	if list, ok := finding.From(err); ok {
		return b, located(list, c.job, c.name)
	}
	if err != nil {
		return b, err
	}
	if len(found) > 0 { // a band without a centre even as designed
		return b, finding.New(IDChooseNoPeak, finding.Error, found[0].Place, nil)
	}
	b.Ensemble, b.Measure = sampling.Ensemble, &watched{Measure: sampling.Measure(), tell: progress}
	return b, nil
}

// watched counts the boards that are solved, for who waits.
type watched struct {
	circuit.Measure
	tell   func(solved int)
	solved int
}

// Take measures and tells.
func (w *watched) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	w.Measure.Take(b, n, figures)
	w.solved += n
	if w.tell != nil {
		w.tell(w.solved)
	}
}

// nearBoard is the equaliser designed for what is wanted, with a place for
// every value that choosing turns: losses that a leg does not state are given
// ordinary ones, which only lead the search to its start.
func (c *Case) nearBoard(ctx context.Context, wishes []wish) (*equaliser.Equaliser, error) {
	var targets equaliser.Targets
	for _, w := range wishes {
		targets.Wanted = append(targets.Wanted, w.Wanted)
	}
	designed, _, err := c.equaliser.Design(ctx, targets)
	if list, ok := finding.From(err); ok {
		return nil, located(list, c.job, c.name)
	}
	if err != nil {
		return nil, err
	}
	of := designed.Equaliser.Circuit()
	var parts []circuit.Part
	for _, w := range wishes {
		coil, capacitor, resistor, _ := legOf(of, w.Band) // Design has refused other legs
		parts = append(parts, withLosses(coil, w.CentreHz), lossy(capacitor), circuit.Resistor{Name: resistor.Name,
			A: resistor.A, B: resistor.B, Ohms: max(resistor.Ohms, leastChosenOhms)})
	}
	filled, err := of.Replace(parts...)
	if err != nil {
		return nil, err
	}
	return designed.Equaliser.With(filled), nil
}

// Stand-ins for what a leg does not state: common practice, no source. No
// chosen board has them.
const (
	leastChosenOhms = 1.0 // as stock.Knobs asks
	standInDCR      = 1e-3
	standInCoreQ    = 60.0
	standInFarads   = 50e-12
	standInLoss     = 0.004
)

func withLosses(coil circuit.Inductor, hertz float64) circuit.Inductor {
	coil.DCR, coil.SelfInside = max(coil.DCR, standInDCR), false
	if coil.CoreOhms <= 0 {
		coil.CoreOhms = stock.CoreOhms(coil.Henries, standInCoreQ, hertz)
	}
	if coil.SelfFarads <= 0 {
		coil.SelfFarads = standInFarads
	}
	return coil
}

// lossy puts all loss of a capacitor into its tan δ, where the drawer has it.
func lossy(capacitor circuit.Capacitor) circuit.Capacitor {
	capacitor.ESR = 0
	if capacitor.Loss <= 0 {
		capacitor.Loss = standInLoss
	}
	return capacitor
}

// legOf gives the parts of a band's leg; false: it is drawn otherwise.
func legOf(of *circuit.Circuit, band string) (circuit.Inductor, circuit.Capacitor, circuit.Resistor, bool) {
	part := func(end string) circuit.Part { p, _ := of.Part(band + end); return p }
	coil, isCoil := part(".coil").(circuit.Inductor)
	capacitor, isCapacitor := part(".capacitor").(circuit.Capacitor)
	resistor, isResistor := part(".resistor").(circuit.Resistor)
	return coil, capacitor, resistor, isCoil && isCapacitor && isResistor
}
