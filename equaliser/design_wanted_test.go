package equaliser

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/trials"
)

// typed gives a band curve at the frequencies of a one-third-octave chart, as
// a person reads it off: to some step of a dB.
func typed(t *testing.T, e *Equaliser, band string, position, about, step float64) curve.Curve {
	t.Helper()
	var c curve.Curve
	for k := -4; k <= 4; k++ {
		c.Hz = append(c.Hz, math.Round(about*math.Pow(2, float64(k)/3)*100)/100)
	}
	flat := gains(t, mustSolve(t, e, e.Flat()), c.Hz)
	for i, g := range gains(t, mustSolve(t, e, curve.Setting{}.WithSlider(band, position)), c.Hz) {
		db := dB(g) - dB(flat[i])
		if step > 0 {
			db = math.Round(db/step) * step
		}
		c.DB = append(c.DB, db)
	}
	return c
}

// A band alone in an ideal cell is the fitted response exactly: points of it
// give centre, boost and Q back.
func TestWantedFromPointsOfOneBand(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20260303), 1))
	for range trials.Count(20) {
		s := drawLegs(r, DrawingIdeal, 1)
		s.SourceOhms, s.Bands[0].Slider.BoostEnd, s.Bands[0].Slider.CutEnd = 0, 0, 0
		e := mustBuild(t, s)
		f, _, err := e.Feature(context.Background(), nil, "b0", e.Flat())
		if err != nil || f.Q == nil {
			t.Fatal(err)
		}
		for _, position := range []float64{1, -1} {
			w, found, err := WantedAt("b0", typed(t, e, "b0", position, f.CentreHz*math.Exp(0.2*r.NormFloat64()), 0))
			if err != nil || len(found) > 0 {
				t.Fatal(err, found)
			}
			db := w.BoostDB - f.BoostDB
			if position < 0 {
				db = w.CutDB - f.CutDB
			}
			if math.Abs(w.CentreHz/f.CentreHz-1) > 1e-6 || math.Abs(db) > 1e-6 || math.Abs(w.Q/(*f.Q)-1) > 1e-6 {
				t.Errorf("%+v from %g Hz, %g dB, %g dB, Q %g", w, f.CentreHz, f.BoostDB, f.CutDB, *f.Q)
			}
		}
	}
}

// An original's drawing and typed points of its curves lead to the same
// boards: another equaliser with other feed, sliders and legs is designed after
// it and does what it does.
func TestDesignAfterAnOriginal(t *testing.T) {
	original := mustBuild(t, six())
	features, _, err := original.Features(context.Background(), nil, original.Flat())
	if err != nil {
		t.Fatal(err)
	}
	copied := forgotten(six())
	copied.Feedback, copied.Feed = 3300, 3300
	for i := range copied.Bands {
		copied.Bands[i].Slider.Track = 47e3
	}
	wanted := WantedOf(features)
	d, found := mustDesign(t, copied, Targets{Wanted: wanted, OhmsPerHenry: 10})
	if len(found) > 0 || len(wanted) != len(features) {
		t.Error(found)
	}
	for i, w := range wanted {
		if share, db := checkReached(t, d.Equaliser, nil, w); share > 1e-3 || db > 0.01 {
			t.Errorf("%s: off by %g and %g dB", w.Band, share, db)
		}
		read, _, err := WantedAt(w.Band, typed(t, original, w.Band, 1, features[i].StatedHz, 0.1))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(math.Log(read.CentreHz/w.CentreHz)) > 0.03 || math.Abs(read.BoostDB-w.BoostDB) > 0.4 || math.Abs(math.Log(read.Q/w.Q)) > 0.15 {
			t.Errorf("read %+v, is %+v", read, w)
		}
	}
}

func TestPointsThatDoNotTell(t *testing.T) {
	for _, c := range []struct {
		name   string
		points curve.Curve
		want   finding.ID
		level  finding.Level
	}{
		{"two", curve.Curve{Hz: []float64{100, 200}, DB: []float64{3, 6}}, IDPointsFew, finding.Error},
		{"level", curve.Curve{Hz: []float64{100, 200, 400}, DB: []float64{0, 0, 0}}, IDPointsFew, finding.Error},
		{"two peaks", curve.Curve{Hz: []float64{100, 200, 400, 800, 1600}, DB: []float64{9, 1, 10, 0, 8}}, IDPointsRough, finding.Warning},
		{"one side", curve.Curve{Hz: []float64{100, 110, 120, 130}, DB: []float64{3, 3.4, 3.5, 4.1}}, IDPointsNoTop, finding.Warning},
		{"vague", curve.Curve{Hz: []float64{100, 200, 400, 800}, DB: []float64{3, 3.5, 3.4, 3.5}}, IDPointsVague, finding.Warning},
	} {
		_, found, err := WantedAt("63", c.points)
		if list, ok := finding.From(err); ok {
			found = list
		}
		i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.ID == c.want })
		if i < 0 || found[i].Level != c.level || found[i].Place.Band != "63" {
			t.Errorf("%s: %v", c.name, found)
		}
	}
}
