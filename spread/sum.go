package spread

import (
	"math"
	"slices"
	"strconv"
	"sync"

	"bandwright/finding"
)

// always are the percentiles that every result has: the middle, and the ends
// of the central 95 %.
func always() []float64 { return []float64{2.5, 50, 97.5} }

// percents gives all that are to be taken, rising.
func (p Plan) percents() []float64 {
	all := slices.Concat(always(), p.Percents)
	if p.Percents == nil {
		all = append(all, 5, 25, 75, 95)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// Confidence of yields and of what few builds can hold.
const confidence = 0.95

// sumUp makes the result of the first builds.
func (r *run) sumUp(builds int, nominal [][]float64) (*Result, finding.List) {
	result := &Result{Builds: builds, Wanted: r.plan.Count, Seed: r.plan.Seed, Figures: make([]Figure, len(r.names))}
	for _, b := range r.blocks[:(builds+blockBuilds-1)/blockBuilds] {
		result.Solves += b.asked
		result.Redone += b.redone
	}
	percents := r.plan.percents()
	r.eachFigure(func(f int) {
		result.Figures[f] = r.figure(f, r.values[f][:builds], percents)
		if v := nominal[f][0]; has(v) {
			result.Figures[f].Nominal = &v
		}
	})
	found := result.judge()
	found = append(found, r.explain(result)...)
	result.Yield = r.yield(builds, r.plan.Limits)
	return result, found
}

// eachFigure shares the figures out among the workers: sorting them is what
// takes time. Each is summed by one worker in the order of its builds.
func (r *run) eachFigure(visit func(f int)) {
	var all sync.WaitGroup
	workers := max(r.plan.Workers, 1)
	for first := range min(workers, len(r.names)) {
		all.Go(func() {
			for f := first; f < len(r.names); f += workers {
				visit(f)
			}
		})
	}
	all.Wait()
}

// has says whether a build has a figure.
func has(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// figure sums up one figure over the builds that have it. Moments are taken
// before sorting: a sum's last digits hang on its order, and the order of
// builds is the one that nothing changes.
func (r *run) figure(f int, values []float64, percents []float64) Figure {
	fig := Figure{Name: r.names[f]}
	there := make([]float64, 0, len(values))
	for _, v := range values {
		if has(v) {
			there = append(there, v)
		}
	}
	fig.Count, fig.None = len(there), len(values)-len(there)
	var limits []Limit
	for _, l := range r.plan.Limits {
		if l.Figure == fig.Name {
			limits = append(limits, l)
		}
	}
	fig.Yield = r.yield(len(values), limits)
	if len(there) == 0 {
		return fig
	}
	fig.moments(there)
	slices.Sort(there)
	fig.Min, fig.Max = there[0], there[len(there)-1]
	for _, p := range percents {
		fig.Percentiles = append(fig.Percentiles, percentile(there, p))
	}
	return fig
}

// yield counts the builds within all of some limits; nil for no limits. It goes
// build by build and not by the product of each figure's yield: figures share
// parts, and fail together.
func (r *run) yield(builds int, limits []Limit) *Yield {
	if len(limits) == 0 {
		return nil
	}
	y := &Yield{Of: builds}
	for k := range builds {
		good := true
		for _, l := range limits {
			v := r.values[slices.Index(r.names, l.Figure)][k]
			good = good && has(v) && l.Low <= v && v <= l.High
		}
		if good {
			y.Good++
		}
	}
	y.Share = float64(y.Good) / float64(builds)
	y.Low, y.High = Wilson(y.Good, builds, confidence)
	return y
}

// judge says what weakens a result.
func (r *Result) judge() finding.List {
	var found finding.List
	warn := func(id finding.ID, args finding.Args) {
		found = append(found, finding.New(id, finding.Warning, finding.Place{}, args))
	}
	if r.Builds < r.Wanted {
		warn(IDStopped, finding.Args{"builds": r.Builds, "wanted": r.Wanted})
	}
	if need := BuildsNeeded(0.95, confidence, 2); r.Builds < need {
		warn(IDFewBuilds, finding.Args{"builds": r.Builds, "need": need})
	}
	for _, f := range r.Figures {
		if f.None > 0 {
			warn(IDMissing, finding.Args{"figure": f.Name, "missing": f.None, "builds": r.Builds})
		}
	}
	return found
}

// readable gives a number as an argument of a finding: as text where JSON has
// no number for it.
func readable(v float64) any {
	if !has(v) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return v
}
