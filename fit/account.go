package fit

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
)

// Account shares the difference between two sets of values out among the parts.
//
// Both sets are points in the space of the values' logarithms. Along the straight
// line between them the derivatives of a figure, integrated, give every value its
// share (Aumann and Shapley 1974; from memory): no order of exchanging parts is
// preferred, shares add up to the whole, and a part that is alike on both sides
// has none. What is measured beyond what the two sets explain is left over and
// said to be so.
type Account struct {
	Circuit     *circuit.Circuit
	Conditions  circuit.Conditions
	Source, Out string
	// Knobs are the values that may differ. A slider's "Position" goes straight,
	// not by its logarithm, and takes part in curves alone.
	Knobs    []circuit.Knob
	From, To Side
	// Owner names the band of a part; parts that are not named belong to none.
	Owner map[string]string
}

// Side is one set of values, by knob.
type Side struct {
	Values []float64
	// Covariance of their logarithms (of positions: of the positions); nil: they
	// are exact.
	Covariance [][]float64
}

// Side gives a fit's values as a side.
func (r *Result) Side() Side {
	s := Side{Covariance: r.Covariance}
	for _, v := range r.Values {
		s.Values = append(s.Values, v.Value)
	}
	return s
}

// Share is what one value, or some together, contribute.
type Share struct {
	Part  string  `json:"part,omitempty"`
	Field string  `json:"field,omitempty"`
	Band  string  `json:"band,omitempty"` // whose part it is
	Share float64 `json:"share"`
	Low   float64 `json:"low"` // 95 %, of the uncertainty of both sides
	High  float64 `json:"high"`
}

// Figure is the account of one figure. Figures in hertz and Qs differ by shares
// of the first side's (0.05: 5 % more); figures in decibels by decibels.
type Figure struct {
	Figure string  `json:"figure"`
	Band   string  `json:"band,omitempty"`
	From   float64 `json:"from"` // as measured where that is given, else the circuit's
	To     float64 `json:"to"`
	// Relative: Difference and shares are of From.
	Relative     bool    `json:"relative"`
	Difference   float64 `json:"difference"`
	Own          []Share `json:"own"` // of the band's own parts, the largest first
	Neighbours   Share   `json:"neighbours"`
	Others       []Share `json:"others,omitempty"` // of parts that belong to no band
	All          []Share `json:"all"`              // every one by itself, the largest first
	Explained    Share   `json:"explained"`        // all shares together
	NotExplained float64 `json:"not_explained"`
}

// Measured is a figure as measured on both sides.
type Measured struct{ From, To float64 }

// Findings of an account. Warnings.
const (
	// IDNoFigure: a figure is not there on one side or on the way. figure, side
	// ("from", "to" or "way").
	IDNoFigure finding.ID = "fit.no-figure"
	// IDUnexplained: less than half of a measured difference is explained.
	// figure, share (of 1).
	IDUnexplained finding.ID = "fit.unexplained"
)

// check panics on what the calling code must get right.
func (a *Account) check() {
	n := len(a.Knobs)
	if len(a.From.Values) != n || len(a.To.Values) != n ||
		a.From.Covariance != nil && len(a.From.Covariance) != n || a.To.Covariance != nil && len(a.To.Covariance) != n {
		panic("fit: the sides of an account are as long as its knobs")
	}
}

// at gives a knob's value at a place of the way, 0 … 1, moved by h in its own
// measure.
func (a *Account) at(k int, t, h float64) float64 {
	from, to := a.From.Values[k], a.To.Values[k]
	if a.Knobs[k].Value == "Position" {
		return from + t*(to-from) + h
	}
	return from * math.Exp(t*math.Log(to/from)+h)
}

// way is how far a knob goes, in its own measure.
func (a *Account) way(k int) float64 {
	if a.Knobs[k].Value == "Position" {
		return a.To.Values[k] - a.From.Values[k]
	}
	return math.Log(a.To.Values[k] / a.From.Values[k])
}

// spread is the variance of what some knobs contribute together. A share hangs
// on its own value's ends by the slope, and, since the slope changes as any value
// does, on all others' through the bend H halfway (nil: none):
//
//	∂shareₖ/∂xⱼ = ∓δₖⱼ·slopeₖ + ½·wayₖ·Hₖⱼ at the first and the second end
func (a *Account) spread(slope []float64, bend [][]float64, knobs []int) float64 {
	sum := 0.0
	v := make([]float64, len(a.Knobs))
	for end, c := range [...][][]float64{a.From.Covariance, a.To.Covariance} {
		if c == nil {
			continue
		}
		clear(v)
		for _, k := range knobs {
			v[k] += slope[k] * float64(2*end-1)
			for j := range bend {
				v[j] += a.way(k) * bend[k][j] / 2
			}
		}
		for i, x := range v {
			for k, y := range v {
				sum += x * c[i][k] * y
			}
		}
	}
	return max(0, sum)
}

// The six points of Gauss and Legendre on 0 … 1 and their weights (Abramowitz and
// Stegun 25.4.30 with table 25.4; from memory, and summed in the tests).
var gauss6 = [6]struct{ at, weight float64 }{
	{0.5 - 0.9324695142031521/2, 0.1713244923791704 / 2},
	{0.5 - 0.6612093864662645/2, 0.3607615730481386 / 2},
	{0.5 - 0.2386191860831969/2, 0.4679139345726910 / 2},
	{0.5 + 0.2386191860831969/2, 0.4679139345726910 / 2},
	{0.5 + 0.6612093864662645/2, 0.3607615730481386 / 2},
	{0.5 + 0.9324695142031521/2, 0.1713244923791704 / 2},
}

// stops are the places of the way and their weights, over some panels.
func stops(panels int) (at, weight []float64) {
	for p := range panels {
		for _, g := range gauss6 {
			at = append(at, (float64(p)+g.at)/float64(panels))
			weight = append(weight, g.weight/float64(panels))
		}
	}
	return at, weight
}

const (
	mostPanels = 8
	// wayError is how well shares must add up, in logarithms or decibels, before
	// the way is cut into more panels.
	wayError = 1e-4
	// slopeStep is the change of a logarithm for a difference of two builds.
	slopeStep = 1e-3
	// bendStep is that for a second difference.
	bendStep = 0.01
)

// Figures shares out the differences of a measure's figures. The ensemble has
// every knob of the account that is not a position; the measure is taken of its
// builds. measured holds, by figure, what was measured on both sides, where it was.
// Where a measure has centre and Q of a band, its width is accounted for too.
func (a *Account) Figures(ctx context.Context, e *circuit.Ensemble, measure circuit.Measure, measured map[string]Measured) ([]Figure, finding.List, error) {
	a.check()
	w := newWalk(a, e, measure)
	var found finding.List
	ends := w.measure([]step{{at: 0, knob: -1}, {at: 1, knob: -1}})
	var slopes [][]float64
	for panels := 1; ; panels *= 2 {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		slopes = w.slopes(panels)
		if panels >= mostPanels || w.adds(ends, slopes) {
			break
		}
	}
	bends := w.bends()
	var list []Figure
	for i, name := range w.names {
		f := Figure{Figure: name, Relative: relative(name)}
		f.Band, _, _ = strings.Cut(name, " ")
		if side := missing(ends[i], slopes[i]); side != "" {
			found = append(found, finding.New(IDNoFigure, finding.Warning, finding.Place{Band: f.Band},
				finding.Args{"figure": name, "side": side}))
			continue
		}
		m, given := measured[name]
		a.fill(&f, ends[i], curved{slopes[i], bends[i]}, m, given)
		if given && math.Abs(f.NotExplained) > math.Abs(f.Difference)/2 && math.Abs(f.Difference) > a.notable(f) {
			found = append(found, finding.New(IDUnexplained, finding.Warning, finding.Place{Band: f.Band},
				finding.Args{"figure": name, "share": math.Abs(f.NotExplained / f.Difference)}))
		}
		list = append(list, f)
	}
	return list, found, nil
}

// notable is a difference worth asking after: 1 %, or a tenth of a decibel (common
// practice, no source).
func (a *Account) notable(f Figure) float64 {
	if f.Relative {
		return 0.01
	}
	return 0.1
}

// relative: figures in hertz and Qs are counted by their logarithms.
func relative(name string) bool {
	return strings.HasSuffix(name, "_hz") || strings.HasSuffix(name, " q") || name == "q"
}

func missing(ends, slopes []float64) string {
	switch {
	case math.IsNaN(ends[0]):
		return "from"
	case math.IsNaN(ends[1]):
		return "to"
	case slices.ContainsFunc(slopes, math.IsNaN):
		return "way"
	}
	return ""
}

// curved is how a figure changes along the way: its mean slope by knob, and the
// change of that by every knob halfway, nil where nothing is uncertain.
type curved struct {
	slope []float64
	bend  [][]float64
}

// fill makes the account of one figure from its ends and its slopes, which are in
// logarithms where it is relative.
func (a *Account) fill(f *Figure, ends []float64, slopes curved, m Measured, given bool) {
	f.From, f.To = ends[0], ends[1]
	if f.Relative {
		f.From, f.To = math.Exp(ends[0]), math.Exp(ends[1])
	}
	if given {
		f.From, f.To = m.From, m.To
	}
	unit := 1.0 // of a share, by the difference's own measure
	f.Difference = f.To - f.From
	if f.Relative {
		ratio := f.To / f.From
		f.Difference = ratio - 1
		if l := math.Log(ratio); math.Abs(l) > 1e-9 {
			unit = f.Difference / l
		}
	}
	rest := f.Difference
	var neighbours, all []int
	for k := range a.Knobs {
		all = append(all, k)
		s := a.share(slopes, unit, k)
		rest -= s.Share
		switch f.All = append(f.All, s); s.Band {
		case f.Band:
			f.Own = append(f.Own, s)
		case "":
			f.Others = append(f.Others, s)
		default:
			neighbours = append(neighbours, k)
		}
	}
	f.Neighbours, f.Explained = a.share(slopes, unit, neighbours...), a.share(slopes, unit, all...)
	f.NotExplained = rest
	for _, l := range [][]Share{f.All, f.Own, f.Others} {
		slices.SortStableFunc(l, func(x, y Share) int { return cmp.Compare(math.Abs(y.Share), math.Abs(x.Share)) })
	}
}

// share sums what some knobs contribute, with its interval.
func (a *Account) share(slopes curved, unit float64, knobs ...int) Share {
	var s Share
	for _, k := range knobs {
		if len(knobs) == 1 {
			s.Part, s.Field, s.Band = a.Knobs[k].Part, a.Knobs[k].Value, a.Owner[a.Knobs[k].Part]
		}
		s.Share += unit * slopes.slope[k] * a.way(k)
	}
	half := ninetyFive * math.Abs(unit) * math.Sqrt(a.spread(slopes.slope, slopes.bend, knobs))
	s.Low, s.High = s.Share-half, s.Share+half
	return s
}
