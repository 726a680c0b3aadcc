package leastsq

import (
	"math"
	"slices"
	"testing"
)

// classic is a problem of Moré, Garbow and Hillstrom, Testing unconstrained
// optimization software (1981), with its known least sums; functions, starts
// and minima from memory of that paper, each minimum confirmed by reaching it
// from several starts. Slopes are taken by differences.
type classic struct {
	name  string
	rows  int
	start []float64
	sums  []float64
	fill  func(p, r []float64)
}

func classics() []classic {
	return []classic{
		{"Rosenbrock", 2, []float64{-1.2, 1}, []float64{0}, func(p, r []float64) {
			r[0], r[1] = 10*(p[1]-p[0]*p[0]), 1-p[0]
		}},
		{"Freudenstein and Roth", 2, []float64{0.5, -2}, []float64{0, 48.98425367924}, func(p, r []float64) {
			r[0] = -13 + p[0] + ((5-p[1])*p[1]-2)*p[1]
			r[1] = -29 + p[0] + ((p[1]+1)*p[1]-14)*p[1]
		}},
		{"Powell badly scaled", 2, []float64{0, 1}, []float64{0}, func(p, r []float64) {
			r[0], r[1] = 1e4*p[0]*p[1]-1, math.Exp(-p[0])+math.Exp(-p[1])-1.0001
		}},
		{"Brown badly scaled", 3, []float64{1, 1}, []float64{0}, func(p, r []float64) {
			r[0], r[1], r[2] = p[0]-1e6, p[1]-2e-6, p[0]*p[1]-2
		}},
		{"Beale", 3, []float64{1, 1}, []float64{0}, func(p, r []float64) {
			for i, y := range [...]float64{1.5, 2.25, 2.625} {
				r[i] = y - p[0]*(1-math.Pow(p[1], float64(i+1)))
			}
		}},
		{"Jennrich and Sampson", 10, []float64{0.3, 0.4}, []float64{124.36218235561}, func(p, r []float64) {
			for i := range r {
				k := float64(i + 1)
				r[i] = 2 + 2*k - (math.Exp(k*p[0]) + math.Exp(k*p[1]))
			}
		}},
		{"Helical valley", 3, []float64{-1, 0, 0}, []float64{0}, func(p, r []float64) {
			turn := math.Atan(p[1]/p[0]) / (2 * math.Pi)
			if p[0] < 0 {
				turn += 0.5
			}
			r[0], r[1], r[2] = 10*(p[2]-10*turn), 10*(math.Hypot(p[0], p[1])-1), p[2]
		}},
		{"Bard", 15, []float64{1, 1, 1}, []float64{8.21487730657e-3}, bard},
		{"Gaussian", 15, []float64{0.4, 1, 0}, []float64{1.12793276961e-8}, func(p, r []float64) {
			for i, y := range [...]float64{0.0009, 0.0044, 0.0175, 0.0540, 0.1295, 0.2420, 0.3521, 0.3989,
				0.3521, 0.2420, 0.1295, 0.0540, 0.0175, 0.0044, 0.0009} {
				d := (7-float64(i))/2 - p[2]
				r[i] = p[0]*math.Exp(-p[1]*d*d/2) - y
			}
		}},
		{"Box three-dimensional", 10, []float64{0, 10, 20}, []float64{0}, func(p, r []float64) {
			for i := range r {
				t := float64(i+1) / 10
				r[i] = math.Exp(-t*p[0]) - math.Exp(-t*p[1]) - p[2]*(math.Exp(-t)-math.Exp(-10*t))
			}
		}},
		{"Powell singular", 4, []float64{3, -1, 0, 1}, []float64{0}, func(p, r []float64) {
			r[0], r[1] = p[0]+10*p[1], math.Sqrt(5)*(p[2]-p[3])
			r[2], r[3] = (p[1]-2*p[2])*(p[1]-2*p[2]), math.Sqrt(10)*(p[0]-p[3])*(p[0]-p[3])
		}},
		{"Wood", 6, []float64{-3, -1, -3, -1}, []float64{0}, func(p, r []float64) {
			r[0], r[1] = 10*(p[1]-p[0]*p[0]), 1-p[0]
			r[2], r[3] = math.Sqrt(90)*(p[3]-p[2]*p[2]), 1-p[2]
			r[4], r[5] = math.Sqrt(10)*(p[1]+p[3]-2), (p[1]-p[3])/math.Sqrt(10)
		}},
		{"Brown and Dennis", 20, []float64{25, 5, -5, -1}, []float64{85822.2016263}, func(p, r []float64) {
			for i := range r {
				t := float64(i+1) / 5
				a, b := p[0]+t*p[1]-math.Exp(t), p[2]+p[3]*math.Sin(t)-math.Cos(t)
				r[i] = a*a + b*b
			}
		}},
		{"Watson, 6", 31, make([]float64, 6), []float64{2.28767005355e-3}, watson},
		{"Watson, 9", 31, make([]float64, 9), []float64{1.39976013802e-6}, watson},
		{"Broyden tridiagonal", 30, constants(30, -1), []float64{0}, func(p, r []float64) {
			for i := range r {
				r[i] = (3-2*p[i])*p[i] + 1
				if i > 0 {
					r[i] -= p[i-1]
				}
				if i+1 < len(p) {
					r[i] -= 2 * p[i+1]
				}
			}
		}},
	}
}

func constants(n int, v float64) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

func bard(p, r []float64) {
	for i, y := range [...]float64{0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39,
		0.37, 0.58, 0.73, 0.96, 1.34, 2.10, 4.39} {
		u := float64(i + 1)
		v := 16 - u
		r[i] = y - (p[0] + u/(v*p[1]+min(u, v)*p[2]))
	}
}

func watson(p, r []float64) {
	for i := range 29 {
		t := float64(i+1) / 29
		slope, value, power := 0.0, 0.0, 1.0
		for j, c := range p {
			value += c * power
			if j+1 < len(p) {
				slope += float64(j+1) * p[j+1] * power
			}
			power *= t
		}
		r[i] = slope - value*value - 1
	}
	r[29], r[30] = p[0], p[1]-p[0]*p[0]-1
}

// Each problem is brought to one of its known minima from its own start, and
// from ten times that where a minimum is known to be found from there.
func TestClassics(t *testing.T) {
	far := []string{"Rosenbrock", "Freudenstein and Roth", "Brown badly scaled", "Helical valley",
		"Powell singular", "Wood", "Brown and Dennis", "Broyden tridiagonal"}
	for _, c := range classics() {
		c.try(t, c.start)
		if slices.Contains(far, c.name) {
			start := make([]float64, len(c.start))
			axpy(10, c.start, start)
			c.try(t, start)
		}
	}
}

func (c classic) try(t *testing.T, start []float64) {
	t.Helper()
	res := mustSolve(t, Problem{Rows: c.rows, Residuals: c.fill}, start, Options{})
	right := false
	for _, sum := range c.sums {
		right = right || math.Abs(res.Sum-sum) <= 1e-8*sum+1e-18
	}
	t.Logf("%-22s sum %.12g, %d steps, %s", c.name, res.Sum, res.Iterations, res.Reason)
	if !right || !res.Reason.Converged() {
		t.Errorf("%s from %v: sum %.12g, want one of %v; %s at %v", c.name, start, res.Sum, c.sums, res.Reason, res.P)
	}
}
