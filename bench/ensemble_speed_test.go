package bench

import (
	"context"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
)

// legKnobs are the values of the legs that tolerances move.
func legKnobs(c *Case) []circuit.Knob {
	var knobs []circuit.Knob
	for _, b := range c.equaliser.Bands() {
		knobs = append(knobs, circuit.Knob{Part: b, Value: "Track"}, circuit.Knob{Part: b + ".resistor", Value: "Ohms"},
			circuit.Knob{Part: b + ".coil", Value: "Henries"}, circuit.Knob{Part: b + ".coil", Value: "DCR"},
			circuit.Knob{Part: b + ".capacitor", Value: "Farads"})
	}
	return knobs
}

// BenchmarkBuilds is virtual builds of the demo with every band's centre,
// boost, cut and Q; 100,000 of them are what people wait for.
func BenchmarkBuilds(b *testing.B) {
	c := demoCase(b)
	s, found, err := c.equaliser.Sampling(context.Background(), c.solve, legKnobs(c))
	if err != nil || len(found) > 0 {
		b.Fatal(err, found)
	}
	s.Forecast()
	builds, measure := s.Ensemble.NewBuilds(), s.Measure()
	rng := rand.New(rand.NewPCG(1, 2))
	figures := make([][circuit.BuildCount]float64, len(measure.Figures()))
	var nominal []float64
	for i := range s.Ensemble.Knobs() {
		nominal = append(nominal, s.Ensemble.Nominal(i))
	}
	for b.Loop() {
		for k := range circuit.BuildCount {
			for i, value := range nominal {
				builds.Set(k, i, value*(1+0.05*(2*rng.Float64()-1)))
			}
		}
		builds.Turn(circuit.BuildCount)
		measure.Take(builds, circuit.BuildCount, figures)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*circuit.BuildCount)/1000, "µs/build")
	b.ReportMetric(float64(builds.Asked)/float64((b.N)*circuit.BuildCount), "solves/build")
	b.ReportMetric(float64(builds.Redone), "redone")
}
