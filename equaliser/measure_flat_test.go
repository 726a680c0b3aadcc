package equaliser

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// The flat gain joined from its nodes is the one that the circuit has, and so
// is its slope, wherever bands are looked for: of the circuit as it is, and of
// builds with parts off by up to a tenth; even of legs drawn with no care for
// their match, whose flat gain ripples by decibels.
func TestFlatBetweenItsNodes(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 3012), 1))
	for _, c := range []struct{ within, most, mostSlope float64 }{{0, 1e-6, 1e-4}, {0.02, 5e-3, 5e-2}, {0.1, 3e-2, 0.3}} {
		worst, worstSlope := 0.0, 0.0
		for _, drawing := range Drawings() {
			for n := range trials.Count(6) {
				s := drawLegs(r, drawing, 1+n%6)
				sampling, _, err := mustBuild(t, s).Sampling(context.Background(), nil, legKnobs(s))
				if err != nil {
					t.Fatal(err)
				}
				if sampling.flat != nil {
					by, bySlope := offFlat(sampling, r, c.within)
					worst, worstSlope = max(worst, by), max(worstSlope, bySlope)
				}
			}
		}
		t.Logf("parts within %g: off by at most %.2g dB, the slope by %.2g dB/neper", c.within, worst, worstSlope)
		if worst > c.most || worstSlope > c.mostSlope {
			t.Errorf("parts within %g: off by more than %g dB or %g dB/neper", c.within, c.most, c.mostSlope)
		}
	}
}

// Of an equaliser that is flat when it stands flat, as one is made, the joined
// flat gain is within 1e-4 dB with parts off by a tenth.
func TestFlatBetweenItsNodesWhereItIsFlat(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 3013), 1))
	for _, drawing := range Drawings() {
		s := Spec{Drawing: drawing}
		for _, hz := range []float64{63, 160, 400, 1000, 2500, 6300} {
			ohms, henries, farads, dcr := StartingLeg(hz, 12, 0.9, 2200, 60)
			s.Bands = append(s.Bands, Band{Name: fmt.Sprint(hz), Hz: hz, Slider: circuit.Slider{Track: 10e3},
				Coil: circuit.Inductor{Henries: henries, DCR: dcr}, Capacitor: circuit.Capacitor{Farads: farads}, Resistor: circuit.Resistor{Ohms: ohms}})
		}
		sampling, _, err := mustBuild(t, s).Sampling(context.Background(), nil, legKnobs(s))
		if err != nil {
			t.Fatal(err)
		}
		by, bySlope := offFlat(sampling, r, 0.1)
		t.Logf("%s: off by at most %.2g dB, the slope by %.2g dB/neper", drawing, by, bySlope)
		if by > 1e-4 || bySlope > 1e-3 {
			t.Errorf("%s: off by %g dB, the slope by %g dB/neper", drawing, by, bySlope)
		}
	}
}

// offFlat is how far gain and slope are off in builds, anywhere.
func offFlat(s *Sampling, r *rand.Rand, within float64) (gain, slope float64) {
	m, b := s.Measure().(*bandMeasure), s.Ensemble.NewBuilds()
	turnKnobs(b, s.Ensemble, r, within)
	m.takeFlat(b, circuit.BuildCount)
	low, high := s.flat.nodes[0]+math.Ln2, s.flat.nodes[len(s.flat.nodes)-1]-math.Ln2
	for k := range circuit.BuildCount {
		m.x[k] = low + (high-low)*r.Float64()
	}
	m.askSlope(b, 0, circuit.BuildCount)
	for k, x := range m.x {
		y, by := m.flat(k, x)
		gain, slope = max(gain, math.Abs(y-m.y[k])), max(slope, math.Abs(by-m.s[k]))
	}
	return gain, slope
}

// legKnobs are the values of the legs that tolerances move.
func legKnobs(s Spec) []circuit.Knob {
	var knobs []circuit.Knob
	for _, b := range s.Bands {
		knobs = append(knobs, circuit.Knob{Part: b.Name, Value: "Track"}, circuit.Knob{Part: b.Name + ".resistor", Value: "Ohms"},
			circuit.Knob{Part: b.Name + ".coil", Value: "Henries"}, circuit.Knob{Part: b.Name + ".capacitor", Value: "Farads"})
	}
	return knobs
}

// turnKnobs draws every knob of every build about the nominal.
func turnKnobs(b *circuit.Builds, e *circuit.Ensemble, r *rand.Rand, within float64) {
	for k := range circuit.BuildCount {
		for j := range e.Knobs() {
			b.Set(k, j, e.Nominal(j)*(1+within*(2*r.Float64()-1)))
		}
	}
	b.Turn(circuit.BuildCount)
}

// The weights are exact for a quartic, at each of the five.
func TestSlopeWeights(t *testing.T) {
	for at, weights := range slopeWeights {
		for power := range 5 {
			sum := 0.0
			for i, w := range weights {
				sum += w * math.Pow(float64(i), float64(power)) / 12
			}
			want := float64(power) * math.Pow(float64(at), float64(max(power-1, 0)))
			if math.Abs(sum-want) > 1e-12 {
				t.Errorf("node %d, power %d: slope %g, not %g", at, power, sum, want)
			}
		}
	}
}
