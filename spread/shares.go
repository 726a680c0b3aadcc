package spread

import (
	"cmp"
	"math"
	"slices"

	"bandwright/finding"
)

// buildsPerKnob is how many builds a share needs for every knob: with fewer,
// chance correlations make up more than a tenth of what is explained.
const buildsPerKnob = 10

// regression gathers the sums of a linear regression of every figure on
// the knobs, standardised by their laws. The draws are made again rather than
// kept: they cost a hundredth of the solves.
type regression struct {
	knobs  []int // that vary
	mean   []float64
	scale  []float64 // 1/deviation
	all    sums
	less   []sums      // by figure: what the builds without it put into all
	by     [][]float64 // by figure, by knob: Σ z·(y − mean)
	square []float64   // by figure: Σ (y − mean)²
}

// sums of the standardised knobs z of some builds: Σ z and Σ z·zᵀ (lower triangle, row by row).
type sums struct {
	n     int
	first []float64
	cross []float64
}

func newSums(k int) sums {
	return sums{first: make([]float64, k), cross: make([]float64, k*(k+1)/2)}
}

func (s *sums) add(z []float64) {
	s.n++
	at := 0
	for i, v := range z {
		s.first[i] += v
		row := s.cross[at : at+i+1]
		for j := range row {
			row[j] += v * z[j]
		}
		at += i + 1
	}
}

// explain finds every figure's shares of the variance: with y ≈ Σ bₖ·zₖ by least
// squares, knob k has bₖ·cov(zₖ, y)/var(y) (Hoffman 1960). All shares sum
// to the coefficient of determination; for independent knobs each is the
// squared standardised coefficient. In a batch they divide what the shared draw
// does, and one may be slightly below zero.
func (r *run) explain(result *Result) finding.List {
	var found finding.List
	g := r.newRegression(result)
	need := buildsPerKnob * (len(g.knobs) + 1)
	if len(g.knobs) > 0 {
		g.gather(r, result)
	}
	for f := range result.Figures {
		fig := &result.Figures[f]
		switch {
		case fig.Count == 0 || fig.SD == 0 || len(g.knobs) == 0:
		case fig.Count < need:
			found = append(found, finding.New(IDNoShares, finding.Warning, finding.Place{},
				finding.Args{"figure": fig.Name, "builds": fig.Count, "need": need}))
		default:
			r.share(fig, g, f)
		}
	}
	return found
}

func (r *run) newRegression(result *Result) *regression {
	g := &regression{}
	for i, l := range r.plan.Laws {
		if mean, sd := l.Moments(); sd > 0 {
			g.knobs = append(g.knobs, i)
			g.mean, g.scale = append(g.mean, mean), append(g.scale, 1/sd)
		}
	}
	k := len(g.knobs)
	g.all = newSums(k)
	g.less = make([]sums, len(result.Figures))
	g.square = make([]float64, len(result.Figures))
	for f, fig := range result.Figures {
		g.by = append(g.by, make([]float64, k))
		if fig.None > 0 {
			g.less[f] = newSums(k)
		}
	}
	return g
}

// gather draws the builds once more, in their order. What is summed of a knob
// is summed once for all figures; a build that lacks a figure is noted to be
// taken out for that figure again, which is cheap while such builds are few.
func (g *regression) gather(r *run, result *Result) {
	draw := newGenerator(r.plan.Laws, r.plan.Seed)
	knobs, z := make([]float64, len(r.plan.Laws)), make([]float64, len(g.knobs))
	for build := range result.Builds {
		if build%blockBuilds == 0 {
			draw.begin(build / blockBuilds)
		}
		draw.next(knobs)
		for i, k := range g.knobs {
			z[i] = (knobs[k] - g.mean[i]) * g.scale[i]
		}
		g.all.add(z)
		for f := range result.Figures {
			y := r.values[f][build]
			if !has(y) {
				g.less[f].add(z)
				continue
			}
			y -= result.Figures[f].Mean
			g.square[f] += y * y
			by := g.by[f]
			for i, v := range z {
				by[i] += v * y
			}
		}
	}
}

// share solves for one figure. Σ (y − mean) being zero, the sums by knob need no
// centring of their own.
func (r *run) share(fig *Figure, g *regression, f int) {
	k := len(g.knobs)
	gram := g.centred(f)
	b := slices.Clone(g.by[f])
	solveCholesky(gram, b)
	explained := 0.0
	for i := range k {
		knob := r.plan.Ensemble.Knobs()[g.knobs[i]]
		of := b[i] * g.by[f][i] / g.square[f]
		explained += of
		fig.Shares = append(fig.Shares, Share{Part: knob.Part, Value: knob.Value, Of: of})
	}
	fig.Rest = max(1-explained, 0)
	slices.SortStableFunc(fig.Shares, func(a, b Share) int { return cmp.Compare(b.Of, a.Of) })
}

// centred gives Σ (z − z̄)(z − z̄)ᵀ over the builds that have a figure, with a
// trace of a ridge: parts of one batch that move as one get equal shares, where
// the equations alone would not say.
func (g *regression) centred(f int) [][]float64 {
	const ridge = 1e-10
	less := g.less[f]
	n := float64(g.all.n - less.n)
	first, cross := slices.Clone(g.all.first), slices.Clone(g.all.cross)
	if less.n > 0 {
		for i, v := range less.first {
			first[i] -= v
		}
		for i, v := range less.cross {
			cross[i] -= v
		}
	}
	rows := make([][]float64, len(first))
	at := 0
	for i := range rows {
		rows[i] = cross[at : at+i+1]
		for j := range rows[i] {
			rows[i][j] -= first[i] * first[j] / n
		}
		rows[i][i] += ridge * n
		at += i + 1
	}
	return rows
}

// solveCholesky solves A·x = b in place by A = L·Lᵀ, A given by its lower rows.
// The ridge keeps A positive definite; the floor is for rounding alone.
func solveCholesky(a [][]float64, b []float64) {
	for i, row := range a {
		for j := range row {
			sum := row[j]
			for k := range j {
				sum -= row[k] * a[j][k]
			}
			if j < i {
				row[j] = sum / a[j][j]
			} else {
				row[j] = math.Sqrt(max(sum, math.SmallestNonzeroFloat64))
			}
		}
		sum := b[i]
		for k := range i {
			sum -= row[k] * b[k]
		}
		b[i] = sum / row[i]
	}
	for i := len(b) - 1; i >= 0; i-- {
		sum := b[i]
		for k := i + 1; k < len(b); k++ {
			sum -= a[k][i] * b[k]
		}
		b[i] = sum / a[i][i]
	}
}
