package circuit_test

import (
	"context"
	"math/cmplx"
	"math/rand/v2"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/trials"
)

// TestEnsemble: a build of an ensemble answers as the circuit does when its
// parts are replaced and it is solved anew, at every setting.
func TestEnsemble(t *testing.T) {
	ctx := context.Background()
	rng := rand.New(rand.NewPCG(trials.Seed(t, seed), 3))
	for trial := range trials.Count(12) {
		ohms, legs := known.RandomCell(rng, 1+trial%8)
		parts, setting := known.IdealCellParts(ohms, legs)
		if trial%3 != 0 {
			parts = coupledLegs(parts)
		}
		c, err := circuit.New(parts...)
		if err != nil {
			t.Fatal(err)
		}
		settings := []curve.Setting{{}, setting, curve.Setting{}.WithSlider("1", 1), curve.Setting{}.WithSlider("1", -1)}
		var states []*circuit.State
		for _, s := range settings {
			st, err := c.Solve(ctx, s, circuit.Conditions{})
			if err != nil {
				t.Fatal(err)
			}
			states = append(states, st)
		}
		e, err := c.Ensemble(states, everyKnob(parts), "source", "out")
		if err != nil {
			t.Fatal(err)
		}
		compareBuilds(t, rng, c, e)
	}
}

// coupledLegs couples each leg's coil, which gets some core loss, with the one
// of the leg before.
func coupledLegs(parts []circuit.Part) []circuit.Part {
	last := ""
	for i, p := range parts {
		l, ok := p.(circuit.Inductor)
		if !ok {
			continue
		}
		l.CoreOhms = 100e3
		parts[i] = l
		if last != "" {
			parts = append(parts, coupling("M."+l.Name, last, l.Name, 0.2))
		}
		last = l.Name
	}
	return parts
}

func everyKnob(parts []circuit.Part) []circuit.Knob {
	var knobs []circuit.Knob
	for _, p := range parts {
		for _, name := range []string{"Ohms", "Henries", "DCR", "Farads", "Track", "K"} {
			if f := reflect.ValueOf(p).FieldByName(name); f.IsValid() && f.Float() != 0 {
				knobs = append(knobs, circuit.Knob{Part: p.PartName(), Value: name})
			}
		}
	}
	return knobs
}

func compareBuilds(t *testing.T, rng *rand.Rand, c *circuit.Circuit, e *circuit.Ensemble) {
	t.Helper()
	ctx := context.Background()
	b := e.NewBuilds()
	var replaced [circuit.BuildCount]*circuit.Circuit
	for n := range replaced {
		moved := map[string]reflect.Value{}
		for k, knob := range e.Knobs() {
			v := e.Nominal(k) * (1 + 0.2*(2*rng.Float64()-1))
			b.Set(n, k, v)
			if _, ok := moved[knob.Part]; !ok {
				part, _ := c.Part(knob.Part)
				moved[knob.Part] = reflect.New(reflect.TypeOf(part)).Elem()
				moved[knob.Part].Set(reflect.ValueOf(part))
			}
			moved[knob.Part].FieldByName(knob.Value).SetFloat(v)
		}
		var edits []circuit.Part
		for _, v := range moved {
			edits = append(edits, v.Interface().(circuit.Part))
		}
		var err error
		if replaced[n], err = c.Replace(edits...); err != nil {
			t.Fatal(err)
		}
	}
	b.Turn(circuit.BuildCount)
	const pairs = 100
	build, hz := make([]int32, pairs), make([]float64, pairs)
	gain, byHz := make([]complex128, pairs), make([]complex128, pairs)
	for s, setting := range e.Settings() {
		for i := range pairs {
			build[i], hz[i] = int32(rng.IntN(circuit.BuildCount)), 20*1000*rng.Float64()+1
		}
		if !b.Slopes(s, build, hz, gain, byHz) {
			t.Fatal("a lane without an answer")
		}
		alone := make([]complex128, pairs)
		if !b.Gains(s, build, hz, alone) {
			t.Fatal("a lane without an answer")
		}
		for i := range pairs {
			if cmplx.Abs(alone[i]-gain[i]) > 1e-12*cmplx.Abs(gain[i]) {
				t.Errorf("%s at %g Hz: %v alone, %v with its slope", setting, hz[i], alone[i], gain[i])
			}
			st, err := replaced[build[i]].Solve(ctx, setting, circuit.Conditions{})
			if err != nil {
				t.Fatal(err)
			}
			var want, wantBy, alone [1]complex128
			if err := st.Slopes(ctx, "source", "out", hz[i:i+1], want[:], wantBy[:]); err != nil {
				t.Fatal(err)
			}
			if b.Gains(s, build[i:i+1], hz[i:i+1], alone[:]); alone[0] != gain[i] {
				t.Errorf("%s build %d at %g Hz: %v alone, %v with its slope", setting, build[i], hz[i], alone[0], gain[i])
			}
			if cmplx.Abs(gain[i]-want[0]) > 1e-10*cmplx.Abs(want[0]) || cmplx.Abs(byHz[i]-wantBy[0]) > 1e-8*(cmplx.Abs(wantBy[0])+cmplx.Abs(want[0])/hz[i]*1e-3) {
				t.Errorf("%s build %d at %g Hz: %v %v, want %v %v", setting, build[i], hz[i], gain[i], byHz[i], want[0], wantBy[0])
			}
			if i == 8 {
				break // solving anew is slow
			}
		}
	}
	if n := testing.AllocsPerRun(5, func() { b.Turn(circuit.BuildCount); b.Slopes(0, build, hz, gain, byHz) }); n != 0 {
		t.Errorf("%g allocations a round", n)
	}
}
