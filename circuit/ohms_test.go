package circuit_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/known"
	"bandwright/trials"
)

func wired(t *testing.T, parts ...circuit.Part) *circuit.Circuit {
	t.Helper()
	c, err := circuit.New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func ohmsOf(t *testing.T, c *circuit.Circuit, s curve.Setting, off circuit.PowerOff, a, b string) circuit.Resistance {
	t.Helper()
	r, err := c.Ohms(context.Background(), s, off, a, b)
	if err != nil {
		t.Fatalf("%s to %s: %v", a, b, err)
	}
	return r
}

// TestOhmsBridge: the published bridge (LIEC I ch. 10, from the work): 24.000 V
// at 0.136092 A makes 176.3513 ohm; its feed is a source and off.
func TestOhmsBridge(t *testing.T) {
	c := wired(t, known.Nodal()[1].Parts...)
	for pair, want := range map[[2]string]float64{
		{"1", "0"}: 24.00001 / 0.136092, {"0", "1"}: 24.00001 / 0.136092, {"0", "0"}: 0,
	} {
		r := ohmsOf(t, c, curve.Setting{}, circuit.PowerOff{}, pair[0], pair[1])
		if r.Open || math.Abs(r.Ohms-want) > 1e-4 {
			t.Errorf("%v: %v ohm (open %v), want %v", pair, r.Ohms, r.Open, want)
		}
	}
}

// TestOhmsClosedForms: what each kind of part is to a meter.
func TestOhmsClosedForms(t *testing.T) {
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.Resistor{Name: "r1", A: "rail", B: "x", Ohms: 3e3},
		circuit.Resistor{Name: "r2", A: "x", B: "0", Ohms: 6e3},
		circuit.Resistor{Name: "r3", A: "x", B: "0", Ohms: 3e3},
		circuit.Inductor{Name: "l", A: "x", B: "y", Henries: 0.5, DCR: 47},
		circuit.Capacitor{Name: "c", A: "y", B: "z", Farads: 1e-6, ESR: 2},
		circuit.Resistor{Name: "r4", A: "z", B: "w", Ohms: 100},
		circuit.Switch{Name: "panel", Positions: []string{"in", "out"}},
		circuit.Contact{Name: "k", A: "z", B: "0", Switch: "panel", Closed: []string{"out"}},
		circuit.OpAmp{Name: "u", Plus: "x", Minus: "z", Out: "z", Gain: 1e5, InputOhms: 1e6},
		circuit.Triode{Name: "v", Plate: "rail", Grid: "x", Cathode: "w", Mu: 100, Exponent: 1.4, KG1: 1060, KP: 600, KVB: 300},
		circuit.VoltageSource{Name: "source", Plus: "s", Minus: "w", DC: 1},
	}
	c, out := wired(t, parts...), curve.Setting{}.WithSwitch("panel", "out")
	for _, k := range []struct {
		a, b string
		s    curve.Setting
		off  circuit.PowerOff
		want float64 // below 0: open
	}{
		{a: "rail", b: "0", want: 3e3 + 2e3},
		{a: "rail", b: "0", off: circuit.PowerOff{SourceOhms: map[string]float64{"rail": 5e3}}, want: 2500},
		{a: "rail", b: "0", off: circuit.PowerOff{SourceOhms: map[string]float64{"rail": 0}}, want: 0},
		{a: "x", b: "y", want: 47},
		{a: "y", b: "0", want: 2047},
		{a: "y", b: "z", want: -1},
		{a: "z", b: "0", want: -1},
		{a: "z", b: "0", s: out, want: 0},
		{a: "w", b: "0", s: out, want: 100},
		{a: "w", b: "z", want: 100}, // both in one island
		{a: "s", b: "w", want: -1},  // only a source between
		{a: "s", b: "0", s: out, want: -1},
		{a: "s", b: "s", want: 0},
		{a: "rail", b: "w", off: circuit.PowerOff{TestVolts: 3, TestOhms: 1e3}, want: -1}, // a cold valve
	} {
		r := ohmsOf(t, c, k.s, k.off, k.a, k.b)
		if r.Open != (k.want < 0) || !r.Open && math.Abs(r.Ohms-k.want) > 1e-9*k.want {
			t.Errorf("%s to %s at %v: %v ohm, open %v; want %v", k.a, k.b, k.s, r.Ohms, r.Open, k.want)
		}
	}
}

// TestOhmsSlider: end to end a slider is its track and ends; from the wiper it
// is a share of them, to the very ends of the travel.
func TestOhmsSlider(t *testing.T) {
	for _, track := range []float64{1e3, 10e3, 1e6} {
		for _, position := range []float64{-1, -0.5, 0, 0.3, 1} {
			c := wired(t, circuit.Slider{Name: "63", Boost: "boost", Wiper: "w", Cut: "cut", Track: track, CutEnd: 4, WiperOhms: 7})
			s, share := curve.Setting{}.WithSlider("63", position), (position+1)/2
			for pair, want := range map[[2]string]float64{
				{"boost", "cut"}: track + 4, {"w", "cut"}: 7 + 4 + share*track, {"w", "boost"}: 7 + (1-share)*track,
			} {
				if r := ohmsOf(t, c, s, circuit.PowerOff{}, pair[0], pair[1]); math.Abs(r.Ohms-want) > 1e-9*want {
					t.Errorf("%v at %v: %v, want %v", pair, position, r.Ohms, want)
				}
			}
		}
	}
}

// TestOhmsRandom: reading the other way round gives the same (reciprocity);
// resistance is homogeneous of the first degree in all ohms (Euler), and no
// ohm of a part can lower it (Rayleigh); and the derivatives hold against
// differences.
func TestOhmsRandom(t *testing.T) {
	t.Parallel()
	from, compared, open := trials.Seed(t, seed), 0, 0
	for trial := range uint64(trials.Count(120)) {
		s := known.RandomPassive(rand.New(rand.NewPCG(from, trial)), 2+int(trial%15))
		c := wired(t, s.Parts...)
		a, b := s.Outs[0], circuit.Ground
		if trial%2 == 0 && len(s.Outs) > 1 {
			b = s.Outs[1]
		}
		r, back := ohmsOf(t, c, s.Setting, circuit.PowerOff{}, a, b), ohmsOf(t, c, s.Setting, circuit.PowerOff{}, b, a)
		if r.Open {
			open++
			continue
		}
		if r.Open != back.Open || math.Abs(r.Ohms-back.Ohms) > 1e-10*r.Ohms {
			t.Errorf("trial %d: %v ohm, the other way %v", trial, r.Ohms, back.Ohms)
		}
		sum := 0.0
		for _, d := range r.By {
			part, _ := c.Part(d.Part)
			value, moved := mover(part, d.Value, s.Setting)
			by := real(d.By)
			if d.Value != "Position" {
				sum += value * by
				if by < -1e-9*r.Ohms/math.Max(value, 1) {
					t.Errorf("trial %d: more %s.%s makes less resistance: %v", trial, d.Part, d.Value, by)
				}
			}
			if moved == nil || value == 0 || trial >= 24 {
				continue
			}
			compared++
			differOhms(t, fmt.Sprintf("trial %d: d/d(%s.%s)", trial, d.Part, d.Value), c, r.Ohms, value, by, moved, circuit.PowerOff{}, a, b)
		}
		if math.Abs(sum-r.Ohms) > 1e-9*r.Ohms {
			t.Errorf("trial %d: Euler's sum %v, resistance %v", trial, sum, r.Ohms)
		}
	}
	if compared < 100 {
		t.Errorf("only %d derivatives compared", compared)
	}
	t.Logf("%d derivatives compared, %d open", compared, open)
}

func differOhms(t *testing.T, what string, c *circuit.Circuit, ohms, value, by float64, moved func(float64) edit, off circuit.PowerOff, a, b string) {
	t.Helper()
	const step = 1e-4
	var at [2]float64
	for i, v := range []float64{value * (1 + step), value * (1 - step)} {
		e := moved(v)
		other, err := c.Replace(e.part)
		if err != nil {
			t.Fatal(err)
		}
		at[i] = ohmsOf(t, other, e.setting, off, a, b).Ohms
	}
	difference := (at[0] - at[1]) / (2 * step * value)
	if math.Abs(difference-by) > 2e-6*math.Abs(by)+1e-8*ohms/math.Abs(value) {
		t.Errorf("%s = %v, by difference %v", what, by, difference)
	}
}

// TestOhmsJunction: a meter of E volts behind Rs reads a diode as V/I with
// I = Is·(exp(V/VT) − 1) and V = E − Rs·I, by Lambert's function; backwards, or
// below the volts that open a junction, there is nothing to read.
func TestOhmsJunction(t *testing.T) {
	diode := circuit.Diode{Name: "d", Anode: "a", Cathode: "0", Is: 1e-12}
	c := wired(t, diode, circuit.Resistor{Name: "r", A: "a", B: "k", Ohms: 220})
	vt := thermalVolts(circuit.DefaultKelvin)
	for _, off := range []circuit.PowerOff{{TestVolts: 0.5, TestOhms: 1e3}, {TestVolts: 3, TestOhms: 1e3}, {TestVolts: 9, TestOhms: 47e3}} {
		series := off.TestOhms + 220
		i := vt/series*lambertW(math.Log(diode.Is*series/vt)+(off.TestVolts+diode.Is*series)/vt) - diode.Is
		want := off.TestVolts/i - off.TestOhms
		r := ohmsOf(t, c, curve.Setting{}, off, "k", "0")
		if math.Abs(r.Ohms-want) > 1e-8*want {
			t.Errorf("%v V: %v ohm, want %v", off.TestVolts, r.Ohms, want)
		}
		for _, d := range r.By {
			part, _ := c.Part(d.Part)
			if value, moved := mover(part, d.Value, curve.Setting{}); value != 0 {
				differOhms(t, d.Part+"."+d.Value, c, r.Ohms, value, real(d.By), moved, off, "k", "0")
			}
		}
		if back := ohmsOf(t, c, curve.Setting{}, off, "0", "k"); !back.Open && back.Ohms < 1e9 {
			t.Errorf("backwards: %v ohm", back.Ohms)
		}
	}
	if r := ohmsOf(t, c, curve.Setting{}, circuit.PowerOff{TestVolts: 0.25}, "k", "0"); !r.Open {
		t.Errorf("0.25 V opens a junction: %v ohm", r.Ohms)
	}
}

func TestOhmsWrong(t *testing.T) {
	ring := []circuit.Part{
		circuit.Resistor{Name: "r", A: "a", B: "0", Ohms: 1},
		circuit.Inductor{Name: "l1", A: "a", B: "b", Henries: 1},
		circuit.Inductor{Name: "l2", A: "b", B: "a", Henries: 1},
	}
	c := wired(t, ring...)
	for _, k := range []struct {
		a, b string
		s    curve.Setting
		off  circuit.PowerOff
		want finding.ID
	}{
		{a: "a", b: "there", want: circuit.IDNoPoint},
		{a: "a", b: "0", want: circuit.IDCoilLoop},
		{a: "a", b: "0", s: curve.Setting{}.WithSlider("63", 1), want: circuit.IDNoSlider},
		{a: "a", b: "0", off: circuit.PowerOff{SourceOhms: map[string]float64{"rail": 1}}, want: circuit.IDNoPart},
		{a: "a", b: "0", off: circuit.PowerOff{SourceOhms: map[string]float64{"r": 1}}, want: circuit.IDNoSource},
	} {
		_, err := c.Ohms(context.Background(), k.s, k.off, k.a, k.b)
		var list finding.List
		if !errors.As(err, &list) || list[0].ID != k.want {
			t.Errorf("%s to %s: %v, want %s", k.a, k.b, err, k.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := wired(t, ring[0]).Ohms(ctx, curve.Setting{}, circuit.PowerOff{}, "a", "0"); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}
