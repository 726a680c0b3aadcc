package stock

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/quantity"
)

// BoardBand is one band of the board to fill: the parts of its leg, where its
// figures stand in the measure, and what is wanted of it.
type BoardBand struct {
	Band      string
	Coil      string // parts of the circuit that stand for the leg
	Capacitor string
	Resistor  string
	Centre    string // figures of the measure: hertz, dB and a plain number
	Boost     string
	Q         string // "": not measured

	CentreHz float64 // wanted
	BoostDB  float64 // wanted, above 0
	WantedQ  float64 // 0: left free

	Fixed  []string // ids that this band must have: a coil, a resistor, one capacitor or two
	Barred []string // ids that it must not have
}

// Knobs lists the values that Choose turns: what the ensemble must be made
// with. Every one of them must be above nought in the circuit it is made of,
// the resistor at least 1 ohm, or the equations would have no place for it.
func Knobs(bands []BoardBand) []circuit.Knob {
	var knobs []circuit.Knob
	for _, b := range bands {
		knobs = append(knobs,
			circuit.Knob{Part: b.Coil, Value: "Henries"}, circuit.Knob{Part: b.Coil, Value: "DCR"},
			circuit.Knob{Part: b.Coil, Value: "CoreOhms"}, circuit.Knob{Part: b.Coil, Value: "SelfFarads"},
			circuit.Knob{Part: b.Capacitor, Value: "Farads"}, circuit.Knob{Part: b.Capacitor, Value: "Loss"},
			circuit.Knob{Part: b.Resistor, Value: "Ohms"})
	}
	return knobs
}

// Limits say how far a band may be off. Errors are counted in them: the error
// of a band is the sum of the squares of its deviations over their limits.
type Limits struct {
	Centre float64 `json:"centre"`      // share of the wanted centre
	Boost  float64 `json:"boost"`       // dB
	Q      float64 `json:"q,omitempty"` // share of the wanted Q; 0: Q does not count
}

// Board is the question of Choose.
type Board struct {
	Parts    []Part
	Bands    []BoardBand
	Ensemble *circuit.Ensemble // of a design near the wanted figures, with Knobs
	Measure  circuit.Measure

	Barred []string // ids that no band may have
	Limits Limits   // zeros: 1 %, 0.2 dB, Q left out
	Worst  bool     // the least worst band instead of the least total
	// Doubt is how much the variance of centre and boost by what is not known
	// of the parts counts beside the deviation: 0 not at all, 1 the error is
	// the expected one.
	Doubt float64
	// NewOhms is the series a resistor may be bought from; 0: only the drawer's.
	NewOhms quantity.Series
	// Spread bounds the coil: its inductance lies within this factor of the
	// design's, since another makes a band of another width; 0: 2.
	Spread float64
	// OneCapacitor allows no second capacitor in a leg.
	OneCapacitor bool

	Celsius float64 // of the parts at work
	Meter   Meter
	Draws   int    // for the chance that all bands hold; 0: not asked
	Random  Random // draws them; nil only without Draws
}

// Random gives numbers from 0 up to 1; a *rand.Rand is one. The same numbers
// give the same answer.
type Random interface{ Float64() float64 }

// Taken is one part put into a leg.
type Taken struct {
	ID    string  `json:"id,omitempty"` // "": a new one
	Value float64 `json:"value"`        // henry, farad or ohm in the leg's model
	Place string  `json:"place,omitempty"`
}

// Reached is a figure beside what was wanted.
type Reached struct {
	Wanted float64 `json:"wanted"`
	At     float64 `json:"at"`
}

// ChosenBand is what one band was given and what it does on the whole board.
type ChosenBand struct {
	Band       string   `json:"band"`
	Coil       Taken    `json:"coil"`
	Capacitors []Taken  `json:"capacitors"`
	InSeries   bool     `json:"in_series,omitempty"` // of two capacitors
	Resistor   Taken    `json:"resistor"`
	Leg        Model    `json:"leg"` // as it is computed with
	Centre     Reached  `json:"centre"`
	Boost      Reached  `json:"boost"`
	Q          *Reached `json:"q,omitempty"`
	Error      float64  `json:"error"`
	Chance     float64  `json:"chance,omitempty"` // that this band truly holds
}

// Chance is the share of drawn boards in which every band truly holds within
// the limits: how probable that is for this very board, its readings given.
// SE is that of so many draws. It is right as far as this is, which is assumed
// (common practice, no source) where no leaflet or marking says it:
//
//   - Every number read lies anywhere within the meter's limits about what is
//     shown, all alike and each by itself: a gain error that all readings of a
//     meter share is not known of.
//   - A value lies within the tolerance marked, all alike, and so does that of
//     every piece of a bag by itself: that bags lie to one side is not known of,
//     and matters to parts that were not measured. A tolerance like −20/+80 %
//     is a triangle with its top at the marked value.
//   - A coil's core has a Q from 30 to 130 at 1 kHz, a capacitor a tan δ up to
//     0.011, all alike, narrowed by what was read. Of copper nothing is known
//     but the reading. A self-capacitance is good to 20 %.
//   - A mode not written is series or parallel, one as likely as the other.
//
// Readings that contradict the marking count without it; those that no sound
// core allows count alone.
type Chance struct {
	Share float64 `json:"share"`
	SE    float64 `json:"se"`
	Draws int     `json:"draws"`
}

// Pick is one line of the pick list.
type Pick struct {
	Place string   `json:"place,omitempty"`
	Part  string   `json:"part,omitempty"` // "": to be bought
	Kind  Kind     `json:"kind"`
	Value float64  `json:"value"`
	Count int      `json:"count"`
	Bands []string `json:"bands"`
}

// Chosen is the answer of Choose.
//
// Error is of the whole board as solved. No board from this drawer is taken to
// have less than Bound, and Gap is what Error lies above it.
//
// Where Proven, that holds of the whole circuit: either every board that the
// drawer can fill was solved, and Bound is Error, or Bound is nought, which no
// error is below.
//
// Else it rests on a measurement. The leg model works each band's centre and
// boost out from its own leg, with the pull of its neighbours as it is on the
// chosen board, and its least is searched to the end. But a board with other
// coils pulls its neighbours otherwise: ModelError says how far, in limits, the
// figures of a band were seen to lie from the model's, on boards with one leg
// exchanged, what the legs do added up, and with all exchanged. Bound is what is
// least when every band lies nearer to what is wanted than the model says by as
// much as was measured of it; ModelError is that of the band where it is
// greatest.
type Chosen struct {
	Bands      []ChosenBand `json:"bands"`
	Error      float64      `json:"error"`
	Bound      float64      `json:"bound"`
	Gap        float64      `json:"gap"`
	Proven     bool         `json:"proven"`
	ModelError float64      `json:"model_error"` // in limits; 0 where every board was solved
	Settled    bool         `json:"settled"`     // no single exchange among the candidates improves it
	Solved     int          `json:"solved"`      // boards solved whole
	Chance     *Chance      `json:"chance,omitempty"`
	Picks      []Pick       `json:"picks"`
	Left       []Part       `json:"left"`
	Findings   finding.List `json:"findings,omitempty"`
}

// rounds is how often the pull of the neighbours is taken anew from the best
// board before parts are exchanged on the whole circuit.
const rounds = 3

// How often, and to what share, the highest boost is lowered to find a first
// board.
const (
	lowerings = 6
	lowering  = 0.85
)

// Choose fills one board from the drawer: for every band a coil, one capacitor
// or two, and a resistor. Wrong questions and drawers that cannot fill the
// board are a finding.List as error; targets that are not met are findings of
// the answer. A stop by the context is the context's error.
func Choose(ctx context.Context, q Board) (*Chosen, error) {
	c := q.begin()
	if err := c.check().Err(); err != nil {
		return nil, err
	}
	c.look()
	if err := c.aim(ctx); err != nil {
		return nil, err
	}
	if err := c.search(ctx); err != nil {
		return nil, err
	}
	if err := c.every(ctx); err != nil {
		return nil, err
	}
	return c.answer(ctx)
}

// chooser is one search.
type chooser struct {
	Board
	want    []wish
	fixed   [][]int        // by band: parts
	bars    []map[int]bool // by band
	at      [][]Estimate   // by band and part
	room    *solver
	aimed   []aim         // by band
	lists   [][]candidate // by band, the least error first
	cutoff  []float64     // by band: no candidate left off the list has less error
	nearest []float64     // by band: the least error by the leg model of any leg at all
	best    board
	bound   float64
	differs []float64 // by band: how far leg model and circuit lie apart
	beyond  []bool    // by band: no board brings it within its limits
	settled bool
	proven  bool // every board was solved
	notes   finding.List
}

// begin sorts the drawer by id, so that its order is of no account, and fills
// in what was left at nought.
func (q Board) begin() *chooser {
	if q.Ensemble == nil || q.Measure == nil || len(q.Bands) == 0 {
		panic("stock: a board without circuit, measure or bands")
	}
	if q.Draws > 0 && q.Random == nil {
		panic("stock: draws without a source of random numbers")
	}
	q.Parts = slices.Clone(q.Parts)
	slices.SortStableFunc(q.Parts, func(a, b Part) int { return strings.Compare(a.ID, b.ID) })
	fill := func(v *float64, standard float64) {
		if *v == 0 {
			*v = standard
		}
	}
	fill(&q.Limits.Centre, 0.01)
	fill(&q.Limits.Boost, 0.2)
	fill(&q.Spread, 2)
	for _, v := range [...]float64{q.Limits.Centre, q.Limits.Boost, q.Spread - 1, 1 + q.Limits.Q, 1 + q.Doubt} {
		if !(v > 0) {
			panic(fmt.Sprintf("stock: limits %+v, spread %v, doubt %v", q.Limits, q.Spread, q.Doubt))
		}
	}
	c := &chooser{Board: q, room: newSolver(q)}
	c.room.of = c
	return c
}

// search goes for the least total, and from there to the least worst where
// that is asked: alone it would stand still wherever no exchange helps the
// worst band.
func (c *chooser) search(ctx context.Context) error {
	worst := c.Worst
	c.Worst = false
	if err := c.descend(ctx); err != nil {
		return err
	}
	if err := c.approach(ctx); err != nil {
		return err
	}
	if worst {
		c.Worst = true
		c.best.error = c.total(c.best.errors)
		if err := c.polish(ctx); err != nil {
			return err
		}
	}
	return c.prove(ctx)
}

// approach finds a board where none of those tried gave every band a peak,
// since a boost out of reach was aimed at: the highest are lowered until there
// is one, and from there it goes for what is wanted.
func (c *chooser) approach(ctx context.Context) error {
	wanted, highest := slices.Clone(c.want), 0.0
	for _, w := range wanted {
		highest = max(highest, w.dB)
	}
	if c.best.error < math.Inf(1) {
		return nil
	}
	for range lowerings {
		highest *= lowering
		for band := range c.want {
			c.want[band].dB = min(wanted[band].dB, highest)
		}
		c.best, c.aimed = board{}, nil
		if err := c.aim(ctx); err != nil {
			return err
		}
		if err := c.descend(ctx); err != nil {
			return err
		}
		if c.best.error < math.Inf(1) {
			break
		}
	}
	c.want = wanted
	c.room.solve(&c.best)
	return c.polish(ctx)
}

// descend goes from aim to board to aim, then exchanges parts.
func (c *chooser) descend(ctx context.Context) error {
	for round := range rounds {
		if err := ctx.Err(); err != nil {
			return err
		}
		c.list()
		b, ok := c.assign()
		if !ok {
			if round > 0 {
				break
			}
			return c.short()
		}
		c.room.solve(&b)
		c.keep(b)
		c.aimFrom(c.best)
	}
	return c.polish(ctx)
}

// keep holds on to the better board.
func (c *chooser) keep(b board) bool {
	if c.best.legs != nil && !(b.error < c.best.error) {
		return false
	}
	c.best = b.clone()
	return true
}
