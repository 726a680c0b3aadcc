package equaliser

import (
	"context"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// withSwitches is six bands with lift, bypass and a switch of its own.
func withSwitches(t testing.TB) *Equaliser {
	t.Helper()
	s := sixBands(0)
	s.Lift, s.Bypass = &Lift{}, &Bypass{}
	s.Extra = []circuit.Part{
		circuit.Switch{Name: "pad", Positions: []string{"off", "on"}},
		circuit.Contact{Name: "pad.contact", A: "return", B: "0", Switch: "pad", Closed: []string{"on"}, OnOhms: 1e3},
	}
	e, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func TestParseSetting(t *testing.T) {
	e := withSwitches(t)
	for text, want := range map[string]string{
		"":                          "flat",
		"flat":                      "flat",
		"63=+1,400=-0.5,lift":       "63=+1,400=-0.5,footswitch:lifted",
		" 63 = 1 , 400 = −0.5 ":     "63=+1,400=-0.5",
		"bypass":                    "panel:out",
		"bypassed,lifted":           "footswitch:lifted,panel:out",
		"flat,pad:on":               "pad:on",
		"63=0,pad:off":              "pad:off",
		"6300=1e-1,footswitch:in":   "6300=+0.1,footswitch:in",
		"2500=-1,160=0.25,63=-0.75": "63=-0.75,160=+0.25,2500=-1",
	} {
		got, err := e.ParseSetting(text)
		meant, wrong := curve.ParseSetting(want) // whatever the canonical order
		if err != nil || wrong != nil || got.String() != meant.String() {
			t.Errorf("%q gives %v, %v, want %s", text, got, err, want)
		}
		again, err := e.ParseSetting(got.String())
		if err != nil || again.String() != got.String() {
			t.Errorf("%q does not read back: %v, %v", got, again, err)
		}
		if _, err := e.Solve(context.Background(), got); err != nil {
			t.Errorf("%q does not solve: %v", text, err)
		}
	}
}

func TestParseSettingFindings(t *testing.T) {
	e := withSwitches(t)
	for _, c := range []struct {
		text   string
		want   finding.ID
		column int
	}{
		{"65=+1", IDUnknownSlider, 1},
		{"63=+1, 250=1", IDUnknownSlider, 7},
		{"feed=1", IDUnknownSlider, 1},
		{"63=1.5", curve.IDSettingPosition, 1},
		{"63=+1,400=x", curve.IDSettingPosition, 7},
		{"63=nan", curve.IDSettingPosition, 1},
		{"63=+1,63=+1", curve.IDSettingTwice, 7},
		{"63=0,63=0.5", curve.IDSettingTwice, 6},
		{"lift,footswitch:in", curve.IDSettingTwice, 6},
		{"up", curve.IDSettingForm, 1},
		{"63=+1,,400=1", curve.IDSettingForm, 7},
		{"63:+1", IDUnknownSwitch, 1},
		{"ped:on", IDUnknownSwitch, 1},
		{"pad:up", IDUnknownPosition, 1},
		{"=1", curve.IDSettingForm, 1},
	} {
		_, err := e.ParseSetting(c.text)
		list, _ := finding.From(err)
		i := slices.IndexFunc(list, func(f finding.Finding) bool { return f.ID == c.want })
		if i < 0 || list[i].Place.Column != c.column {
			t.Errorf("%q: %v, want %s in column %d", c.text, err, c.want, c.column)
		}
	}
	plain := mustBuild(t, sixBands(0))
	if _, err := plain.ParseSetting("lift"); err == nil || !strings.Contains(err.Error(), string(IDUnknownSwitch)) {
		t.Errorf("lift without a lift contact: %v", err)
	}
}

func TestNearestNames(t *testing.T) {
	names := []string{"63", "160", "400", "1000", "2500", "6300"}
	for written, want := range map[string]string{
		"64": "63, 160, 6300", "630": "63, 6300, 160", "2k5": "2500", "100": "160, 400, 1000", "x": "63, 160, 400, 1000, 2500, 6300",
	} {
		if got := nearest(written, names); got != want {
			t.Errorf("%q: %s, want %s", written, got, want)
		}
	}
	for _, c := range []struct {
		a, b string
		n    int
	}{{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"63", "63", 0}} {
		if got := changes(c.a, c.b); got != c.n {
			t.Errorf("changes(%q, %q) = %d, want %d", c.a, c.b, got, c.n)
		}
		if got := changes(c.b, c.a); got != c.n {
			t.Errorf("changes(%q, %q) = %d, want %d", c.b, c.a, got, c.n)
		}
	}
}

// checkParsed: whatever the text, an answer or findings; an answer reads back
// and fits the circuit.
func checkParsed(t *testing.T, e *Equaliser, text string) {
	t.Helper()
	s, err := e.ParseSetting(text)
	if err != nil {
		if list, ok := finding.From(err); !ok || list.Worst() != finding.Error {
			t.Errorf("%q: %v is no finding", text, err)
		}
		return
	}
	again, err := e.ParseSetting(s.String())
	if err != nil || again.String() != s.String() {
		t.Errorf("%q reads as %q, which reads as %q, %v", text, s, again, err)
	}
	for name, p := range s.Sliders {
		if _, ok := e.part(name).(circuit.Slider); !ok || !(p >= -1 && p <= 1) {
			t.Errorf("%q puts slider %q at %g", text, name, p)
		}
	}
}

func TestParseSettingMutated(t *testing.T) {
	const seed = 41
	r := rand.New(rand.NewPCG(seed, 1))
	e := withSwitches(t)
	start := []string{"63=+1,400=-0.5,lift", "bypass", "flat", "pad:on,6300=−1", "footswitch:lifted,63=1e-3"}
	pieces := []string{",", "=", ":", "63", "lift", "+", "-", "−", "0x1", "nan", "1e999", " ", "\x00", "\xff", "é", "flat"}
	for range 20000 {
		text := []byte(start[r.IntN(len(start))])
		for range 1 + r.IntN(4) {
			at := r.IntN(len(text) + 1)
			switch r.IntN(3) {
			case 0:
				text = slices.Insert(text, at, []byte(pieces[r.IntN(len(pieces))])...)
			case 1:
				if at < len(text) {
					text = slices.Delete(text, at, at+1)
				}
			default:
				if at < len(text) {
					text[at] = byte(r.IntN(256))
				}
			}
		}
		checkParsed(t, e, string(text))
	}
}

func FuzzParseSetting(f *testing.F) {
	for _, text := range []string{"63=+1,400=-0.5,lift", "bypass", "flat", "pad:on", "63=,", "−1"} {
		f.Add(text)
	}
	e := withSwitches(f)
	f.Fuzz(func(t *testing.T, text string) { checkParsed(t, e, text) })
}

// The family names each setting once and every one solves.
func TestFamilySolves(t *testing.T) {
	e := withSwitches(t)
	family := e.Family()
	if len(family) != 1+2*6+2+2 {
		t.Errorf("%d settings", len(family))
	}
	seen := map[string]bool{}
	for _, one := range family {
		if seen[one.Setting.String()] {
			t.Errorf("%s: %v twice", one.Name, one.Setting)
		}
		seen[one.Setting.String()] = true
		mustSolve(t, e, one.Setting)
	}
	if got := e.AllUp().Slider("1000") + e.AllDown().Slider("1000"); got != 0 || e.AllUp().Slider("63") != 1 {
		t.Errorf("all up %v, all down %v", e.AllUp(), e.AllDown())
	}
}
