package fit

import (
	"cmp"
	"math"
	"slices"

	"bandwright/leastsq"
)

// decade sets out anew with one value ten times larger or smaller, the likeliest
// first: a part that is not what the drawing says is often a decade out (common
// practice, no source), and from the drawing's value the search may then end at
// another leg's top. Only ends that explain the curves count, and of these the
// best; nil: there is none.
func (s *search) decade(m *model, offset float64) (*leastsq.Result, error) {
	from := s.start
	defer func() { s.start = from }()
	var best *leastsq.Result
	for _, c := range likeliest(s.decades(m)) {
		s.start = c.p
		r, err := s.solve(m, offset, reaches[0])
		if s.ctx.Err() != nil {
			return nil, err
		}
		if err == nil && m.explained(r) && (best == nil || r.Sum+r.PriorSum < best.Sum+best.PriorSum) {
			best = r
		}
	}
	return best, nil
}

// decades are the starts with one value a decade out, within its bounds.
func (s *search) decades(m *model) []corner {
	var corners []corner
	for i := range m.unknowns {
		for _, by := range [...]float64{math.Ln10, -math.Ln10} {
			p := slices.Clone(s.start)
			if p[i] += by; s.lower[i] <= p[i] && p[i] <= s.upper[i] {
				corners = append(corners, corner{p, m.levelled(p)})
			}
		}
	}
	return corners
}

// corner is a start that is tried.
type corner struct {
	p   []float64
	sum float64 // of squares there
}

// cornersTried is how many, best first.
const cornersTried = 4

// likeliest keeps those with the least sums.
func likeliest(corners []corner) []corner {
	slices.SortStableFunc(corners, func(a, b corner) int { return cmp.Compare(a.sum, b.sum) })
	return corners[:min(cornersTried, len(corners))]
}
