package equaliser

import (
	"context"
	"math"
	"math/cmplx"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// Findings of a band's features; each carries Place.Band and travels with the
// answer. side is "boost" or "cut".
const (
	// IDBandDead: Warning. side. "Band {band} does nothing at full {side}."
	// Hint: "Look for an open leg, coil or wiper, or a lifted common."
	IDBandDead finding.ID = "equaliser.band-dead"
	// IDNoCentre: Warning. side, leg_hz. "Band {band} has no peak within a factor
	// two of its leg resonance, {leg_hz}, at full {side}."
	// Hint: "A coil bridged or a capacitor shorted keeps the response rising to one end."
	IDNoCentre finding.ID = "equaliser.no-centre"
	// IDTwoCentres: Warning. side, hz, other_hz. "At full {side} band {band} has
	// two peaks, at {hz} and at about {other_hz}; the one nearer the leg resonance
	// is given." Hint: "Look at the curve before trusting width and Q."
	IDTwoCentres finding.ID = "equaliser.two-centres"
	// IDNotSettled: Warning. side. "The {side} of band {band} could not be pinned
	// down." Hint: "Look at the curve."
	IDNotSettled finding.ID = "equaliser.not-settled"
	// IDNoEdge: Note. side, edge ("low" or "high"), db. "The {side} of band {band}
	// does not fall to half, {db}, on the {edge} side within 1 Hz to 200 kHz."
	// Hint: "It has no width and no Q."
	IDNoEdge finding.ID = "equaliser.no-edge"
	// IDCentreOff: Warning. stated_hz, centre_hz, leg_hz, share (signed, of 1).
	// "Band {band} is stated at {stated_hz} but peaks at {centre_hz}, {share} off."
	// Hint: "Its leg alone resonates at {leg_hz}; the rest is the neighbours' pull."
	IDCentreOff finding.ID = "equaliser.centre-off"
	// IDTurned: Warning. "Slider {band} works the wrong way round: it cuts at the
	// boost end." Hint: "Its two ends are exchanged."
	IDTurned finding.ID = "equaliser.slider-turned"
	// IDUnlike: Note. boost_db, cut_db. "Band {band} boosts {boost_db} but cuts
	// {cut_db}." Hint: "Feed resistor and source together should equal the feedback resistor."
	IDUnlike finding.ID = "equaliser.boost-unlike-cut"
	// IDNoLeg: Warning. "The leg of band {band} has no coil or no capacitor, so no
	// resonance; its peak is looked for about the stated centre."
	// Hint: "Name them {band}.coil and {band}.capacitor."
	IDNoLeg finding.ID = "equaliser.no-leg"
)

const (
	centreOff = 0.10 // share of the stated centre
	unlikeDB  = 1.0
)

// Features gives what every band does. others says where the sliders and
// switches stand beside the one asked about: the zero setting is "centred", and
// then centre, boost and cut have their plain meaning. The band curve is
// gain at the setting minus gain with all sliders centred, both with the
// switches of others.
//
// states gives the circuit's states; nil means that each is solved anew. The
// error is a finding.List: a setting at which the circuit cannot be solved.
func (e *Equaliser) Features(ctx context.Context, states States, others curve.Setting) ([]Feature, finding.List, error) {
	var all []Feature
	var found finding.List
	for _, name := range e.Bands() {
		f, list, err := e.Feature(ctx, states, name, others)
		if err != nil {
			return nil, found, err
		}
		all, found = append(all, f), append(found, list...)
	}
	return all, found, nil
}

// Feature gives what one band does; see Features. A band that is not there
// panics.
func (e *Equaliser) Feature(ctx context.Context, states States, band string, others curve.Setting) (Feature, finding.List, error) {
	if states == nil {
		states = e.Solve
	}
	b := e.band(band)
	a := asked{band: band, f: Feature{Band: band, StatedHz: b.Hz}}
	about := b.Hz
	if leg, ok := e.leg(band); ok {
		a.f.LegHz, a.f.LegQ = legResonance(leg.henries, leg.farads), leg.q()
		about = a.f.LegHz
	} else {
		a.note(IDNoLeg, finding.Warning, nil)
	}
	flat, err := states(ctx, curve.Setting{Switches: others.Switches})
	if err != nil {
		return a.f, a.found, err
	}
	var q search
	var ends [2]*circuit.State
	for i, side := range [...]side{boosting, cutting} {
		if ends[i], err = states(ctx, others.WithSlider(band, side.position)); err != nil {
			return a.f, a.found, err
		}
		q.begin(about)
		if err := drive(ctx, &q, &bandCurve{at: ends[i], flat: flat}); err != nil {
			return a.f, a.found, err
		}
		a.take(&q, side)
	}
	a.judge(centred(others))
	if !a.f.Found {
		return a.f, a.found, nil
	}
	without := flat
	if !centred(others) {
		if without, err = states(ctx, others.WithSlider(band, 0)); err != nil {
			return a.f, a.found, err
		}
	}
	return a.f, a.found, a.f.share(ctx, ends[0], without)
}

// side is one end of a slider's travel.
type side struct {
	name     string
	position float64
}

var boosting, cutting = side{"boost", 1}, side{"cut", -1}

// share fills in the total gain at the centre and what the slider adds to it.
func (f *Feature) share(ctx context.Context, up, without *circuit.State) error {
	with, err := gainAt(ctx, up, f.CentreHz)
	if err != nil {
		return err
	}
	rest, err := gainAt(ctx, without, f.CentreHz)
	f.TotalDB, f.ShareDB = decibels(with), decibels(with)-decibels(rest)
	return err
}

// gainAt gives the gain from source to output at one frequency.
func gainAt(ctx context.Context, st *circuit.State, hz float64) (complex128, error) {
	var gain [1]complex128
	err := st.Gain(ctx, Source, OutputPoint, []float64{hz}, gain[:])
	return gain[0], err
}

// silentDB stands for a gain of 0, which has no decibels.
const silentDB = -400

// decibels never gives an infinity: below silentDB it gives that.
func decibels(gain complex128) float64 {
	return max(20*math.Log10(cmplx.Abs(gain)), silentDB)
}

// drive feeds a search from a band curve to its end.
func drive(ctx context.Context, q *search, on *bandCurve) error {
	for {
		n := q.ask(on.hz[:])
		if n == 0 {
			return nil
		}
		if err := on.sample(ctx, n); err != nil {
			return err
		}
		q.take(on.hz[:n], on.db[:n], on.slope[:n])
	}
}

// bandCurve is the gain at one state less the gain at another, with its slope,
// at a block of frequencies.
type bandCurve struct {
	at, flat      *circuit.State
	hz, db, slope [blockSize]float64
	gain, byHz    [blockSize]complex128
}

// sample fills db and slope for the first n of hz.
func (b *bandCurve) sample(ctx context.Context, n int) error {
	const perNeper = 20 / math.Ln10
	clear(b.db[:n])
	clear(b.slope[:n])
	for i, st := range [...]*circuit.State{b.at, b.flat} {
		if err := st.Slopes(ctx, Source, OutputPoint, b.hz[:n], b.gain[:n], b.byHz[:n]); err != nil {
			return err
		}
		sign := float64(1 - 2*i)
		for k := range n {
			b.db[k] += sign * decibels(b.gain[k])
			if b.gain[k] != 0 {
				b.slope[k] += sign * perNeper * b.hz[k] * real(b.byHz[k]/b.gain[k])
			}
		}
	}
	return nil
}

// asked gathers one band's answer and its findings.
type asked struct {
	band  string
	f     Feature
	found finding.List
}

func (a *asked) note(id finding.ID, level finding.Level, args finding.Args) {
	a.found = append(a.found, finding.New(id, level, finding.Place{Band: a.band}, args))
}

// take carries a search's result into the feature.
func (a *asked) take(q *search, side side) {
	a.f.Asked += q.asked
	switch q.stage {
	case stageDead:
		a.note(IDBandDead, finding.Warning, finding.Args{"side": side.name})
		return
	case stageNone:
		a.note(IDNoCentre, finding.Warning, finding.Args{"side": side.name, "leg_hz": math.Exp(q.leg)})
		return
	case stageTooLong:
		a.note(IDNotSettled, finding.Warning, finding.Args{"side": side.name})
		return
	}
	hz := math.Exp(q.peakX)
	if q.rival {
		a.note(IDTwoCentres, finding.Warning, finding.Args{"side": side.name, "hz": hz, "other_hz": math.Exp(q.rivalX)})
	}
	low, high := q.edgeHz(halfLow), q.edgeHz(halfHigh)
	a.noteEdge(side, "low", low, q.peakY/2)
	a.noteEdge(side, "high", high, q.peakY/2)
	if side == cutting {
		a.f.CutFound, a.f.CutHz, a.f.CutDB, a.f.CutLowHz, a.f.CutHighHz = true, hz, q.peakY, low, high
		return
	}
	a.f.Found, a.f.CentreHz, a.f.BoostDB, a.f.LowHz, a.f.HighHz = true, hz, q.peakY, low, high
	if width, ok := between(low, high); ok {
		quality := hz / width
		a.f.WidthHz, a.f.Q = &width, &quality
	}
	if width, ok := between(q.edgeHz(topLow), q.edgeHz(topHigh)); ok {
		quality := hz / width
		a.f.QTop = &quality
	}
}

func (a *asked) noteEdge(side side, edge string, hz *float64, db float64) {
	if hz == nil {
		a.note(IDNoEdge, finding.Note, finding.Args{"side": side.name, "edge": edge, "db": db})
	}
}

// edgeHz gives an edge in hertz, nil for none.
func (q *search) edgeHz(k int) *float64 {
	if !q.edge[k].found {
		return nil
	}
	hz := math.Exp(q.edge[k].x)
	return &hz
}

func between(low, high *float64) (width float64, ok bool) {
	if low == nil || high == nil {
		return 0, false
	}
	return *high - *low, true
}

// centred says whether no slider is moved.
func centred(s curve.Setting) bool {
	for _, position := range s.Sliders {
		if position != 0 {
			return false
		}
	}
	return true
}

// judge says what is odd about a band once both sides are known. Boost and cut
// can be alike only with the others centred.
func (a *asked) judge(centred bool) {
	f := a.f
	if !f.Found {
		return
	}
	if share := f.CentreHz/f.StatedHz - 1; math.Abs(share) > centreOff {
		a.note(IDCentreOff, finding.Warning, finding.Args{
			"stated_hz": f.StatedHz, "centre_hz": f.CentreHz, "leg_hz": f.LegHz, "share": share})
	}
	switch {
	case !f.CutFound:
	case f.BoostDB < 0 && f.CutDB > 0:
		a.note(IDTurned, finding.Warning, nil)
	case centred && math.Abs(f.BoostDB+f.CutDB) > unlikeDB:
		a.note(IDUnlike, finding.Note, finding.Args{"boost_db": f.BoostDB, "cut_db": f.CutDB})
	}
}
