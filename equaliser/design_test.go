package equaliser

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// anything lets a part be of any size, for targets drawn at random.
var anything = Believable{1e-7, 1e5, 1e-15, 10, 1e8}

// drawLegs draws an equaliser with some driver and legs that stand alone.
func drawLegs(r *rand.Rand, drawing string, bands int) Spec {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	s := Spec{Drawing: drawing, SourceOhms: between(1, 1000), Feedback: between(1500, 6000), LoadOhms: between(10e3, 200e3)}
	if drawing == DrawingTwoTransistor {
		s.Feedback = 2200
	}
	for i := range bands {
		hz := 45 * math.Pow(300, (float64(i)+0.2+0.5*r.Float64())/float64(bands))
		total := s.Feedback / (between(1.4, 5) - 1)
		q := between(0.8, 4)
		henries := q * total / (2 * math.Pi * hz)
		copper := 0.6 * r.Float64()
		s.Bands = append(s.Bands, Band{
			Name: fmt.Sprintf("b%d", i), Hz: hz,
			Slider:    circuit.Slider{Track: between(5e3, 100e3), BoostEnd: 20 * r.Float64(), CutEnd: 20 * r.Float64(), WiperOhms: 5 * r.Float64()},
			Coil:      circuit.Inductor{Henries: henries, DCR: copper * total},
			Capacitor: circuit.Capacitor{Farads: 1 / (4 * math.Pi * math.Pi * hz * hz * henries)},
			Resistor:  circuit.Resistor{Ohms: (1 - copper) * total},
		})
	}
	return s
}

// forgotten gives the equaliser with all its legs alike: what a design must
// not lean on.
func forgotten(s Spec) Spec {
	bands := append([]Band(nil), s.Bands...)
	for i := range bands {
		bands[i].Coil = circuit.Inductor{Henries: 0.1, DCR: 10}
		bands[i].Capacitor = circuit.Capacitor{Farads: 1e-6}
		bands[i].Resistor = circuit.Resistor{Ohms: 500}
	}
	s.Bands = bands
	return s
}

// wantedOf measures an equaliser and asks for the same again.
func wantedOf(t *testing.T, s Spec) (Targets, bool) {
	t.Helper()
	features, _, err := mustBuild(t, s).Features(context.Background(), nil, (&Equaliser{}).Flat())
	if err != nil {
		t.Fatal(err)
	}
	targets := Targets{Believable: anything}
	for i, f := range features {
		if !f.Found || f.Q == nil || f.BoostDB < 0.5 {
			return targets, false
		}
		targets.Wanted = append(targets.Wanted, Wanted{Band: f.Band, CentreHz: f.CentreHz, BoostDB: f.BoostDB, Q: *f.Q,
			OhmsPerHenry: s.Bands[i].Coil.DCR / s.Bands[i].Coil.Henries})
	}
	return targets, true
}

// checkReached holds what a circuit does against what was wanted of it.
func checkReached(t *testing.T, e *Equaliser, states States, w Wanted) (share, db float64) {
	t.Helper()
	f, _, err := e.Feature(context.Background(), states, w.Band, e.Flat())
	if err != nil || !f.Found || f.Q == nil {
		t.Errorf("band %s: no feature, %v", w.Band, err)
		return math.Inf(1), math.Inf(1)
	}
	for _, v := range [][2]float64{{f.CentreHz, w.CentreHz}, {*f.Q, w.Q}} {
		if v[1] != 0 {
			share = max(share, math.Abs(v[0]/v[1]-1))
		}
	}
	if w.BoostDB != 0 {
		db = math.Abs(f.BoostDB - w.BoostDB)
	}
	if w.CutDB != 0 {
		db = max(db, math.Abs(f.CutDB-w.CutDB))
	}
	return share, db
}

// Random targets that can be reached, since an equaliser was drawn that
// does: centre and Q within 0.1 %, boost within 0.01 dB, proved on the circuit
// itself. The ordinary run draws a few, make prove many more.
func TestDesignReachesWhatCanBe(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20260301), 1))
	worstShare, worstDB, cases := 0.0, 0.0, 0
	for n := 0; cases < trials.Count(10); n++ {
		drawing := Drawings()[n%len(Drawings())]
		s := drawLegs(r, drawing, 1+n%10)
		targets, ok := wantedOf(t, s)
		if !ok {
			continue
		}
		cases++
		d, found, err := mustBuild(t, forgotten(s)).Design(context.Background(), targets)
		if err != nil {
			t.Fatal(err)
		}
		if len(found) > 0 {
			t.Errorf("case %d, %d bands: %v", n, 1+n%10, found)
		}
		states := d.Equaliser.remembering()
		for i, w := range targets.Wanted {
			share, db := checkReached(t, d.Equaliser, states, w)
			worstShare, worstDB = max(worstShare, share), max(worstDB, db)
			if share > 1e-3 || db > 0.01 {
				t.Errorf("case %d (%s, %d bands) %s: off by %.2g and %.2g dB; %+v from %+v", n, drawing, 1+n%10, w.Band, share, db, d.Bands[i].Free, s.Bands[i])
			}
		}
	}
	t.Logf("%d cases: centre and Q within %.1e, boost within %.1e dB", cases, worstShare, worstDB)
}
