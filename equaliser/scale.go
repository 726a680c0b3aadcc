package equaliser

import (
	"cmp"
	"context"
	"math"
	"math/cmplx"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/sparse"
)

// Scale is what the travel of one slider does at its band's centre, the others
// where the question put them: a dB scale for the panel.
type Scale struct {
	Band   string      `json:"band"`
	Hz     float64     `json:"hz"`     // the centre of the boost; 0: the band has none, and no scale
	Travel []ScaleMark `json:"travel"` // every 5 % of travel, from the cut end
	Marks  []ScaleMark `json:"marks"`  // where ±2, ±4 … dB lie, as far as the slider reaches
}

// ScaleMark is a place of the travel, −1 … +1, with the band curve there in dB.
type ScaleMark struct {
	Position float64 `json:"position"`
	DB       float64 `json:"db"`
}

const (
	travelSteps = 20  // 5 % of travel each
	markStep    = 2.0 // dB
)

// Scale gives a band's scale at the centre that Feature found. The band curve
// is reckoned against this slider centred. Marks are found to 1e-9 of travel.
func (e *Equaliser) Scale(ctx context.Context, states States, f Feature, others curve.Setting) (Scale, error) {
	return e.ScaleBy(ctx, states, f, others, markStep)
}

// ScaleBy is Scale with a mark at every multiple of a step, dB, above 0.
func (e *Equaliser) ScaleBy(ctx context.Context, states States, f Feature, others curve.Setting, step float64) (Scale, error) {
	scale := Scale{Band: f.Band}
	if !f.Found {
		return scale, nil
	}
	if states == nil {
		states = e.Solve
	}
	scale.Hz = f.CentreHz
	travel, err := e.travel(ctx, states, f, others)
	if err != nil {
		return scale, err
	}
	for i := range travelSteps + 1 {
		// Whole steps over whole steps: the centre is 0 exactly.
		position := float64(2*i-travelSteps) / travelSteps
		db, err := travel(position)
		if err != nil {
			return scale, err
		}
		scale.Travel = append(scale.Travel, ScaleMark{position, db})
	}
	scale.Marks, err = marks(scale.Travel, travel, step)
	return scale, err
}

// reach gives the band curve in dB at a place of the travel.
type reach func(position float64) (float64, error)

// travel makes the function from position to dB. The halves of a slider are two
// resistances, each of which enters a circuit's determinant and every cofactor
// at most to the first power (their stamps have rank one); both are linear in
// the share of the track, so at one frequency the gain is a quotient of two
// quadratics in that share, whatever the circuit. Five solves settle it, a sixth
// proves it. Where it does not hold (direct current in the track moves an
// operating point) every position is solved.
func (e *Equaliser) travel(ctx context.Context, states States, f Feature, others curve.Setting) (reach, error) {
	at := func(position float64) (complex128, error) {
		st, err := states(ctx, others.WithSlider(f.Band, position))
		if err != nil {
			return 0, err
		}
		return gainAt(ctx, st, f.CentreHz)
	}
	law := circuit.Law{}
	if s, ok := e.part(f.Band).(circuit.Slider); ok {
		law = s.Law
	}
	var shares [5]float64
	var gains [5]complex128
	for i, share := range [5]float64{0, 0.2, 0.5, 0.8, 1} {
		position := placeOf(law, share)
		var err error
		if gains[i], err = at(position); err != nil {
			return nil, err
		}
		shares[i] = law.At((position + 1) / 2)
	}
	centred, err := at(0)
	if err != nil {
		return nil, err
	}
	if fit, ok := fitQuotient(shares, gains); ok {
		proof, err := at(proofPosition)
		if err != nil {
			return nil, err
		}
		inside := func(position float64) complex128 { return fit.at(law.At((position + 1) / 2)) }
		if cmplx.Abs(inside(proofPosition)-proof) < proofWithin*cmplx.Abs(proof) {
			return func(position float64) (float64, error) {
				return decibels(inside(position)) - decibels(inside(0)), nil
			}, nil
		}
	}
	return func(position float64) (float64, error) {
		gain, err := at(position)
		return decibels(gain) - decibels(centred), err
	}, nil
}

const (
	proofPosition = 0.87 // near the boost end, where the gain bends most
	proofWithin   = 1e-8
)

// placeOf finds the position at which a law has a share, by halving.
func placeOf(law circuit.Law, share float64) float64 {
	low, high := 0.0, 1.0
	if share <= 0 {
		return -1
	}
	if share >= 1 {
		return 1
	}
	for range 60 {
		if m := (low + high) / 2; law.At(m) < share {
			low = m
		} else {
			high = m
		}
	}
	return low + high - 1
}

// quotient is (n0 + n1·t + n2·t²)/(1 + d1·t + d2·t²), t = 2·share − 1.
type quotient struct{ n0, n1, n2, d1, d2 complex128 }

func (q quotient) at(share float64) complex128 {
	t := complex(2*share-1, 0)
	return (q.n0 + t*(q.n1+t*q.n2)) / (1 + t*(q.d1+t*q.d2))
}

// fitQuotient lays a quotient through five gains. False: they do not tell one
// (the gain is a simpler function, as that of a dead band).
func fitQuotient(shares [5]float64, gains [5]complex128) (quotient, bool) {
	m := sparse.NewDense[complex128](5)
	for i, share := range shares {
		t := complex(2*share-1, 0)
		copy(m.A[5*i:], []complex128{1, t, t * t, -gains[i] * t, -gains[i] * t * t})
	}
	if m.Factor() != nil {
		return quotient{}, false
	}
	var c [5]complex128
	m.Solve(gains[:], c[:])
	return quotient{c[0], c[1], c[2], c[3], c[4]}, true
}

// marks walks from the centre to both ends and finds where each multiple of
// a step is first met.
func marks(travel []ScaleMark, at reach, step float64) ([]ScaleMark, error) {
	var found []ScaleMark
	middle := len(travel) / 2
	for _, way := range [...]int{-1, 1} {
		for i := middle; i+way >= 0 && i+way < len(travel); i += way {
			inner, outer := travel[i], travel[i+way]
			for _, db := range multiples(inner.DB, outer.DB, step) {
				if met(found, db) {
					continue
				}
				position, err := whereMet(inner, outer, db, at)
				if err != nil {
					return nil, err
				}
				found = append(found, ScaleMark{position, db})
			}
		}
	}
	sortMarks(found)
	return found, nil
}

// multiples lists those of a step, 0 left out, that lie between two levels,
// in the order they are met from the first to the second.
func multiples(from, to, step float64) []float64 {
	var list []float64
	low, high := math.Ceil(min(from, to)/step), math.Floor(max(from, to)/step)
	for k := low; k <= high; k++ {
		n := k
		if to < from {
			n = low + high - k
		}
		if n != 0 {
			list = append(list, n*step)
		}
	}
	return list
}

func met(found []ScaleMark, db float64) bool {
	for _, m := range found {
		if m.DB == db {
			return true
		}
	}
	return false
}

// whereMet halves between two positions until the level is met.
func whereMet(a, b ScaleMark, db float64, at reach) (float64, error) {
	for range 31 {
		position := (a.Position + b.Position) / 2
		level, err := at(position)
		if err != nil {
			return 0, err
		}
		middle := ScaleMark{position, level}
		if (a.DB < db) == (level < db) {
			a = middle
		} else {
			b = middle
		}
	}
	return (a.Position + b.Position) / 2, nil
}

func sortMarks(list []ScaleMark) {
	slices.SortFunc(list, func(a, b ScaleMark) int { return cmp.Compare(a.Position, b.Position) })
}
