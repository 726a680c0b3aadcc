package equaliser

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/trials"
)

// six is the rehearsal studio's equaliser in short: ideal driver, invented
// legs.
func six() Spec {
	s := Spec{Drawing: DrawingIdeal, Feedback: 2200, LoadOhms: 47e3}
	for _, b := range []struct {
		name string
		hz   float64
	}{{"63", 63}, {"160", 160}, {"400", 400}, {"1000", 1000}, {"2500", 2500}, {"6300", 6300}} {
		ohms, henries, farads, dcr := StartingLeg(b.hz, 12, 1, 2200, 30)
		s.Bands = append(s.Bands, Band{Name: b.name, Hz: b.hz,
			Slider: circuit.Slider{Track: 10e3, BoostEnd: 5, CutEnd: 5}, Coil: circuit.Inductor{Henries: henries, DCR: dcr},
			Capacitor: circuit.Capacitor{Farads: farads}, Resistor: circuit.Resistor{Ohms: max(ohms, 10)}})
	}
	return s
}

func mustDesign(t *testing.T, s Spec, targets Targets) (*Designed, finding.List) {
	t.Helper()
	d, found, err := mustBuild(t, s).Design(context.Background(), targets)
	if err != nil {
		t.Fatal(err)
	}
	return d, found
}

// Parts that are fixed are exactly what was given, and what they leave free is
// reached; what they do not is given up by name and comes out as said.
func TestDesignKeepsFixedParts(t *testing.T) {
	coil := Pick{Owned: []Owned{{Name: "L7", Value: 0.47, DCR: 61}}}
	cap := Pick{Owned: []Owned{{Name: "C3", Value: 330e-9}}}
	res := Pick{Owned: []Owned{{Name: "R1", Value: 680}}}
	for _, c := range []struct {
		name   string
		wanted Wanted
		lost   []string
	}{
		{"coil, Q free", Wanted{CentreHz: 410, BoostDB: 11, Coil: coil}, nil},
		{"coil", Wanted{CentreHz: 410, BoostDB: 11, Q: 2, Coil: coil}, []string{"Q"}},
		{"capacitor", Wanted{CentreHz: 410, BoostDB: 11, Q: 2, Capacitor: cap}, []string{"Q"}},
		{"capacitor, centre free", Wanted{BoostDB: 11, Q: 1.5, Capacitor: cap}, nil},
		{"resistor", Wanted{CentreHz: 410, BoostDB: 11, Q: 1, Resistor: res}, []string{"boost"}},
		{"coil, boost free", Wanted{CentreHz: 410, Q: 0.8, Coil: coil}, nil},
		{"coil and capacitor", Wanted{CentreHz: 300, BoostDB: 9, Coil: coil, Capacitor: cap}, []string{"centre"}},
		{"all", Wanted{CentreHz: 300, BoostDB: 9, Q: 3, Coil: coil, Capacitor: cap, Resistor: res}, []string{"centre", "boost", "Q"}},
		{"cut", Wanted{CentreHz: 420, CutDB: -9, Q: 1.2}, nil},
		{"only boost", Wanted{BoostDB: 8}, nil},
		{"only centre", Wanted{CentreHz: 440}, nil},
		{"only Q", Wanted{Q: 0.8}, nil},
	} {
		c.wanted.Band, c.wanted.OhmsPerHenry = "400", 30
		s := six()
		d, found := mustDesign(t, s, Targets{Wanted: []Wanted{c.wanted}})
		checkFixed(t, c.name, s.Bands[2], d.Bands[0])
		reached := c.wanted
		for i, f := range found {
			if f.ID != IDDesignFixed || i >= len(c.lost) || f.Args["figure"] != c.lost[i] || f.Place.Band != "400" {
				t.Errorf("%s: %v", c.name, f)
			}
			switch f.Args["figure"] {
			case "centre":
				reached.CentreHz = f.Args["reached"].(float64)
			case "boost":
				reached.BoostDB = f.Args["reached"].(float64)
			case "Q":
				reached.Q = f.Args["reached"].(float64)
			}
		}
		if len(found) != len(c.lost) {
			t.Errorf("%s: %d findings, want %v given up", c.name, len(found), c.lost)
		}
		if share, db := checkReached(t, d.Equaliser, nil, reached); share > 1e-5 || db > 1e-4 {
			t.Errorf("%s: off by %g and %g dB", c.name, share, db)
		}
		for _, band := range []string{"63", "1000"} {
			for part := range partsPerLeg {
				name := band + "." + partWords[part]
				if got, _ := d.Equaliser.Circuit().Part(name); got != mustBuild(t, s).part(name) {
					t.Errorf("%s: %s, which nobody asked about, is %v", c.name, name, got)
				}
			}
		}
	}
}

// checkFixed: owned values as given; parts that no wanted figure needs as they
// were.
func checkFixed(t *testing.T, name string, was Band, d DesignedBand) {
	t.Helper()
	w := d.Wanted
	for _, v := range []struct {
		what      string
		pick      Pick
		free      bool
		got, was  float64
		taken     string
		copperGot float64
	}{
		{"resistor", w.Resistor, w.BoostDB == 0 && w.CutDB == 0 && (len(w.Coil.Owned) == 0 || w.Q == 0), d.Free.Ohms, was.Resistor.Ohms, d.Chosen.Resistor, 0},
		{"coil", w.Coil, w.Q == 0, d.Free.Henries, was.Coil.Henries, d.Chosen.Coil, d.Free.DCR},
		{"capacitor", w.Capacitor, w.CentreHz == 0, d.Free.Farads, was.Capacitor.Farads, d.Chosen.Capacitor, 0},
	} {
		if len(v.pick.Owned) == 1 {
			o := v.pick.Owned[0]
			if v.got != o.Value || v.taken != o.Name || v.copperGot != o.DCR {
				t.Errorf("%s: %s is %g (%s), want %g", name, v.what, v.got, v.taken, o.Value)
			}
		} else if v.free && v.got != v.was && len(w.Coil.Owned)+len(w.Capacitor.Owned) == 0 {
			t.Errorf("%s: %s moved from %g to %g", name, v.what, v.was, v.got)
		}
	}
}

// What cannot be reached is said with its cause, and the rest is reached.
func TestDesignSaysWhatCannotBe(t *testing.T) {
	all := func(change func(*Wanted)) Targets {
		targets := Targets{OhmsPerHenry: 30}
		for _, b := range six().Bands {
			w := Wanted{Band: b.Name, CentreHz: b.Hz, BoostDB: 10, Q: 0.9}
			if b.Name == "160" {
				change(&w)
			}
			targets.Wanted = append(targets.Wanted, w)
		}
		return targets
	}
	for _, c := range []struct {
		name    string
		targets Targets
		want    finding.ID
		figure  string
		band    string
	}{
		{"copper", all(func(w *Wanted) { w.OhmsPerHenry = 900 }), IDDesignCopper, "boost", "160"},
		{"ceiling", all(func(w *Wanted) { w.BoostDB = 60 }), IDDesignCeiling, "boost", "160"},
		{"coil too large", all(func(w *Wanted) { w.Q = 80; w.OhmsPerHenry = 0.1 }), IDDesignBound, "Q", "160"},
		{"capacitor too large", within(all(func(*Wanted) {}), Believable{HighFarads: 2.0e-6}), IDDesignBound, "Q", "63"},
		{"coil too small", within(all(func(*Wanted) {}), Believable{LowHenries: 60e-3}), IDDesignBound, "Q", "6300"},
		{"resistor too large", within(all(func(w *Wanted) { w.BoostDB = 2 }), Believable{HighOhms: 4000}), IDDesignBound, "boost", "160"},
		{"coil and capacitor fixed", all(func(w *Wanted) {
			w.Coil.Owned, w.Capacitor.Owned = []Owned{{Value: 1, DCR: 30}}, []Owned{{Value: 2e-6}}
		}), IDDesignFixed, "centre", "160"},
	} {
		d, found := mustDesign(t, six(), c.targets)
		i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.ID == c.want && f.Args["figure"] == c.figure })
		if i < 0 {
			t.Errorf("%s: %v", c.name, found)
			continue
		}
		for _, f := range found {
			if f.Place.Band != c.band || f.Level != finding.Warning {
				t.Errorf("%s: %v", c.name, f)
			}
		}
		wanted, reached := found[i].Args["wanted"].(float64), found[i].Args["reached"].(float64)
		if math.Abs(wanted/reached-1) < 1e-3 {
			t.Errorf("%s: %g given up for %g", c.name, wanted, reached)
		}
		for k, w := range c.targets.Wanted {
			if w.Band == c.band {
				w.Q = 0 // the band's centre is kept wherever it can be
				w.BoostDB = 0
				if c.figure == "centre" {
					w.CentreHz = 0
				}
			}
			if share, db := checkReached(t, d.Equaliser, nil, w); share > 1e-3 || db > 0.01 {
				t.Errorf("%s: %s off by %g and %g dB: %+v", c.name, w.Band, share, db, d.Bands[k].Free)
			}
		}
		t.Log(found)
	}
}

func within(targets Targets, limits Believable) Targets {
	targets.Believable = limits
	return targets
}

// A coil that is bridged leaves no peak to lead: the band's figures are given
// up, its neighbours are not.
func TestDesignWithoutAPeak(t *testing.T) {
	s := six()
	s.Extra = []circuit.Part{circuit.Resistor{Name: "bridge", A: "160.a", B: "160.b", Ohms: 1}}
	targets := Targets{OhmsPerHenry: 30}
	for _, b := range s.Bands {
		targets.Wanted = append(targets.Wanted, Wanted{Band: b.Name, CentreHz: b.Hz, BoostDB: 8, Q: 0.9,
			Capacitor: Pick{Series: quantity.E96}})
	}
	d, found := mustDesign(t, s, targets)
	lost := 0
	for _, f := range found {
		if f.ID == IDDesignNoPeak {
			lost++
		}
		if f.Place.Band != "160" {
			t.Errorf("%v", f)
		}
	}
	if lost != 3 {
		t.Errorf("%d figures lost: %v", lost, found)
	}
	if d.FreeError > 1e-6 || d.Error > 30 {
		t.Errorf("errors %g and %g of the others", d.FreeError, d.Error)
	}
}

// Whatever is asked, there is an answer that can be written down, or a
// finding.
func TestDesignOfWildQuestions(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20260304), 1))
	wild := func() float64 {
		if r.IntN(3) == 0 {
			return 0
		}
		return math.Exp(r.NormFloat64() * []float64{1, 5, 300}[r.IntN(3)])
	}
	answers := 0
	for n := range trials.Count(6) {
		var targets Targets
		for _, b := range six().Bands[:1+n%3] {
			w := Wanted{Band: b.Name, CentreHz: b.Hz * wild(), BoostDB: 5 * wild(), CutDB: -5 * wild(), Q: wild(), OhmsPerHenry: wild()}
			for _, p := range []*Pick{&w.Resistor, &w.Coil, &w.Capacitor} {
				switch r.IntN(4) {
				case 0:
					p.Series = quantity.E6
				case 1:
					p.Owned = []Owned{{Value: wild(), DCR: wild()}, {Value: wild()}}
				}
			}
			targets.Wanted = append(targets.Wanted, w)
		}
		d, found, err := mustBuild(t, six()).Design(context.Background(), targets)
		if list, ok := finding.From(err); ok {
			found, d = list, &Designed{}
		} else if err != nil {
			t.Fatal(err)
		} else {
			answers++
		}
		if _, err := json.Marshal([]any{d.Bands, found}); err != nil {
			t.Errorf("case %d: %v", n, err)
		}
	}
	t.Logf("%d answers", answers)
	if answers == 0 {
		t.Error("no answer at all")
	}
}

// Coils with core loss and self-capacitance, and boost and cut both asked of
// an unbalanced cell: less than all is reached, and said.
func TestDesignOnImperfectParts(t *testing.T) {
	s := six()
	for i := range s.Bands {
		l := &s.Bands[i].Coil
		l.CoreOhms, l.SelfFarads = 25*2*math.Pi*s.Bands[i].Hz*l.Henries, 200e-12
		s.Bands[i].Capacitor.ESR, s.Bands[i].Capacitor.Loss = 0.5, 2e-3
	}
	targets := Targets{}
	for _, b := range s.Bands {
		targets.Wanted = append(targets.Wanted, Wanted{Band: b.Name, CentreHz: b.Hz, BoostDB: 9, Q: 1, OhmsPerHenry: 30})
	}
	d, found := mustDesign(t, s, targets)
	if len(found) > 0 {
		t.Error(found)
	}
	for _, w := range targets.Wanted {
		if share, db := checkReached(t, d.Equaliser, nil, w); share > 1e-5 || db > 1e-4 {
			t.Errorf("%s: off by %g and %g dB", w.Band, share, db)
		}
	}
	targets.Wanted = []Wanted{{Band: "400", BoostDB: 9, CutDB: -6}}
	_, found = mustDesign(t, s, targets)
	if !slices.Equal(ids(found), []finding.ID{IDDesignShort, IDDesignShort}) {
		t.Errorf("boost and cut that contradict: %v", found)
	}
}

func TestDesignRefusesWrongQuestions(t *testing.T) {
	gone := six()
	gone.Extra = []circuit.Part{circuit.Wire{Name: "63.coil", A: "63.a", B: "63.b"}}
	for _, c := range []struct {
		name   string
		spec   Spec
		wanted []Wanted
		want   finding.ID
	}{
		{"no such band", six(), []Wanted{{Band: "50"}}, IDWantedBand},
		{"twice", six(), []Wanted{{Band: "63"}, {Band: "63"}}, IDWantedValue},
		{"centre", six(), []Wanted{{Band: "63", CentreHz: -1}}, IDWantedValue},
		{"boost", six(), []Wanted{{Band: "63", BoostDB: math.NaN()}}, IDWantedValue},
		{"cut", six(), []Wanted{{Band: "63", CutDB: 3}}, IDWantedValue},
		{"Q", six(), []Wanted{{Band: "63", Q: math.Inf(1)}}, IDWantedValue},
		{"owned", six(), []Wanted{{Band: "63", Coil: Pick{Owned: []Owned{{Value: 0}}}}}, IDWantedValue},
		{"no coil", gone, []Wanted{{Band: "63"}}, IDWantedPart},
	} {
		_, _, err := mustBuild(t, c.spec).Design(context.Background(), Targets{Wanted: c.wanted})
		checkRefused(t, c.name, err, c.want)
	}
	for _, targets := range []Targets{
		{Believable: Believable{LowHenries: 2, HighHenries: 1}}, {Believable: Believable{LowFarads: -1}},
		{Believable: Believable{HighOhms: -1}}, {Counts: Counts{DB: -1}}, {OhmsPerHenry: math.Inf(1)}, {Counts: Counts{Q: math.NaN()}},
	} {
		_, _, err := mustBuild(t, six()).Design(context.Background(), targets)
		checkRefused(t, "limits", err, IDWantedValue)
	}
}

func checkRefused(t *testing.T, name string, err error, want finding.ID) {
	t.Helper()
	list, ok := finding.From(err)
	if !ok || !slices.Contains(ids(list), want) {
		t.Errorf("%s: %v, want %s", name, err, want)
	}
}

// patience is a context that ends after it was asked some number of times.
type patience struct {
	context.Context
	left int
}

func (p *patience) Err() error {
	if p.left--; p.left < 0 {
		return context.Canceled
	}
	return nil
}

func sixWanted() Targets {
	targets := Targets{OhmsPerHenry: 30}
	for _, b := range six().Bands {
		targets.Wanted = append(targets.Wanted, Wanted{Band: b.Name, CentreHz: b.Hz, BoostDB: 11, Q: 1,
			Resistor: Pick{Series: quantity.E24}, Coil: Pick{Series: quantity.E12}, Capacitor: Pick{Series: quantity.E12}})
	}
	return targets
}

func TestDesignStopsWhenAsked(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	e := mustBuild(t, six())
	for range 6 {
		_, _, err := e.Design(&patience{context.Background(), r.IntN(200)}, sixWanted())
		if !errors.Is(err, context.Canceled) {
			t.Errorf("error %v", err)
		}
	}
}

// The same question has the same answer, and a design with allowed values is
// never better than one with any.
func TestDesignIsTheSameTwice(t *testing.T) {
	first, found := mustDesign(t, six(), sixWanted())
	second, again := mustDesign(t, six(), sixWanted())
	if !reflect.DeepEqual(first.Bands, second.Bands) || first.Error != second.Error || !reflect.DeepEqual(found, again) {
		t.Error("two answers to one question")
	}
	for _, f := range found {
		if f.ID != IDDesignChosen {
			t.Errorf("beside what the series leave off: %v", f)
		}
	}
	if len(found) == 0 {
		t.Error("a coarse series meets everything")
	}
	if !(first.Error >= first.FreeError) || first.FreeError > 1e-6 {
		t.Errorf("errors %g with any values, %g with allowed ones", first.FreeError, first.Error)
	}
	checkAllowed(t, first)
	t.Logf("error %.3g", first.Error)
	for _, b := range first.Bands {
		f := b.Chosen.Feature
		t.Logf("%s: %.4g Ω %.4g H %.4g F: %.5g Hz %.4g dB Q %.4g", b.Wanted.Band, b.Chosen.Ohms, b.Chosen.Henries, b.Chosen.Farads, f.CentreHz, f.BoostDB, *f.Q)
	}
}
