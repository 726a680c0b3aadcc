package leastsq

import (
	"strconv"
	"testing"
)

// Every set is reached from both its starts, and from the second without its
// slopes. (MGH10, MGH17, Eckerle4 and BoxBOD defeat many solvers from the
// first.) What each reaches is in the log: go test -run ReferenceSets -v.
func TestReferenceSets(t *testing.T) {
	for _, ref := range references(t) {
		for s, start := range ref.start {
			ref.try(t, "start "+strconv.Itoa(s+1), ref.problem(), start, 8)
		}
		differences := ref.problem()
		differences.Jacobian = nil
		ref.try(t, "start 2, differences", differences, ref.start[1], 6)
	}
}

// try fits and compares: so many digits of the parameters, six of their
// standard deviations and of the sum.
func (ref reference) try(t *testing.T, way string, p Problem, from []float64, need float64) {
	t.Helper()
	res, err := Solve(p, from, Options{})
	if err != nil {
		t.Errorf("%s %s: %v", ref.name, way, err)
		return
	}
	digits, sd, sum := ref.score(res)
	t.Logf("%-9s %-20s digits %4.1f, sd %4.1f, sum %4.1f; %3d steps, %4d evaluations, %s, offset %.0e",
		ref.name, way, digits, sd, sum, res.Iterations, res.Evaluations, res.Reason, res.Offset)
	if !res.Reason.Converged() || !(digits >= need && sd >= 6 && sum >= 6) {
		t.Errorf("%s %s: digits %.1f, sd %.1f, sum %.1f, %s", ref.name, way, digits, sd, sum, res.Reason)
	}
	if res.Freedom != p.Rows-len(from) || agreeing(res.Sigma, ref.sigma) < 6 {
		t.Errorf("%s: sigma %g with %d degrees of freedom, certified %g", ref.name, res.Sigma, res.Freedom, ref.sigma)
	}
}

// The files and the models belong together: the certified parameters give
// the certified sum, as near as eleven digits of them can.
func TestCertifiedValues(t *testing.T) {
	for _, ref := range references(t) {
		p := ref.problem()
		r := make([]float64, p.Rows)
		p.Residuals(ref.best, r)
		sum := dot(r, r)
		right := agreeing(sum, ref.sum) >= 9
		if ref.name == "Lanczos1" { // eleven digits of parameters are too few for its sum
			right = sum < 1e-20
		}
		if !right {
			t.Errorf("%s: sum %.11g, certified %.11g", ref.name, sum, ref.sum)
		}
	}
}

// The slopes written down agree with differences of the residuals.
func TestModelSlopes(t *testing.T) {
	for _, ref := range references(t) {
		for _, b := range [][]float64{ref.start[0], ref.start[1], ref.best} {
			f := newFit(ref.problem(), b, Options{}.withDefaults())
			f.residuals(f.x, f.r)
			f.differences(f.x, f.r)
			exact := make([][]float64, f.n)
			for k := range exact {
				exact[k] = make([]float64, f.rows)
			}
			f.Jacobian(b, exact)
			for k := range exact {
				axpy(-1, exact[k], f.full[k])
				// The differences' own rounding: residuals over the stride.
				rounding := 1e-15 * norm(ref.y) / f.stride(b[k], k)
				if d := norm(f.full[k]); !(d <= 1e-6*norm(exact[k])+rounding) {
					t.Errorf("%s: slope %d at %v is off by %.1e of %.1e", ref.name, k+1, b, d, norm(exact[k]))
				}
			}
		}
	}
}
