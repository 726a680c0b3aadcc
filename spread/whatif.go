package spread

import (
	"math"

	"bandwright/circuit"
)

// With gives the plan with other laws for some knobs, as for "what would 1 %
// capacitors bring": change is told each knob and its law and gives the law to
// have. Keep the seed: both runs then draw the same parts but for the change,
// and their difference is surer than either.
func (p Plan) With(change func(circuit.Knob, Law) Law) Plan {
	laws := make([]Law, len(p.Laws))
	for i, l := range p.Laws {
		laws[i] = change(p.Ensemble.Knobs()[i], l)
	}
	p.Laws = laws
	return p
}

// HalfWidth is half the central 95 % of a figure.
type HalfWidth struct {
	Value float64 `json:"value"` // in the figure's own unit
	SE    float64 `json:"se"`
	Of    float64 `json:"of"` // as a share of the median's size; 0 where that is 0
}

// Change is what other laws do to a figure's range.
type Change struct {
	Figure string    `json:"figure"`
	Before HalfWidth `json:"before"`
	After  HalfWidth `json:"after"`
}

// Compare gives the half-widths of two results of one circuit, for the figures
// that both have.
func Compare(before, after *Result) []Change {
	var changes []Change
	for _, b := range before.Figures {
		a, ok := after.At(b.Name)
		if ok && a.Count > 0 && b.Count > 0 {
			changes = append(changes, Change{Figure: b.Name, Before: b.HalfWidth(), After: a.HalfWidth()})
		}
	}
	return changes
}

// HalfWidth gives half the central 95 %; the figure must have builds. Its
// standard error joins those of both ends, which correlate by p/(1−p), p =
// 2.5 % (from the asymptotic covariance of two order statistics).
func (f Figure) HalfWidth() HalfWidth {
	const together = 0.025 / 0.975
	low, high := f.At(2.5), f.At(97.5)
	h := HalfWidth{Value: (high.Value - low.Value) / 2}
	h.SE = math.Sqrt(low.SE*low.SE+high.SE*high.SE-2*together*low.SE*high.SE) / 2
	if middle := math.Abs(f.At(50).Value); middle > 0 {
		h.Of = h.Value / middle
	}
	return h
}
