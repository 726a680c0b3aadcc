package spread_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/quantity"
	"bandwright/spread"
	"bandwright/trials"
)

// scores are differences in units of their standard errors.
type scores struct {
	n           int
	sum, square float64
	worst       float64
	where       string
}

func (s *scores) add(where string, z float64) {
	s.n++
	s.sum += z
	s.square += z * z
	if math.Abs(z) > math.Abs(s.worst) || math.IsNaN(z) {
		s.worst, s.where = z, where
	}
}

// judge wants the standard errors to be neither too small nor too large. The
// worst of more statistics may lie further out: half a deviation a decade, for
// standard errors near the ends of a sample are themselves uncertain.
func (s *scores) judge(t *testing.T, least int) {
	t.Helper()
	rms := math.Sqrt(s.square / float64(s.n))
	t.Logf("%d statistics: root mean square z %.3f, mean z %+.3f, worst %+.2f (%s)", s.n, rms, s.sum/float64(s.n), s.worst, s.where)
	furthest := 4.5 + 0.5*math.Log10(float64(s.n))
	if s.n < least || !(rms > 0.8 && rms < 1.2) || !(math.Abs(s.worst) < furthest) {
		t.Errorf("at least %d wanted, rms z from 0.8 to 1.2, none beyond %.1f", least, furthest)
	}
}

// exact integrates over two laws of a leg by their quantiles, and over the
// third by its distribution. A batch of coil and capacitor adds the integral over its
// shared score.
type exact struct {
	coil, capacitor, resistor spread.Law
}

const slabs = 60 // of each integral

func middles(visit func(u float64)) {
	for i := range slabs {
		visit((float64(i) + 0.5) / slabs)
	}
}

// below gives the chance that the capacitor is under bound(l, r).
func (e exact) above(bound func(l, r float64) float64) float64 {
	sum := 0.0
	cells := 0
	score := func(visit func(z float64)) { visit(0) }
	if e.coil.Group != "" {
		score = func(visit func(z float64)) { middles(func(u float64) { visit(spread.NormalQuantile(u)) }) }
	}
	resistor := func(visit func(u float64)) { visit(0.5) }
	if e.resistor.Low < e.resistor.High {
		resistor = middles
	}
	a, b := math.Sqrt(e.coil.Common), math.Sqrt(1-e.coil.Common)
	score(func(z float64) {
		middles(func(u float64) {
			if e.coil.Group != "" {
				u = spread.NormalShare(a*z + b*spread.NormalQuantile(u))
			}
			l := e.coil.Quantile(u)
			resistor(func(u float64) {
				share := below(e.capacitor, bound(l, e.resistor.Quantile(u)))
				if e.coil.Group != "" && share > 0 && share < 1 {
					share = spread.NormalShare((spread.NormalQuantile(share) - a*z) / b)
				}
				sum += 1 - share
				cells++
			})
		})
	})
	return sum / float64(cells)
}

// resonance is the chance that the resonance is under hz, q that Q is under q:
// both fall as the capacitor grows.
func (e exact) resonance(hz float64) float64 {
	return e.above(func(l, _ float64) float64 { return 1 / (l * 4 * math.Pi * math.Pi * hz * hz) })
}

func (e exact) q(q float64) float64 {
	return e.above(func(l, r float64) float64 { return l / (q * r * q * r) })
}

// value solves chance(value) = p from a start and a scale.
func value(chance func(float64) float64, p, start, scale float64) float64 {
	low, high := start-scale, start+scale
	for chance(low) > p {
		low -= scale
	}
	for chance(high) < p {
		high += scale
	}
	for range 11 {
		middle := (low + high) / 2
		if chance(middle) < p {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// power gives E[xᵏ] of a law.
func power(l spread.Law, k float64) float64 {
	const n = 20_000
	sum := 0.0
	for i := range n {
		sum += math.Pow(l.Quantile((float64(i)+0.5)/n), k)
	}
	return sum / n
}

// TestClosedForm holds samples of one leg against the closed-form statistics of
// its resonance and its Q, over laws of every shape.
func TestClosedForm(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 1905), 7))
	var s scores
	shapes := []spread.Shape{spread.Flat, spread.Normal, spread.Skewed, spread.Measured}
	for trial := range trials.Count(20) {
		law := func(shape spread.Shape, nominal, widest float64) spread.Law {
			if shape == spread.Measured {
				return spread.MeasuredAs(nominal, nominal*widest*(0.1+rng.Float64()/4))
			}
			return spread.Within(shape, nominal, quantity.Tolerance{Minus: widest * rng.Float64(), Plus: widest * rng.Float64()})
		}
		e := exact{
			coil: law(shapes[trial%4], legHenries, 0.2), capacitor: law(shapes[trial/4%4], legFarads, 0.15),
			resistor: spread.Within(spread.Flat, legOhms, quantity.Tolerance{}),
		}
		switch trial % 3 {
		case 0:
			e.resistor = law(shapes[trial/2%4], legOhms, 0.1)
		case 1:
			if trial%2 == 0 {
				common := 0.2 + 0.7*rng.Float64()
				e.coil, e.capacitor = e.coil.InBatch("lot", common), e.capacitor.InBatch("lot", common)
			}
		}
		scoreLeg(t, &s, e, rng.Uint64())
	}
	s.judge(t, 350)
}

func scoreLeg(t *testing.T, s *scores, e exact, seed uint64) {
	t.Helper()
	p := legPlan(t, 0, 0, 4000, seed)
	p.Laws = []spread.Law{e.coil, e.capacitor, e.resistor}
	hz, q := legHz(legHenries, legFarads), legQ(legHenries, legFarads, legOhms)
	p.Limits = []spread.Limit{{Figure: "resonance_hz", Low: 0.98 * hz, High: 1.01 * hz}, {Figure: "q", Low: 0, High: 1.01 * q}}
	r := mustRun(t, p)
	for _, c := range []struct {
		name   string
		chance func(float64) float64
		within float64
	}{
		{"resonance_hz", e.resonance, e.resonance(1.01*hz) - e.resonance(0.98*hz)}, {"q", e.q, e.q(1.01 * q)},
	} {
		f := figure(t, r, c.name)
		for _, at := range f.Percentiles {
			s.add(c.name, (at.Value-value(c.chance, at.Percent/100, at.Value, 5*at.SE+1e-6*at.Value))/at.SE)
		}
		if se := math.Sqrt(c.within * (1 - c.within) / float64(r.Builds)); se > 0 {
			s.add(c.name+" yield", (f.Yield.Share-c.within)/se)
		} else if math.Abs(f.Yield.Share-c.within) > 1.0/(slabs*slabs) { // certain, as fine as the slabs are
			t.Errorf("%s: yield %v where all or none are within", c.name, f.Yield.Share)
		}
		if e.coil.Group != "" {
			continue // moments of a product need independence
		}
		mean := power(e.coil, -0.5) * power(e.capacitor, -0.5) / (2 * math.Pi)
		square := power(e.coil, -1) * power(e.capacitor, -1) / (4 * math.Pi * math.Pi)
		if c.name == "q" {
			mean = power(e.coil, 0.5) * power(e.capacitor, -0.5) * power(e.resistor, -1)
			square = power(e.coil, 1) * power(e.capacitor, -1) * power(e.resistor, -2)
		}
		s.add(c.name+" mean", (f.Mean-mean)/f.MeanSE)
		s.add(c.name+" deviation", (f.SD-math.Sqrt(square-mean*mean))/f.SDSE)
	}
}

// The table of one leg's tolerances, worked out from df/f = −(dL/L + dC/C)/2 and
// from the exact corners: linear range, corners, root sum square and
// the deviation of flat laws, in per cent.
func TestToleranceTable(t *testing.T) {
	for _, c := range []struct{ coil, capacitor, linear, low, high, square, deviation float64 }{
		{0.05, 0.05, 5, -4.7619, 5.2632, 3.5355, 2.0412},
		{0.10, 0.05, 7.5, -6.9516, 8.1476, 5.5902, 3.2275},
		{0.20, 0.10, 15, -12.9612, 17.8511, 11.1803, 6.4550},
	} {
		p := legPlan(t, c.coil, c.capacitor, 20_000, 5)
		hz := legHz(legHenries, legFarads)
		linear, found, err := spread.Linearised(t.Context(), p)
		if err != nil || len(found) > 0 {
			t.Fatal(err, found)
		}
		percent := func(v float64) float64 { return 100 * v / hz }
		bySquare := math.Hypot(linear[0].Slopes[0]*c.coil*legHenries, linear[0].Slopes[1]*c.capacitor*legFarads)
		bySum := math.Abs(linear[0].Slopes[0]*c.coil*legHenries) + math.Abs(linear[0].Slopes[1]*c.capacitor*legFarads)
		corners, found, err := spread.Corners(t.Context(), p)
		if err != nil || len(found) > 0 {
			t.Fatal(err, found)
		}
		for _, v := range []struct {
			what             string
			got, want, close float64
		}{
			// Slopes are differences over a tenth of a deviation: a trace of their bend stays.
			{"linear", percent(bySum), c.linear, 1e-4}, {"root sum square", percent(bySquare), c.square, 1e-4},
			{"deviation", percent(linear[0].SD), c.deviation, 1e-4},
			{"low corner", percent(*corners[0].Low.Value) - 100, c.low, 2e-5}, {"high corner", percent(*corners[0].High.Value) - 100, c.high, 2e-5},
		} {
			if !near(v.got, v.want, v.close) {
				t.Errorf("%+v: %s %.5f, want %.5f", c, v.what, v.got, v.want)
			}
		}
		r := mustRun(t, p)
		if f := figure(t, r, "resonance_hz"); f.Min < *corners[0].Low.Value || f.Max > *corners[0].High.Value {
			t.Errorf("samples from %g to %g beyond the corners", f.Min, f.Max)
		}
		if found := spread.CheckCorners(corners, r); len(found) > 0 {
			t.Error(found)
		}
	}
}
