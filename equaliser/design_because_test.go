package equaliser

import (
	"math"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/quantity"
)

// because asks one band of the six for something and gives the finding that
// says why not.
func because(t *testing.T, s Spec, w Wanted, want finding.ID) (finding.Finding, *Designed) {
	t.Helper()
	d, found := mustDesign(t, s, Targets{Wanted: []Wanted{w}, OhmsPerHenry: 30})
	i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.ID == want })
	if i < 0 {
		t.Fatalf("%+v: %v, want %s", w, found, want)
	}
	return found[i], d
}

// Copper that keeps a boost down: with thinner copper, as much as is said to
// stand in the way gone, the same boost is reached.
func TestBecauseOfCopper(t *testing.T) {
	w := Wanted{Band: "160", CentreHz: 160, BoostDB: 14, Q: 1.2, OhmsPerHenry: 400}
	f, _ := because(t, six(), w, IDDesignCopper)
	if !(f.Args["dcr"].(float64) > 0) || !(f.Args["reached"].(float64) < 14) {
		t.Error(f)
	}
	w.OhmsPerHenry = 10
	if d, found := mustDesign(t, six(), Targets{Wanted: []Wanted{w}}); len(found) > 0 || d.FreeError > 1e-6 {
		t.Error(found)
	}
}

// A slider too small: its ends leave something in the leg, and its track joins
// the buses in front of that. The sliders said to be enough are.
func TestBecauseOfTheSlider(t *testing.T) {
	small := func(track float64) Spec {
		s := six()
		for i := range s.Bands {
			s.Bands[i].Slider = circuit.Slider{Track: track, BoostEnd: 150, CutEnd: 150}
		}
		return s
	}
	w := Wanted{Band: "160", CentreHz: 160, BoostDB: 16, OhmsPerHenry: 10}
	f, _ := because(t, small(500), w, IDDesignSlider)
	if f.Args["track"] != 500.0 || !(f.Args["ceiling"].(float64) < 16) {
		t.Error(f)
	}
	enough := f.Args["enough"].(float64)
	if _, found := mustDesign(t, small(2*enough), Targets{Wanted: []Wanted{w}}); len(found) > 0 {
		t.Errorf("sliders of %g: %v", 2*enough, found)
	}
	// Not twice as much as is needed: of half as many ohms they are too small.
	if f, _ := because(t, small(enough/2), w, IDDesignSlider); f.Args["track"] != enough/2 {
		t.Error(f)
	}
}

// Bus resistors too small: those said to be enough are.
func TestBecauseOfTheBusResistors(t *testing.T) {
	s := six()
	for i := range s.Bands {
		s.Bands[i].Slider = circuit.Slider{Track: 100e3, BoostEnd: 100, CutEnd: 100}
	}
	s.Feedback = 470
	w := Wanted{Band: "160", CentreHz: 160, BoostDB: 20, OhmsPerHenry: 1}
	f, _ := because(t, s, w, IDDesignCeiling)
	if f.Args["feedback"] != 470.0 || !(f.Args["ceiling"].(float64) < 20) {
		t.Error(f)
	}
	s.Feedback = 1.5 * f.Args["enough"].(float64)
	if _, found := mustDesign(t, s, Targets{Wanted: []Wanted{w}}); len(found) > 0 {
		t.Errorf("with %g ohm: %v", s.Feedback, found)
	}
}

// A fixed coil leaves the centre to the capacitor, and the series has none:
// what would be needed lies between what is said, and brings the centre.
func TestBecauseOfTheSeries(t *testing.T) {
	w := Wanted{Band: "400", CentreHz: 430, Coil: Pick{Owned: []Owned{{Name: "L7", Value: 0.47, DCR: 40}}}, Capacitor: Pick{Series: quantity.E3}}
	f, d := because(t, six(), w, IDDesignSeries)
	need, below, above := f.Args["need"].(float64), f.Args["below"].(float64), f.Args["above"].(float64)
	if !(below < need && need < above) || !quantity.Contains(quantity.E3, below) || !quantity.Contains(quantity.E3, above) {
		t.Error(f)
	}
	if got := d.Bands[0].Chosen.Farads; math.Abs(got-below) > 1e-12 && math.Abs(got-above) > 1e-12 {
		t.Errorf("chosen %g, between %g and %g", got, below, above)
	}
	if f.Place.Part != "400.capacitor" || f.Args["parts"] != "400.coil" || f.Args["series"] != "E3" || f.Args["need_unit"] != "farad" {
		t.Error(f)
	}
	w.Capacitor = Pick{Owned: []Owned{{Value: need}}}
	if d, found := mustDesign(t, six(), Targets{Wanted: []Wanted{w}}); math.Abs(d.Bands[0].Chosen.Feature.CentreHz/430-1) > 1e-3 {
		t.Error(found)
	}
	// The other way round, and a boost that hangs on the resistor.
	w = Wanted{Band: "400", CentreHz: 430, Capacitor: Pick{Owned: []Owned{{Value: 300e-9}}}, Coil: Pick{Series: quantity.E3}}
	if f, _ := because(t, six(), w, IDDesignSeries); f.Place.Part != "400.coil" {
		t.Error(f)
	}
	w = Wanted{Band: "400", BoostDB: 7.5, Coil: Pick{Owned: []Owned{{Value: 0.4, DCR: 40}}}, Resistor: Pick{Series: quantity.E3}}
	if f, _ := because(t, six(), w, IDDesignSeries); f.Place.Part != "400.resistor" || f.Args["figure"] != "boost" {
		t.Error(f)
	}
}

// A fixed coil whose centre would need a capacitor that nobody makes.
func TestBecauseOfTheBound(t *testing.T) {
	w := Wanted{Band: "400", CentreHz: 430, Coil: Pick{Owned: []Owned{{Value: 1e-4, DCR: 0.1}}}, Capacitor: Pick{Series: quantity.E12}}
	f, _ := because(t, six(), w, IDDesignBound)
	if f.Place.Part != "400.capacitor" || f.Args["beyond"] != "above" || f.Args["limit"] != 220e-6 {
		t.Error(f)
	}
}
