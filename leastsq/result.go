package leastsq

import "math"

// Result is the end of a fit. It shares nothing with what it was made from.
type Result struct {
	P         []float64 // the parameters
	Sum       float64   // Σ (rᵢ/sdᵢ)², priors not counted
	PriorSum  float64   // the priors' share of what was made least
	Residuals []float64 // rᵢ/sdᵢ

	Reason      Reason
	Offset      float64 // relative offset: share of the residuals' length the linear model could still gain
	Iterations  int     // accepted steps
	Evaluations int     // of Residuals, those for differences counted

	// AtBound tells which parameters end at a bound with the sum falling
	// beyond it: −1 lower, +1 upper; 0 the rest. Those, and parameters held
	// by equal bounds (which say 0), count as known in all that follows.
	AtBound []int8

	// Rank is how many directions of the free parameters are determined, by
	// data and priors together; Freedom is rows + priors − Rank.
	Rank, Freedom int
	// Sigma is the standard deviation of a residual of SD 1: estimated as
	// √((Sum+PriorSum)/Freedom), 0 if Freedom is not above 0. It scales the
	// covariance unless Options.KnownSD.
	Sigma float64
	// LackOfFit is the chance of a sum this large or larger if the model is
	// right and Options.KnownSD; 1 if not known or Freedom is 0.
	LackOfFit float64
	// Covariance of the parameters, n×n. Directions that are not determined
	// are left out: a variance then holds only what is determined.
	Covariance [][]float64
	// Determined tells for each parameter whether no undetermined direction
	// takes part of it.
	Determined []bool
	// Undetermined are the directions that neither data nor priors tell.
	Undetermined []Direction
}

// Direction is a change of parameters together that the residuals do not
// show, to first order.
type Direction struct {
	// Share says who takes part: a unit vector over all parameters, each
	// counted by what it does to the residuals alone.
	Share []float64
	// Step is the same as a change of the parameters themselves.
	Step []float64
	// Ratio is the direction's singular value by the largest.
	Ratio float64
}

// SD is the standard error of parameter k, 0 if it is held.
func (r *Result) SD(k int) float64 { return math.Sqrt(r.Covariance[k][k]) }

// Correlation between parameters i and k; 0 if either is held.
func (r *Result) Correlation(i, k int) float64 {
	scale := r.SD(i) * r.SD(k)
	if scale == 0 {
		return 0
	}
	return min(max(r.Covariance[i][k]/scale, -1), 1)
}

// result reads the answer off the last triangle.
func (f *fit) result(reason Reason) *Result {
	res := &Result{P: f.x, Sum: dot(f.r[:f.Rows], f.r[:f.Rows]), PriorSum: dot(f.r[f.Rows:], f.r[f.Rows:]),
		Residuals: f.r[:f.Rows:f.Rows], Reason: reason, Offset: f.offset,
		Iterations: f.iterations, Evaluations: f.evaluations,
		AtBound: make([]int8, f.n), Determined: make([]bool, f.n), LackOfFit: 1}
	for k := range f.n {
		res.Covariance = append(res.Covariance, make([]float64, f.n))
		res.Determined[k] = true
	}
	free := f.atBounds(res.AtBound)
	f.spread(free, res)
	res.Freedom = f.rows - res.Rank
	if res.Freedom > 0 {
		res.Sigma = math.Sqrt((res.Sum + res.PriorSum) / float64(res.Freedom))
		if f.KnownSD {
			res.LackOfFit = ChiSquareAbove(res.Sum+res.PriorSum, res.Freedom)
		}
	}
	if !f.KnownSD {
		for _, row := range res.Covariance {
			for k := range row {
				row[k] = min(max(row[k]*res.Sigma*res.Sigma, -math.MaxFloat64), math.MaxFloat64)
			}
		}
	}
	return res
}

// atBounds fills the flags and gives the coordinates of the box that are free.
func (f *fit) atBounds(flags []int8) (free []int) {
	b := f.box
	clear(b.slope)
	for i := range b.n {
		axpy(b.q[i], b.t[i*b.n+i:(i+1)*b.n], b.slope[i:])
	}
	for i, k := range f.order {
		switch g := b.slope[i]; {
		case f.x[k] == f.Lower[k] && g > 0:
			flags[k] = -1
		case f.x[k] == f.Upper[k] && g < 0:
			flags[k] = 1
		default:
			free = append(free, i)
		}
	}
	return free
}

// spread fills rank, covariance (for a factor of 1) and the directions that
// are not determined, from the singular values of the triangle's free columns
// brought to one length.
func (f *fit) spread(free []int, res *Result) {
	b := f.box
	cols, unit := make([][]float64, len(free)), make([]float64, len(free))
	for c, i := range free {
		cols[c] = make([]float64, b.n)
		for row := range i + 1 {
			cols[c][row] = b.t[row*b.n+i]
		}
		unit[c] = norm(cols[c])
		for row := range cols[c] {
			cols[c][row] /= max(unit[c], faint)
		}
		unit[c] /= f.weight[f.order[i]] // length of the column itself
	}
	values, vectors := singular(cols)
	top := 0.5 // columns that count have length 1, so the largest is above it if there are any
	for _, s := range values {
		top = max(top, s)
	}
	for i, s := range values {
		if s > f.Separable*top {
			res.Rank++
			f.add(free, unit, vectors[i], s, res)
		} else {
			f.miss(free, unit, vectors[i], s/top, res)
		}
	}
}

// add puts one determined direction into the covariance.
func (f *fit) add(free []int, unit, v []float64, s float64, res *Result) {
	each := make([]float64, len(free))
	for c := range each {
		if unit[c] > faint {
			each[c] = v[c] / s / unit[c]
		}
	}
	for c, i := range free {
		for d, j := range free {
			res.Covariance[f.order[i]][f.order[j]] += each[c] * each[d]
		}
	}
}

// miss notes one direction that is not determined. A parameter without any
// slope moves by one.
func (f *fit) miss(free []int, unit, v []float64, ratio float64, res *Result) {
	dir := Direction{Share: make([]float64, f.n), Step: make([]float64, f.n), Ratio: ratio}
	for c, i := range free {
		k := f.order[i]
		dir.Share[k] = v[c]
		dir.Step[k] = v[c]
		if unit[c] > faint {
			dir.Step[k] /= unit[c]
		}
		if math.Abs(v[c]) > 1e-6 {
			res.Determined[k] = false
		}
	}
	res.Undetermined = append(res.Undetermined, dir)
}
