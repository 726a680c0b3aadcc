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

var lifted = curve.Setting{}.WithSwitch("footswitch", "lifted")

// liftedCell is a cell of invented legs whose common is lifted off ground by
// a contact, on a bus that carries 6 V of direct voltage.
func liftedCell(rng *rand.Rand, bands int, across float64) []circuit.Part {
	ohms, legs := known.RandomCell(rng, bands)
	parts, _ := known.IdealCellParts(ohms, legs)
	for i, p := range parts {
		switch p := p.(type) {
		case circuit.Capacitor:
			p.B = "legs"
			parts[i] = p
		case circuit.VoltageSource:
			p.DC = 6
			parts[i] = p
		}
	}
	parts = join(parts, footswitch("legs", circuit.Ground))
	if across > 0 {
		parts = append(parts, capacitor("lead", "legs", circuit.Ground, across))
	}
	return parts
}

// TestLifted: with the legs' common off ground no direct current reaches it,
// so it has no reading; in, it is ground. Signals answer at both settings.
func TestLifted(t *testing.T) {
	for _, lead := range []float64{0, 200e-12} {
		parts := liftedCell(rand.New(rand.NewPCG(seed, 3)), 6, lead)
		in, out := built(t, curve.Setting{}, circuit.Conditions{}, parts...), built(t, lifted, circuit.Conditions{}, parts...)
		if v, ok := in.Volts("legs"); v != 0 || !ok {
			t.Errorf("legs in: %g V, %t", v, ok)
		}
		if v, ok := out.Volts("legs"); ok {
			t.Errorf("legs lifted: %g V is a reading", v)
		}
		for _, point := range []string{"generator", "cut", "boost", "out", "1.wiper", "6.a", "6.b"} {
			if v, ok := out.Volts(point); !ok || math.Abs(v-6) > 1e-9 {
				t.Errorf("legs lifted: %s at %g V, %t, want 6", point, v, ok)
			}
		}
		if i, ok := out.Current("lift"); i != 0 || !ok {
			t.Errorf("an open contact carries %g A, %t", i, ok)
		}
		if _, ok := in.Current("lift"); ok {
			t.Error("a contact that joined its points gave a current")
		}
		for _, h := range responded(t, out, "source", "out", audio...) {
			if !(cmplx.Abs(h) > 0.9 && cmplx.Abs(h) < 1.1) {
				t.Errorf("flat and lifted: gain %v", h)
			}
		}
	}
}

// Lifted legs meet at a common that carries no current. Between buses that an
// ideal amplifier holds at one voltage nothing flows at all and the gain is 1
// wherever the sliders stand. With an amplifier of gain 20 the buses part, and
// what one leg carries into the common the others carry out.
func TestNothingFlowsThroughAHeldNode(t *testing.T) {
	rng := rand.New(rand.NewPCG(seed, 4))
	for range trials.Count(20) {
		bands := 2 + rng.IntN(6)
		parts := liftedCell(rng, bands, 0)
		setting := lifted
		for k := range bands {
			setting = setting.WithSlider(parts[4+4*k].PartName(), 2*rng.Float64()-1)
		}
		st := built(t, setting, circuit.Conditions{}, parts...)
		for k, h := range responded(t, st, "source", "out", audio...) {
			if cmplx.Abs(h-1) > 1e-9 {
				t.Errorf("%d bands lifted at %g Hz: gain %v, want 1", bands, audio[k], h)
			}
		}
		c, err := st.Circuit().Replace(circuit.OpAmp{Name: "driver", Plus: "cut", Minus: "boost", Out: "out", Gain: 20})
		if err != nil {
			t.Fatal(err)
		}
		if st, err = c.Solve(context.Background(), setting, circuit.Conditions{}); err != nil {
			t.Fatal(err)
		}
		for _, hz := range audio {
			var sum complex128
			size, rounding := 0.0, 0.0
			for _, p := range parts {
				if c, ok := p.(circuit.Capacitor); ok {
					a, y := responded(t, st, "source", c.A, hz)[0], 2*math.Pi*hz*c.Farads
					i := (a - responded(t, st, "source", c.B, hz)[0]) * complex(0, y)
					sum, size, rounding = sum+i, size+cmplx.Abs(i), rounding+1e-15*cmplx.Abs(a)*y
				}
			}
			if !(cmplx.Abs(sum) <= 1e-12*size+rounding) || rounding > 1e-2*size {
				t.Errorf("%d bands at %g Hz: %v of %g A flows out of the common", bands, hz, sum, size)
			}
		}
	}
}

// An island that no signal reaches either (both its ends on open contacts)
// is silent, and leaves the rest as it was.
func TestSilentIsland(t *testing.T) {
	rest := join(source("a", 9), resistor("R1", "a", "b", 1e3), resistor("R2", "b", "0", 2e3))
	island := join(rest, footswitch("b", "x"), resistor("R3", "x", "y", 1e3), capacitor("C", "y", "x", 1e-6))
	alone, with := built(t, curve.Setting{}, circuit.Conditions{}, rest...), built(t, lifted, circuit.Conditions{}, island...)
	for _, point := range []string{"a", "b"} {
		was, _ := alone.Volts(point)
		is, ok := with.Volts(point)
		if is != was || !ok {
			t.Errorf("%s: %g V beside an island, %g V alone", point, is, was)
		}
		if x, y := responded(t, with, "source", point, 1000)[0], responded(t, alone, "source", point, 1000)[0]; x != y {
			t.Errorf("%s: gain %v beside an island, %v alone", point, x, y)
		}
	}
	for _, point := range []string{"x", "y"} {
		if h := responded(t, with, "source", point, 1000)[0]; h != 0 {
			t.Errorf("%s of the island hears %v", point, h)
		}
		if _, ok := with.Volts(point); ok {
			t.Errorf("%s of the island has a reading", point)
		}
	}
	if i, ok := with.Current("R3"); i != 0 || !ok {
		t.Errorf("the island's resistor carries %g A, %t", i, ok)
	}
	noise, err := with.Noise(context.Background(), "b", []float64{1000})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range noise.Parts {
		if p.Part == "R3" && p.Power[0] != 0 {
			t.Errorf("the island's noise is heard outside: %g", p.Power[0])
		}
	}
}
