package circuit_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/known"
	"bandwright/trials"
)

func voltsBetween(t *testing.T, c *circuit.Circuit, s curve.Setting, ohms float64, a, b string) circuit.Voltage {
	t.Helper()
	v, err := c.Voltmeter(context.Background(), s, circuit.Conditions{}, ohms, a, b)
	if err != nil {
		t.Fatalf("%s to %s: %v", a, b, err)
	}
	return v
}

// TestVoltmeter: a meter that draws nothing reads what the State has, and its
// derivatives are the State's; turned round it reads the opposite; a meter's
// own resistance is Thévenin's divider: V·Rm/(Rm + R) with R the resistance
// between the points where all is linear.
func TestVoltmeter(t *testing.T) {
	t.Parallel()
	from := trials.Seed(t, seed)
	for trial := range uint64(trials.Count(12)) {
		for kind, s := range kinds(from, trial) {
			st := drawn(t, s)
			c, point := st.Circuit(), livePoint(st, s)
			if point == "" {
				continue
			}
			volts, _ := st.Volts(point)
			v, back := voltsBetween(t, c, s.Setting, 0, point, "0"), voltsBetween(t, c, s.Setting, 0, "0", point)
			if v.Floating || math.Abs(v.Volts-volts) > 1e-9*math.Abs(volts) || v.Volts != -back.Volts {
				t.Errorf("trial %d %s: %v V, turned round %v V, State has %v V", trial, kind, v.Volts, back.Volts, volts)
			}
			by, err := st.VoltsSensitivity(point)
			if err != nil || len(by) != len(v.By) {
				t.Fatalf("%d derivatives and %d, %v", len(by), len(v.By), err)
			}
			for i := range by {
				if by[i] != v.By[i] {
					t.Errorf("trial %d %s: %v, State has %v", trial, kind, v.By[i], by[i])
				}
			}
			if kind == "passive" || kind == "coupled" {
				loadedDivider(t, c, s, point, v.Volts)
			}
		}
	}
}

// loadedDivider gives every source its dead resistance: none between a voltage
// source's ends.
func loadedDivider(t *testing.T, c *circuit.Circuit, s known.Sample, point string, volts float64) {
	t.Helper()
	dead := map[string]float64{}
	for _, p := range s.Parts {
		if v, ok := p.(circuit.VoltageSource); ok {
			dead[v.Name] = 0
		}
	}
	r := ohmsOf(t, c, s.Setting, circuit.PowerOff{SourceOhms: dead}, point, "0")
	for _, meter := range []float64{20e3, 1e6, 10e6} {
		got, want := voltsBetween(t, c, s.Setting, meter, point, "0").Volts, volts*meter/(meter+r.Ohms)
		if math.Abs(got-want) > 1e-8*math.Abs(want) {
			t.Errorf("%s through %v ohm: %v V, want %v V", point, meter, got, want)
		}
	}
}

func TestVoltmeterFloating(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.Capacitor{Name: "c", A: "rail", B: "p", Farads: 1e-6},
		circuit.Capacitor{Name: "d", A: "q", B: "0", Farads: 1e-6},
		circuit.VoltageSource{Name: "cell", Plus: "p", Minus: "q", DC: 1.5})
	for _, k := range []struct {
		ohms     float64
		a, b     string
		want     float64
		floating bool
	}{
		{0, "p", "0", 0, true}, {10e6, "p", "0", 0, false}, {10e6, "q", "0", 0, false}, // the meter drains it
		{0, "p", "q", 1.5, false}, {10e6, "q", "p", -1.5, false}, // between two points that float together
		{0, "rail", "q", 0, true}, {0, "rail", "0", 24, false},
	} {
		v := voltsBetween(t, c, curve.Setting{}, k.ohms, k.a, k.b)
		if v.Floating != k.floating || math.Abs(v.Volts-k.want) > 1e-9 {
			t.Errorf("%s to %s by %v ohm: %+v", k.a, k.b, k.ohms, v)
		}
	}
	for name, want := range map[string]finding.ID{"nowhere": circuit.IDNoPoint} {
		_, err := c.Voltmeter(context.Background(), curve.Setting{}, circuit.Conditions{}, 0, "p", name)
		var list finding.List
		if !errors.As(err, &list) || list[0].ID != want {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := c.Voltmeter(context.Background(), curve.Setting{}, circuit.Conditions{}, -1, "p", "q"); err == nil {
		t.Error("a meter of −1 ohm reads something")
	}
}
