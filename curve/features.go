package curve

import (
	"math"

	"bandwright/finding"
)

// Estimate is a value and its standard error, in the same unit.
type Estimate struct {
	Value float64 `json:"value"`
	SE    float64 `json:"standard_error"`
}

// Feature is one boost or cut of a band curve. Frequencies in hertz, levels
// in dB. An edge that is nil is "none": the curve does not come down to its
// level where it was searched, and then there is no width and no Q either.
type Feature struct {
	Boost    bool      `json:"boost"` // else a cut
	Centre   Estimate  `json:"centre_hz"`
	HeightDB Estimate  `json:"height_db"`   // below zero for a cut
	Low      *Estimate `json:"low_edge_hz"` // half the height in dB
	High     *Estimate `json:"high_edge_hz"`
	Width    *Estimate `json:"width_hz"`
	Q        *Estimate `json:"q"` // centre / width

	TopLow  *Estimate `json:"top_low_edge_hz"` // 3 dB from the top
	TopHigh *Estimate `json:"top_high_edge_hz"`
	QTop    *Estimate `json:"q_3db_from_top"`

	NoiseDB   float64 `json:"noise_db"`   // rms of what the local fits leave
	PerOctave float64 `json:"per_octave"` // points, within a factor 2 of near
	Points    int     `json:"points"`     // that the top was fitted to
	Degree    int     `json:"degree"`     // of the polynomial at the top, 2 or 4
}

// leastPoints is how many points within a factor 2 are the least to start on.
const leastPoints = 7

// Features finds the boost or cut of a band curve (gain at a setting minus
// gain flat) whose centre is nearest to near (hertz) within a factor 2, and
// measures it.
//
// Centre and height come from a least-squares parabola, or fourth-degree
// polynomial, in log frequency around the top; each edge from a least-squares
// cubic around it. How many points each takes follows from the width and the
// noise: as many as keep the polynomial's own error small beside the noise.
// The width is at half the height in dB, as the Audio EQ Cookbook defines it
// (R. Bristow-Johnson, W3C note 2021-06-08). Standard errors come from the
// residuals through the exact linear weights of all points, so that what the
// height and the edges share is counted once; they hold for noise that is
// independent from point to point.
//
// Fewer than 24 points an octave give a warning; a missing edge a note; no
// extremum, or too few points around it, an error.
func Features(diff Curve, near float64) (Feature, finding.List, error) {
	if !(near > 0) || math.IsInf(near, 0) {
		panic("curve: features near no frequency")
	}
	if err := Validate(diff); err != nil {
		return Feature{}, nil, err
	}
	t := newTrail(diff)
	x0 := math.Log(near)
	from, to := t.window(x0-math.Ln2, x0+math.Ln2)
	if to-from < leastPoints {
		return Feature{}, nil, notEnough(to-from, leastPoints)
	}
	per := float64(to-from-1) * math.Ln2 / (t.x[to-1] - t.x[from])
	var notes finding.List
	if per < wantPerOctave-0.5 { // a grid of 24 may fall a little short
		notes = append(notes, fewPoints(per))
	}
	p, ok := t.locate(x0, from, to)
	if !ok {
		return Feature{}, nil, noExtremum(t, near, from, to)
	}
	m := measure{t: t, peak: p, noise: t.roughNoise(from, to)}
	if err := m.all(); err != nil {
		return Feature{}, nil, err
	}
	if math.Abs(m.centre-x0) > math.Ln2*1.001 {
		return Feature{}, nil, noExtremum(t, near, from, to)
	}
	f := m.feature()
	f.PerOctave = per
	return f, append(notes, m.notes...), nil
}

// locate looks for the place of the extremum on a smoothed trail.
func (t trail) locate(x0 float64, from, to int) (peak, bool) {
	const reach = math.Ln2 / 24
	s := t.smooth(reach)
	aroundFrom, aroundTo := t.window(x0-2*math.Ln2, x0+2*math.Ln2)
	noise := t.roughNoise(from, to)
	inReach := math.Max(1, float64(to-from)*2*reach/(t.x[to-1]-t.x[from]))
	// Noise alone ranges over five or six of its deviations.
	limit := math.Max(8*noise/math.Sqrt(inReach), 1e-6)
	return t.nearest(s, x0, from, to, aroundFrom, aroundTo, limit)
}

func noExtremum(t trail, near float64, from, to int) finding.Finding {
	return broken(IDNoExtremum, finding.Args{"near": near, "low": near / 2, "high": near * 2,
		"noise": t.roughNoise(from, to)})
}

func notEnough(points, want int) finding.Finding {
	return broken(IDNotEnough, finding.Args{"points": points, "want": want})
}
