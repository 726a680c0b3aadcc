package bench

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

// The question and the answer are plain JSON, and the demo's bands come to
// where they are wanted.
func TestDesignOfTheDemo(t *testing.T) {
	c := demoCase(t)
	var question equaliser.Targets
	text := `{"wanted": [
		{"band": "400", "centre_hz": 400, "boost_db": 10, "q": 1,
		 "resistor": {"series": "E24"}, "coil": {"owned": [{"name": "L7", "value": 0.45, "dcr_ohms": 40}]}, "capacitor": {"series": "E12"}},
		{"band": "1000", "centre_hz": 1000, "boost_db": 10}], "ohms_per_henry": 60}`
	if err := json.Unmarshal([]byte(text), &question); err != nil {
		t.Fatal(err)
	}
	a, found, err := c.Design(context.Background(), question)
	if err != nil || len(a.Bands) != 2 {
		t.Fatal(err, found)
	}
	for _, f := range found {
		if f.Place.Band != "400" && f.ID != IDNotVaried { // the owned coil: nobody says how far it may be off
			t.Errorf("%v", f)
		}
	}
	b := a.Bands[1]
	if math.Abs(b.Free.Feature.CentreHz-1000) > 0.1 || math.Abs(b.Free.Feature.BoostDB-10) > 0.001 || b.Now.Band != "1000" {
		t.Errorf("%+v", b)
	}
	b = a.Bands[0]
	if b.Chosen.Coil != "L7" || b.Chosen.Henries != 0.45 || b.Chosen.DCR != 40 || !quantity.Contains(quantity.E12, b.Chosen.Farads) {
		t.Errorf("%+v", b.Chosen)
	}
	if a.ChosenError == nil || a.FreeError == nil {
		t.Error("no errors given")
	}
	written, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var read DesignAnswer
	if err := json.Unmarshal(written, &read); err != nil || read.Bands[0].Chosen.Farads != b.Chosen.Farads ||
		read.Bands[0].Wanted.Resistor.Series != quantity.E24 {
		t.Errorf("%v: %s", err, written)
	}
}

// Without wanted bands, all come to their stated centres; what a part was, a
// figure that nobody wants leaves.
func TestDesignAsStated(t *testing.T) {
	c := demoCase(t)
	a, found, err := c.Design(context.Background(), equaliser.Targets{})
	if err != nil || len(found) > 0 || len(a.Bands) != 6 {
		t.Fatal(err, found)
	}
	for _, b := range a.Bands {
		if math.Abs(b.Chosen.Feature.CentreHz/b.Now.StatedHz-1) > 1e-3 || b.Chosen.Henries == 0 {
			t.Errorf("%+v", b)
		}
	}
	if _, _, err := c.Design(context.Background(), equaliser.Targets{Wanted: []equaliser.Wanted{{Band: "50"}}}); err == nil {
		t.Error("a band that is not there was designed")
	} else if list, ok := finding.From(err); !ok || list[0].ID != equaliser.IDWantedBand {
		t.Error(err)
	}
}

// The wanted bands after an original are what its curves show.
func TestWantedAfterAnOriginal(t *testing.T) {
	hz, db, q := 410.0, 9.0, 1.2
	if w, ok := wantedAfter(BandCompare{Band: "400", MeasuredHz: &hz, MeasuredDB: &db, MeasuredQ: &q}); !ok ||
		w.Band != "400" || w.CentreHz != hz || w.BoostDB != db || w.Q != q || w.CutDB != 0 {
		t.Errorf("%+v", w)
	}
	if _, ok := wantedAfter(BandCompare{Band: "400"}); ok {
		t.Error("a band that was not measured is wanted")
	}
	text := demoText(t)
	unit, _ := opened(t, other(t, text), none)
	shelf := newShelf(text)
	shelf.takeAll(t, unit, "X", "original", -7)
	c, _ := opened(t, shelf.text, shelf.files)
	list, _, err := c.WantedAfter(context.Background())
	if err != nil || len(list) != 6 {
		t.Fatal(err, list)
	}
	for i, f := range featuresOf(t, unit) {
		w := list[i]
		if w.Band != f.Band || math.Abs(w.CentreHz/f.CentreHz-1) > 2e-3 || math.Abs(w.BoostDB-f.BoostDB) > 0.02 || math.Abs(w.Q/(*f.Q)-1) > 0.02 {
			t.Errorf("wanted %+v, is %g Hz, %g dB, Q %g", w, f.CentreHz, f.BoostDB, *f.Q)
		}
	}
}
