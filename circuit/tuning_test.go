package circuit_test

import (
	"context"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/trials"
)

// TestTuning: a circuit turned to other values answers as one that was built of
// them and solved anew, and its derivatives are those of the adjoint circuit.
func TestTuning(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, seed), 31))
	for trial := range trials.Count(16) {
		ohms, legs := known.RandomCell(rng, 1+trial%7)
		parts, setting := known.IdealCellParts(ohms, legs)
		if trial%3 != 0 {
			parts = coupledLegs(parts)
		}
		c, err := circuit.New(parts...)
		if err != nil {
			t.Fatal(err)
		}
		knobs := everyKnob(parts)
		for _, p := range parts {
			if s, ok := p.(circuit.Slider); ok {
				knobs = append(knobs, circuit.Knob{Part: s.Name, Value: "Position"})
			}
		}
		compareTuning(t, rng, c, setting, knobs)
	}
}

func compareTuning(t *testing.T, rng *rand.Rand, c *circuit.Circuit, setting curve.Setting, knobs []circuit.Knob) {
	t.Helper()
	ctx := context.Background()
	st, err := c.Solve(ctx, setting, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	tuning, err := st.Tuning(knobs, "source", "out")
	if rng.IntN(2) == 0 {
		tuning, err = c.Tuning(ctx, setting, circuit.Conditions{}, knobs, "source", "out")
	}
	if err != nil {
		t.Fatal(err)
	}
	hz := curve.Grid(20, 20e3, 4)
	db, alone, by := make([]float64, len(hz)), make([]float64, len(hz)), make([][]float64, len(knobs))
	for k := range by {
		by[k] = make([]float64, len(hz))
	}
	values, gain := make([]float64, len(knobs)), make([]complex128, len(hz))
	for range 3 {
		var edits []circuit.Edit
		moved := setting
		for k, knob := range knobs {
			if knob.Value == "Position" {
				values[k] = min(max(setting.Slider(knob.Part)+0.2*(2*rng.Float64()-1), -1), 1)
				moved = moved.WithSlider(knob.Part, values[k])
				continue
			}
			v, _ := c.Value(knob)
			values[k] = v * (1 + 0.2*(2*rng.Float64()-1))
			edits = append(edits, circuit.Set(knob.Part, knob.Value, values[k]))
		}
		tuning.Turn(values)
		if !tuning.Decibels(hz, db, by) || !tuning.Decibels(hz, alone, nil) || !tuning.Gains(hz, gain) {
			t.Fatal("a lane without an answer")
		}
		edited, err := c.Edited(edits...)
		if err != nil {
			t.Fatal(err)
		}
		anew, err := edited.Solve(ctx, moved, circuit.Conditions{})
		if err != nil {
			t.Fatal(err)
		}
		list, err := anew.Sensitivities(ctx, "source", "out", hz)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range list {
			if cmplx.Abs(gain[i]-s.Gain) > 1e-9*cmplx.Abs(s.Gain) {
				t.Fatalf("at %g Hz the gain is %v, not %v", hz[i], gain[i], s.Gain)
			}
			want, _ := circuit.Decibels(s.Gain)
			if math.Abs(db[i]-want) > 1e-9 || math.Abs(alone[i]-want) > 1e-9 {
				t.Errorf("%s at %g Hz: %.12g dB, alone %.12g, want %.12g", setting, hz[i], db[i], alone[i], want)
			}
			compareSlopes(t, s, knobs, values, by, i)
		}
	}
	if n := testing.AllocsPerRun(5, func() { tuning.Turn(values); tuning.Decibels(hz, db, by) }); n != 0 {
		t.Errorf("%g allocations a turn", n)
	}
}

// compareSlopes holds the derivatives, per unit of the logarithm (of a position:
// per unit), to the sensitivities.
func compareSlopes(t *testing.T, s circuit.Sensitivity, knobs []circuit.Knob, values []float64, by [][]float64, i int) {
	t.Helper()
	for k, knob := range knobs {
		scale := values[k]
		if knob.Value == "Position" {
			scale = 1
		}
		for _, d := range s.By {
			if d.Part == knob.Part && d.Value == knob.Value {
				want := 20 / math.Ln10 * real(d.By/s.Gain) * scale
				if got := by[k][i] * scale; math.Abs(got-want) > 1e-8*(1+math.Abs(want)) {
					t.Errorf("%v: %.12g dB per unit, want %.12g", knob, got, want)
				}
			}
		}
	}
}
