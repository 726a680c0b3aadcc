package equaliser

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/quantity"
)

// Wanted is what one band is to do while the others stand centred. A figure
// of 0 is left free, and then the part that would serve it stays as it is: the
// resistor serves boost and cut, coil and capacitor centre and Q.
type Wanted struct {
	Band     string  `json:"band"`
	CentreHz float64 `json:"centre_hz,omitempty"`
	BoostDB  float64 `json:"boost_db,omitempty"` // above 0
	CutDB    float64 `json:"cut_db,omitempty"`   // below 0
	Q        float64 `json:"q,omitempty"`        // centre over width at half the boost in dB

	Resistor  Pick `json:"resistor,omitzero"`
	Coil      Pick `json:"coil,omitzero"`
	Capacitor Pick `json:"capacitor,omitzero"`

	// OhmsPerHenry is the copper of a coil yet to be wound or bought, per
	// henry; 0: Targets.OhmsPerHenry.
	OhmsPerHenry float64 `json:"ohms_per_henry,omitempty"`
}

// Pick says which values a part may have: those owned; else those of a
// series; else any. One owned value is a fixed one.
type Pick struct {
	Series quantity.Series `json:"series,omitempty"`
	Owned  []Owned         `json:"owned,omitempty"`
	// Tolerance of a part that is not owned, for who asks for the range of what
	// was designed; nil: nobody said.
	Tolerance *quantity.Tolerance `json:"tolerance,omitempty"`
}

// Owned is a part at hand: ohm, henry or farad by its kind. Design asks for
// value and copper alone; what is marked on the part and how far it may be off
// go with it, for who asks for the range of what was designed.
type Owned struct {
	Name      string              `json:"name,omitempty"` // how the person finds it
	Value     float64             `json:"value"`          // a resistor may have 0 ohm, a wire
	DCR       float64             `json:"dcr_ohms,omitempty"`
	Marked    float64             `json:"marked,omitempty"` // 0: Value was not measured, it is the marked one
	Tolerance *quantity.Tolerance `json:"tolerance,omitempty"`
}

// Targets is the question of Design.
type Targets struct {
	Wanted       []Wanted   `json:"wanted"`
	OhmsPerHenry float64    `json:"ohms_per_henry,omitempty"` // of bands that do not say their own; 0: as the coil that is there
	Believable   Believable `json:"believable,omitzero"`      // what a part may be at all; zeros: see Believable
	Counts       Counts     `json:"counts,omitzero"`          // what counts as one; zeros: see Counts
}

// Believable bounds what a part may be: common practice, no source. Zeros
// mean 100 µH to 50 H, 100 pF to 220 µF, and at most 1 MΩ.
type Believable struct {
	LowHenries  float64 `json:"low_henries,omitempty"`
	HighHenries float64 `json:"high_henries,omitempty"`
	LowFarads   float64 `json:"low_farads,omitempty"`
	HighFarads  float64 `json:"high_farads,omitempty"`
	HighOhms    float64 `json:"high_ohms,omitempty"`
}

// Counts are the differences that count as one in the weighted error: zeros
// mean 1 % of the centre, 0.2 dB of boost or cut and 10 % of Q (common
// practice, no source). The error is the sum of squares of all figures wanted,
// each counted so.
type Counts struct {
	Centre float64 `json:"centre,omitempty"` // ln of a ratio
	DB     float64 `json:"db,omitempty"`
	Q      float64 `json:"q,omitempty"` // ln of a ratio
}

// Designed is the answer of Design.
type Designed struct {
	Bands []DesignedBand
	// FreeError and Error are the weighted errors (see Counts) with any values
	// and with the allowed ones.
	FreeError, Error float64
	// Equaliser has the chosen values.
	Equaliser *Equaliser
}

// DesignedBand is one wanted band with its two answers: with values of any
// size where the pick allows a choice, and with the allowed ones.
type DesignedBand struct {
	Wanted Wanted      `json:"wanted"`
	Free   DesignedLeg `json:"free"`
	Chosen DesignedLeg `json:"chosen"`
}

// DesignedLeg is a leg and what the band does with it, all others of the same
// answer beside it.
type DesignedLeg struct {
	Ohms      float64 `json:"ohms"`
	Henries   float64 `json:"henries"`
	DCR       float64 `json:"dcr_ohms"`
	Farads    float64 `json:"farads"`
	Resistor  string  `json:"resistor,omitempty"` // names of the owned parts taken
	Coil      string  `json:"coil,omitempty"`
	Capacitor string  `json:"capacitor,omitempty"`
	Feature   Feature `json:"feature"`
}

// Findings of a design. Errors: the question cannot be put. Warnings: what is
// not reached, and why. figure is "centre", "boost", "cut" or "Q"; unit is
// that of wanted and reached.
const (
	// IDWantedBand: place band; known (comma list).
	IDWantedBand finding.ID = "equaliser.wanted-band"
	// IDWantedValue: place band; what, value, want.
	IDWantedValue finding.ID = "equaliser.wanted-value"
	// IDWantedPart: a leg without a plain resistor, coil or capacitor of the
	// usual name. Place band, part.
	IDWantedPart finding.ID = "equaliser.wanted-part"
	// IDDesignCopper: the coil's own copper keeps the boost (or cut) down, and no
	// resistor is small enough. Place band; figure, unit, wanted, reached, dcr.
	IDDesignCopper finding.ID = "equaliser.design-copper"
	// IDDesignCeiling: feed, feedback and slider do not give so much even with a
	// coil without copper. Place band; figure, unit, wanted, reached, ceiling,
	// feedback (ohm), and, where larger ones would do, enough (ohm of each bus).
	IDDesignCeiling finding.ID = "equaliser.design-ceiling"
	// IDDesignSlider: the same, and sliders of more ohms would do. Place band;
	// figure, unit, wanted, reached, ceiling, track, enough (ohm).
	IDDesignSlider finding.ID = "equaliser.design-slider"
	// IDDesignBound: a part would have to be smaller or larger than believable.
	// Place band, part; figure, unit, wanted, reached (not there when there is no
	// peak), limit, limit_unit, beyond ("below" or "above").
	IDDesignBound finding.ID = "equaliser.design-bound"
	// IDDesignFixed: parts that are fixed leave none to reach this figure with.
	// Place band; figure, unit, wanted, reached, parts (comma list).
	IDDesignFixed finding.ID = "equaliser.design-fixed"
	// IDDesignShort: the search ends away from what is wanted, and nothing is in
	// its way. Place band; figure, unit, wanted, reached.
	IDDesignShort finding.ID = "equaliser.design-short"
	// IDDesignNoPeak: with starting values the band has no peak to lead
	// anywhere, or one without edges. Place band; figure.
	IDDesignNoPeak finding.ID = "equaliser.design-no-peak"
	// IDDesignSeries: one part of a series serves a figure alone, the others being
	// fixed, and the value it would have to be lies between two of the series.
	// Place band, part; figure, unit, wanted, reached, need, below, above, need_unit,
	// series, parts (comma list of those fixed, may be "").
	IDDesignSeries finding.ID = "equaliser.design-series"
	// IDDesignChosen: with the allowed values a figure is further off than what
	// counts as one. Place band; figure, unit, wanted, reached.
	IDDesignChosen finding.ID = "equaliser.design-chosen"
)

// Design finds resistors, coils and capacitors that make the wanted bands,
// all at once and on the whole circuit: neighbours, copper, sliders and driver
// as they are. Bands not named keep their legs.
//
// The figures of every band and their slopes by every value come from one
// block of builds; Levenberg and Marquardt's steps in the logarithms of the
// values lead to the targets, and the end is proved on the circuit itself. A
// part that reaches the end of what is believable stays there, and the figure
// it serves is given up with a finding that says how far off it is. Then, where
// picks say so, allowed values are chosen: from the nearest ones, and from those
// nearest when coils are settled first, then capacitors, then resistors, by
// exhaustive search of one part at a time until no change of one part of any
// band helps, nor one of two parts of a band to values near by.
//
// Each band's list of owned values is its own: sharing one drawer out among
// the bands is another question.
//
// The error is a finding.List when the question cannot be put, or the
// context's own.
func (e *Equaliser) Design(ctx context.Context, targets Targets) (*Designed, finding.List, error) {
	d, err := e.newDesign(targets)
	if err != nil {
		return nil, nil, err
	}
	if err := d.solve(ctx); err != nil {
		return nil, nil, err
	}
	free, err := d.prove(ctx)
	if err != nil {
		return nil, nil, err
	}
	for i := range d.bands {
		for figure, at := range free.figures[i] {
			d.bands[i].none[figure] = math.IsNaN(at)
		}
	}
	found, err := d.unreached(ctx, free)
	if err != nil {
		return nil, nil, err
	}
	chosen, at := d, free
	if d.choosing() {
		if chosen, err = d.choose(ctx); err != nil {
			return nil, nil, err
		}
		if at, err = chosen.prove(ctx); err != nil {
			return nil, nil, err
		}
		found = append(found, chosen.offChosen(at, d, free)...)
	}
	answer := &Designed{FreeError: d.total(free), Error: chosen.total(at), Equaliser: at.equaliser}
	for i := range d.bands {
		answer.Bands = append(answer.Bands, DesignedBand{
			Wanted: d.bands[i].Wanted,
			Free:   d.bands[i].answer(free.features[i]), Chosen: chosen.bands[i].answer(at.features[i]),
		})
	}
	return answer, found, nil
}

// proved is a design solved as a circuit of its own, by wanted band.
type proved struct {
	equaliser *Equaliser
	features  []Feature
	figures   [][figuresPerBand]float64 // NaN where there is none
}

// prove takes the figures from the circuit with the values as they stand.
func (d *design) prove(ctx context.Context) (proved, error) {
	e, err := d.equaliser(0)
	if err != nil {
		return proved{}, err
	}
	p := proved{equaliser: e}
	states := e.remembering()
	for i := range d.bands {
		f, _, err := e.Feature(ctx, states, d.bands[i].Band, e.Flat())
		if err != nil {
			return p, err
		}
		p.features, p.figures = append(p.features, f), append(p.figures, figuresOf(f))
	}
	return p, nil
}

// remembering solves each setting once.
func (e *Equaliser) remembering() States {
	kept := map[string]*circuit.State{}
	return func(ctx context.Context, s curve.Setting) (*circuit.State, error) {
		key := s.String()
		if st, ok := kept[key]; ok {
			return st, nil
		}
		st, err := e.Solve(ctx, s)
		if err == nil {
			kept[key] = st
		}
		return st, err
	}
}

// figuresOf puts a Feature in the order of a Measure.
func figuresOf(f Feature) [figuresPerBand]float64 {
	none := math.NaN()
	at := [figuresPerBand]float64{none, none, none, none}
	if f.Found {
		at[figureCentre], at[figureBoost] = f.CentreHz, f.BoostDB
	}
	if f.CutFound {
		at[figureCut] = f.CutDB
	}
	if f.Q != nil {
		at[figureQ] = *f.Q
	}
	return at
}

// total is the weighted error of all bands.
func (d *design) total(at proved) float64 {
	sum := 0.0
	for i := range d.bands {
		sum += d.bands[i].error(at.figures[i], d.Counts)
	}
	return sum
}

func (b *designBand) answer(f Feature) DesignedLeg {
	return DesignedLeg{Ohms: b.leg.ohms, Henries: b.leg.henries, DCR: b.leg.dcr, Farads: b.leg.farads,
		Resistor: b.taken[partResistor], Coil: b.taken[partCoil], Capacitor: b.taken[partCapacitor], Feature: f}
}
