package circuit_test

import (
	"context"
	"math"
	"math/cmplx"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
)

// TestSensitivity holds the adjoint against differences: every value of
// every part is moved a little each way, the circuit is solved again from
// the start (operating point included), and the gain's change is compared.
func TestSensitivity(t *testing.T) {
	t.Parallel()
	compared := map[string]int{}
	for trial := range uint64(8) {
		for kind, s := range kinds(seed, trial) {
			for _, hz := range []float64{700} {
				compareSensitivity(t, kind, trial, s, hz, compared)
			}
		}
	}
	for _, want := range []string{
		"Resistor.Ohms", "Capacitor.Farads", "Capacitor.Loss", "Capacitor.ESR", "Inductor.Henries", "Inductor.DCR",
		"Inductor.CoreOhms", "Inductor.SelfFarads", "Slider.Track", "Slider.Position", "OpAmp.Gain",
		"OpAmp.GainBandwidth", "OpAmp.OutputOhms", "Transistor.Is", "Transistor.BetaF", "VoltageSource.DC",
		"Coupling.K", "Triode.Mu", "Triode.Exponent", "Triode.KG1", "Triode.KP", "Triode.KVB", "Triode.GridPlateFarads",
		"Zener.Volts", "Zener.TestAmperes", "Zener.SlopeOhms",
	} {
		if compared[want] == 0 {
			t.Errorf("no %s was compared", want)
		}
	}
	t.Log(compared)
}

func compareSensitivity(t *testing.T, kind string, trial uint64, s known.Sample, hz float64, compared map[string]int) {
	t.Helper()
	st := drawn(t, s)
	got, err := st.Sensitivity(s.Source, s.Outs[0], hz)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range got.By {
		part, _ := st.Circuit().Part(d.Part)
		value, moved := mover(part, d.Value, s.Setting)
		if moved == nil || value == 0 {
			continue
		}
		const step = 1e-4
		up, down := moved(value*(1+step)), moved(value*(1-step))
		difference := (gainOf(t, st, up, s, hz) - gainOf(t, st, down, s, hz)) / complex(2*step*value, 0)
		size := (cmplx.Abs(got.Gain) + 1e-12) / math.Abs(value)
		if off := cmplx.Abs(difference - d.By); off > 1e-5*cmplx.Abs(d.By)+2e-7*size {
			t.Errorf("trial %d %s at %g Hz: d/d(%s.%s) = %v, by difference %v", trial, kind, hz, d.Part, d.Value, d.By, difference)
		}
		compared[reflect.TypeOf(part).Name()+"."+d.Value]++
	}
}

// edit is a circuit with one part moved, or a slider's position.
type edit struct {
	part    circuit.Part
	setting curve.Setting
}

// mover gives a value and how to change it; a Position is a setting's, all
// else a field of the part.
func mover(part circuit.Part, name string, s curve.Setting) (float64, func(float64) edit) {
	if name == "Position" {
		p := s.Slider(part.PartName())
		if p == 1 || p == -1 {
			return 0, nil // no room to move both ways
		}
		return p, func(v float64) edit { return edit{part, s.WithSlider(part.PartName(), v)} }
	}
	field := reflect.ValueOf(part).FieldByName(name)
	if !field.IsValid() || field.Kind() != reflect.Float64 {
		return 0, nil
	}
	return field.Float(), func(v float64) edit {
		moved := reflect.New(reflect.TypeOf(part)).Elem()
		moved.Set(reflect.ValueOf(part))
		moved.FieldByName(name).SetFloat(v)
		return edit{moved.Interface().(circuit.Part), s}
	}
}

func gainOf(t *testing.T, st *circuit.State, e edit, s known.Sample, hz float64) complex128 {
	t.Helper()
	c, err := st.Circuit().Replace(e.part)
	if err != nil {
		t.Fatal(err)
	}
	moved, err := c.Solve(context.Background(), e.setting, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := moved.Response(context.Background(), s.Source, s.Outs[:1], []float64{hz})
	if err != nil {
		t.Fatal(err)
	}
	return r.Gains[0][0]
}
