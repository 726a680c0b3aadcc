package bench

import (
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"

	"bandwright/demo"
	"bandwright/finding"
	"bandwright/job"
)

// hasFinding says whether a list has an id at a band or part that begins so.
func hasFinding(list finding.List, id finding.ID, at string) bool {
	return slices.ContainsFunc(list, func(f finding.Finding) bool {
		return f.ID == id && strings.HasPrefix(f.Place.Band+f.Place.Part, at)
	})
}

// What is hidden in unit B (demo/bass-head/README.md) is found from its curves,
// to the noise of the curves: the coil at 400, the joint at 1000, the slider at
// 2500. Nothing is wrong with unit A.
func TestFitDemo(t *testing.T) {
	c := demoCase(t)
	a, found, err := c.Fit(t.Context(), FitQuestion{Unit: "B"})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(a.Reversed, []string{"2500"}) || len(found) != 1 || !hasFinding(found, IDFitReversed, "2500") {
		t.Errorf("%v %v", a.Reversed, found)
	}
	for i, want := range [][3]float64{{330.3, 2.710, 2241e-9}, {430.3, 0.9679, 974.3e-9}, {471.6, 0.3702, 381.5e-9},
		{569.5, 0.1670, 152.0e-9}, {510.2, 0.07282, 55.59e-9}, {559.9, 0.03028, 22.31e-9}} {
		l := a.Legs[i]
		for n, v := range []FitValue{l.Resistor, l.Coil, l.Capacitor} {
			// a hundredth: copper and losses are taken as the job has them, and are a little off
			if math.Abs(v.Value.Value/want[n]-1) > 0.01 || !v.Told || math.Abs(v.Off-(v.Value.Value/v.Job-1)) > 1e-12 {
				t.Errorf("%s: %+v, truly %g", l.Band, v, want[n])
			}
		}
		if resonance := 1 / (2 * math.Pi * math.Sqrt(want[1]*want[2])); math.Abs(l.Resonance.Value/resonance-1) > 0.001 {
			t.Errorf("%s: %+v, truly %g Hz", l.Band, l.Resonance, resonance)
		}
	}
	if a.Noise.DB < 0.035 || a.Noise.DB > 0.045 { // 0.04 dB was put in
		t.Errorf("%+v", a.Noise)
	}
	a, found, err = c.Fit(t.Context(), FitQuestion{Unit: "A", SliderOff: 0.02})
	if err != nil || len(found) > 0 || len(a.Sliders) != 6 {
		t.Errorf("%v %v %+v", found, err, a.Sliders)
	}
}

// TestFitWritten: the job with the values found in it, asked again, has them, and
// predicts the bands that the curves show.
func TestFitWritten(t *testing.T) {
	c := demoCase(t)
	text, err := fs.ReadFile(demo.BassHead(), "job.toml")
	if err != nil {
		t.Fatal(err)
	}
	a, _, err := c.Fit(t.Context(), FitQuestion{Unit: "B", Also: []string{"copper", "core"}})
	if err != nil {
		t.Fatal(err)
	}
	written, err := job.Update(text, a.Job())
	if err != nil {
		t.Fatal(err)
	}
	again, _ := opened(t, string(written), demo.BassHead())
	for _, knob := range a.knobs {
		v, err := again.equaliser.Circuit().Value(knob)
		if i := slices.Index(a.knobs, knob); err != nil || math.Abs(v/a.result.Values[i].Value-1) > 1e-6 {
			t.Errorf("%v: %g written, %g found; %v", knob, v, a.result.Values[i].Value, err)
		}
	}
	bands, _, err := again.Bands(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range bands.Bands {
		if b.Band == "400" && (math.Abs(b.CentreHz/420.4-1) > 0.002 || math.Abs(b.BoostDB-9.94) > 0.05) {
			t.Errorf("%+v", b)
		}
	}
}

// TestFitOneCurve: one curve tells its own leg; of the others it leaves what the
// job knows.
func TestFitOneCurve(t *testing.T) {
	a, _, err := demoCase(t).Fit(t.Context(), FitQuestion{Curves: []string{"unit B, 400 boost"}})
	if err != nil || a.Unit != "B" {
		t.Fatal(err, a)
	}
	for _, l := range a.Legs {
		if own := l.Band == "400"; l.Coil.Told != own || l.Resistor.Told != own {
			t.Errorf("%+v", l)
		}
		if v := l.Coil; l.Band == "400" && (v.Low > 0.3702 || v.High < 0.3702 || v.High/v.Low > 1.04) {
			t.Errorf("%+v", v)
		}
	}
}

// TestFitRefused: what cannot be asked is refused by name.
func TestFitRefused(t *testing.T) {
	c := demoCase(t)
	for _, k := range []struct {
		q    FitQuestion
		want finding.ID
	}{
		{FitQuestion{}, IDFitWhichUnit},
		{FitQuestion{Unit: "C"}, IDFitNoUnit},
		{FitQuestion{Unit: "A", Curves: []string{"unit B, flat"}}, IDFitNoCurve},
		{FitQuestion{Unit: "A", Also: []string{"copper", "colour"}}, IDFitAlso},
		{FitQuestion{Unit: "A", Also: []string{"driver"}}, IDFitNone},
		{FitQuestion{Unit: "A", Level: "loud"}, IDFitLevel},
	} {
		_, found, err := c.Fit(t.Context(), k.q)
		list, _ := finding.From(err)
		if !hasFinding(append(found, list...), k.want, "") {
			t.Errorf("%+v: %v %v", k.q, found, err)
		}
	}
}
