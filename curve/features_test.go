package curve

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/finding"
)

// SOURCES: Audio EQ Cookbook (from the work) for the response and the width
// at half the dB gain; the figures of the table are worked out from it.
func TestCookbookPeak(t *testing.T) {
	const q = 1.414214
	within(t, "top", cookbook(1000, 1000, 12, q), 12, 1e-12)
	within(t, "low edge", cookbook(1000/math.Sqrt2, 1000, 12, q), 6, 1e-5)
	within(t, "high edge", cookbook(1000*math.Sqrt2, 1000, 12, q), 6, 1e-5)

	f, notes, err := Features(bell(20, 20000, 48, 1000, 12, q, 0, nil), 1050)
	if err != nil || len(notes) > 0 {
		t.Fatal(notes, err)
	}
	within(t, "centre", f.Centre.Value, 1000, 0.02)
	within(t, "height", f.HeightDB.Value, 12, 0.001)
	within(t, "low", f.Low.Value, 1000/math.Sqrt2, 0.1)
	within(t, "high", f.High.Value, 1000*math.Sqrt2, 0.1)
	within(t, "width", f.Width.Value, 1000/math.Sqrt2, 0.1)
	within(t, "Q", f.Q.Value, q, 2e-4)
	// The −3 dB points by bisecting the formula itself.
	low, high := solveFor(1000, 500, 9, q), solveFor(1000, 2000, 9, q)
	within(t, "top Q", f.QTop.Value, 1000/(high-low), 2e-3)
}

// The relation between width in octaves and Q for the cookbook's peak, its
// table worked out from the definition 1/Q = 2 sinh(ln 2/2 · BW).
func TestCookbookWidths(t *testing.T) {
	for _, c := range []struct{ octaves, q float64 }{
		{1.0 / 3, 4.318473}, {1.0 / 2, 2.871000}, {2.0 / 3, 2.144908},
		{1, 1.414214}, {3.0 / 2, 0.919803}, {2, 0.666667},
	} {
		within(t, "relation", qOfOctaves(c.octaves), c.q, 6e-7)
		for _, db := range []float64{12, -9, 4} {
			f, _, err := Features(bell(10, 40000, 96, 630, db, c.q, 0, nil), 630)
			if err != nil {
				t.Fatal(c, db, err)
			}
			if f.Boost != (db > 0) {
				t.Errorf("%v dB taken as boost=%v", db, f.Boost)
			}
			within(t, "height", f.HeightDB.Value, db, 0.002)
			within(t, "Q", f.Q.Value/c.q, 1, 5e-4)
			within(t, "octaves", math.Log2(f.High.Value/f.Low.Value), c.octaves, 5e-4*c.octaves+1e-5)
		}
	}
}

// The standard errors are honest: over seeded draws the pulls (error over its
// standard error) of centre, height, width and Q have an rms near one.
func TestPulls(t *testing.T) {
	const draws = 400
	for i, c := range []struct{ centre, db, q, noise, per float64 }{
		{1013, 12, 1.414214, 0.05, 48},
		{63.7, -9, 0.8, 0.1, 48},
		{2480, 6, 2.5, 0.03, 48},
		{160, 12, 1.0, 0.1, 96},
		{400, 10, 0.7, 0.2, 48},
	} {
		r := rand.New(rand.NewPCG(20260114, uint64(i)))
		bw := 2 / math.Ln2 * math.Asinh(1/(2*c.q))
		width := c.centre * (math.Exp2(bw/2) - math.Exp2(-bw/2))
		sum := map[string]float64{}
		for range draws {
			f, _, err := Features(bell(10, 30000, c.per, c.centre, c.db, c.q, c.noise, r), c.centre*1.1)
			if err != nil || f.Width == nil {
				t.Fatal(c, err)
			}
			for _, p := range []struct {
				name string
				got  Estimate
				want float64
			}{{"centre", f.Centre, c.centre}, {"height", f.HeightDB, c.db}, {"width", *f.Width, width}, {"Q", *f.Q, c.centre / width}} {
				pull := (p.got.Value - p.want) / p.got.SE
				sum[p.name] += pull * pull
			}
			sum["noise"] += f.NoiseDB * f.NoiseDB / c.noise / c.noise
		}
		for _, name := range []string{"centre", "height", "width", "Q", "noise"} {
			rms := math.Sqrt(sum[name] / draws)
			t.Logf("%v: rms of %s %.3f (seed 20260114,%d)", c, name, rms, i)
			if rms < 0.8 || rms > 1.25 {
				t.Errorf("%v: rms of %s is %.3f", c, name, rms)
			}
		}
	}
}

// A band leaning on a neighbour is not symmetrical. The truth is looked for on
// a fine raster of the formula; the standard errors must hold there too.
func TestPullsLeaning(t *testing.T) {
	law := func(hz float64) float64 { return cookbook(hz, 400, 10, 1.1) + cookbook(hz, 1000, -4, 1.1) }
	top, peak := 0.0, 0.0
	for hz := 300.0; hz < 500; hz += 0.001 {
		if db := law(hz); db > peak {
			top, peak = hz, db
		}
	}
	edge := func(inside, outside float64) float64 {
		for range 100 {
			if mid := (inside + outside) / 2; law(mid) > peak/2 {
				inside = mid
			} else {
				outside = mid
			}
		}
		return inside
	}
	width := edge(top, 1000) - edge(top, 100)
	const draws = 200
	var centre, height, wide float64
	for i := range uint64(draws) {
		r := rand.New(rand.NewPCG(400, i))
		c := bell(20, 20000, 48, 1000, 0, 1, 0.05, r)
		for k, hz := range c.Hz {
			c.DB[k] += law(hz)
		}
		f, _, err := Features(c, 400)
		if err != nil {
			t.Fatal(err)
		}
		centre += math.Pow((f.Centre.Value-top)/f.Centre.SE, 2) / draws
		height += math.Pow((f.HeightDB.Value-peak)/f.HeightDB.SE, 2) / draws
		wide += math.Pow((f.Width.Value-width)/f.Width.SE, 2) / draws
	}
	for name, square := range map[string]float64{"centre": centre, "height": height, "width": wide} {
		rms := math.Sqrt(square)
		t.Logf("rms of %s %.3f", name, rms)
		if rms < 0.8 || rms > 1.25 {
			t.Errorf("rms of %s %.3f", name, rms)
		}
	}
}

// Two bands, 63 and 400: the one nearest the asked frequency is measured, and
// nothing is found where neither is.
func TestNearest(t *testing.T) {
	a, b := bell(10, 20000, 48, 63, 12, 1.4, 0, nil), bell(10, 20000, 48, 400, -10, 1.4, 0, nil)
	for i := range a.DB {
		a.DB[i] += b.DB[i] + 1e-4*math.Sin(float64(i)*1.7)
	}
	f, _, err := Features(a, 70)
	if err != nil || !f.Boost || math.Abs(f.Centre.Value-63) > 2 {
		t.Error(f.Centre, err)
	}
	if f, _, err = Features(a, 350); err != nil || f.Boost || math.Abs(f.Centre.Value-400) > 12 {
		t.Error(f.Centre, err)
	}
	if _, _, err = Features(a, 6300); !isFinding(err, IDNoExtremum) {
		t.Error(err)
	}
}

func TestNothingStandsOut(t *testing.T) {
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 5))
		noise := bell(20, 20000, 48, 1000, 0, 1, 0.1, r)
		if f, _, err := Features(noise, 1000); !isFinding(err, IDNoExtremum) {
			t.Errorf("seed %d: noise alone gave %v, %v", seed, f, err)
		}
	}
	slope := bell(20, 20000, 48, 20000, 12, 0.7, 0, nil)
	if _, _, err := Features(slope, 1000); !isFinding(err, IDNoExtremum) {
		t.Error(err)
	}
}

func TestWeakMeasurements(t *testing.T) {
	coarse := bell(20, 20000, 12, 1000, 12, 1, 0, nil)
	f, notes, err := Features(coarse, 1000)
	if err != nil || !has(notes, IDFewPoints) {
		t.Error(notes, err)
	}
	within(t, "coarse centre", f.Centre.Value, 1000, 5)

	if _, _, err = Features(bell(20, 20000, 2, 1000, 12, 1, 0, nil), 1000); !isFinding(err, IDNotEnough) {
		t.Error(err)
	}
	needle := bell(20, 20000, 24, 1000, 20, 30, 0, nil)
	if _, _, err = Features(needle, 1000); err == nil {
		t.Error("a needle between the points was measured")
	}
	if _, _, err = Features(Curve{}, 1000); !isFinding(err, IDNotEnough) {
		t.Error(err)
	}
}

// A band at the end of the measured range has one edge, so no width and no Q.
func TestMissingEdge(t *testing.T) {
	f, notes, err := Features(bell(45, 20000, 48, 63, 12, 1, 0, nil), 63)
	if err != nil || !has(notes, IDEdgeNone) {
		t.Fatal(notes, err)
	}
	if f.Low != nil || f.High == nil || f.Width != nil || f.Q != nil {
		t.Error(f.Low, f.High, f.Width, f.Q)
	}
	within(t, "centre", f.Centre.Value, 63, 0.1)
	small, _, err := Features(bell(20, 20000, 48, 1000, 2.5, 1, 0, nil), 1000)
	if err != nil || small.QTop != nil || small.Q == nil {
		t.Error("2.5 dB high, and 3 dB below the top", small.QTop, err)
	}
}

// The same band exported with equally spaced frequencies, thousands of them.
func TestLinearSpacing(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	var c Curve
	for i := 1; i < 12000; i++ {
		hz := float64(i) * 2
		c.Hz, c.DB = append(c.Hz, hz), append(c.DB, cookbook(hz, 1013, 9, 2)+0.2*r.NormFloat64())
	}
	f, _, err := Features(c, 1000)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "centre", f.Centre.Value, 1013, 4*f.Centre.SE)
	within(t, "height", f.HeightDB.Value, 9, 4*f.HeightDB.SE)
	within(t, "Q", f.Q.Value, 2, 4*f.Q.SE)
}

// Whatever the curve, the answer is finite or an error.
func TestFeaturesNeverNaN(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 11))
		var c Curve
		hz := 20.0
		for range 10 + r.IntN(200) {
			hz *= 1 + r.ExpFloat64()*0.05 + 1e-9
			c.Hz = append(c.Hz, hz)
			c.DB = append(c.DB, math.Round(r.NormFloat64()*math.Pow(10, float64(r.IntN(4))-1)*10)/10)
		}
		f, _, err := Features(c, hz/(1+r.Float64()*5))
		if err != nil {
			continue
		}
		for _, e := range []*Estimate{&f.Centre, &f.HeightDB, f.Low, f.High, f.Width, f.Q, f.TopLow, f.TopHigh, f.QTop} {
			if e != nil && !(finite(e.Value) && finite(e.SE) && e.SE >= 0) {
				t.Fatalf("seed %d: %+v", seed, f)
			}
		}
	}
}

func solveFor(inside, outside, db, q float64) float64 {
	for range 200 {
		mid := (inside + outside) / 2
		if cookbook(mid, 1000, 12, q) > db {
			inside = mid
		} else {
			outside = mid
		}
	}
	return inside
}

func within(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, by)
	}
}

func has(l finding.List, id finding.ID) bool {
	for _, f := range l {
		if f.ID == id {
			return true
		}
	}
	return false
}

func isFinding(err error, id finding.ID) bool {
	l, _ := finding.From(err)
	return has(l, id)
}
