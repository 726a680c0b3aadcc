package leastsq

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/trials"
)

// product is y = p₀·p₁·x + p₂: the two factors show only together. The third
// is of another magnitude.
func product(differences bool) Problem {
	p := Problem{Rows: 20, Residuals: func(p, r []float64) {
		for i := range r {
			r[i] = p[0]*p[1]*float64(i) + 1e6*p[2] - 6*float64(i) - 7 + 0.1*math.Sin(9*float64(i))
		}
	}}
	if !differences {
		p.Jacobian = func(p []float64, j [][]float64) {
			for i := range j[0] {
				j[0][i], j[1][i], j[2][i] = p[1]*float64(i), p[0]*float64(i), 1e6
			}
		}
	}
	return p
}

// Two parameters that show only as a product are found and said; the third
// keeps its error. A prior on one of them tells them apart.
func TestUndetermined(t *testing.T) {
	for _, differences := range []bool{false, true} {
		res := mustSolve(t, product(differences), []float64{1, 1, 0}, Options{})
		if !res.Reason.Converged() || res.Rank != 2 || res.Freedom != 18 || len(res.Undetermined) != 1 {
			t.Fatalf("rank %d, %d directions, %s", res.Rank, len(res.Undetermined), res.Reason)
		}
		d := res.Undetermined[0]
		if math.Abs(norm(d.Share)-1) > 1e-9 || math.Abs(d.Share[2]) > 1e-6 ||
			math.Abs(d.Share[0]*d.Share[1]+0.5) > 1e-6 {
			t.Errorf("share %v", d.Share)
		}
		// Along the step the product stays: dp₀/p₀ = −dp₁/p₁.
		if a, b := d.Step[0]/res.P[0], d.Step[1]/res.P[1]; math.Abs(a+b) > 1e-6*math.Abs(a) || a == 0 {
			t.Errorf("step %v at %v", d.Step, res.P)
		}
		if res.Determined[0] || res.Determined[1] || !res.Determined[2] {
			t.Errorf("determined %v", res.Determined)
		}
		finite(t, res)
		known := mustSolve(t, product(differences), []float64{1, 1, 0},
			Options{Priors: []Prior{{3, 0.1}, {}, {}}})
		if known.Rank != 3 || len(known.Undetermined) != 0 || math.Abs(known.P[0]-3) > 1e-7 ||
			math.Abs(known.SD(2)/res.SD(2)-1) > 0.1 {
			t.Errorf("with a prior: rank %d at %v ± %g", known.Rank, known.P, known.SD(2))
		}
		if c := known.Correlation(0, 1); c > -0.5 || c < -1 {
			t.Errorf("correlation of the factors %g", c)
		}
	}
}

// A parameter the residuals do not see at all is a direction by itself; so is
// every parameter beyond the number of rows.
func TestUnseen(t *testing.T) {
	p := Problem{Rows: 2, Residuals: func(p, r []float64) { r[0], r[1] = p[0]-3, p[0]+p[2]-4 }}
	res := mustSolve(t, p, []float64{0, 5, 0}, Options{})
	if res.Rank != 2 || len(res.Undetermined) != 1 || res.Determined[1] || !res.Determined[0] || res.P[1] != 5 ||
		math.Abs(res.Undetermined[0].Step[1]) != 1 || math.Abs(res.P[2]-1) > 1e-9 || res.Freedom != 0 || res.Sigma != 0 {
		t.Errorf("%+v", res)
	}
	finite(t, res)
	few := Problem{Rows: 1, Residuals: func(p, r []float64) { r[0] = p[0] + 2*p[1] + 3*p[2] - 6 }}
	res = mustSolve(t, few, []float64{0, 0, 0}, Options{})
	if !res.Reason.Converged() || res.Rank != 1 || len(res.Undetermined) != 2 || res.Freedom != 0 {
		t.Errorf("%+v", res)
	}
	finite(t, res)
	none := mustSolve(t, Problem{Rows: 1, Residuals: func(_, r []float64) { r[0] = 2 }}, nil, Options{})
	if none.Sum != 4 || none.Rank != 0 || none.Reason != Stationary {
		t.Errorf("no parameters: %+v", none)
	}
}

// Drawn data: the pulls (found − true)/error have a spread of one, with σ
// known or estimated, and the chance of the sum is spread evenly.
func TestCovarianceAgainstDrawing(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 51), 1))
	truth := []float64{3, 0.7, 40}
	for _, known := range []bool{true, false} {
		draws := trials.Count(1500)
		pulls, low, correlation, cross := 0.0, 0, 0.0, 0.0
		y, sd := make([]float64, 60), make([]float64, 60)
		model := func(p []float64, i int) float64 { return p[0]*math.Exp(-p[1]*float64(i)/10) + p[2] }
		p := Problem{Rows: len(y), SD: sd, Residuals: func(p, r []float64) {
			for i := range r {
				r[i] = model(p, i) - y[i]
			}
		}}
		for range draws {
			for i := range y {
				sd[i] = 0.01 * (1 + float64(i%4))
				y[i] = model(truth, i) + sd[i]*rng.NormFloat64()
				if !known { // only relative: all too small by a factor
					sd[i] /= 7
				}
			}
			o := Options{KnownSD: known, Priors: []Prior{{}, {}, {truth[2] + 0.01*rng.NormFloat64(), 0.01}}}
			if !known {
				o.Priors = nil
			}
			res := mustSolve(t, p, []float64{2, 1, 30}, o)
			for k := range truth {
				pull := (res.P[k] - truth[k]) / res.SD(k)
				pulls += pull * pull
			}
			cross += (res.P[0] - truth[0]) / res.SD(0) * (res.P[2] - truth[2]) / res.SD(2)
			correlation += res.Correlation(0, 2)
			if res.LackOfFit < 0.25 {
				low++
			}
		}
		n := float64(draws)
		rms := math.Sqrt(pulls / (3 * n))
		t.Logf("known %v: pulls %.3f, correlation %.3f drawn %.3f, chance below ¼: %.3f",
			known, rms, correlation/n, cross/n, float64(low)/n)
		if rms < 0.95 || rms > 1.05 {
			t.Errorf("pulls have a spread of %.3f", rms)
		}
		if math.Abs(correlation-cross)/n > 0.1 {
			t.Errorf("correlation %.3f, drawn %.3f", correlation/n, cross/n)
		}
		if share := float64(low) / n; known && math.Abs(share-0.25) > 0.05 {
			t.Errorf("chance below ¼ in %.3f of the draws", share)
		}
	}
}

// Chi-square against its closed forms: a sum of Poisson terms for an even
// number of degrees of freedom, the error function and more terms for an odd.
func TestChiSquare(t *testing.T) {
	for freedom := 1; freedom <= 400; freedom += 1 + freedom/7 {
		for _, factor := range []float64{1e-3, 0.1, 0.5, 0.8, 1, 1.2, 2, 5} {
			x := factor * float64(freedom)
			want, term, first := 0.0, math.Exp(-x/2), 1.0
			if freedom%2 == 1 {
				want = math.Erfc(math.Sqrt(x / 2))
				term, first = math.Sqrt(2*x/math.Pi)*math.Exp(-x/2), 1.5
			}
			for i := range freedom / 2 {
				want += term
				term *= x / 2 / (first + float64(i))
			}
			if got := ChiSquareAbove(x, freedom); math.Abs(got-want) > 1e-12+1e-10*want {
				t.Errorf("chi-square %g with %d: %.15g, want %.15g", x, freedom, got, want)
			}
		}
	}
	if ChiSquareAbove(0, 3) != 1 || ChiSquareAbove(1e6, 3) != 0 {
		t.Error("the ends are wrong")
	}
}

// Singular values put back: A·V has columns of those lengths at right angles,
// and V turns without stretching. Small values come out to full precision of
// a matrix made with known ones.
func TestSingular(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 52), 1))
	for range trials.Count(100) {
		n := 1 + rng.IntN(15)
		a, _ := randomLinear(rng, n+rng.IntN(4), n)
		if n > 2 {
			copy(a[n-1], a[0]) // one direction less
		}
		spent := make([][]float64, n)
		for c := range a {
			spent[c] = append([]float64(nil), a[c]...)
		}
		values, v := singular(spent)
		for i := range n {
			image := make([]float64, len(a[0]))
			for c := range n {
				axpy(v[i][c], a[c], image)
			}
			top := 0.0
			for c := range n {
				top = max(top, norm(a[c]))
			}
			if math.Abs(norm(image)-values[i]) > 1e-13*top*float64(n) {
				t.Errorf("A·v has length %g, want %g", norm(image), values[i])
			}
			for k := range n {
				want := 0.0
				if i == k {
					want = 1
				}
				if math.Abs(dot(v[i], v[k])-want) > 1e-13 {
					t.Errorf("V is not orthogonal: %g at %d,%d", dot(v[i], v[k]), i, k)
				}
			}
		}
	}
}
