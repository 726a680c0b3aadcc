package equaliser

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// Where a search of builds stops, the figures are those of one that goes on to
// the rounding, within what sampling promises: centres and Q to a thousandth
// of a per cent, boost and cut to as many dB.
func TestFiguresStandWhereTheSearchStops(t *testing.T) {
	from := trials.Seed(t, 2611)
	s := Spec{Drawing: DrawingTwoTransistor}
	var knobs []circuit.Knob
	for _, hz := range []float64{63, 160, 400, 1000, 2500, 6300} {
		name := strconv.Itoa(int(hz))
		ohms, henries, farads, dcr := StartingLeg(hz, 12, 0.9, 2200, 60)
		s.Bands = append(s.Bands, Band{Name: name, Hz: hz, Slider: circuit.Slider{Track: 10e3},
			Coil: circuit.Inductor{Henries: henries, DCR: dcr}, Capacitor: circuit.Capacitor{Farads: farads}, Resistor: circuit.Resistor{Ohms: ohms}})
		knobs = append(knobs, circuit.Knob{Part: name, Value: "Track"}, circuit.Knob{Part: name + ".resistor", Value: "Ohms"},
			circuit.Knob{Part: name + ".coil", Value: "Henries"}, circuit.Knob{Part: name + ".capacitor", Value: "Farads"})
	}
	e, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	sampling, _, err := e.Sampling(context.Background(), nil, knobs)
	if err != nil {
		t.Fatal(err)
	}
	whereTheSearchStops(t, sampling, from)
	sampling.Forecast()
	whereTheSearchStops(t, sampling, from)
}

func whereTheSearchStops(t *testing.T, sampling *Sampling, from uint64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(from, 1))
	for _, within := range []float64{0.02, 0.1, 0.3} {
		builds := sampling.Ensemble.NewBuilds()
		m := sampling.Measure().(*bandMeasure)
		stopped := make([][circuit.BuildCount]float64, len(m.Figures()))
		onward := make([][circuit.BuildCount]float64, len(stopped))
		off := [figuresPerBand]float64{}
		for range trials.Count(20) {
			for k := range circuit.BuildCount {
				for i := range sampling.Ensemble.Knobs() {
					builds.Set(k, i, sampling.Ensemble.Nominal(i)*(1+within*(2*rng.Float64()-1)))
				}
			}
			builds.Turn(circuit.BuildCount)
			m.Take(builds, circuit.BuildCount, stopped)
			m.settledAt = fineSettled
			m.Take(builds, circuit.BuildCount, onward)
			m.settledAt = sampling.settled()
			for i := range stopped {
				for k, v := range stopped[i] {
					by := math.Abs(v - onward[i][k])
					if f := i % figuresPerBand; f == figureCentre || f == figureQ {
						by /= onward[i][k]
					}
					if v == v && !(by <= sampleSettled) {
						t.Fatalf("figure %d within %g: %g, searched on %g", i, within, v, onward[i][k])
					}
					off[i%figuresPerBand] = max(off[i%figuresPerBand], by)
				}
			}
		}
		t.Logf("forecast %v, parts within %g: off by at most %.2g", sampling.forecast != nil, within, off)
	}
}
