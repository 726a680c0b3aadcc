package bench

import (
	"context"
	"reflect"
	"strings"
	"testing"

	"bandwright/equaliser"
	"bandwright/job"
	"bandwright/quantity"
)

const wishes = `
[[wanted]]
band = "63"
centre = "66 Hz"
boost = "9 dB"
q = 0.9
coil = { keep = true }
capacitor = { owned = [{ id = "C1", value = "2u2", tolerance = "5 %" }, { id = "C2", value = "3u3", measured = "3.1u" }] }
resistor = { series = "E24", tolerance = "1 %" }

[[wanted]]
band = "1000"
cut = "9 dB"
coil = { dcr_per_henry = "70 ohm" }
`

// The job's own wishes are the question when nothing else is asked; what is
// typed goes before them, and flags fill in what they leave open.
func TestTargetsOfTheJob(t *testing.T) {
	c, _ := opened(t, demoText(t)+wishes, none)
	got, err := c.Targets(DesignWords{Series: quantity.E12})
	if err != nil || len(got.Wanted) != 2 {
		t.Fatal(err, got)
	}
	w := got.Wanted[0]
	if w.Band != "63" || w.CentreHz != 66 || w.BoostDB != 9 || w.CutDB != 0 || w.Q != 0.9 {
		t.Errorf("%+v", w)
	}
	if len(w.Coil.Owned) != 1 || w.Coil.Owned[0].Name != "63.coil" || w.Coil.Series != 0 {
		t.Errorf("kept: %+v", w.Coil)
	}
	if o := w.Capacitor.Owned; len(o) != 2 || o[0].Value != 2.2e-6 || o[0].Marked != 0 || o[0].Tolerance.Plus != 0.05 || o[1].Value != 3.1e-6 || o[1].Marked != 3.3e-6 {
		t.Errorf("owned: %+v", o)
	}
	if w.Resistor.Series != quantity.E24 || w.Resistor.Tolerance.Plus != 0.01 {
		t.Errorf("%+v", w.Resistor)
	}
	w = got.Wanted[1]
	if w.Band != "1000" || w.CutDB != -9 || w.OhmsPerHenry != 70 || w.Resistor.Series != quantity.E12 || w.Coil.Series != 0 {
		t.Errorf("%+v", w)
	}
	if typed, err := c.Targets(DesignWords{Bands: []string{"400: q 1"}}); err != nil || len(typed.Wanted) != 1 || typed.Wanted[0].Band != "400" {
		t.Errorf("%v %+v", err, typed)
	}
}

// A job designed after its own wishes and written down asks for the same and
// finds itself there.
func TestDesignOfTheJobsOwnWishes(t *testing.T) {
	text := demoText(t) + wishes
	c, _ := opened(t, text, none)
	a, _, err := c.Design(context.Background(), equaliser.Targets{})
	if err != nil || len(a.Bands) != 2 {
		t.Fatal(err, a)
	}
	written, err := job.Update([]byte(text), a.Job())
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(written), strings.TrimSpace(wishes)) {
		t.Error("the wishes were changed")
	}
	again := putBack(t, a, string(written))
	b := again.Job().Bands[0]
	if id := b.Capacitor.ID; id != "C1" && id != "C2" || *b.Resistor.Tolerance != *again.Job().Wanted[0].Resistor.Tolerance || !reflect.DeepEqual(b.Coil, c.Job().Bands[0].Coil) {
		t.Errorf("%+v", b)
	}
	second, _, err := again.Design(context.Background(), equaliser.Targets{})
	if err != nil || *second.ChosenError > *a.ChosenError*(1+1e-3)+1e-6 {
		t.Errorf("%v: error %g, then %g", err, *a.ChosenError, *second.ChosenError)
	}
}
