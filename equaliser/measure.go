package equaliser

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// The figures of one band, in the order of a Measure: the band curve's
// centre, boost, cut and Q as Features gives them.
const (
	figureCentre = iota // hertz
	figureBoost         // dB
	figureCut           // dB
	figureQ
	figuresPerBand
)

// FigureNames are the words for a band's figures, in order.
func FigureNames() []string { return []string{"centre_hz", "boost_db", "cut_db", "q"} }

// Sampling is an equaliser made ready for many builds: the settings whose
// gains the band features need, and what was found in the circuit as it is.
// It never changes; each worker has a Measure of it.
type Sampling struct {
	Ensemble *circuit.Ensemble
	bands    []string
	nominal  []sideNominal // by band and side: boost, cut, boost, …
	flat     *flatCurve
	fine     bool                 // roots to fineSettled, and the flat gain asked for wherever the band's is
	skip     [figuresPerBand]bool // cut and Q where no band's is asked for: NaN
	forecast *forecast            // nil: roots are looked for from where the circuit as it is has them
}

// sideNominal is one side of one band in the circuit as it is.
type sideNominal struct {
	peak, bend float64    // ln of the centre; d²(dB)/dx² there
	edge       [2]float64 // ln of the edges at half the dB
	edgeSlope  [2]float64 // d(dB)/dx there
	hasEdge    [2]bool
	leg        float64
	sign       float64 // +1: the extremum is a maximum
}

// width is how far apart the edges are, in nepers; a neper when one is missing.
func (n *sideNominal) width() float64 {
	if !n.hasEdge[0] || !n.hasEdge[1] {
		return 1
	}
	return min(n.edge[1]-n.edge[0], 1)
}

// IDNotSampled: a band has no centre in the circuit as it is, so it has none
// to follow through the builds. Place: the band.
const IDNotSampled finding.ID = "equaliser.not-sampled"

// Sampling prepares for builds that differ behind the knobs. Bands without a
// centre are left out, with a finding each.
func (e *Equaliser) Sampling(ctx context.Context, states States, knobs []circuit.Knob) (*Sampling, finding.List, error) {
	if states == nil {
		states = e.Solve
	}
	s := &Sampling{}
	var found finding.List
	flat, err := states(ctx, curve.Setting{})
	if err != nil {
		return nil, nil, err
	}
	ends := []*circuit.State{flat}
	low, high := math.Inf(1), math.Inf(-1)
	for _, band := range e.Bands() {
		nominal, at, err := e.nominalSides(ctx, states, band, flat)
		if err != nil {
			return nil, nil, err
		}
		if nominal == nil {
			found = append(found, finding.New(IDNotSampled, finding.Warning, finding.Place{Band: band}, nil))
			continue
		}
		s.bands, s.nominal, ends = append(s.bands, band), append(s.nominal, nominal...), append(ends, at...)
		for _, n := range nominal {
			low, high = min(low, n.peak, n.edge[0]), max(high, n.peak, n.edge[1])
		}
	}
	if s.flat, err = sampleFlat(ctx, flat, low-math.Ln2, high+math.Ln2); err != nil {
		return nil, nil, err
	}
	s.Ensemble, err = e.circuit.Ensemble(ends, knobs, Source, OutputPoint)
	return s, found, err
}

// Fine makes figures right to 1e-9, at some five times the gains: for slopes,
// and for figures that must come out the same of every version.
func (s *Sampling) Fine() { s.fine = true }

// nominalSides searches both sides of a band; nil when one has no extremum.
func (e *Equaliser) nominalSides(ctx context.Context, states States, band string, flat *circuit.State) ([]sideNominal, []*circuit.State, error) {
	about := e.band(band).Hz
	if leg, ok := e.leg(band); ok {
		about = legResonance(leg.henries, leg.farads)
	}
	var sides []sideNominal
	var ends []*circuit.State
	var q search
	for _, side := range [...]side{boosting, cutting} {
		at, err := states(ctx, curve.Setting{}.WithSlider(band, side.position))
		if err != nil {
			return nil, nil, err
		}
		on := bandCurve{at: at, flat: flat}
		q.begin(about)
		if err := drive(ctx, &q, &on); err != nil {
			return nil, nil, err
		}
		if q.stage != stageDone {
			return nil, nil, nil
		}
		n := sideNominal{peak: q.peakX, leg: q.leg, sign: math.Copysign(1, q.peakY)}
		for k, edge := range [...]int{halfLow, halfHigh} {
			n.edge[k], n.hasEdge[k] = q.edge[edge].x, q.edge[edge].found
			if !n.hasEdge[k] {
				n.edge[k] = n.peak
			}
		}
		if n.bend, err = bendAt(ctx, &on, q.peakX); err != nil {
			return nil, nil, err
		}
		on.hz[0], on.hz[1] = math.Exp(n.edge[0]), math.Exp(n.edge[1])
		if err := on.sample(ctx, 2); err != nil {
			return nil, nil, err
		}
		n.edgeSlope = [2]float64{on.slope[0], on.slope[1]}
		sides, ends = append(sides, n), append(ends, at)
	}
	return sides, ends, nil
}

// bendAt gives the second derivative of a band curve, from its slopes.
func bendAt(ctx context.Context, on *bandCurve, x float64) (float64, error) {
	const step = 1e-3
	on.hz[0], on.hz[1] = math.Exp(x-step), math.Exp(x+step)
	err := on.sample(ctx, 2)
	return (on.slope[1] - on.slope[0]) / (2 * step), err
}
