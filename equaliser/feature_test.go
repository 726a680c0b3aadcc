package equaliser

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

func features(t *testing.T, e *Equaliser, others curve.Setting) ([]Feature, finding.List) {
	t.Helper()
	all, list, err := e.Features(context.Background(), nil, others)
	if err != nil {
		t.Fatal(err)
	}
	return all, list
}

func ids(list finding.List) (ids []finding.ID) {
	for _, f := range list {
		ids = append(ids, f.ID)
	}
	return ids
}

// One band of the ideal cell is the analogue peaking response of the Audio EQ
// Cookbook (from the work): centre, boost, width and Q exactly.
func TestFeaturesOfOneBandAreTheCookbooks(t *testing.T) {
	for _, c := range []struct{ hz, db, q float64 }{
		{63, 12, 1.4142135623730951}, {1000, 20 * math.Log10(4), 0.85}, {6300, 9, 2}, {160, 6, 0.666667},
	} {
		ohms, henries, farads, _ := StartingLeg(c.hz, c.db, c.q, 2200, 0)
		s := specOf(cell{feed: 2200, feedback: 2200, legs: []cellLeg{{ohms: ohms, henries: henries, farads: farads, track: 10e3}}})
		s.Bands[0].Name = "only"
		all, list := features(t, mustBuild(t, s), curve.Setting{})
		f := all[0]
		if len(list) > 0 {
			t.Errorf("%+v: findings %v", c, list)
		}
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"centre", f.CentreHz, c.hz}, {"cut centre", f.CutHz, c.hz}, {"boost", f.BoostDB, c.db}, {"cut", f.CutDB, -c.db},
			{"Q", *f.Q, c.q}, {"width", *f.WidthHz, c.hz / c.q}, {"edges' mean", math.Sqrt(*f.LowHz * *f.HighHz), c.hz},
			{"total", f.TotalDB, c.db}, {"share", f.ShareDB, c.db}, {"leg Q", f.LegQ, c.q * math.Sqrt(math.Pow(10, c.db/20))},
			{"leg resonance", f.LegHz, c.hz}, {"cut edge", *f.CutLowHz, *f.LowHz},
		} {
			if !near(v.got, v.want, 2e-10) {
				t.Errorf("%+v: %s is %.15g, want %.15g", c, v.what, v.got, v.want)
			}
		}
		// 3 dB under the top, from the response itself: |H|² = G²·10^(−0.3) where
		// u = leg Q·(f/f0 − f0/f) has |1 + (G−1)/(1+ju)|² = (G² + u²)/(1 + u²).
		top := math.Pow(10, c.db/10) * math.Pow(10, -0.3)
		g := math.Pow(10, c.db/10)
		u := math.Sqrt((g - top) / (top - 1))
		if want := f.LegQ / u; !near(*f.QTop, want, 2e-10) {
			t.Errorf("%+v: Q from the top %.15g, want %.15g", c, *f.QTop, want)
		}
	}
}

// Every feature of the engine's circuit against a dense scan of the closed form.
func TestFeaturesAgainstADenseScanOfTheClosedForm(t *testing.T) {
	const seed = 31
	r := rand.New(rand.NewPCG(seed, 2))
	worst := 0.0
	for range 6 {
		c := randomCell(r, 3+r.IntN(5))
		all, _ := features(t, mustBuild(t, specOf(c)), curve.Setting{})
		for i, f := range all {
			for _, position := range []float64{1, -1} {
				got := [3]float64{f.CentreHz, value(f.LowHz), value(f.HighHz)}
				if position < 0 {
					got = [3]float64{f.CutHz, value(f.CutLowHz), value(f.CutHighHz)}
				}
				want := denseSearch(cellCurve{c.at(-1, 0).at(i, position), c.at(-1, 0)}, f.LegHz, position)
				for k := range got {
					if want[k] != 0 || got[k] != 0 {
						worst = max(worst, math.Abs(got[k]/want[k]-1))
					}
				}
			}
		}
	}
	if !(worst < 1e-9) {
		t.Errorf("seed %d: largest relative difference %g", seed, worst)
	}
	t.Logf("largest relative difference %.2g", worst)
}

func value(p *float64) float64 {
	if p == nil {
		return 0
	}
	return *p
}

// sixBands is an invented equaliser with an ideal driver: six bands of equal
// Q and boost, as StartingLeg gives them.
func sixBands(source float64) Spec {
	s := Spec{Drawing: DrawingIdeal, SourceOhms: source, Feedback: 2200}
	for _, hz := range []float64{63, 160, 400, 1000, 2500, 6300} {
		ohms, henries, farads, dcr := StartingLeg(hz, 12, 0.9, 2200, 60)
		s.Bands = append(s.Bands, Band{Name: fmt.Sprint(hz), Hz: hz,
			Slider: circuit.Slider{Track: 10e3}, Coil: circuit.Inductor{Henries: henries, DCR: dcr},
			Capacitor: circuit.Capacitor{Farads: farads}, Resistor: circuit.Resistor{Ohms: ohms}})
	}
	return s
}

// Neighbours at centre pull the outer bands outwards: the lowest lower, the
// highest higher, by some per cent (worked out from the definition on generic
// legs: −6.5 % and +4.4 %), and they change the total at a centre while the
// slider's own share is another figure.
func TestNeighboursPullTheOuterBandsOutwards(t *testing.T) {
	e := mustBuild(t, sixBands(0))
	all, _ := features(t, e, curve.Setting{})
	low, high := all[0].CentreHz/all[0].LegHz-1, all[5].CentreHz/all[5].LegHz-1
	if !(low < -0.01 && low > -0.15) || !(high > 0.01 && high < 0.15) {
		t.Errorf("lowest %+.1f %%, highest %+.1f %%", 100*low, 100*high)
	}
	for _, f := range all {
		// Both sides: 64 to sample the range, the rest to close in.
		if f.Asked > 120 {
			t.Errorf("%s: %d frequencies asked for", f.Band, f.Asked)
		}
	}
	totals := map[float64]float64{}
	for _, where := range []float64{-1, 0, 1} {
		others := curve.Setting{}
		for _, b := range e.Bands() {
			if b != "400" {
				others = others.WithSlider(b, where)
			}
		}
		f, _, err := e.Feature(context.Background(), nil, "400", others)
		if err != nil {
			t.Fatal(err)
		}
		totals[where] = f.TotalDB
		if where == 0 && math.Abs(f.TotalDB-f.ShareDB) > 1e-9 {
			t.Errorf("others centred: total %g, share %g", f.TotalDB, f.ShareDB)
		}
	}
	if !(totals[-1] < totals[0] && totals[0] < totals[1]) {
		t.Errorf("total at the centre with the others at cut, centre, boost: %v", totals)
	}
}

// What is wrong with a band is a finding, and never a number made up.
func TestFindingsOfABand(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Spec)
		want   finding.ID
	}{
		{"leg open", func(s *Spec) { s.Bands[2].Resistor.Ohms = 1e12 }, IDBandDead},
		{"capacitor shorted", func(s *Spec) { s.Bands[0].Capacitor.Farads = 1 }, IDNoCentre},
		{"coil bridged", func(s *Spec) {
			s.Extra = []circuit.Part{circuit.Wire{Name: "400.coil", A: "400.a", B: "400.b"}}
		}, IDNoLeg},
		{"coil bridged by a bead", func(s *Spec) {
			s.Extra = []circuit.Part{circuit.Wire{Name: "bridge", A: "400.a", B: "400.b"}}
		}, IDNoCentre},
		{"slider turned", func(s *Spec) {
			s.Extra = []circuit.Part{circuit.Slider{Name: "400", Boost: "cut", Wiper: "400.wiper", Cut: "boost", Track: 10e3}}
		}, IDTurned},
		{"feed not balanced", func(s *Spec) { s.Feed = 4400 }, IDUnlike},
		{"capacitor a decade out", func(s *Spec) { s.Bands[2].Capacitor.Farads /= 10 }, IDCentreOff},
	} {
		s := sixBands(0)
		c.change(&s)
		all, list := features(t, mustBuild(t, s), curve.Setting{})
		if !slices.Contains(ids(list), c.want) {
			t.Errorf("%s: %v, want %s", c.name, list, c.want)
		}
		for _, f := range all {
			for _, v := range []float64{f.CentreHz, f.CutHz, f.BoostDB, f.CutDB, f.TotalDB, f.ShareDB, f.LegHz, f.LegQ} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%s: %+v", c.name, f)
				}
			}
			if !f.Found && (f.CentreHz != 0 || f.Q != nil || f.LowHz != nil) {
				t.Errorf("%s: figures without an extremum: %+v", c.name, f)
			}
		}
	}
}

// A second capacitor soldered across the first belongs to the leg.
func TestLegCountsWhatIsAcrossIt(t *testing.T) {
	s := sixBands(0)
	s.Extra = []circuit.Part{
		circuit.Capacitor{Name: "400.trim", A: "legs", B: "400.b", Farads: s.Bands[2].Capacitor.Farads},
		circuit.Resistor{Name: "400.across", A: "400.wiper", B: "400.a", Ohms: s.Bands[2].Resistor.Ohms},
	}
	e := mustBuild(t, s)
	was, _ := mustBuild(t, sixBands(0)).leg("400")
	leg, _ := e.leg("400")
	if leg.farads != 2*was.farads || !near(leg.ohms, was.ohms-s.Bands[2].Resistor.Ohms/2, 1e-12) {
		t.Errorf("leg %+v, without %+v", leg, was)
	}
}

// The leg's series resistance at resonance is the real part of its impedance
// there (worked out from the definition), all losses counted.
func TestLegResistanceIsTheRealPartOfItsImpedance(t *testing.T) {
	s := sixBands(0)
	b := &s.Bands[3]
	b.Slider.WiperOhms = 12
	b.Coil.CoreOhms, b.Coil.DCR = 90e3, 33
	b.Capacitor.Loss, b.Capacitor.ESR = 0.01, 4
	leg, ok := mustBuild(t, s).leg("1000")
	if !ok {
		t.Fatal("no leg")
	}
	w := 2 * math.Pi * legResonance(b.Coil.Henries, b.Capacitor.Farads)
	coil := complex(0, w*b.Coil.Henries)
	core := complex(b.Coil.CoreOhms, 0)
	z := complex(12+33+4+b.Resistor.Ohms, 0) + coil*core/(coil+core) + 1/(complex(w*b.Capacitor.Farads, 0)*complex(0.01, 1))
	if !near(leg.ohms, real(z), 1e-4) {
		t.Errorf("%g ohm, want %g", leg.ohms, real(z))
	}
	if want := math.Sqrt(b.Coil.Henries/b.Capacitor.Farads) / leg.ohms; leg.q() != want {
		t.Errorf("Q %g, want %g", leg.q(), want)
	}
}
