package bench

import (
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/job"
	"bandwright/spread"
)

// legJob has one band; LEG stands for its coil and its capacitor.
const legJob = `format = 1
title = "invented"
temperature = "60 °C"
[tap_in]
source = "1k"
[driver]
drawing = "ideal"
[[batch]]
name = "bag 3"
common = 0.8
[[band]]
name = "400"
centre = "400 Hz"
slider = { value = "10k", SLIDER }
resistor = { value = "470R" }
coil = { value = "400 mH", COIL }
capacitor = { value = "390n", CAPACITOR }
`

func legCase(t *testing.T, slider, coil, capacitor, more string) *Case {
	t.Helper()
	text := strings.NewReplacer(", SLIDER", slider, ", COIL", coil, ", CAPACITOR", capacitor).Replace(legJob) + more
	c := opensJob(t, text)
	j, found := job.Decode("job.toml", []byte(text))
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	again, err := job.Encode(j)
	if err != nil {
		t.Fatal(err)
	}
	if back, found := job.Decode("job.toml", again); back == nil || len(back.Bands) != 1 || back.Bands[0].Coil.Batch != j.Bands[0].Coil.Batch ||
		back.Bands[0].Slider.Shape != j.Bands[0].Slider.Shape || len(back.Batches) != 1 {
		t.Errorf("%v\n%s", found, again)
	}
	return c
}

// A part lies by the law it is given, together with its batch; one that was
// measured is known by itself.
func TestLawsOfTheJob(t *testing.T) {
	c := legCase(t, ", tolerance = \"20 %\", batch = \"reel\"", ", tolerance = \"10 %\", batch = \"bag 3\", dcr = \"80 ohm\"",
		", tolerance = \"-20/+80 %\", lies = \"skewed\"", `[[part]]
name = "x"
kind = "inductor"
points = ["boost", "0"]
value = "10 H"
tolerance = "10 %"
lies = "normal"
batch = "bag 3"
set = { dcr = "100 ohm" }
[[part]]
name = "400.resistor"
measured = "468R"
batch = "bag 3"
`)
	want := map[string]spread.Law{
		"400":           {Shape: spread.Flat, Group: "reel", Common: usualCommon},
		"400.coil":      {Shape: spread.Flat, Group: "bag 3", Common: 0.8},
		"400.capacitor": {Shape: spread.Skewed},
		"x":             {Shape: spread.Normal, Group: "bag 3", Common: 0.8},
		"400.resistor":  {Shape: spread.Measured},
	}
	for _, v := range c.lawsOf(SpreadQuestion{}).varied {
		if w, ok := want[v.Part]; ok && v.Value != "DCR" {
			if v.Law.Shape != w.Shape || v.Law.Group != w.Group || v.Law.Common != w.Common {
				t.Errorf("%s lies by %+v, want %+v", v.Part, v.Law, w)
			}
			delete(want, v.Part)
		}
	}
	if len(want) > 0 {
		t.Errorf("not varied: %v", want)
	}
}

// A slider's shape is the law of that name; a coil's Q gives the core loss that
// makes it at the meter's frequency; copper of a [[part]] is warmed as a band's.
func TestShapeQualityAndWarmCopper(t *testing.T) {
	c := legCase(t, ", shape = \"S 80 %\"", `, dcr = "80 ohm", measured = { value = "404 mH", frequency = "1 kHz", q = 18, temperature = "20 °C" }`, "", `[[part]]
name = "x"
kind = "inductor"
points = ["boost", "0"]
value = "10 H"
set = { dcr = "100 ohm", dcr_at = "20 °C" }
`)
	part := func(name string) circuit.Part {
		p, ok := c.equaliser.Circuit().Part(name)
		if !ok {
			t.Fatal(name)
		}
		return p
	}
	if s := part("400").(circuit.Slider); !equalLaws(s.Law, circuit.SLaw(0.8)) {
		t.Errorf("law %+v", s.Law)
	}
	coil := part("400.coil").(circuit.Inductor)
	warm := 1 + circuit.CopperKelvin*40 // worked out from the definition
	if !near(coil.DCR, 80*warm, 1e-12) || !near(part("x").(circuit.Inductor).DCR, 100*warm, 1e-12) {
		t.Errorf("copper at 60 °C: %g and %g ohm", coil.DCR, part("x").(circuit.Inductor).DCR)
	}
	coil.DCR = 80 // as it was when the meter read it
	if z := coil.Impedance(1000); !near(imag(z)/real(z), 18, 1e-9) {
		t.Errorf("Q of %g put back from 18", imag(z)/real(z))
	}
	low := legCase(t, "", `, dcr = "80 ohm", measured = { frequency = "1 kHz", q = 60 }`, "", "")
	if p, _ := low.equaliser.Circuit().Part("400.coil"); p.(circuit.Inductor).CoreOhms != 0 {
		t.Error("a core loss from a Q that the copper alone undercuts")
	}
}

func equalLaws(a, b circuit.Law) bool {
	if len(a.Travel) != len(b.Travel) || len(a.Travel) == 0 {
		return false
	}
	for i := range a.Travel {
		if a.Travel[i] != b.Travel[i] || a.Share[i] != b.Share[i] {
			return false
		}
	}
	return true
}
