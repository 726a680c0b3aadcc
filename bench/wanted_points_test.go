package bench

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/trials"
)

// Points are read in any order, with units or without, and with decimal commas
// where semicolons part them.
func TestReadPoints(t *testing.T) {
	for text, want := range map[string]PointsOf{
		"20 0, 63 9.5, 160 -1":                  {"", curve.Curve{Hz: []float64{20, 63, 160}, DB: []float64{0, 9.5, -1}}},
		"63: 160 -1,20 0, 63 9.5,":              {"63", curve.Curve{Hz: []float64{20, 63, 160}, DB: []float64{0, 9.5, -1}}},
		" low : 1,5k 3,25; 63 Hz −9,5 dB; 2k 0": {"low", curve.Curve{Hz: []float64{63, 1500, 2000}, DB: []float64{-9.5, 3.25, 0}}},
		"6k3 9dB": {"", curve.Curve{Hz: []float64{6300}, DB: []float64{9}}},
	} {
		got, err := ReadPoints(text)
		if err != nil || got.Band != want.Band || !slices.Equal(got.Curve.Hz, want.Curve.Hz) || !slices.Equal(got.Curve.DB, want.Curve.DB) {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
	for text, want := range map[string]finding.ID{
		"": IDPointsText, "63:": IDPointsText, "63": IDPointsText, "63 9,5": IDPointsText, "63 9.5 160 -1": IDPointsText, "0 3": IDPointsText,
		"-63 1": IDPointsText, "63 often": IDPointsText, "63 1,, 80 2": IDPointsText, "63 1, 63 2": IDPointsTwice, "63 nan": IDPointsText, "63 inf": IDPointsText,
	} {
		_, err := ReadPoints(text)
		if list, ok := finding.From(err); !ok || list[0].ID != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// Whatever is typed is read to points that a curve may have, or refused.
func FuzzReadPoints(f *testing.F) {
	f.Add("63: 20 0, 63 9.5, 160 -1")
	f.Add("1,5k 3,25; 63 Hz −9,5 dB")
	f.Fuzz(func(t *testing.T, text string) { checkPoints(t, text) })
}

func checkPoints(t *testing.T, text string) {
	t.Helper()
	p, err := ReadPoints(text)
	if err == nil {
		err = curve.Validate(p.Curve)
	} else if _, ok := finding.From(err); ok {
		return
	}
	if err != nil {
		t.Errorf("%q: %v", text, err)
	}
}

func TestReadPointsSurvivesAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20261101), 1))
	signs := []rune("0123456789.,;:-− kHzdB\tÅ\xff")
	text := []rune("63: 20 0, 63 9.5, 160 -1; 1k 3,2")
	for range trials.Count(20_000) {
		wild := slices.Clone(text)
		for range 1 + r.IntN(4) {
			wild[r.IntN(len(wild))] = signs[r.IntN(len(signs))]
		}
		checkPoints(t, string(wild))
	}
}

// Points of a band's own curve ask for what the band does; without a name they
// are of the band that is stated nearest to their top.
func TestWantedAtPoints(t *testing.T) {
	c := demoCase(t)
	f := featuresOf(t, c)[2]
	text := fmt.Sprintf("%g %g, %g %g, %g %g", *f.LowHz, f.BoostDB/2, f.CentreHz, f.BoostDB, *f.HighHz, f.BoostDB/2)
	for _, named := range []string{"", "400: "} {
		p, err := ReadPoints(named + text)
		if err != nil {
			t.Fatal(err)
		}
		list, found, err := c.WantedAt([]PointsOf{p})
		if err != nil || list[0].Band != "400" || said(found, IDPointsBand) != (named == "") {
			t.Fatal(err, found, list)
		}
		if w := list[0]; math.Abs(w.CentreHz/f.CentreHz-1) > 0.01 || math.Abs(w.BoostDB-f.BoostDB) > 0.1 {
			t.Errorf("%+v of %+v", w, f)
		}
	}
	for text, want := range map[string]finding.ID{"nobody: 1 1, 2 2, 3 1": IDWantedNoBand, "1 1, 2 2": equaliser.IDPointsFew} {
		p, err := ReadPoints(text)
		if err != nil {
			t.Fatal(err)
		}
		_, _, err = c.WantedAt([]PointsOf{p})
		if list, ok := finding.From(err); !ok || !slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == want }) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if p, _, err := ReadPointsFile("63", "p.csv", []byte("Hz;dB\n20;0,8\n63;9,5\n160;1,1\n")); err != nil || p.Curve.DB[1] != 9.5 || p.Band != "63" {
		t.Errorf("%v %+v", err, p)
	}
	if _, _, err := ReadPointsFile("", "p.csv", []byte("nothing\n")); err == nil {
		t.Error("points of nothing")
	} else if list, ok := finding.From(err); !ok || list[0].Place.File != "p.csv" {
		t.Error(err)
	}
}

// An original with other legs everywhere is measured, its curves are all that
// is known of it, and the unit redrawn after them has its curves: each band's
// boost within 0.2 dB rms from 20 Hz to 20 kHz.
func TestDesignAfterTheCurvesOfAnOriginal(t *testing.T) {
	text := demoText(t)
	original, _ := opened(t, originalOf(t, text), none)
	shelf := newShelf(text)
	shelf.takeAll(t, original, "X", "original", -7)
	c, _ := opened(t, shelf.text, shelf.files)
	ctx := context.Background()
	after, _, err := c.WantedAfter(ctx)
	if err != nil || len(after) != 6 {
		t.Fatal(err, after)
	}
	targets, err := c.Targets(DesignWords{Original: after})
	if err != nil {
		t.Fatal(err)
	}
	a, found, err := c.Design(ctx, targets)
	if err != nil || said(found, equaliser.IDDesignShort) {
		t.Fatal(err, found)
	}
	redrawn, err := c.rebuilt(a.Job())
	if err != nil {
		t.Fatal(err)
	}
	for _, setting := range []string{"63=+1", "160=+1", "400=+1", "1000=+1", "2500=+1", "6300=+1", "63=-1", "400=-1", "6300=-1"} {
		rms, before := rmsBeside(t, redrawn, original, setting), rmsBeside(t, c, original, setting)
		if rms > 0.2 || before < 0.25 {
			t.Errorf("%s: %.3f dB rms off the original, the job as it was %.3f dB", setting, rms, before)
		}
		t.Logf("%s: %.3f dB rms, before %.3f", setting, rms, before)
	}
}

// originalOf is the job with every leg another.
func originalOf(t *testing.T, text string) string {
	t.Helper()
	c, _ := opened(t, text, none)
	var all strings.Builder
	for i, b := range c.Job().Bands {
		away := 1 + 0.12*float64(1-2*(i%2))
		fmt.Fprintf(&all, "\n[[part]]\nname = \"%s.coil\"\nvalue = %q\n[[part]]\nname = \"%s.capacitor\"\nvalue = %q\n[[part]]\nname = \"%s.resistor\"\nvalue = %q\n",
			b.Name, quantity.Henries(float64(b.Coil.Value)*away*1.2), b.Name, quantity.Farads(float64(b.Capacitor.Value)*away), b.Name, quantity.Ohms(float64(b.Resistor.Value)*1.3))
	}
	return text + all.String()
}

// rmsBeside is how far two units' band curves are apart, each against its own
// flat.
func rmsBeside(t *testing.T, a, b *Case, setting string) float64 {
	t.Helper()
	var sum float64
	hz := AudioGrid()
	one, two := against(t, a, setting, hz), against(t, b, setting, hz)
	for i := range hz {
		sum += (one[i] - two[i]) * (one[i] - two[i])
	}
	return math.Sqrt(sum / float64(len(hz)))
}

func against(t *testing.T, c *Case, setting string, hz []float64) []float64 {
	t.Helper()
	at, _, err := c.Predict(context.Background(), setting, hz)
	if err != nil {
		t.Fatal(err)
	}
	flat, _, err := c.Predict(context.Background(), "flat", hz)
	if err != nil {
		t.Fatal(err)
	}
	db := make([]float64, len(hz))
	for i := range hz {
		db[i] = *at.Rows[i].DB - *flat.Rows[i].DB
	}
	return db
}
