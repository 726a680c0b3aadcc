package bench

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
)

// lineOf gives the line of the last [[part]] of a text.
func lineOf(text string) int {
	return 1 + strings.Count(text[:strings.LastIndex(text, "[[part]]")], "\n")
}

// What only the circuit can tell leads back to the line of the [[part]].
func TestFindingsOfPartsHaveALine(t *testing.T) {
	for _, c := range []struct {
		part  string
		id    finding.ID
		place finding.Place // but file and line
	}{
		{"name = \"C.x\"\nkind = \"capacitor\"\npoints = [\"nowhere\", \"elsewhere\"]\nvalue = \"1n\"", circuit.IDNoPath, finding.Place{Part: "C.x", Point: "elsewhere"}},
		{"name = \"L.x\"\nkind = \"inductor\"\npoints = [\"in\", \"0\"]\nvalue = \"0 H\"", circuit.IDBadValue, finding.Place{Part: "L.x"}},
		{"name = \"q1\"\nset = { beta_f = 0 }", circuit.IDBadValue, finding.Place{Part: "q1"}},
		{"name = \"V.x\"\nkind = \"voltage-source\"\npoints = [\"rail\", \"0\"]\nvalue = \"9 V\"", circuit.IDZeroLoop, finding.Place{Part: "V.x"}},
		{"name = \"R.lod\"\nvalue = \"4k7\"", IDPartKind, finding.Place{Part: "R.lod"}},
		{"name = \"R.load\"\nset = { dcr = \"1 ohm\" }", job.IDUnknownProperty, finding.Place{Part: "R.load"}},
		{"name = \"R.load\"\npoints = [\"out\"]", job.IDPoints, finding.Place{Part: "R.load"}},
		{"name = \"R.load\"\nvalue = \"4 V\"", "quantity.", finding.Place{Part: "R.load"}},
		{"name = \"R.load\"\nmeasured = \"4,7,1\"", "quantity.", finding.Place{Part: "R.load"}},
		{"name = \"q1\"\nvalue = \"3\"", job.IDNoValue, finding.Place{Part: "q1"}},
		{"name = \"R.load\"\nvalue = \"-3 ohm\"", "quantity.", finding.Place{Part: "R.load"}},
		{"name = \"C.out\"\nset = { loss = -1 }", "", finding.Place{Part: "C.out"}},
		{"name = \"R.x\"\nkind = \"resistor\"\npoints = [\"in\"]\nvalue = \"1k\"", job.IDPoints, finding.Place{Part: "R.x"}},
		{"name = \"R.load\"\nkind = \"capacitor\"\nvalue = \"1n\"", job.IDPoints, finding.Place{Part: "R.load"}},
	} {
		text := reachJob + "\n# a change\n[[part]]\n" + c.part + "\n"
		found := slices.DeleteFunc(refused(t, text, none), func(f finding.Finding) bool { return f.Level < finding.Error })
		f := found[0]
		ok := strings.HasPrefix(string(f.ID), string(c.id))
		at := f.Place
		first := lineOf(text)
		if !ok || len(found) != 1 || at.File != "job.toml" || at.Line < first || at.Line > first+5 {
			t.Errorf("%q: want %s in line %d or just below, got\n%v", c.part, c.id, first, found)
		}
		if at.Part != c.place.Part || c.place.Point != "" && at.Point != c.place.Point {
			t.Errorf("%q: the place is %+v", c.part, at)
		}
		if _, err := json.Marshal(found); err != nil {
			t.Errorf("%q: %v", c.part, err)
		}
	}
}

// What is wrong with a band or with the job as a whole says so.
func TestFindingsOfBandsAndJob(t *testing.T) {
	found := refused(t, edited(t, reachJob, `rail = "24 V"`, `rail = "-24 V"`), none)
	if f := found[0]; f.ID != job.IDOutOfRange || f.Place.File != "job.toml" || f.Place.Line == 0 || len(found) != 1 {
		t.Errorf("rail below 0: %v", found)
	}
	for part, band := range map[string]string{
		"63": "63", "63.coil": "63", "63.resistor": "63", "400.capacitor": "400", "63.wiper": "", "6": "", "feed": "",
	} {
		c, _ := opened(t, reachJob, none)
		list := located(finding.List{finding.New(circuit.IDBadValue, finding.Error, finding.Place{Part: part}, nil)}, c.job, c.name)
		if at := list[0].Place; at.Band != band || at.Part != part || at.Line != 0 {
			t.Errorf("%s lies in band %q: %+v", part, band, at)
		}
	}
}

// What is wrong at every position of the switches is said once; what is wrong
// at one alone is said with it.
func TestFindingsOfSettings(t *testing.T) {
	loop := "[[part]]\nname = \"short\"\nkind = \"contact\"\npoints = [\"rail\", \"0\"]\nvalue = \"0 ohm\"\nset = { switch = \"footswitch\", closed = \"lifted\" }\n"
	found := refused(t, reachJob+loop, none)
	if f := found[0]; len(found) != 1 || f.Place.Setting != "footswitch:lifted" {
		t.Errorf("a short at one position: %v", found)
	}
	always := strings.Replace(loop, "closed = \"lifted\"", "closed = \"in, lifted\"", 1)
	found = refused(t, reachJob+always, none)
	if len(found) != 1 || found[0].Place.Setting != "flat" {
		t.Errorf("a short at every position: %v", found)
	}
}

// Settings that cannot be are told word by word.
func TestBadSettings(t *testing.T) {
	c, ctx := demoCase(t), context.Background()
	for text, want := range map[string]finding.ID{
		"64=+1":              equaliser.IDUnknownSlider,
		"63=+1.01":           curve.IDSettingPosition,
		"63=NaN":             "curve.",
		"63=up":              "curve.",
		"63=+1,63=-1":        curve.IDSettingTwice,
		"lift,lifted":        curve.IDSettingTwice,
		"lamp:on":            equaliser.IDUnknownSwitch,
		"panel:sideways":     equaliser.IDUnknownPosition,
		"63.coil=+1":         equaliser.IDUnknownSlider,
		"63=+1,,400=+1":      curve.IDSettingForm,
		"up":                 curve.IDSettingForm,
		"63=+1,6400=+1,lift": equaliser.IDUnknownSlider,
	} {
		asked := map[string]error{}
		_, _, asked["bands"] = c.Bands(ctx, text)
		_, _, asked["predict"] = c.Predict(ctx, text, nil)
		_, _, asked["volts"] = c.Volts(ctx, text)
		_, _, asked["noise"] = c.Noise(ctx, text)
		for name, err := range asked {
			list, ok := finding.From(err)
			if !ok || len(list) != 1 || !strings.HasPrefix(string(list[0].ID), string(want)) || list[0].Place.Setting == "" {
				t.Errorf("%s at %q: %v, want %s", name, text, err, want)
			}
		}
	}
}

// Frequencies that cannot be are told one by one, and what was found goes to
// JSON.
func TestBadFrequencies(t *testing.T) {
	c := demoCase(t)
	for _, hz := range []float64{0, -1, 1e12, math.NaN(), math.Inf(1), math.Inf(-1), math.Copysign(0, -1)} {
		a, _, err := c.Predict(context.Background(), "63=+1", []float64{1000, hz, 20})
		list, _ := finding.From(err)
		if a != nil || len(list) != 1 || list[0].ID != IDBadFrequency || list[0].Place.Setting != "63=+1" {
			t.Errorf("%g Hz: %v", hz, err)
		}
		if _, err := json.Marshal(list); err != nil {
			t.Errorf("%g Hz: %v", hz, err)
		}
	}
	a, _, err := c.Predict(context.Background(), "", []float64{1e9, 1e-3, 5})
	if err != nil || len(a.Rows) != 3 || a.Rows[0].Hz != 1e9 || a.Rows[2].Hz != 5 {
		t.Errorf("the ends of the range, not in order: %v, %v", a, err)
	}
}

// A switch named at its rest is the same setting as one not named.
func TestRestIsNotNamed(t *testing.T) {
	c := demoCase(t)
	for text, want := range map[string]string{
		"": "flat", "flat": "flat", " ": "flat", "footswitch:in": "flat", "panel:in,63=0": "flat",
		"400=-0.5,63=+1,panel:in,lift": "63=+1,400=-0.5,footswitch:lifted", "bypass": "panel:out",
	} {
		a, _, err := c.Volts(context.Background(), text)
		if err != nil || a.Setting != want {
			t.Errorf("%q is %v, %v, want %q", text, a, err, want)
		}
	}
}
