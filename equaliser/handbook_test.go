package equaliser

import (
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/known"
)

// The ten-band octave table of an audio handbook of 1980: FROM MEMORY, so a
// case of plausibility and nothing more. Its legs hold no coil but a follower
// that acts as one; each is built by changing the parts of a band by name.
func TestTenBandHandbookTableIsPlausible(t *testing.T) {
	table := known.HandbookTable()
	s := Spec{Drawing: DrawingIdeal, Feed: 3000, Feedback: 3000}
	for _, row := range table {
		n := row.Name
		s.Bands = append(s.Bands, Band{Name: n, Hz: row.Nominal, Slider: circuit.Slider{Track: 10e3}})
		s.Extra = append(s.Extra,
			capacitor(n+".resistor", n+".wiper", n+".a", row.C2),
			resistor(n+".coil", n+".a", n+".follower", row.R2),
			capacitor(n+".capacitor", n+".a", n+".plus", row.C1),
			resistor(n+".R1", n+".plus", "legs", row.R1),
			circuit.OpAmp{Name: n + ".opamp", Plus: n + ".plus", Minus: n + ".follower", Out: n + ".follower", Ideal: true})
	}
	e := mustBuild(t, s)
	all, _ := features(t, e, e.Flat())
	for i, f := range all {
		// Peaks worked out from the table with the follower's exact impedance.
		if math.Abs(f.BoostDB-table[i].PeakDB) > 0.006 || math.Abs(f.CutDB+f.BoostDB) > 1e-9 {
			t.Errorf("%s: boost %.3f dB, cut %.3f dB, worked out %.2f", f.Band, f.BoostDB, f.CutDB, table[i].PeakDB)
		}
		// Each resonance lies within 9 % of its label; neighbours add a little.
		if off := f.CentreHz/f.StatedHz - 1; math.Abs(off) > 0.12 {
			t.Errorf("%s: centre %g Hz is %+.1f %% off", f.Band, f.CentreHz, 100*off)
		}
		if f.Q == nil || *f.Q < 0.5 || *f.Q > 1.5 {
			t.Errorf("%s: Q %v", f.Band, f.Q)
		}
	}
	// All ten up: 16.7 to 20.0 dB from 30 Hz to 17 kHz (worked out).
	low, high := math.Inf(1), math.Inf(-1)
	var hz []float64
	for f := 30.0; f < 17000; f *= 1.005 {
		hz = append(hz, f)
	}
	for _, g := range gains(t, mustSolve(t, e, e.AllUp()), hz) {
		low, high = min(low, dB(g)), max(high, dB(g))
	}
	if math.Abs(low-16.7) > 0.1 || math.Abs(high-20.0) > 0.1 {
		t.Errorf("all up: %.2f to %.2f dB", low, high)
	}
}
