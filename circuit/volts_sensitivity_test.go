package circuit_test

import (
	"context"
	"errors"
	"math"
	"math/cmplx"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/known"
	"bandwright/trials"
)

// voltsOf solves a circuit with one edit and reads a point.
func voltsOf(t *testing.T, st *circuit.State, e edit, point string) float64 {
	t.Helper()
	c, err := st.Circuit().Replace(e.part)
	if err != nil {
		t.Fatal(err)
	}
	moved, err := c.Solve(context.Background(), e.setting, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	volts, _ := moved.Volts(point)
	return volts
}

// TestVoltsSensitivity holds the adjoint of the direct-current equations
// against differences, the operating point found anew each time.
func TestVoltsSensitivity(t *testing.T) {
	t.Parallel()
	from, compared := trials.Seed(t, seed), map[string]int{}
	for trial := range uint64(trials.Count(5)) {
		for kind, s := range kinds(from, trial) {
			st := drawn(t, s)
			if point := livePoint(st, s); point != "" {
				compareVolts(t, kind, trial, s, st, point, compared)
			}
		}
	}
	for _, want := range []string{
		"Resistor.Ohms", "Inductor.DCR", "Slider.Track", "Slider.Position", "OpAmp.Gain", "OpAmp.OutputOhms",
		"Transistor.Is", "Transistor.BetaF", "VoltageSource.DC", "Triode.Mu", "Triode.KG1", "Zener.Volts",
	} {
		if compared[want] == 0 {
			t.Errorf("no %s was compared", want)
		}
	}
	t.Log(compared)
}

// livePoint takes the first leg of the last device, else resistor, that has
// volts.
func livePoint(st *circuit.State, s known.Sample) (point string) {
	devices := false
	for _, p := range s.Parts {
		switch p.(type) {
		case circuit.Transistor, circuit.Triode, circuit.Zener:
			devices = true
		case circuit.Resistor:
			if devices {
				continue
			}
		default:
			continue
		}
		if v, ok := st.Volts(p.Terminals()[0]); ok && v != 0 {
			point = p.Terminals()[0]
		}
	}
	return point
}

func compareVolts(t *testing.T, kind string, trial uint64, s known.Sample, st *circuit.State, point string, compared map[string]int) {
	t.Helper()
	got, err := st.VoltsSensitivity(point)
	if err != nil {
		t.Fatal(err)
	}
	most := 1e-3 // of the volts of all points: what the differences' rounding is a share of
	for _, p := range st.Circuit().Points() {
		v, _ := st.Volts(p)
		most = max(most, math.Abs(v))
	}
	for _, d := range got {
		part, _ := st.Circuit().Part(d.Part)
		value, moved := mover(part, d.Value, s.Setting)
		if moved == nil || value == 0 {
			continue
		}
		const step = 1e-4
		up, down := moved(value*(1+step)), moved(value*(1-step))
		difference := (voltsOf(t, st, up, point) - voltsOf(t, st, down, point)) / (2 * step * value)
		by := real(d.By)
		if off := math.Abs(difference - by); off > 1e-5*math.Abs(by)+2e-7*most/math.Abs(value) {
			t.Errorf("trial %d %s: dV(%s)/d(%s.%s) = %g, by difference %g", trial, kind, point, d.Part, d.Value, by, difference)
		}
		if imag(d.By) != 0 {
			t.Errorf("trial %d %s: d/d(%s.%s) = %v has an imaginary part", trial, kind, d.Part, d.Value, d.By)
		}
		if difference != 0 {
			compared[reflect.TypeOf(part).Name()+"."+d.Value]++
		}
	}
}

// TestVoltsSensitivityKnown: the two-node network's derivatives, worked out
// from the definition from a published network (LIEC I ch. 10, from the work).
func TestVoltsSensitivityKnown(t *testing.T) {
	st := solved(t, known.Nodal()[0])
	got, err := st.VoltsSensitivity("1")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{
		"R1.Ohms": -1.4739229, "R2.Ohms": 0.2267574, "R3.Ohms": 0.6122449, "R4.Ohms": -0.01473923, "R5.Ohms": 0.5839002,
		"V1.DC": 0.4761905, "V2.DC": 0.2380952,
	}
	for _, d := range got {
		name := d.Part + "." + d.Value
		if math.Abs(real(d.By)-want[name]) > 6e-8 {
			t.Errorf("%s: %.9g, want %.9g", name, real(d.By), want[name])
		}
		delete(want, name)
	}
	if len(want) > 0 {
		t.Errorf("no derivative by %v", want)
	}
}

func TestVoltsSensitivityWrong(t *testing.T) {
	c, err := circuit.New(
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.Resistor{Name: "r", A: "rail", B: "0", Ohms: 1e3},
		circuit.Capacitor{Name: "c", A: "rail", B: "far", Farads: 1e-6},
		circuit.Capacitor{Name: "d", A: "far", B: "0", Farads: 1e-6})
	if err != nil {
		t.Fatal(err)
	}
	st, err := c.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	for point, want := range map[string]finding.ID{"far": circuit.IDFloating, "nowhere": circuit.IDNoPoint} {
		_, err := st.VoltsSensitivity(point)
		var list finding.List
		if !errors.As(err, &list) || list[0].ID != want || list[0].Place.Point != point {
			t.Errorf("%s: %v, want %s", point, err, want)
		}
	}
	list, err := st.VoltsSensitivity(circuit.Ground)
	for _, d := range list {
		if d.By != 0 {
			t.Errorf("ground moves with %s.%s", d.Part, d.Value)
		}
	}
	if err != nil || len(list) == 0 {
		t.Errorf("ground: %v, %v", list, err)
	}
}

// TestSensitivities: many frequencies at once are each frequency by itself,
// whatever block of lanes it falls into.
func TestSensitivities(t *testing.T) {
	t.Parallel()
	from := trials.Seed(t, seed)
	for trial := range uint64(trials.Count(3)) {
		for kind, s := range kinds(from, trial) {
			st := drawn(t, s)
			var hz []float64
			for k := range 37 {
				hz = append(hz, 10*math.Pow(10, float64(k)/12))
			}
			all, err := st.Sensitivities(context.Background(), s.Source, s.Outs[0], hz)
			if err != nil {
				t.Fatal(err)
			}
			for k, f := range hz {
				one, err := st.Sensitivity(s.Source, s.Outs[0], f)
				if err != nil || len(one.By) != len(all[k].By) {
					t.Fatalf("trial %d %s: %v", trial, kind, err)
				}
				if cmplx.Abs(one.Gain-all[k].Gain) > 1e-12*cmplx.Abs(one.Gain) || cmplx.Abs(one.ByHz-all[k].ByHz) > 1e-9*cmplx.Abs(one.ByHz) {
					t.Errorf("trial %d %s at %g Hz: %+v alone, %+v among many", trial, kind, f, one.Gain, all[k].Gain)
				}
				for n, d := range one.By {
					if other := all[k].By[n]; other.Part != d.Part || other.Value != d.Value || cmplx.Abs(other.By-d.By) > 1e-9*cmplx.Abs(d.By) {
						t.Errorf("trial %d %s at %g Hz: %v alone, %v among many", trial, kind, f, d, other)
					}
				}
			}
		}
	}
	s := kinds(from, 0)["passive"]
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := drawn(t, s).Sensitivities(ctx, s.Source, s.Outs[0], audio); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
