package curve

import (
	"math"
	"sort"

	"bandwright/finding"
)

// Difference gives a − b in dB (and degrees, when both have them) at a's
// frequencies inside the range both cover, b interpolated as At does. over
// narrows the range; what it asks beyond the common range is not made up but
// warned of. The result carries a's setting and no origin. Where the coarser
// of the two has fewer than 24 points an octave and had to be interpolated, a
// warning says so. Interpolated noise is no longer independent from point to
// point: take both curves at the same frequencies where uncertainty matters.
func Difference(a, b Curve, over Range) (Curve, finding.List, error) {
	common, notes, err := commonRange(a, b, over)
	if err != nil {
		return Curve{}, nil, err
	}
	d := Curve{Name: a.Name + " − " + b.Name, Setting: a.Setting}
	phase := a.Degrees != nil && b.Degrees != nil
	interpolated := false
	for i, hz := range a.Hz {
		if hz < common.Low || hz > common.High {
			continue
		}
		db, degrees, _ := At(b, hz)
		j := sort.SearchFloat64s(b.Hz, hz)
		interpolated = interpolated || b.Hz[j] != hz
		d.Hz, d.DB = append(d.Hz, hz), append(d.DB, a.DB[i]-db)
		if phase {
			d.Degrees = append(d.Degrees, a.Degrees[i]-degrees)
		}
	}
	if len(d.Hz) == 0 {
		return Curve{}, nil, noOverlap(a.Span(), common)
	}
	if per := math.Min(a.PerOctave(), b.PerOctave()); interpolated && per < wantPerOctave {
		notes = append(notes, fewPoints(per))
	}
	return d, notes, Validate(d)
}

// wantPerOctave is what a measured curve should have (common practice, no source).
const wantPerOctave = 24

func fewPoints(per float64) finding.Finding {
	return finding.New(IDFewPoints, finding.Warning, finding.Place{}, finding.Args{
		"per_octave": per, "want": wantPerOctave})
}

// commonRange is what both curves cover and over asks for.
func commonRange(a, b Curve, over Range) (Range, finding.List, error) {
	if err := Validate(a); err != nil {
		return Range{}, nil, err
	}
	if err := Validate(b); err != nil {
		return Range{}, nil, err
	}
	sa, sb := a.Span(), b.Span()
	common := Range{math.Max(sa.Low, sb.Low), math.Min(sa.High, sb.High)}
	if len(a.Hz) == 0 || len(b.Hz) == 0 || common.Low > common.High {
		return Range{}, nil, noOverlap(sa, sb)
	}
	if over == (Range{}) {
		return common, nil, nil
	}
	inside := Range{math.Max(common.Low, over.Low), math.Min(common.High, over.High)}
	if !(inside.Low <= inside.High) {
		return Range{}, nil, noOverlap(over, common)
	}
	if over.Low < common.Low || over.High > common.High {
		return inside, finding.List{outside(over, common)}, nil
	}
	return inside, nil, nil
}

// Method is how a level is matched.
type Method string

// The two methods of Align.
const (
	LeastSquares Method = "least squares"
	Median       Method = "median" // unmoved by a few bad points
)

// Alignment is the level between two curves, in dB.
type Alignment struct {
	OffsetDB      float64 `json:"offset_db"`         // what was added to the first curve
	StandardError float64 `json:"standard_error_db"` // of the offset, from the scatter left
	ResidualDB    float64 `json:"residual_db"`       // rms of what is left
	Over          Range   `json:"over"`
	Points        int     `json:"points"`
	By            Method  `json:"by"`
}

// levelLimit is the rms in dB beyond which two curves are not the same shape
// and one level between them says little (common practice, no source).
const levelLimit = 0.5

// Align moves a curve in level onto another and reports by how much. Points
// count by the stretch of log frequency they stand for, so that an export with
// equally spaced frequencies is not all treble. Only the level changes.
func Align(c, to Curve, over Range, by Method) (Curve, Alignment, finding.List, error) {
	if by != LeastSquares && by != Median {
		panic("curve: align by " + string(by))
	}
	d, notes, err := Difference(to, c, over)
	if err != nil {
		return Curve{}, Alignment{}, nil, err
	}
	w := octaves(d.Hz)
	l := Alignment{Over: d.Span(), Points: len(d.Hz), By: by}
	if by == Median {
		l.OffsetDB = weightedMedian(d.DB, w)
	} else {
		l.OffsetDB = weightedMean(d.DB, w)
	}
	l.ResidualDB, l.StandardError = scatter(d.DB, w, l.OffsetDB)
	if by == Median {
		// The median of Gaussian scatter is √(π/2) as uncertain as the mean.
		l.StandardError *= math.Sqrt(math.Pi / 2)
	}
	if l.ResidualDB > levelLimit {
		notes = append(notes, finding.New(IDUneven, finding.Warning, finding.Place{},
			finding.Args{"rms": l.ResidualDB, "limit": levelLimit}))
	}
	moved := c.Raised(l.OffsetDB)
	return moved, l, notes, Validate(moved)
}

// Raised gives the curve with its level changed by so many dB.
func (c Curve) Raised(db float64) Curve {
	moved := c
	moved.DB = make([]float64, len(c.DB))
	for i, was := range c.DB {
		moved.DB[i] = was + db
	}
	return moved
}

// octaves gives each point half the octaves to its neighbours as its weight,
// and one to a single point; the weights add up to one.
func octaves(hz []float64) []float64 {
	w := make([]float64, len(hz))
	if len(hz) == 1 {
		w[0] = 1
		return w
	}
	whole := math.Log(hz[len(hz)-1] / hz[0])
	for i := range hz[1:] {
		half := math.Log(hz[i+1]/hz[i]) / 2 / whole
		w[i] += half
		w[i+1] += half
	}
	return w
}

func weightedMean(v, w []float64) float64 {
	sum := 0.0
	for i := range v {
		sum += w[i] * v[i]
	}
	return sum
}

// weightedMedian is the value with half the weight below it; midway when a
// half falls between two values.
func weightedMedian(v, w []float64) float64 {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return v[order[i]] < v[order[j]] })
	sum := 0.0
	for k, i := range order {
		sum += w[i]
		switch {
		case math.Abs(sum-0.5) < 1e-12 && k+1 < len(order):
			return (v[i] + v[order[k+1]]) / 2
		case sum > 0.5:
			return v[i]
		}
	}
	return v[order[len(order)-1]]
}

// scatter gives the weighted rms around a level and the standard error of a
// weighted mean with that scatter, its points independent. One point has none.
func scatter(v, w []float64, level float64) (rms, se float64) {
	squares, weights := 0.0, 0.0
	for i := range v {
		squares += w[i] * (v[i] - level) * (v[i] - level)
		weights += w[i] * w[i]
	}
	if weights >= 1 {
		return 0, 0
	}
	// Unbiased for weights that add up to one: divide by 1 − Σw².
	return math.Sqrt(squares), math.Sqrt(squares / (1 - weights) * weights)
}
