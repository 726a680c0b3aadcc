package bench

import (
	"io/fs"
	"math"
	"slices"
	"testing"

	"bandwright/demo"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// Of unit B the coil at 400 is a tenth too small and the leg at 1000 has 100 ohm too
// much (demo/bass-head/README.md): a capacitor across, and another resistor, bring
// both within limits, and nothing else is touched. What is said is what the written
// job does.
func TestTrimDemo(t *testing.T) {
	c := demoCase(t)
	for _, q := range []TrimQuestion{
		{Unit: "B", Capacitors: quantity.E12, Resistors: quantity.E24, Most: 2},
		{Unit: "B", Drawer: demoDrawer(t), Most: 1},
	} {
		a, found, err := c.Trim(t.Context(), q)
		if err != nil || a.Outside > 0 || a.Changes != 2 || len(found) != 1 || !hasFinding(found, IDFitReversed, "2500") {
			t.Fatalf("%+v %v %v", a, found, err)
		}
		four, thousand := a.Bands[2], a.Bands[3]
		if len(four.Changes) != 1 || math.Abs(four.Before.CentreHz/420.4-1) > 0.002 || math.Abs(four.After.CentreHz/400-1) > 0.01 {
			t.Errorf("%+v", four)
		}
		if len(thousand.Changes) != 1 || thousand.Changes[0].Part != "1000.resistor" || thousand.Changes[0].How != stock.Instead || thousand.Range == nil {
			t.Errorf("%+v", thousand)
		}
		text, err := fs.ReadFile(demo.BassHead(), "job.toml")
		if err != nil {
			t.Fatal(err)
		}
		written, err := job.Update(text, a.Job())
		if err != nil {
			t.Fatal(err)
		}
		again, _ := opened(t, string(written), demo.BassHead())
		bands, _, err := again.Bands(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		for i, b := range bands.Bands {
			if said := a.Bands[i].After; math.Abs(b.CentreHz/said.CentreHz-1) > 1e-6 || math.Abs(b.BoostDB-said.BoostDB) > 1e-6 {
				t.Errorf("%s: said %g Hz, written %g Hz", b.Band, said.CentreHz, b.CentreHz)
			}
		}
	}
}

// What stock searches with is what the written job does: parts with losses, parts
// without, a value given by a [[part]], capacitors across and in series.
func TestTrimAnswersBack(t *testing.T) {
	for _, text := range []string{
		twoBands(t),
		twoBands(t) + "\n[[part]]\nname = \"400.capacitor\"\nmeasured = \"400n\"\n\n[[part]]\nname = \"160.resistor\"\nvalue = \"450R\"\n",
	} {
		for _, band := range []string{"400: centre 380Hz", "400: centre 420Hz boost 9.4dB", "160: centre 155Hz boost 10.5dB q 1"} {
			q := TrimQuestion{Bands: []string{band}, Capacitors: quantity.E24, Resistors: quantity.E96, Most: 2}
			a, _, err := boardJob(t, text).Trim(t.Context(), q)
			if err != nil || a.Changes == 0 {
				t.Fatal(err, a)
			}
			written, err := job.Update([]byte(text), a.Job())
			if err != nil {
				t.Fatal(err)
			}
			again := boardJob(t, string(written))
			for _, b := range a.Bands {
				_, capacitor, resistor, _ := legOf(again.equaliser.Circuit(), b.Band)
				if math.Abs(capacitor.Farads/b.Leg.Farads-1) > 1e-6 || math.Abs((resistor.Ohms+capacitor.ESR)/b.Leg.Ohms-1) > 1e-3 {
					t.Errorf("%s: %+v written, %+v searched with", band, capacitor, b.Leg)
				}
				if b.Within && (math.Abs(b.After.CentreHz/b.Centre.Wanted-1) > 0.0101 || math.Abs(b.After.BoostDB-b.Boost.Wanted) > 0.205) {
					t.Errorf("%s: %+v", band, b)
				}
			}
		}
	}
}

// TestTrimUnmet: what cannot be met is said with what stands in the way, and what
// cannot be asked is refused.
func TestTrimUnmet(t *testing.T) {
	c := boardJob(t, twoBands(t))
	a, found, err := c.Trim(t.Context(), TrimQuestion{Bands: []string{"400: boost 18dB"}, Resistors: quantity.E24, Most: 2})
	if err != nil || a.Outside == 0 || !hasFinding(found, IDTrimUnmet, "400") {
		t.Errorf("%v %v", found, err)
	}
	at := slices.IndexFunc(found, func(f finding.Finding) bool { return f.ID == IDTrimUnmet && f.Args["figure"] == "boost" })
	if at < 0 || found[at].Args["against"] != "" || found[at].Args["nearest"].(float64) > 17.9 {
		t.Errorf("%v", found)
	}
	if _, _, err := c.Trim(t.Context(), TrimQuestion{Bands: []string{"401: boost 8dB"}, Most: 2}); err == nil {
		t.Error("no such band")
	}
	if _, _, err := c.Trim(t.Context(), TrimQuestion{Unit: "B", Most: 2}); err == nil {
		t.Error("no such unit")
	}
}
