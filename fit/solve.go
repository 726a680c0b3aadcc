package fit

import (
	"context"
	"math"
	"slices"

	"bandwright/finding"
	"bandwright/leastsq"
)

const (
	// weakPrior is the standard deviation of every logarithm's prior that has
	// none: a factor of twenty either way. It keeps what curves do not tell from
	// running away, and moves what they do tell by its square: nothing.
	weakPrior = 3.0
	// coarsePoints is about how many points of a take the first search looks at.
	coarsePoints = 60
	// offsets at which a search ends: well below what noise does to the answer.
	coarseOffset, fineOffset = 0.02, 1e-3
	mostSteps                = 100
	ninetyFive               = 1.959964 // of the normal law
	widest                   = 50.0     // half of an interval in logarithms, at most: it must be a number
)

// Solve finds the unknowns. The error is a finding.List of what cannot be asked,
// or the context's.
func Solve(ctx context.Context, p Plan) (*Result, error) {
	if err := p.check().Err(); err != nil {
		return nil, err
	}
	m, err := newModel(ctx, &p)
	if err != nil {
		return nil, err
	}
	if want := m.size() + 1; m.rows() < want {
		return nil, finding.List{finding.New(IDFewPoints, finding.Error, finding.Place{},
			finding.Args{"points": m.rows(), "want": want})}
	}
	s := &search{ctx: ctx, model: m}
	s.frame()
	var unseen finding.List
	if p.FromNothing {
		if unseen, err = s.fromNothing(); err != nil {
			return nil, err
		}
	}
	answer, err := s.run()
	if err != nil {
		return nil, err
	}
	r := m.result(answer)
	r.Findings = append(unseen, r.Findings...)
	return r, m.settle(ctx, r)
}

// search is the parameters' frame: where they begin, end, and what is believed.
type search struct {
	ctx          context.Context
	model        *model
	start        []float64
	lower, upper []float64
	priors       []leastsq.Prior
}

// frame fills it in.
func (s *search) frame() {
	m := s.model
	add := func(start, low, high, mean, sd float64) {
		s.start, s.lower, s.upper = append(s.start, start), append(s.lower, low), append(s.upper, high)
		s.priors = append(s.priors, leastsq.Prior{Mean: mean, SD: sd})
	}
	for _, u := range m.plan.Unknowns {
		own, start, low, high := m.plan.limits(u)
		sd := u.Prior
		if sd == 0 {
			sd = weakPrior
		}
		add(math.Log(start), math.Log(low), math.Log(high), math.Log(own), sd)
	}
	for _, x := range m.positions {
		add(x.At, -1, 1, x.At, m.plan.PositionSD)
	}
	for range m.levels {
		add(0, math.Inf(-1), math.Inf(1), 0, 0)
	}
}

// run searches with few points, then with all. Noise that is not stated is found
// from what is left, and what is believed beforehand weighed against it.
//
// Levels set out from where they leave least. From 0 dB, a curve that lies some
// way off would be met first by whatever in the circuit raises a curve: legs run
// off to where they are flat, and do not come back.
func (s *search) run() (*leastsq.Result, error) {
	m, search := s.model, s.descend
	if most := m.longest(); most >= 2*coarsePoints && m.rows()*coarsePoints/most > 3*m.size() {
		thin := m.thinned(most / coarsePoints)
		thin.levelled(s.start)
		r, err := s.descend(thin, coarseOffset)
		if err != nil {
			return nil, err
		}
		s.start = r.P
		search = func(m *model, offset float64) (*leastsq.Result, error) { return s.solve(m, offset, reaches[0]) }
	} else {
		m.levelled(s.start)
	}
	r, err := search(m, fineOffset)
	if err != nil || m.plan.stated() {
		return r, err
	}
	m.rescale(math.Sqrt(r.Sum / float64(max(1, m.rows()-m.size()))))
	s.start = r.P
	return s.solve(m, fineOffset, reaches[0])
}

// reaches are the first trust regions that are tried, as shares of the start's
// length. Logarithms of farads are long, and a step of their whole length leads
// to where the model is flat.
var reaches = []float64{0.1, 0.01, 0.001}

// descend runs the fit from s.start. If what is left is more than noise it runs
// again with shorter first steps, and the best end counts; then with single values
// a decade out.
func (s *search) descend(m *model, offset float64) (*leastsq.Result, error) {
	var best *leastsq.Result
	for _, reach := range reaches {
		r, err := s.solve(m, offset, reach)
		if err != nil {
			return nil, err
		}
		if best == nil || r.Sum+r.PriorSum < best.Sum+best.PriorSum {
			best = r
		}
		if m.explained(best) {
			return best, nil
		}
	}
	if s.model.plan.FromNothing {
		return best, nil
	}
	if r, err := s.decade(m, offset); r != nil || err != nil {
		return r, err
	}
	return best, nil
}

// explained says that what is left looks like noise: by its size where that is
// stated, else by its run.
func (m *model) explained(r *leastsq.Result) bool {
	if m.plan.stated() {
		return r.Sum < goodRatio*float64(m.rows())
	}
	m.ask(r.P)
	return !m.broken && !slices.ContainsFunc(m.takes, func(k *take) bool { return wander(k.residual) > mostWander })
}

// solve runs one fit from s.start.
func (s *search) solve(m *model, offset, reach float64) (*leastsq.Result, error) {
	r, err := leastsq.Solve(
		leastsq.Problem{Rows: m.rows(), Residuals: m.residuals, Jacobian: m.jacobian},
		s.start, leastsq.Options{Lower: s.lower, Upper: s.upper, Priors: s.priors, KnownSD: true,
			Offset: offset, Reach: reach, Iterations: mostSteps, Continue: func(int, []float64, float64) bool { return s.ctx.Err() == nil }})
	if s.ctx.Err() != nil {
		return nil, s.ctx.Err()
	}
	if err != nil {
		return nil, m.noGain()
	}
	return r, nil
}

// stated says whether the noise of every take is.
func (p *Plan) stated() bool {
	if p.NoiseDB > 0 {
		return true
	}
	for _, t := range p.Takes {
		if t.NoiseDB == 0 {
			return false
		}
	}
	return true
}

func (m *model) longest() int {
	most := 0
	for _, k := range m.takes {
		most = max(most, len(k.hz))
	}
	return most
}

// rescale takes the noise that is not stated to be so many times the guess.
func (m *model) rescale(factor float64) {
	const least = 1e-6 // of the guess: curves without any noise
	for i, k := range m.takes {
		if t := m.plan.Takes[i]; t.NoiseDB > 0 {
			continue
		}
		k.sd = guessDB * max(factor, least)
		if k.level >= 0 {
			for j := range k.columns[k.level] {
				k.columns[k.level][j] = 1 / k.sd
			}
		}
	}
	if m.stage != nil {
		m.stage = newContrast(m.takes)
	}
	m.asked = nil
}
