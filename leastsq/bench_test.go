package leastsq

import (
	"math"
	"math/rand/v2"
	"testing"
)

// tall is a problem of the size of a real one: three curves of 500 points
// and 18 parameters, six resonances of three each, in logarithms.
func tall() (Problem, []float64) {
	const curves, points, bands = 3, 500, 6
	rng := rand.New(rand.NewPCG(7, 7))
	truth, start := make([]float64, 3*bands), make([]float64, 3*bands)
	for b := range bands {
		truth[3*b], truth[3*b+1], truth[3*b+2] = math.Log(63*math.Pow(2.5, float64(b))), 0.3, math.Log(4)
	}
	for k := range truth {
		start[k] = truth[k] + 0.1*rng.NormFloat64()
	}
	logs := make([]float64, points)
	for i := range logs {
		logs[i] = math.Log(20) + math.Log(1000)*float64(i)/points
	}
	values := func(p, out []float64, j [][]float64) {
		clear(out)
		for b := range bands {
			q, h := math.Exp(p[3*b+1]), math.Exp(p[3*b+2])
			for row := range curves * points {
				u := logs[row%points] - p[3*b]
				d, tilt := 1/(1+q*q*u*u), h*(1-0.3*float64(row/points))
				out[row] += tilt * d
				if j != nil {
					common := tilt * d * d * 2 * q * q * u
					j[3*b][row], j[3*b+1][row], j[3*b+2][row] = common, -common*u, tilt*d
				}
			}
		}
	}
	y, spare := make([]float64, curves*points), make([]float64, curves*points)
	values(truth, y, nil)
	for row := range y {
		y[row] += 0.01 * rng.NormFloat64()
	}
	return Problem{Rows: len(y),
		Residuals: func(p, r []float64) {
			values(p, r, nil)
			axpy(-1, y, r)
		},
		Jacobian: func(p []float64, j [][]float64) { values(p, spare, j) },
	}, start
}

// BenchmarkTall is a whole fit, the model included.
func BenchmarkTall(b *testing.B) {
	p, start := tall()
	b.ReportAllocs()
	steps := 0
	for b.Loop() {
		res, err := Solve(p, start, Options{})
		if err != nil || !res.Reason.Converged() {
			b.Fatal(err, res.Reason)
		}
		steps = res.Iterations
	}
	b.ReportMetric(float64(steps), "steps")
}

// BenchmarkFactor is the engine's own share of one step: 1500×18.
func BenchmarkFactor(b *testing.B) {
	p, start := tall()
	f := newFit(p, start, Options{}.withDefaults())
	if err := f.begin(); err != nil {
		b.Fatal(err)
	}
	model, last := make([][]float64, f.n), make([]float64, f.rows)
	for k := range model {
		model[k] = make([]float64, f.rows)
	}
	p.Jacobian(start, model)
	p.Residuals(start, last)
	for b.Loop() {
		for k := range model {
			copy(f.full[k], model[k])
		}
		copy(f.r, last)
		f.factor()
		f.arrived()
		f.radius = 0.1 * norm(f.moved)
		f.seek()
	}
}
