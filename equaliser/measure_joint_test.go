package equaliser

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// Builds hardly different from the circuit as it is all have their figures,
// wherever the joints of the flat gain fall: with one band, on its peak.
func TestFiguresOnAJointOfTheFlatGain(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 1), 1))
	for _, drawing := range Drawings() {
		for n := range trials.Count(7) {
			s := drawLegs(r, drawing, 1+n%3)
			var knobs []circuit.Knob
			for _, b := range s.Bands {
				knobs = append(knobs, circuit.Knob{Part: b.Name + ".capacitor", Value: "Farads"})
			}
			sampling, found, err := mustBuild(t, s).Sampling(context.Background(), nil, knobs)
			if err != nil || len(found) > 0 {
				t.Fatal(err, found)
			}
			missing := 0
			for _, spread := range []float64{0, 1e-6, 1e-4, 1e-2} {
				missing += missingFigures(sampling, r, spread)
			}
			if missing > 0 {
				t.Errorf("%s, case %d: %d figures missing", drawing, n, missing)
			}
		}
	}
}

// missingFigures draws builds about the nominal one and counts figures that
// are not there.
func missingFigures(sampling *Sampling, r *rand.Rand, spread float64) (missing int) {
	m, b := sampling.Measure(), sampling.Ensemble.NewBuilds()
	figures := make([][circuit.BuildCount]float64, len(m.Figures()))
	for k := range circuit.BuildCount {
		for j := range sampling.Ensemble.Knobs() {
			b.Set(k, j, sampling.Ensemble.Nominal(j)*math.Exp(spread*r.NormFloat64()))
		}
	}
	b.Turn(circuit.BuildCount)
	m.Take(b, circuit.BuildCount, figures)
	for i := range figures {
		for _, x := range figures[i] {
			if math.IsNaN(x) {
				missing++
			}
		}
	}
	return missing
}
