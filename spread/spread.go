// Package spread samples a whole circuit: what the tolerances of the parts at
// hand do to every figure of it, how many builds lie within limits, which
// parts the spread comes from, and how far off the worst build may be.
//
// It knows parts only as the knobs of a circuit.Ensemble, and figures only as
// what a circuit.Measure takes of its builds: any figure that can be measured
// of a build can be spread.
//
// Builds are drawn plainly at random, each independent of all others, and not
// by a stratified plan (Latin hypercube, Sobol'): those narrow the means but
// hardly the percentiles at the ends, which is what is asked for here, and
// would take the meaning from every standard error given. So the standard
// errors are those of independent draws, and hold.
//
// The same plan gives the same bytes with any number of workers: builds come in
// blocks, each with a generator of its own seeded by the plan's seed and the
// block's number, and every sum runs in the order of the builds.
package spread

import (
	"bandwright/circuit"
	"bandwright/finding"
)

// Findings of a plan that cannot be run: errors.
const (
	// IDBadLaw: a law that no part can follow. Place: the part. value (of the
	// part); wrong, one of "shape", "ends", "deviation", "common".
	IDBadLaw finding.ID = "spread.bad-law"
	// IDCount: so many builds cannot be made. builds, most.
	IDCount finding.ID = "spread.count"
	// IDNoFigure: a limit is set on a figure that is not measured. figure,
	// known (comma list).
	IDNoFigure finding.ID = "spread.no-figure"
	// IDBadPercent: a percentile outside 0 to 100. percent.
	IDBadPercent finding.ID = "spread.bad-percent"
	// IDBadLimit: the low limit of a figure lies above its high one. figure,
	// low, high.
	IDBadLimit finding.ID = "spread.bad-limit"
)

// Findings of a weak result: warnings.
const (
	// IDStopped: stopped before all builds were made. builds, wanted.
	IDStopped finding.ID = "spread.stopped"
	// IDFewBuilds: too few builds for their lowest and highest to hold 95 % of
	// all with 95 % confidence. builds, need.
	IDFewBuilds finding.ID = "spread.few-builds"
	// IDNoShares: too few builds to say which parts the spread comes from.
	// figure, builds, need.
	IDNoShares finding.ID = "spread.no-shares"
	// IDMissing: some builds do not have a figure. figure, missing, builds.
	IDMissing finding.ID = "spread.missing"
	// IDNoCorner: some combination on the way to the worst has no such figure,
	// so the worst is not known for sure. figure; end, "low" or "high".
	IDNoCorner finding.ID = "spread.no-corner"
	// IDBeyondCorner: a sampled build lies beyond the worst combination found
	// by signs, so that is not the worst. figure; end, "low" or "high"; corner,
	// sampled.
	IDBeyondCorner finding.ID = "spread.beyond-corner"
	// IDNoLinear: a figure has no linear range, some build beside the middle
	// lacking it. figure.
	IDNoLinear finding.ID = "spread.no-linear"
	// IDNotLinear: the linear range differs from the sampled one by more than
	// a tenth of its width. figure, linear_low, linear_high, sampled_low,
	// sampled_high; off, the difference as a share of the width.
	IDNotLinear finding.ID = "spread.not-linear"
)

// Plan is what to sample.
type Plan struct {
	Ensemble *circuit.Ensemble
	Measure  func() circuit.Measure // makes one a worker
	Laws     []Law                  // by knob of the ensemble
	Limits   []Limit
	Percents []float64 // beside 2.5, 50 and 97.5; nil: 5, 25, 75 and 95
	Count    int       // builds, 1 to MostBuilds
	Seed     uint64
	Workers  int // goroutines; below 1: one
	// Progress is told how many builds are done of how many, never twice at
	// once. Blocks end in any order. nil: nobody asks.
	Progress func(done, total int)
}

// MostBuilds of one run: their figures are kept, 8 bytes each.
const MostBuilds = 4_000_000

// Limit is what a figure must lie within; ±Inf leaves an end open.
type Limit struct {
	Figure    string
	Low, High float64
}

// Result is what was found. The order of Figures is the measure's.
type Result struct {
	Builds  int      `json:"builds"` // made; fewer than Wanted when stopped
	Wanted  int      `json:"wanted"`
	Seed    uint64   `json:"seed"`
	Solves  int      `json:"solves"` // of the equations, in all
	Redone  int      `json:"redone"` // of them, solved again with full pivoting
	Figures []Figure `json:"figures"`
	Yield   *Yield   `json:"yield"` // within all limits together; nil: no limits
}

// Figure is how one figure spreads over the builds that have it.
type Figure struct {
	Name        string       `json:"name"`
	Nominal     *float64     `json:"nominal"` // with every knob at its law's nominal; nil: none there
	Count       int          `json:"count"`   // builds that have it
	None        int          `json:"none"`    // and that do not
	Mean        float64      `json:"mean"`
	MeanSE      float64      `json:"mean_se"`
	SD          float64      `json:"sd"`
	SDSE        float64      `json:"sd_se"`
	Min         float64      `json:"min"`
	Max         float64      `json:"max"`
	Percentiles []Percentile `json:"percentiles"` // rising
	Yield       *Yield       `json:"yield"`       // nil: no limits on it
	Shares      []Share      `json:"shares"`      // of the variance, largest first; nil: not known
	Rest        float64      `json:"rest"`        // of the variance: what no straight line explains
}

// Percentile is the value that Percent of the builds lie below.
type Percentile struct {
	Percent float64 `json:"percent"`
	Value   float64 `json:"value"`
	SE      float64 `json:"se"` // standard error, see percentile
}

// Yield is how many builds lie within limits; a build without the figure does
// not. Low and High are Wilson's 95 % interval of the share.
type Yield struct {
	Good  int     `json:"good"`
	Of    int     `json:"of"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Share is one knob's part in a figure's variance.
type Share struct {
	Part  string  `json:"part"`
	Value string  `json:"value"`
	Of    float64 `json:"of"` // a fraction; all of a figure and its Rest make 1
}

// At gives a figure by its name.
func (r *Result) At(name string) (Figure, bool) {
	for _, f := range r.Figures {
		if f.Name == name {
			return f, true
		}
	}
	return Figure{}, false
}

// At gives a percentile; asking for one that was not taken panics, and so does
// asking a figure that no build has.
func (f Figure) At(percent float64) Percentile {
	for _, p := range f.Percentiles {
		if p.Percent == percent {
			return p
		}
	}
	panic("spread: a percentile that was not taken")
}
