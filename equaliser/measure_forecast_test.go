package equaliser

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// A forecast changes where a search begins, not what it finds; and it saves
// gains, else it is worth nothing. Parts off by up to a tenth.
func TestForecastChangesNoFigure(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 3011), 1))
	for _, drawing := range Drawings() {
		s := drawLegs(r, drawing, 3)
		knobs := legKnobs(s)
		e := mustBuild(t, s)
		plain, _, err := e.Sampling(context.Background(), nil, knobs)
		if err != nil {
			t.Fatal(err)
		}
		ahead, _, err := e.Sampling(context.Background(), nil, knobs)
		if err != nil {
			t.Fatal(err)
		}
		ahead.Forecast()
		for _, within := range []float64{0, 0.02, 0.1} {
			for range trials.Count(5) {
				seed := r.Uint64()
				want, asked := drawnFigures(plain, seed, within)
				got, fewer := drawnFigures(ahead, seed, within)
				for i := range want {
					for k, v := range want[i] {
						by := math.Abs(v - got[i][k])
						most := 2 * sampleSettled
						switch i % figuresPerBand {
						case figureCentre:
							by /= v
						case figureQ: // two edges over a width of 1/Q
							by, most = by/v, most*(1+2*v)
						}
						if (v == v) != (got[i][k] == got[i][k]) || by > most {
							t.Fatalf("%s, parts within %g: figure %d is %g, with a forecast %g", drawing, within, i, v, got[i][k])
						}
					}
				}
				if within > 0 && fewer >= asked {
					t.Errorf("%s, parts within %g: %d gains with a forecast, %d without", drawing, within, fewer, asked)
				}
			}
		}
	}
}

// drawnFigures measures builds drawn about the nominal one and counts the gains
// asked for.
func drawnFigures(s *Sampling, seed uint64, within float64) ([][circuit.BuildCount]float64, int) {
	r := rand.New(rand.NewPCG(seed, 2))
	m, b := s.Measure(), s.Ensemble.NewBuilds()
	turnKnobs(b, s.Ensemble, r, within)
	figures := make([][circuit.BuildCount]float64, len(m.Figures()))
	m.Take(b, circuit.BuildCount, figures)
	return figures, b.Asked
}

// Of one band alone, whose centre is its leg's resonance 1/(2π√(LC)), one per
// cent more of coil or capacitor lowers every root by half a per cent, and the
// leg's resistor leaves the centre where it is.
func TestForecastOfALegAlone(t *testing.T) {
	ohms, henries, farads, dcr := StartingLeg(400, 12, 0.9, 2200, 0)
	s := Spec{Drawing: DrawingIdeal, Bands: []Band{{Name: "400", Hz: 400, Slider: circuit.Slider{Track: 10e3},
		Coil: circuit.Inductor{Henries: henries, DCR: dcr}, Capacitor: circuit.Capacitor{Farads: farads}, Resistor: circuit.Resistor{Ohms: ohms}}}}
	sampling, _, err := mustBuild(t, s).Sampling(context.Background(), nil, []circuit.Knob{
		{Part: "400.coil", Value: "Henries"}, {Part: "400.capacitor", Value: "Farads"}, {Part: "400.resistor", Value: "Ohms"}})
	if err != nil {
		t.Fatal(err)
	}
	sampling.Forecast()
	for side, roots := range sampling.forecast.slope {
		peak := roots[rootPeak]
		for knob, want := range []float64{-0.5, -0.5, 0} {
			if math.Abs(peak[knob]-want) > 0.01 {
				t.Errorf("side %d, knob %d: the centre moves by %.4f of it, %g is the leg's", side, knob, peak[knob], want)
			}
		}
	}
	boost := sampling.forecast.slope[0]
	for knob := range 2 { // L/C sets the width, so each edge moves differently; their mean is the centre's move
		if mean := (boost[rootLow][knob] + boost[rootHigh][knob]) / 2; math.Abs(mean+0.5) > 0.02 {
			t.Errorf("knob %d: the edges move by %.4f on the mean", knob, mean)
		}
	}
}
