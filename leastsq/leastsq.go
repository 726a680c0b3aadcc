// Package leastsq finds the parameters that make a sum of squares least:
//
//	Σ (rᵢ(p)/sdᵢ)² + Σ ((p_k − mean_k)/sd_k)²,  lower ≤ p ≤ upper
//
// It knows no parts, no units and no files. Parameters may be of very
// different magnitudes: every step is the same, to rounding, whatever unit a
// parameter is counted in. Whether to fit a value or its logarithm is the
// caller's choice.
//
// # Method
//
// Levenberg–Marquardt as a trust region with Moré's scaling (The
// Levenberg–Marquardt algorithm: implementation and theory, 1978): each
// column of the Jacobian is measured by the greatest length it has had. The
// Jacobian, with a row for every prior, is factored by Householder
// reflections with column pivoting (Businger and Golub 1965) and the heaviest
// row first (Powell and Reid 1968); normal equations are never formed. The step within the trust region is then found
// on the small triangle, with the damping sought by Hebden's iteration.
//
// Bounds are part of every step: the damped linear problem is solved inside
// its box by an active set (Stark and Parker, Bounded-variable least squares,
// 1995), so a parameter reaches a bound, stays or leaves it as the slopes ask,
// and no point outside the bounds is ever evaluated.
//
// A trial whose residuals or slopes are not finite is a refused step. The
// end is judged by the relative offset (Bates and Watts 1981): how much of
// the residual's length the linear model could still take away.
//
// A fit may run off to where the model is flat and stop there, since the sum
// can fall no further: standard errors far larger than their parameters tell.
//
// # Promises
//
// Residuals and Jacobian fill slices that are made once; an iteration makes
// no garbage. The same problem gives the same answer, bit for bit. A result
// holds no NaN and no infinity. Wrong dimensions and bounds panic, since they
// are the calling code's mistake; a start where the residuals are not finite
// is a *BadStart error.
package leastsq

import (
	"fmt"
	"math"
)

// Problem is what is to be fitted.
type Problem struct {
	// Rows is how many residuals there are.
	Rows int
	// Residuals fills r, Rows long, at the parameters p. It must not change
	// p nor keep either slice. NaN or infinity mean "not to be had here".
	Residuals func(p, r []float64)
	// Jacobian fills j[k][i] with ∂rᵢ/∂p_k; column k is Rows long and comes
	// zeroed. Nil means differences of the residuals, two evaluations a
	// parameter.
	Jacobian func(p []float64, j [][]float64)
	// SD is the standard deviation of each residual: rows are divided by it.
	// Nil means 1 for all.
	SD []float64
}

// Prior is what is known of a parameter beforehand: a normal law. SD 0 means
// nothing is known.
type Prior struct {
	Mean, SD float64
}

// Options tune a fit. The zero value means no bounds, no priors, the
// defaults below, and a common standard deviation that is estimated.
type Options struct {
	// Lower and Upper bound the parameters; nil means none. Equal bounds
	// hold a parameter. A start outside is moved to its bound.
	Lower, Upper []float64
	// Priors has one entry a parameter, or is nil. Each is one more row.
	Priors []Prior
	// Typical is the least size each parameter is taken to have when a
	// difference step is chosen (6e-6 of its size); nil means 1e-3 of its
	// start, or 1e-3 if that is zero. It changes nothing if slopes are given.
	Typical []float64
	// KnownSD says Problem.SD are true standard deviations, so that the sum
	// of squares is tested by chi-square and the covariance is not scaled.
	// If false, SD are only relative and the common factor is estimated from
	// the residuals; SDs of priors are then counted in that factor too.
	KnownSD bool
	// Iterations is the most accepted steps; 0 means 500.
	Iterations int
	// Offset is the relative offset at which the fit has converged, 0 means
	// 1e-10.
	Offset float64
	// Reach is the first trust region's radius as a share of the scaled
	// length of the start; 0 means 1. From a far start another reach may find
	// another minimum.
	Reach float64
	// Separable is the least singular value, relative to the largest, of a
	// direction that counts as determined; columns are scaled to one length
	// first. 0 means 1e-9.
	Separable float64
	// Continue is asked before every iteration and ends the fit by false; the
	// result is then what was reached. It must not keep or change p.
	Continue func(iteration int, p []float64, sum float64) bool
}

// Reason says why a fit ended.
type Reason uint8

// The reasons. The first three are convergence.
const (
	Stationary Reason = iota // the relative offset is below Options.Offset
	Exact                    // nothing is left of the residuals
	Rounding                 // what is left to gain is below the rounding of the residuals
	Stalled                  // no step makes the sum smaller, though the slopes promise it: are they right?
	Limit                    // Options.Iterations is used up
	Stopped                  // Options.Continue said so
)

// Converged tells whether the answer is a minimum, as far as can be known.
func (r Reason) Converged() bool { return r <= Rounding }

// String gives the reason in words, for logs and tests.
func (r Reason) String() string {
	words := [...]string{"stationary", "exact", "rounding", "stalled", "limit", "stopped"}
	if int(r) >= len(words) {
		panic(fmt.Sprintf("leastsq: reason %d", r))
	}
	return words[r]
}

// BadStart is the error of a start at which the fit cannot begin.
type BadStart struct {
	Row       int // the first residual that is not finite
	Parameter int // −1, or the parameter whose slope is not finite there
}

// Error names the row, and the parameter if it is a slope.
func (b *BadStart) Error() string {
	if b.Parameter < 0 {
		return fmt.Sprintf("leastsq: residual %d is not finite at the start", b.Row)
	}
	return fmt.Sprintf("leastsq: the slope of residual %d by parameter %d is not finite at the start", b.Row, b.Parameter)
}

// Solve fits from the start given, which it does not change. The only error
// is *BadStart; whether the fit has converged is Result.Reason.
func Solve(p Problem, start []float64, o Options) (*Result, error) {
	o = o.withDefaults()
	p.check()
	o.check(len(start))
	f := newFit(p, start, o)
	if err := f.begin(); err != nil {
		return nil, err
	}
	reason := f.run()
	return f.result(reason), nil
}

func (o Options) withDefaults() Options {
	for _, d := range [...]struct {
		field *float64
		value float64
	}{{&o.Offset, 1e-10}, {&o.Reach, 1}, {&o.Separable, 1e-9}} {
		if *d.field == 0 {
			*d.field = d.value
		}
	}
	if o.Iterations == 0 {
		o.Iterations = 500
	}
	return o
}

func (p Problem) check() {
	if p.Residuals == nil || p.Rows < 0 {
		panic("leastsq: a problem without residuals")
	}
	if p.SD != nil && len(p.SD) != p.Rows {
		panic(fmt.Sprintf("leastsq: %d standard deviations for %d rows", len(p.SD), p.Rows))
	}
	for i, sd := range p.SD {
		if !(sd > 0) || math.IsInf(sd, 1) {
			panic(fmt.Sprintf("leastsq: standard deviation %g in row %d", sd, i))
		}
	}
}

func (o Options) check(n int) {
	for _, s := range [...]struct {
		what string
		size int
		nil  bool
	}{{"lower bounds", len(o.Lower), o.Lower == nil}, {"upper bounds", len(o.Upper), o.Upper == nil},
		{"priors", len(o.Priors), o.Priors == nil}, {"typical sizes", len(o.Typical), o.Typical == nil}} {
		if !s.nil && s.size != n {
			panic(fmt.Sprintf("leastsq: %d %s for %d parameters", s.size, s.what, n))
		}
	}
	for k, p := range o.Priors {
		if !(p.SD >= 0) || math.IsInf(p.SD, 1) || math.IsNaN(p.Mean) || math.IsInf(p.Mean, 0) {
			panic(fmt.Sprintf("leastsq: prior %g ± %g of parameter %d", p.Mean, p.SD, k))
		}
	}
	for k, t := range o.Typical {
		if !(t > 0) || math.IsInf(t, 1) {
			panic(fmt.Sprintf("leastsq: typical size %g of parameter %d", t, k))
		}
	}
	if !(o.Offset > 0 && o.Reach > 0 && o.Separable > 0 && o.Separable < 1 && o.Iterations > 0) {
		panic("leastsq: a limit or tolerance below zero")
	}
}
