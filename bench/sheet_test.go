package bench

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"bandwright/curve"
)

// fittedOf gives the sheet's parts by name.
func fittedOf(t *testing.T, text string) map[string]FittedPart {
	t.Helper()
	c, _ := opened(t, text, none)
	parts := map[string]FittedPart{}
	for _, f := range c.parts() {
		if _, twice := parts[f.Part]; twice {
			t.Errorf("%s stands twice", f.Part)
		}
		parts[f.Part] = f
	}
	if len(parts) != len(c.equaliser.Circuit().Parts()) {
		t.Errorf("%d parts on the sheet, %d in the circuit", len(parts), len(c.equaliser.Circuit().Parts()))
	}
	return parts
}

// figures writes marked, measured and solved value of a part in one line.
func figures(f FittedPart) string {
	return fmt.Sprintf("%s %s/%s/%s %s", f.Kind, show(f.Marked), show(f.Measured), show(f.Value), f.Tolerance)
}

// The sheet lists every part once, as marked, as measured and as solved.
func TestFittedParts(t *testing.T) {
	parts := fittedOf(t, reachJob+`
[[part]]
name = "R.load"
measured = "2.21k"
tolerance = "1 %"
[[part]]
name = "R.e"
value = "33k"
[[part]]
name = "63.coil"
value = "2.5 H"
set = { dcr = "240 ohm" }
[[part]]
name = "400.capacitor"
measured = "395n"
[[part]]
name = "C.new"
kind = "capacitor"
points = ["boost", "0"]
value = "100p"
measured = "98p"
[[part]]
name = "R.bleed"
kind = "inductor"
points = ["out.coupled", "0"]
value = "100 H"
set = { dcr = "1k" }
`)
	for name, want := range map[string]string{
		"R.load":        "resistor 2200/2210/2210 ±1 %",
		"R.e":           "resistor 33000/none/33000 ",
		"63.coil":       "inductor 2.5/none/2.5 ",
		"63.capacitor":  "capacitor 2.2e-06/2.23e-06/2.23e-06 ",
		"63.resistor":   "resistor 330/331/331 ",
		"63":            "slider 10000/none/10000 ",
		"400.capacitor": "capacitor 3.9e-07/3.95e-07/3.95e-07 ",
		"C.new":         "capacitor 1e-10/9.8e-11/9.8e-11 ",
		"R.bleed":       "inductor 100/none/100 ",
		"q1":            "transistor none/none/none ",
		"rail":          "voltage-source 24/none/24 ",
		"lift":          "contact 0.1/none/0.1 ",
		"footswitch":    "switch none/none/none ",
	} {
		if got := figures(parts[name]); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if d := parts["63.coil"].DCR; d == nil || *d != 240 || parts["63.coil"].Band != "63" {
		t.Errorf("63.coil: %+v", parts["63.coil"])
	}
	if d := parts["400.coil"].DCR; d == nil || *d != 82 {
		t.Errorf("400.coil: %+v", parts["400.coil"])
	}
}

// How a part was measured stands in its note.
func TestNotes(t *testing.T) {
	parts := map[string]FittedPart{}
	for _, f := range demoCase(t).parts() {
		parts[f.Part] = f
	}
	want := "bag 1, at 120 Hz, series, 500 mV, 35 °C, hand LCR meter, leads zeroed, 2026-01-19"
	if got := parts["63.coil"].Note; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := parts["63.resistor"].Note; got != "" {
		t.Errorf("a resistor nobody measured: %q", got)
	}
}

// The sheet's own parts are what the single questions give; its family is
// each setting less flat.
func TestSheet(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	a, found, err := c.Sheet(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if a.JobFile != "job.toml" || len(a.JobSHA256) != 64 || !strings.Contains(a.Title, "invented") || len(a.Noise) != 2 || a.Compare == nil {
		t.Errorf("%s, %s, %s, %d noises", a.JobFile, a.JobSHA256, a.Title, len(a.Noise))
	}
	if len(a.Family) != 14 || a.Noise[0].Setting != "flat" || a.Noise[1].Setting != c.equaliser.AllUp().String() {
		t.Errorf("%d curves, noise at %s and %s", len(a.Family), a.Noise[0].Setting, a.Noise[1].Setting)
	}
	flat := decibels(t, c, "flat")
	for _, v := range a.Family {
		if err := curve.Validate(v); err != nil {
			t.Error(err)
		}
		total := decibels(t, c, v.Setting.String())
		for k := range v.Hz {
			if math.Abs(v.DB[k]-(total[k]-flat[k])) > 1e-9 {
				t.Errorf("%s at %g Hz: %g dB, want %g", v.Name, v.Hz[k], v.DB[k], total[k]-flat[k])
				break
			}
		}
	}
	said := map[string]bool{}
	for _, f := range found {
		if said[f.Error()] {
			t.Errorf("said twice: %v", f)
		}
		said[f.Error()] = true
	}
}
