// Package fault tells causes from readings. It holds a circuit, what may be
// wrong with it, and the readings that can be taken; what each hypothesis would
// make each reading show is computed once, and entered readings then rank the
// hypotheses, name those that no further reading can tell apart, and choose the
// reading to take next.
//
// A Hypothesis is edits of the circuit with a weight beforehand. One whose size
// is not known (a value out, a dry joint) has many Cases, and is integrated over
// them: each stands for a cell of sizes, within which the prediction is taken as
// a straight line, and what is left of its bend as scatter.
//
// A case predicts every reading with a joint covariance: the healthy parts'
// scatter J·Σ·Jᵀ, J being that of the faulty circuit, and the instrument's
// error, as in room reading. Entered values are made independent by it, and each
// whitened residual has Student's law with few degrees of freedom (Lange, Little
// and Taylor 1989; memory), so that one wild reading does not overrule the rest.
//
// "None of these" predicts every reading as the healthy circuit does or, as
// likely, anywhere at all; it wins when every hypothesis is contradicted.
//
// The next reading is the one whose expected loss of entropy is greatest for its
// effort (de Kleer and Williams 1987; memory).
//
// Base units: ohm, volt, hertz, decibel; probabilities 0 to 1.
package fault

import (
	"math"

	"bandwright/circuit"
	"bandwright/finding"
)

// Kind groups hypotheses.
type Kind string

// The kinds. What the caller adds (wiring) may have others.
const (
	AsBuilt  Kind = "as built"
	None     Kind = "none of these"
	Opened   Kind = "open"
	Shorted  Kind = "short"
	Value    Kind = "value"
	DryJoint Kind = "dry joint"
	Leak     Kind = "leak"
	Turns    Kind = "shorted turns"
	Swapped  Kind = "swapped"
	Reversed Kind = "reversed"
	Legs     Kind = "legs"
	Coupled  Kind = "coupled"
	Pair     Kind = "pair"
)

// Hypothesis is one thing that may be wrong.
type Hypothesis struct {
	Name   string          // unique
	Label  string          // in words, where the edits do not say it: of a slip of wiring
	Kind   Kind            //
	Places []finding.Place // where; a pair has two
	Weight float64         // beforehand, against the other hypotheses of the list
	Cases  []Case          // at least one; more where the size is not known

	edits func(size float64) []circuit.Edit // at any size; nil: at those of Cases alone
}

// At gives the edits at a size, which need not be one of Cases. A hypothesis without
// a size has those of its only case.
func (h Hypothesis) At(size float64) []circuit.Edit {
	if h.edits == nil {
		return h.Cases[0].Edits
	}
	return h.edits(size)
}

// over is the hypothesis at other sizes.
func (h Hypothesis) over(grid []cell) Hypothesis {
	h.Cases = nil
	for _, c := range grid {
		h.Cases = append(h.Cases, Case{Edits: h.edits(c.size), Weight: c.width, Size: c.size, Width: c.width})
	}
	return h
}

// Case is a hypothesis at one size.
type Case struct {
	Edits  []circuit.Edit
	Weight float64 // among the cases of its hypothesis
	// Size is what the edits change a value by or to (a factor, ohms), and Width
	// the natural logarithm of the cell of sizes it stands for. Cases of one
	// hypothesis stand in rising Size. Width 0: it has no size.
	Size, Width float64
}

// definite is a hypothesis of one case without size.
func definite(kind Kind, weight float64, edits ...circuit.Edit) Hypothesis {
	h := Hypothesis{Kind: kind, Weight: weight, Cases: []Case{{Edits: edits, Weight: 1}}}
	h.Name = edits[0].String()
	for _, e := range edits[1:] {
		h.Name += ", " + e.String()
	}
	for _, e := range edits {
		h.Places = append(h.Places, e.Place())
	}
	return h
}

// sized is a hypothesis over a grid of sizes, with the edits of each.
func sized(kind Kind, name string, at finding.Place, weight float64, grid []cell, edits func(size float64) []circuit.Edit) Hypothesis {
	return Hypothesis{Name: name, Kind: kind, Places: []finding.Place{at}, Weight: weight, edits: edits}.over(grid)
}

// cell is a size with the width of its cell in natural logarithms.
type cell struct{ size, width float64 }

// cells gives a grid whose cells lie between the given natural logarithms.
func cells(edges []float64) []cell {
	var grid []cell
	for i := 1; i < len(edges); i++ {
		grid = append(grid, cell{math.Exp((edges[i-1] + edges[i]) / 2), edges[i] - edges[i-1]})
	}
	return grid
}

// factors are the sizes of a value that is out, from beyond a share to 30 times,
// both ways: fine near 1, where a change shows as a shift, and coarse far off.
func factors(beyond float64) []cell {
	up := []float64{max(beyond, 0.02)}
	for last, most := up[0], math.Log(mostFactor); last < most; {
		last = min(last+max(0.04, min(0.4*last+0.02, 0.5)), most)
		up = append(up, last)
	}
	down := make([]float64, len(up))
	for i, v := range up {
		down[len(up)-1-i] = -v
	}
	return append(cells(down), cells(up)...)
}

// decades gives a grid of ohms between two ends, so many cells a decade.
func decades(low, high float64, per int) []cell {
	n := int(math.Round(math.Log10(high/low))) * per
	edges := make([]float64, n+1)
	for i := range edges {
		edges[i] = math.Log(low) + math.Log(high/low)*float64(i)/float64(n)
	}
	return cells(edges)
}
