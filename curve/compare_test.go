package curve

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What At states of its accuracy, measured against the formula (cookbook,
// from the work).
func TestInterpolationAccuracy(t *testing.T) {
	for _, c := range []struct{ per, q, bound float64 }{
		{24, 4, 0.04}, {48, 4, 0.006}, {24, 1.414214, 0.003}, {48, 1.414214, 0.0005}, {6, 1.414214, 0.12},
	} {
		peak := bell(20, 20000, c.per, 1000, 12, c.q, 0, nil)
		worst := 0.0
		for hz := 25.0; hz < 16000; hz *= 1.003 {
			db, _, ok := At(peak, hz)
			if !ok {
				t.Fatal(hz)
			}
			worst = math.Max(worst, math.Abs(db-cookbook(hz, 1000, 12, c.q)))
		}
		t.Logf("%v points an octave, Q %v: worst %.5f dB", c.per, c.q, worst)
		if worst > c.bound {
			t.Errorf("%v: %v dB", c, worst)
		}
	}
}

// A parabola in log frequency comes back exactly, ends and uneven spacing
// included; every point is passed through; nothing is given outside.
func TestInterpolationExact(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		a, b, k := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
		law := func(hz float64) float64 { x := math.Log(hz / 500); return a + b*x + k*x*x }
		c := Curve{}
		for hz := 20.0; hz < 20000; hz *= 1.01 + r.Float64() {
			c.Hz, c.DB = append(c.Hz, hz), append(c.DB, law(hz))
		}
		for range 50 {
			s := c.Span()
			hz := s.Low * math.Pow(s.High/s.Low, r.Float64())
			if db, _, ok := At(c, hz); len(c.Hz) > 2 && (!ok || math.Abs(db-law(hz)) > 1e-9) {
				t.Fatal(hz, db, law(hz), ok)
			}
		}
		for i, hz := range c.Hz {
			if db, _, ok := At(c, hz); !ok || db != c.DB[i] {
				t.Fatal("not through its own point", hz)
			}
		}
		if _, _, ok := At(c, c.Hz[0]*0.999); ok {
			t.Fatal("extrapolated")
		}
	}
}

// A wrap at ±180° is no step: the phase of a delay between the points.
func TestPhaseAcrossWrap(t *testing.T) {
	var c Curve
	wrap := func(d float64) float64 { return d - 360*math.Round(d/360) }
	for hz := 100.0; hz < 1000; hz *= 1.02 {
		c.Hz, c.DB = append(c.Hz, hz), append(c.DB, 0)
		c.Degrees = append(c.Degrees, wrap(-hz))
	}
	for hz := 120.0; hz < 900; hz += 1.7 {
		_, d, _ := At(c, hz)
		if miss := wrap(d + hz); math.Abs(miss) > 0.01 {
			t.Fatalf("%v Hz: %v off by %v", hz, d, miss)
		}
	}
}

func TestResample(t *testing.T) {
	c := bell(20, 20000, 48, 1000, 12, 1, 0, nil)
	r, notes, err := Resample(c, []float64{10, 63, 1000, 6300, 30000})
	if err != nil || len(r.Hz) != 3 || !has(notes, IDOutsideRange) || notes[0].Args["left_out"] != 2 {
		t.Fatal(r, notes, err)
	}
	within(t, "1 kHz", r.DB[1], 12, 1e-3)
	if _, _, err = Resample(c, []float64{1, 2}); !isFinding(err, IDNoOverlap) {
		t.Error(err)
	}
	if _, _, err = Resample(c, []float64{100, 90}); !isFinding(err, IDNotRising) {
		t.Error(err)
	}
}

// a − b plus b is a: on one grid to the last digit, on two to the accuracy of
// the interpolation.
func TestDifference(t *testing.T) {
	a, b := bell(20, 20000, 48, 1000, 12, 1, 0, nil), bell(20, 20000, 48, 400, -6, 2, 0, nil)
	d, notes, err := Difference(a, b, Range{})
	if err != nil || len(notes) > 0 || len(d.Hz) != len(a.Hz) {
		t.Fatal(notes, err)
	}
	for i := range d.DB {
		if d.DB[i] != a.DB[i]-b.DB[i] {
			t.Fatal(d.Hz[i])
		}
	}
	other := bell(35, 9000, 40, 400, -6, 2, 0, nil)
	d, _, err = Difference(a, other, Range{})
	if err != nil || d.Hz[0] < 35 || d.Hz[len(d.Hz)-1] > 9000 {
		t.Fatal(d.Span(), err)
	}
	for i, hz := range d.Hz {
		within(t, "difference", d.DB[i], cookbook(hz, 1000, 12, 1)-cookbook(hz, 400, -6, 2), 0.01)
	}
	if _, notes, _ = Difference(a, other, Range{20, 5000}); !has(notes, IDOutsideRange) {
		t.Error("extrapolation asked, nothing said", notes)
	}
	if _, notes, _ = Difference(a, bell(35, 9000, 10, 400, -6, 2, 0, nil), Range{}); !has(notes, IDFewPoints) {
		t.Error("coarse curve interpolated, nothing said", notes)
	}
	if _, _, err = Difference(a, bell(30000, 90000, 48, 40000, 1, 1, 0, nil), Range{}); !isFinding(err, IDNoOverlap) {
		t.Error(err)
	}
	if _, _, err = Difference(a, Curve{Hz: []float64{2, 1}, DB: []float64{0, 0}}, Range{}); !isFinding(err, IDNotRising) {
		t.Error(err)
	}
}

// The level put in comes out; the pull of its standard error is near one; the
// median does not mind a few bad points.
func TestAlign(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	clean := bell(20, 20000, 48, 1000, 12, 1, 0, nil)
	for _, by := range []Method{LeastSquares, Median} {
		pulls := 0.0
		const draws = 200
		for range draws {
			c := bell(20, 20000, 48, 1000, 12, 1, 0.1, r)
			for i := range c.DB {
				c.DB[i] -= 3.25
			}
			_, l, notes, err := Align(c, clean, Range{}, by)
			if err != nil || len(notes) > 0 {
				t.Fatal(notes, err)
			}
			within(t, "offset", l.OffsetDB, 3.25, 0.03)
			within(t, "residual", l.ResidualDB, 0.1, 0.02)
			pulls += math.Pow((l.OffsetDB-3.25)/l.StandardError, 2) / draws
		}
		if rms := math.Sqrt(pulls); rms < 0.8 || rms > 1.25 {
			t.Errorf("%s: rms of pulls %v", by, rms)
		}
	}
	bad := bell(20, 20000, 48, 1000, 12, 1, 0, nil)
	for i := range bad.DB {
		bad.DB[i] -= 1
		if i%10 == 0 {
			bad.DB[i] += 20
		}
	}
	moved, l, notes, err := Align(bad, clean, Range{}, Median)
	if err != nil || !has(notes, IDUneven) {
		t.Error(notes, err)
	}
	within(t, "median", l.OffsetDB, 1, 1e-9)
	within(t, "moved", moved.DB[5], clean.DB[5], 1e-9)
	if bad.DB[5] == moved.DB[5] {
		t.Error("the curve given was changed, or nothing moved")
	}
}

func TestValidate(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		curve Curve
		id    string
	}{
		{Curve{}, ""},
		{Curve{Hz: []float64{20, 30}, DB: []float64{0, -999}, Degrees: []float64{0, 400}}, ""},
		{Curve{Hz: []float64{20, 30}, DB: []float64{0}}, string(IDLengths)},
		{Curve{Hz: []float64{20}, DB: []float64{0}, Degrees: []float64{}}, string(IDLengths)},
		{Curve{Hz: []float64{20, 20}, DB: []float64{0, 0}}, string(IDNotRising)},
		{Curve{Hz: []float64{0, 20}, DB: []float64{0, 0}}, string(IDFrequencyRange)},
		{Curve{Hz: []float64{-5}, DB: []float64{0}}, string(IDFrequencyRange)},
		{Curve{Hz: []float64{nan}, DB: []float64{0}}, string(IDNotFinite)},
		{Curve{Hz: []float64{inf}, DB: []float64{0}}, string(IDNotFinite)},
		{Curve{Hz: []float64{20}, DB: []float64{-inf}}, string(IDNotFinite)},
		{Curve{Hz: []float64{20}, DB: []float64{1001}}, string(IDGainRange)},
		{Curve{Hz: []float64{20}, DB: []float64{0}, Degrees: []float64{nan}}, string(IDNotFinite)},
		{Curve{Hz: []float64{20}, DB: []float64{0}, Degrees: []float64{1e10}}, string(IDPhaseRange)},
	} {
		err := Validate(c.curve)
		if got := idsOf(err); got != c.id {
			t.Errorf("%v: %q, want %q", c.curve, got, c.id)
		}
	}
}
