package bench

import (
	"context"
	"testing"

	"bandwright/finding"
)

// The ranges hold the prediction, and the curves' hold the family's curves
// where both are: at the same settings and frequencies.
func TestRangesHoldThePrediction(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	bands, _, err := c.Bands(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	r, _, err := c.Ranges(ctx)
	if err != nil || len(r.Bands) != len(bands.Bands) || len(r.Curves) != 2*len(bands.Bands) {
		t.Fatalf("%v: %d bands, %d curves", err, len(r.Bands), len(r.Curves))
	}
	for i, b := range r.Bands {
		f := bands.Bands[i]
		for _, in := range []struct {
			what  string
			r     *Range
			value float64
		}{{"centre", b.Centre, f.CentreHz}, {"boost", b.Boost, f.BoostDB}, {"cut", b.Cut, f.CutDB}, {"Q", b.Q, *f.Q}} {
			if in.r == nil || !(in.r.Low < in.value && in.value < in.r.High) {
				t.Errorf("%s of %s: %g not in %+v", in.what, b.Band, in.value, in.r)
			}
		}
	}
	for _, shade := range r.Curves {
		total, err := c.predicted(ctx, "", shade.Setting, shade.Hz)
		if err != nil {
			t.Fatal(err)
		}
		flat, err := c.predicted(ctx, "", c.Settings()[0].Setting, shade.Hz)
		if err != nil {
			t.Fatal(err)
		}
		for i, hz := range shade.Hz {
			// A hundredth of a dB for the medians of few builds beside the nominal one.
			if db := total.DB[i] - flat.DB[i]; db < shade.Low[i]-0.01 || db > shade.High[i]+0.01 {
				t.Errorf("%s at %g Hz: %g dB not in %g to %g", shade.Setting, hz, db, shade.Low[i], shade.High[i])
			}
		}
	}
}

// A job that says of no part how far it may be off has a sheet all the same,
// which says so.
func TestSheetWithoutRanges(t *testing.T) {
	const text = `format = 1
title = "invented"
[tap_in]
source = "1k"
[driver]
drawing = "ideal"
[[band]]
name = "400"
centre = "400 Hz"
slider = { value = "10k" }
resistor = { value = "470R" }
coil = { value = "400 mH" }
capacitor = { value = "390n" }
`
	c, found := Open(context.Background(), "job.toml", []byte(text), nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	a, found, err := c.Sheet(context.Background())
	if err != nil || a.Ranges != nil {
		t.Fatalf("%v, ranges %v", err, a.Ranges)
	}
	f, ok := has(found, IDNothingVaries)
	if !ok || f.Level != finding.Note {
		t.Errorf("not noted: %v", found)
	}
	if _, _, err := c.Spread(context.Background(), SpreadQuestion{Count: 10, Seed: 1}, nil); err == nil {
		t.Error("a spread of nothing")
	}
}
