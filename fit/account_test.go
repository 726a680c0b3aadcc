package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fit"
	"bandwright/trials"
)

// bandFigures are centre and boost of one band by the formula: the top of gain at
// full boost less gain flat, by golden section within a factor of two of the
// leg's resonance.
func bandFigures(u unit, band int) (logHz, db float64) {
	l := u.legs[band]
	up, flat := curve.Setting{}.WithSlider(l.band, 1), curve.Setting{}
	at := func(x float64) float64 {
		hz := math.Exp(x)
		a, _ := circuit.Decibels(u.gain(up, hz))
		b, _ := circuit.Decibels(u.gain(flat, hz))
		return a - b
	}
	x0 := -math.Log(2 * math.Pi * math.Sqrt(l.henries*l.farads))
	// The best of a few points brackets the top; parabolas then sharpen it.
	best := x0
	for k := -8; k <= 8; k++ {
		if x := x0 + float64(k)*0.04; at(x) > at(best) {
			best = x
		}
	}
	for _, h := range []float64{0.04, 0.01, 0.003, 0.003} {
		a, b, c := at(best-h), at(best), at(best+h)
		best -= h * (c - a) / 2 / (a - 2*b + c)
	}
	return best, at(best)
}

// trueShares integrates differences of the formula along the straight path in the
// logarithms, by the middles of equal steps: the slow twin of an account.
func trueShares(from, to unit, band int) (centre, boost []float64) {
	const steps, h = 8, 1e-3
	a, b := legValues(from), legValues(to)
	centre, boost = make([]float64, len(a)), make([]float64, len(a))
	for n := range steps {
		at := unit{feed: from.feed, feedback: from.feedback, legs: append([]leg(nil), from.legs...)}
		t := (float64(n) + 0.5) / steps
		for k := range a {
			at = moved(at, k, t*math.Log(b[k]/a[k]))
		}
		for k := range a {
			x1, d1 := bandFigures(moved(at, k, h), band)
			x0, d0 := bandFigures(moved(at, k, -h), band)
			way := math.Log(b[k]/a[k]) / (2 * h) / steps
			centre[k] += (x1 - x0) * way
			boost[k] += (d1 - d0) * way
		}
	}
	return centre, boost
}

// accountOf prepares the account of a unit's legs.
func accountOf(t testing.TB, u unit) (*fit.Account, func(measured map[string]fit.Measured) []fit.Figure) {
	t.Helper()
	e := u.build(t)
	a := &fit.Account{Circuit: e.Circuit(), Source: "source", Out: "return", Owner: map[string]string{}}
	for _, x := range legUnknowns(u) {
		a.Knobs = append(a.Knobs, x.Knob)
	}
	for _, l := range u.legs {
		for _, part := range []string{".resistor", ".coil", ".capacitor"} {
			a.Owner[l.band+part] = l.band
		}
	}
	s, found, err := e.Sampling(t.Context(), e.Solve, a.Knobs)
	if err != nil || len(found) > 0 {
		t.Fatal(err, found)
	}
	return a, func(measured map[string]fit.Measured) []fit.Figure {
		list, found, err := a.Figures(t.Context(), s.Ensemble, s.Measure(), measured)
		if err != nil || len(found) > 0 {
			t.Fatal(err, found)
		}
		return list
	}
}

// tops gives what would be measured of both units' bands.
func tops(from, to unit) map[string]fit.Measured {
	m := map[string]fit.Measured{}
	for band, l := range from.legs {
		x0, d0 := bandFigures(from, band)
		x1, d1 := bandFigures(to, band)
		m[l.band+" centre_hz"] = fit.Measured{From: math.Exp(x0), To: math.Exp(x1)}
		m[l.band+" boost_db"] = fit.Measured{From: d0, To: d1}
	}
	return m
}

func largest(x []float64) int {
	best := 0
	for i, v := range x {
		if math.Abs(v) > math.Abs(x[best]) {
			best = i
		}
	}
	return best
}

// TestAccountExact: with exact values the shares are those of the slow twin.
func TestAccountExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 81), 1))
	for range trials.Count(2) {
		from := demoUnit().off(rng, 0.05)
		to := from.off(rng, 0.1)
		a, figures := accountOf(t, from)
		a.From.Values, a.To.Values = legValues(from), legValues(to)
		list := figures(tops(from, to))
		checkWidths(t, list)
		for _, f := range list {
			for band, l := range from.legs {
				if f.Figure == l.band+" boost_db" {
					_, want := trueShares(from, to, band)
					compareShares(t, f, a.Knobs, want, 1, 0.005)
				}
				if f.Figure == l.band+" centre_hz" {
					want, _ := trueShares(from, to, band)
					compareShares(t, f, a.Knobs, want, f.Difference/math.Log1p(f.Difference), 0.0005)
				}
			}
		}
	}
}

// checkWidths: widths are centre over Q, and their shares add up too.
func checkWidths(t *testing.T, list []fit.Figure) {
	t.Helper()
	by := map[string]fit.Figure{}
	for _, f := range list {
		by[f.Figure] = f
	}
	for name, f := range by {
		if f.Band+" width_hz" != name {
			continue
		}
		q := by[f.Band+" q"]
		if len(q.All) == 0 || math.Abs(f.NotExplained) > 0.001 || math.Abs(f.Explained.Share-f.Difference) > 0.001 {
			t.Errorf("%+v", f)
		}
		for _, s := range f.Own {
			if s.Low > s.Share || s.High < s.Share {
				t.Errorf("%+v", s)
			}
		}
	}
	if _, ok := by["400 width_hz"]; !ok {
		t.Error("no width")
	}
}

func compareShares(t *testing.T, f fit.Figure, knobs []circuit.Knob, want []float64, unit, within float64) {
	t.Helper()
	for k, knob := range knobs {
		for _, s := range f.All {
			if s.Part == knob.Part && math.Abs(s.Share-want[k]*unit) > within {
				t.Errorf("%s: %s has %.5f, slow twin %.5f", f.Figure, s.Part, s.Share, want[k]*unit)
			}
		}
	}
	if math.Abs(f.NotExplained) > within {
		t.Errorf("%s: %.5f of %.5f not explained, and all is", f.Figure, f.NotExplained, f.Difference)
	}
}

// TestAccountOfFits: two units are known by three curves each with 0.05 dB of
// noise. The fitted values' account names the part that contributes most in each
// figure, and shares and remainder are the whole difference.
func TestAccountOfFits(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 82), 1))
	n := trials.Count(42)
	nominal := demoUnit()
	hz := curve.Grid(20, 20e3, 50)[:500]
	a, figures := accountOf(t, nominal)
	p := plan(t, nominal, nil)
	p.NoiseDB = 0.05
	right, asked, held, shares := 0, 0, 0, 0
	worst := 0.0
	for range n {
		from, to := nominal.off(rng, 0.05), nominal.off(rng, 0.05)
		p.Takes = takesOf(from, threeSettings(nominal), hz, rng, 0.05)
		a.From = solved(t, p).Side()
		p.Takes = takesOf(to, threeSettings(nominal), hz, rng, 0.05)
		a.To = solved(t, p).Side()
		band := rng.IntN(len(from.legs))
		centre, boost := trueShares(from, to, band)
		for _, f := range figures(tops(from, to)) {
			sum := f.NotExplained
			for _, s := range f.All {
				sum += s.Share
			}
			if math.Abs(sum-f.Difference) > 1e-9 {
				t.Errorf("%s: shares and remainder make %g of %g", f.Figure, sum, f.Difference)
			}
			want := boost
			switch f.Figure {
			case from.legs[band].band + " boost_db":
				worst = max(worst, math.Abs(f.NotExplained))
			case from.legs[band].band + " centre_hz":
				want = centre
			default:
				continue
			}
			asked++
			k := largest(want)
			if f.All[0].Part == a.Knobs[k].Part {
				right++
			}
			unit := 1.0
			if f.Relative {
				unit = f.Difference / math.Log1p(f.Difference)
			}
			for _, s := range f.Own {
				shares++
				for k, knob := range a.Knobs {
					if knob.Part == s.Part && s.Low <= want[k]*unit && want[k]*unit <= s.High {
						held++
					}
				}
			}
		}
	}
	t.Logf("largest right in %d of %d; boost not explained by up to %.3f dB; intervals hold %d of %d", right, asked, worst, held, shares)
	// The three values of a leg err together, so that few pairs are fewer still.
	if least := 0.93 - 0.5/math.Sqrt(float64(n)); 10*right < 9*asked || asked != 2*n || float64(held) < least*float64(shares) {
		t.Errorf("90 %% right and %.0f %% held wanted", 100*least)
	}
}

// TestAccountCurve: at every frequency shares and remainder are the difference,
// and the circuit's own difference is explained to 0.02 dB.
func TestAccountCurve(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 83), 1))
	hz := curve.Grid(20, 20e3, 12)
	for range trials.Count(20) {
		from := demoUnit().off(rng, 0.1)
		to := from.off(rng, 0.1)
		a, _ := accountOf(t, from)
		a.From.Values, a.To.Values = legValues(from), legValues(to)
		s := sliders(from, []string{"++++++", "+-0+-0", "000000"}[rng.IntN(3)])
		x, y := from.curve(s, hz).DB, to.curve(s, hz).DB
		c, err := a.Curve(t.Context(), s, hz, x, y)
		if err != nil {
			t.Fatal(err)
		}
		for i := range hz {
			sum := c.NotExplained[i]
			for _, p := range c.Shares {
				sum += p.DB[i]
			}
			if math.Abs(sum-(y[i]-x[i])) > 1e-9 || math.Abs(c.NotExplained[i]) > 0.02 {
				t.Errorf("%g Hz: %g of %g, %g not explained", hz[i], sum, y[i]-x[i], c.NotExplained[i])
			}
		}
	}
}
