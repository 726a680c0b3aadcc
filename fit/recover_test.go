package fit_test

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/fit"
	"bandwright/trials"
)

// TestFormula: the drawing and the formula are the same circuit.
func TestFormula(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 71), 1))
	hz := curve.Grid(10, 40e3, 3)
	u := demoUnit().off(rng, 0.2)
	u.feed = 1500
	e := u.build(t)
	for range 5 {
		s := curve.Setting{}
		for _, l := range u.legs {
			s = s.WithSlider(l.band, 2*rng.Float64()-1)
		}
		st, err := e.Solve(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		gain := make([]complex128, len(hz))
		if err := st.Gain(t.Context(), equaliser.Source, equaliser.OutputPoint, hz, gain); err != nil {
			t.Fatal(err)
		}
		for i, g := range gain {
			got, _ := circuit.Decibels(g)
			want, _ := circuit.Decibels(u.gain(s, hz[i]))
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("%s at %g Hz: %.12g dB, formula %.12g", s, hz[i], got, want)
			}
		}
	}
}

// takesOf measures a unit at some settings.
func takesOf(u unit, settings []curve.Setting, hz []float64, rng *rand.Rand, sd float64) []fit.Take {
	var takes []fit.Take
	for _, s := range settings {
		takes = append(takes, fit.Take{Curve: noisy(u.curve(s, hz), rng, sd, 6*rng.NormFloat64())})
	}
	return takes
}

// bound is the Cramér–Rao bound of the logarithms of the leg values, from
// differences of the formula, each curve's level free: the inverse of Σ gᵢgᵢᵀ/sd².
func bound(u unit, settings []curve.Setting, hz []float64, sd float64) [][]float64 {
	n := 3 * len(u.legs)
	info := make([][]float64, n)
	for i := range info {
		info[i] = make([]float64, n)
	}
	const h = 1e-4
	for _, s := range settings {
		rows := make([][]float64, n)
		for k := range rows {
			up, down := moved(u, k, h).curve(s, hz), moved(u, k, -h).curve(s, hz)
			mean := 0.0
			rows[k] = make([]float64, len(hz))
			for i := range hz {
				rows[k][i] = (up.DB[i] - down.DB[i]) / (2 * h) / sd
				mean += rows[k][i] / float64(len(hz))
			}
			for i := range rows[k] {
				rows[k][i] -= mean
			}
		}
		for a := range n {
			for b := range n {
				for i := range hz {
					info[a][b] += rows[a][i] * rows[b][i]
				}
			}
		}
	}
	return inverted(info)
}

// moved gives the unit with the k-th leg value times e^h.
func moved(u unit, k int, h float64) unit {
	v := unit{feed: u.feed, feedback: u.feedback, legs: append([]leg(nil), u.legs...)}
	l := &v.legs[k/3]
	switch k % 3 {
	case 0:
		l.ohms *= math.Exp(h)
	case 1:
		l.henries *= math.Exp(h)
	default:
		l.farads *= math.Exp(h)
	}
	return v
}

// inverted is Gauss and Jordan's elimination with pivoting.
func inverted(a [][]float64) [][]float64 {
	n := len(a)
	inv := make([][]float64, n)
	for i := range inv {
		inv[i] = make([]float64, n)
		inv[i][i] = 1
		a[i] = append([]float64(nil), a[i]...)
	}
	for k := range n {
		p := k
		for i := k; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[p][k]) {
				p = i
			}
		}
		a[k], a[p], inv[k], inv[p] = a[p], a[k], inv[p], inv[k]
		d := a[k][k]
		for j := range n {
			a[k][j] /= d
			inv[k][j] /= d
		}
		for i := range n {
			if f := a[i][k]; i != k && f != 0 {
				for j := range n {
					a[i][j] -= f * a[k][j]
					inv[i][j] -= f * inv[k][j]
				}
			}
		}
	}
	return inv
}

func median(x []float64) float64 {
	x = append([]float64(nil), x...)
	sort.Float64s(x)
	return x[len(x)/2]
}

// TestRecovery: 18 leg values from three curves of 500 points with 0.05 dB of
// noise, the level of each unknown, started from nominal values 5 % off. Errors
// are held to the Cramér–Rao bound, intervals to how often they hold the truth.
func TestRecovery(t *testing.T) {
	const sd = 0.05
	n := trials.Count(100)
	rng := rand.New(rand.NewPCG(trials.Seed(t, 72), 1))
	nominal := demoUnit()
	truth := nominal.off(rng, 0.05)
	hz := curve.Grid(20, 20e3, 50)[:500]
	settings := threeSettings(nominal)
	least := bound(truth, settings, hz, sd)
	want := legValues(truth)
	p := plan(t, nominal, nil)
	p.NoiseDB = sd
	held, square := make([]int, len(want)), make([]float64, len(want))
	var product, whole []float64
	lacking := 0
	for range n {
		p.Takes = takesOf(truth, settings, hz, rng, sd)
		r := solved(t, p)
		for k, v := range r.Values {
			e := math.Log(v.Value / want[k])
			square[k] += e * e / float64(n)
			if v.Low <= want[k] && want[k] <= v.High {
				held[k]++
			}
		}
		for i, l := range truth.legs {
			v := r.Values[3*i : 3*i+3]
			product = append(product, math.Abs(v[1].Value*v[2].Value/(l.henries*l.farads)-1))
			whole = append(whole, math.Abs((v[0].Value+l.dcr)/(l.ohms+l.dcr)-1))
		}
		lacking += len(r.Findings)
	}
	judgeRecovery(t, n, held, square, least)
	t.Logf("median errors: L·C %.4f %%, whole series ohms %.4f %%; findings %d of %d", 100*median(product), 100*median(whole), lacking, n)
	if median(product) > 0.0006 || median(whole) > 0.001 {
		t.Error("L·C within 0.06 % and ohms within 0.1 % wanted")
	}
	if lacking > 1+n/200 {
		t.Error("a right circuit is called a bad fit")
	}
}

// judgeRecovery holds rms errors to 1.1 times the bound and coverage to 95 %; of
// few trials the sampling's own three deviations are allowed beside.
func judgeRecovery(t *testing.T, n int, held []int, square []float64, least [][]float64) {
	t.Helper()
	few := 1 / math.Sqrt(float64(n))
	all, ratio := 0, 0.0
	for k, h := range held {
		all += h
		share := float64(h) / float64(n)
		if slack := max(0.03, 3.5*math.Sqrt(0.95*0.05)*few); math.Abs(share-0.95) > slack {
			t.Errorf("value %d: intervals hold %.1f %%", k, 100*share)
		}
		of := math.Sqrt(square[k] / least[k][k])
		ratio = max(ratio, of)
		if of > 1.1+3*few/math.Sqrt2 && n < 1000 || n >= 1000 && of > 1.1 {
			t.Errorf("value %d: rms error %.3f of the bound", k, of)
		}
	}
	pooled := float64(all) / float64(n*len(held))
	t.Logf("%d fits: intervals hold %.2f %%, largest rms %.3f of the bound", n, 100*pooled, ratio)
	if slack := max(0.015, 0.08*few); math.Abs(pooled-0.95) > slack {
		t.Errorf("pooled coverage %.2f %%", 100*pooled)
	}
}
