package equaliser

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
)

// A lift that is a resistor lit and another in the dark (a light-dependent
// resistor) stands in series with one band's leg: at full boost the ideal cell
// has 1 + R/(Z + lift), worked out from section 2 of the theory.
func TestLiftLitAndDark(t *testing.T) {
	for _, c := range []struct{ on, off float64 }{{0, 1e6}, {200, 100e3}, {500, 10e6}, {100, 0}} {
		s := Spec{Feedback: 2200, Feed: 2200, Lift: &Lift{OnOhms: c.on, OffOhms: c.off}, Bands: []Band{{
			Name: "400", Hz: 400, Slider: circuit.Slider{Track: 10e3}, Coil: circuit.Inductor{Henries: 0.39, DCR: 82},
			Capacitor: circuit.Capacitor{Farads: 390e-9}, Resistor: circuit.Resistor{Ohms: 470},
		}}}
		e := mustBuild(t, s)
		lifted, _ := e.Lifted()
		in, out := e.Flat().WithSlider("400", 1), lifted.WithSlider("400", 1)
		for i, hz := range audio(21) {
			omega := 2 * math.Pi * hz
			leg := complex(470+82, omega*0.39-1/(omega*390e-9))
			lit, dark := 1+2200/(leg+complex(c.on, 0)), complex(1, 0)
			if c.off > 0 {
				dark = 1 + 2200/(leg+complex(c.off, 0))
			}
			if got := gains(t, mustSolve(t, e, in), audio(21))[i]; cmplx.Abs(got-lit) > 1e-9*cmplx.Abs(lit) {
				t.Errorf("%g ohm lit, %g Hz: %v, want %v", c.on, hz, got, lit)
			}
			if got := gains(t, mustSolve(t, e, out), audio(21))[i]; cmplx.Abs(got-dark) > 1e-9*cmplx.Abs(dark) {
				t.Errorf("%g ohm dark, %g Hz: %v, want %v", c.off, hz, got, dark)
			}
		}
	}
}

// With all sliders centred a lift of any ohms changes nothing: the cell is
// balanced, and what all legs share is only one more leg's part. With sliders
// apart the bands still whisper through the dark resistor, less the more ohms
// it has.
func TestLiftThatLeaks(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	for range 5 {
		s := specOf(randomCell(r, 2+r.IntN(6)))
		last := math.Inf(1)
		for _, off := range []float64{100e3, 1e6, 10e6} {
			s.Lift = &Lift{OnOhms: 300, OffOhms: off}
			e := mustBuild(t, s)
			lifted, _ := e.Lifted()
			for _, g := range append(gains(t, mustSolve(t, e, e.Flat()), audio(11)), gains(t, mustSolve(t, e, lifted), audio(11))...) {
				if cmplx.Abs(g-1) > 1e-10 {
					t.Errorf("flat, %g ohm in the dark: gain %v", off, g)
				}
			}
			up := lifted
			for _, b := range s.Bands {
				up = up.WithSlider(b.Name, 1)
			}
			most := 0.0
			for _, g := range gains(t, mustSolve(t, e, up), audio(41)) {
				most = max(most, cmplx.Abs(g-1))
			}
			if !(most > 0 && most < last/5) {
				t.Errorf("all up, %g ohm in the dark: %g off flat, %g before", off, most, last)
			}
			last = most
		}
	}
}
