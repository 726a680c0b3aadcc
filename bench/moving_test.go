package bench

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// A curve that moves is the curve that stands, to what no screen shows: what is
// said of it, and its refinement, are left out.
func TestMovingIsGains(t *testing.T) {
	c := demoCase(t)
	for _, set := range []string{"", "400=+0.37", "63=-1,6300=+1", "lift", "bypass"} {
		moving, err := c.Moving(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		stands, _, err := c.Gains(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		if moving.Residual != nil || stands.Residual == nil {
			t.Errorf("%q: residuals %v and %v", set, moving.Residual, stands.Residual)
		}
		for i, row := range moving.Rows {
			is := stands.Rows[i]
			if row.Hz != is.Hz || math.Abs(*row.DB-*is.DB) > 1e-6 || math.Abs(row.Degrees-is.Degrees) > 1e-5 {
				t.Errorf("%q: a moving curve differs from the one that stands: %+v, %+v", set, row, is)
			}
		}
	}
	if _, err := c.Moving(t.Context(), "400=+2", nil); err == nil {
		t.Error("a slider beyond its travel is asked without complaint")
	}
	if _, err := c.Moving(t.Context(), "", []float64{-1}); err == nil {
		t.Error("a frequency below nothing is asked without complaint")
	}
}

// However many settings a hand has passed through, a curve is what it is where
// nothing was asked before, to the last digit: page and command say the same.
func TestMovingKeepsNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261130), 1))
	passed := demoCase(t)
	for range 4 {
		set := "400=" + string("+-"[rng.IntN(2)]) + "0.73,63=+1,6300=-0.2" + []string{"", ",lift"}[rng.IntN(2)]
		for _, other := range []string{"400=+1", "63=-1,160=-1", "lift", "bypass,1000=+0.5"} {
			if _, err := passed.Moving(t.Context(), other, nil); err != nil {
				t.Fatal(err)
			}
		}
		is, err := passed.Moving(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		first, err := demoCase(t).Moving(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(is, first) {
			t.Errorf("%s: not the same after other settings", set)
		}
	}
}

// The shares that follow a hand are those that stand, to what no screen shows.
func TestMovingShares(t *testing.T) {
	c := demoCase(t)
	for _, set := range []string{"400=+1", "160=0.5,400=-0.8", "63=-1,lift"} {
		moving, err := c.MovingShares(t.Context(), set, 400)
		if err != nil {
			t.Fatal(err)
		}
		stands, _, err := c.Shares(t.Context(), set, 400)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(*moving.TotalDB-*stands.TotalDB) > 1e-9 || math.Abs(*moving.FlatDB-*stands.FlatDB) > 1e-9 {
			t.Errorf("%s: total %g, flat %g; they stand at %g and %g", set, *moving.TotalDB, *moving.FlatDB, *stands.TotalDB, *stands.FlatDB)
		}
		for i, s := range moving.Sliders {
			if is := stands.Sliders[i]; s.Band != is.Band || math.Abs(*s.DB-*is.DB) > 1e-9 {
				t.Errorf("%s: %s has %g, and stands at %g", set, s.Band, *s.DB, *is.DB)
			}
		}
	}
}

// Where a slider carries direct current the operating point moves with it, and a
// curve under a hand has the one of every setting.
func TestMovingWithTheOperatingPoint(t *testing.T) {
	c := demoCase(t)
	edited, err := c.equaliser.Circuit().Edited(circuit.Short("C.emitter", 0, 1, 1e3), circuit.Short("400.capacitor", 0, 1, 1e3))
	if err != nil {
		t.Fatal(err)
	}
	leaking := &Case{job: c.job, name: c.name, equaliser: c.equaliser.With(edited), states: map[string]*circuit.State{}}
	for _, set := range []string{"400=+1", "400=-0.4,63=+0.2"} {
		moving, err := leaking.Moving(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		stands, _, err := leaking.Gains(t.Context(), set, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range moving.Rows {
			if math.Abs(*row.DB-*stands.Rows[i].DB) > 1e-6 {
				t.Fatalf("%s at %g Hz: %g moving, %g standing", set, row.Hz, *row.DB, *stands.Rows[i].DB)
			}
		}
	}
	for _, p := range leaking.strips {
		if !p.made || p.tuning != nil {
			t.Error("a strip that moves the operating point is turned without it")
		}
	}
}
