package bench

import (
	"context"
	"math"
	"strings"
	"testing"

	"bandwright/equaliser"
	"bandwright/job"
	"bandwright/quantity"
)

// designed asks and writes the answer into a copy of the job.
func designed(t *testing.T, text string, targets equaliser.Targets) (*Case, *DesignAnswer, string) {
	t.Helper()
	c, _ := opened(t, text, none)
	a, _, err := c.Design(context.Background(), targets)
	if err != nil {
		t.Fatal(err)
	}
	written, err := job.Update([]byte(text), a.Job())
	if err != nil {
		t.Fatal(err)
	}
	return c, a, string(written)
}

func fromE24(band string, hz, db, q float64) equaliser.Wanted {
	return equaliser.Wanted{Band: band, CentreHz: hz, BoostDB: db, Q: q, Resistor: equaliser.Pick{Series: quantity.E24},
		Coil: equaliser.Pick{Series: quantity.E12}, Capacitor: equaliser.Pick{Series: quantity.E12}}
}

// putBack opens a written job and asks it for what the design said: the same
// figures, and the same ranges.
func putBack(t *testing.T, a *DesignAnswer, written string) *Case {
	t.Helper()
	again, _ := opened(t, written, none)
	is := map[string]equaliser.Feature{}
	for _, f := range featuresOf(t, again) {
		is[f.Band] = f
	}
	ranges, _, err := again.Ranges(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range a.Bands {
		f, g := b.Chosen.Feature, is[b.Wanted.Band]
		for _, v := range [][2]float64{{f.CentreHz, g.CentreHz}, {f.BoostDB, g.BoostDB}, {f.CutDB, g.CutDB}, {*f.Q, *g.Q}} {
			if math.Abs(v[0]-v[1]) > 1e-6*math.Abs(v[0]) {
				t.Errorf("%s: designed %g, the written job gives %g", f.Band, v[0], v[1])
			}
		}
		r := ranges.of(b.Wanted.Band)
		if b.Range == nil || *r.Centre != *b.Range.Centre || *r.Boost != *b.Range.Boost || *r.Cut != *b.Range.Cut || *r.Q != *b.Range.Q {
			t.Errorf("%s: ranges %+v, the written job has %+v", f.Band, b.Range, r)
		}
	}
	return again
}

// A designed job written down and read again does what the design said, within
// the ranges it said; comments and what nobody asked about stay.
func TestDesignPutBack(t *testing.T) {
	text := "# a comment\n" + demoText(t)
	_, a, written := designed(t, text, equaliser.Targets{OhmsPerHenry: 200, Wanted: []equaliser.Wanted{
		fromE24("63", 66, 9, 0.9), fromE24("400", 410, 10, 1), {Band: "2500", CentreHz: 2450, BoostDB: 8.5}}})
	again := putBack(t, a, written)
	if !strings.HasPrefix(written, "# a comment\n") || again.Job().Bands[1].Coil.MeasuredValue == nil != (demoCase(t).Job().Bands[1].Coil.MeasuredValue == nil) {
		t.Error("what nobody asked about was changed")
	}
	for _, b := range a.Bands {
		if r := b.Range; r == nil || !(r.Centre.Low < b.Chosen.Feature.CentreHz && b.Chosen.Feature.CentreHz < r.Centre.High) ||
			!(r.Boost.Low < b.Chosen.Feature.BoostDB && b.Chosen.Feature.BoostDB < r.Boost.High) {
			t.Errorf("%s: %+v not in %+v", b.Wanted.Band, b.Chosen.Feature, r)
		}
	}
	for _, w := range again.Job().Bands {
		if w.Name == "400" && (!quantity.Contains(quantity.E12, float64(w.Coil.Value)) || w.Coil.MeasuredValue != nil || w.Coil.Tolerance == nil) {
			t.Errorf("%+v", w.Coil)
		}
	}
}

// Owned parts take their name, reading and tolerance along; a kept part keeps
// its own; a series brings its usual tolerance where the job says none.
func TestDesignOwnedPartsPutBack(t *testing.T) {
	five := quantity.Tolerance{Minus: 0.05, Plus: 0.05}
	w := equaliser.Wanted{Band: "400", CentreHz: 420, BoostDB: 9, Resistor: equaliser.Pick{Series: quantity.E96},
		Coil:      equaliser.Pick{Owned: []equaliser.Owned{{Name: "L7", Value: 0.45, DCR: 40, Marked: 0.47, Tolerance: &five}}},
		Capacitor: equaliser.Pick{Owned: []equaliser.Owned{{Name: "C1", Value: 330e-9, Tolerance: &five}, {Name: "C2", Value: 390e-9}}}}
	_, a, written := designed(t, demoText(t), equaliser.Targets{Wanted: []equaliser.Wanted{w}})
	again := putBack(t, a, written)
	b := again.Job().Bands[2]
	if b.Coil.ID != "L7" || b.Coil.Value != 0.47 || *b.Coil.MeasuredValue != 0.45 || *b.Coil.DCR != 40 || *b.Coil.Tolerance != five {
		t.Errorf("%+v", b.Coil)
	}
	if b.Capacitor.ID != "C1" || b.Capacitor.MeasuredValue != nil || *b.Capacitor.Tolerance != five {
		t.Errorf("%+v", b.Capacitor)
	}
	if b.Resistor.Tolerance == nil || b.Resistor.Tolerance.Plus != 0.01 {
		t.Errorf("%+v", b.Resistor)
	}
}

// A leg whose value a [[part]] gives is changed there, since the band's own is
// not what counts.
func TestDesignWritesIntoTheParts(t *testing.T) {
	text := spreadJob + `[[part]]
name = "400.coil"
value = "300 mH"
measured = "310 mH"
set = { dcr = "70 ohm", core_loss = "100k" }
`
	_, a, written := designed(t, text, equaliser.Targets{OhmsPerHenry: 150, Wanted: []equaliser.Wanted{fromE24("400", 410, 10, 1)}})
	again := putBack(t, a, written)
	if parts := again.Job().Parts; parts[2].Value == "500R" || parts[3].Measured != "" || parts[3].Set["dcr"] == "70 ohm" {
		t.Errorf("%+v", parts[2:])
	}
	if again.Job().Bands[0].Coil.Value != 0.4 {
		t.Error("the band's own coil, which does not count, was changed")
	}
}

// A job that says of no part how far it may be off has no ranges, and says so;
// parts of a series have theirs.
func TestDesignWithoutRanges(t *testing.T) {
	text := strings.NewReplacer(`, tolerance = "1 %"`, "", `, tolerance = "10 %"`, "", `, tolerance = "5 %"`, "", `, measured = { value = "400n", frequency = "1 kHz" }`, "",
		`, dcr = "80 ohm"`, "", "tolerance = \"2 %\"\n", "", "tolerance = \"5 %\"\n", "", "[[part]]\nname = \"R.b1\"\n", "", "[[part]]\nname = \"feedback\"\n", "").Replace(spreadJob)
	c, _ := opened(t, text, none)
	targets := equaliser.Targets{Wanted: []equaliser.Wanted{{Band: "400", CentreHz: 420}}}
	a, found, err := c.Design(context.Background(), targets)
	if err != nil || a.Builds != 0 || a.Bands[0].Range != nil || !said(found, IDNothingVaries) {
		t.Fatalf("%v %v %+v", err, found, a)
	}
	targets.Wanted[0].Capacitor.Series = quantity.E24
	a, _, err = c.Design(context.Background(), targets)
	if err != nil || a.Builds == 0 || a.Bands[0].Range == nil {
		t.Fatalf("%v %+v", err, a)
	}
	// ±5 % of one part of a resonance, evenly: the central 95 % of ±2.5 %.
	r, hz := a.Bands[0].Range.Centre, a.Bands[0].Chosen.Feature.CentreHz
	if math.Abs((r.High-r.Low)/hz-0.0475) > 0.003 {
		t.Errorf("%+v about %g", r, hz)
	}
}
