package bench

import (
	"testing"

	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

// Typed wishes are read in any order, in the bench's own units; what is kept
// is the job's own part, and a series goes to what serves a wanted figure.
func TestTargetsInWords(t *testing.T) {
	c := demoCase(t)
	got, err := c.Targets(DesignWords{Bands: []string{"400: Q 1.2 boost 10dB centre 0.4k", "63:cut 9dB", "1000: centre 1k"},
		Keep: []string{"coil"}, Series: quantity.E24})
	if err != nil || len(got.Wanted) != 3 {
		t.Fatal(err, got)
	}
	w := got.Wanted[0]
	if w.Band != "400" || w.CentreHz != 400 || w.BoostDB != 10 || w.CutDB != 0 || w.Q != 1.2 {
		t.Errorf("%+v", w)
	}
	if w.Resistor.Series != quantity.E24 || w.Capacitor.Series != quantity.E24 || len(w.Coil.Owned) != 1 || w.Coil.Owned[0].Value != 0.409 || w.Coil.Owned[0].DCR != 82 {
		t.Errorf("%+v", w)
	}
	if w := got.Wanted[1]; w.CutDB != -9 || w.Resistor.Series != quantity.E24 || w.Capacitor.Series != 0 {
		t.Errorf("%+v", w)
	}
	if w := got.Wanted[2]; w.Resistor.Series != 0 || w.Capacitor.Series != quantity.E24 {
		t.Errorf("%+v", w)
	}
	after := []equaliser.Wanted{{Band: "160", BoostDB: 8}}
	if got, err := c.Targets(DesignWords{Original: after}); err != nil || len(got.Wanted) != 1 || got.Wanted[0].BoostDB != 8 {
		t.Errorf("after an original: %v %+v", err, got)
	}
}

// Every mistake of a wish is named, and none is taken for a wish.
func TestTargetsRefused(t *testing.T) {
	c := demoCase(t)
	for text, want := range map[string]finding.ID{
		"": IDWantedText, "400": IDWantedText, "400:": IDWantedText, "400: centre": IDWantedText, "400: height 3": IDWantedText,
		"400: q often": IDWantedText, "nobody: q 1": IDWantedNoBand, "400: centre often": quantity.IDNotNumber,
	} {
		_, err := c.Targets(DesignWords{Bands: []string{text}})
		list, ok := finding.From(err)
		if !ok || len(list) != 1 {
			t.Errorf("%q: %v", text, err)
		} else if list[0].ID != want {
			t.Errorf("%q: %s, want %s", text, list[0].ID, want)
		}
	}
}
