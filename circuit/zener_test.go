package circuit_test

import (
	"fmt"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// zenerCurrent is the zener written once more: forward diode, and a backward
// exponential scaled so that TestAmperes flow at Volts and nothing at 0 V.
func zenerCurrent(z circuit.Zener, v, kelvin float64) float64 {
	n := z.N
	if n == 0 {
		n = 1
	}
	vt := thermalVolts(kelvin)
	w := z.SlopeOhms * z.TestAmperes
	if w == 0 {
		w = vt
	}
	forward := z.Is * math.Expm1(v/(n*vt))
	leak := z.Is * math.Expm1(-z.Volts/(n*vt))
	scale := (z.TestAmperes + leak) / -math.Expm1(-z.Volts/w)
	return forward - scale*(math.Exp(-(v+z.Volts)/w)-math.Exp(-z.Volts/w))
}

// TestZenerCurve: held at a voltage, a zener carries what the formula says, and
// the data sheet's current and slope at the data sheet's voltage; its current
// rises with the voltage all the way and has the voltage's sign.
func TestZenerCurve(t *testing.T) {
	for _, z := range []circuit.Zener{
		{Volts: 12.6, TestAmperes: 20e-3, SlopeOhms: 9}, {Volts: 3.3, TestAmperes: 20e-3, SlopeOhms: 28},
		{Volts: 200, TestAmperes: 1.5e-3, SlopeOhms: 1500}, {Volts: 5.1, TestAmperes: 5e-3},
		{Volts: 62, TestAmperes: 2e-3, SlopeOhms: 1e-3, N: 1.7},
	} {
		z.Name, z.Anode, z.Cathode, z.Is = "Z", "a", "0", 1e-14
		at := func(v float64) float64 {
			i, _ := built(t, curve.Setting{}, circuit.Conditions{}, source("a", v), z).Current("Z")
			return i
		}
		where := fmt.Sprintf("%g V", z.Volts)
		knee := z.SlopeOhms * z.TestAmperes
		if knee == 0 {
			knee = thermalVolts(circuit.DefaultKelvin)
		}
		// The operating point's volts are settled to 1e-12 of themselves.
		settled := 1e-8 + 1e-11*z.Volts/knee
		near(t, where+" at its own voltage", at(-z.Volts), -z.TestAmperes, settled)
		step := 1e-2 * knee
		if z.SlopeOhms > 0 {
			// Exact but for what a soft knee already carries at 0 V.
			want := z.SlopeOhms * -math.Expm1(-z.Volts/knee)
			near(t, where+" slope", 2*step/(at(-z.Volts+step)-at(-z.Volts-step)), want, 1e-3+settled/1e-2)
		}
		last := math.Inf(-1)
		for k := range 300 {
			v := -z.Volts - 3*knee + float64(k)/299*(z.Volts+3*knee+0.7)
			i := at(v)
			if !(i >= last) || i*v < 0 {
				t.Errorf("%s: %g A at %g V, %g A before", where, i, v, last)
			}
			near(t, fmt.Sprint(where, " at ", v), i, zenerCurrent(z, v, circuit.DefaultKelvin), 1e-7+10*settled)
			last = i
		}
	}
}

// TestZenerThroughResistor puts the solution back: what the resistor carries
// the zener carries, from far beyond breakdown to far forward, sharp knees and
// soft ones. Newton's method must get there from anywhere.
func TestZenerThroughResistor(t *testing.T) {
	cases := 0
	for _, volts := range []float64{-600, -45, -13, -12.6, -5, -0.1, 0.3, 1, 45, 600} {
		for _, ohms := range []float64{0.1, 10, 1e3, 100e3, 10e6} {
			for _, slope := range []float64{0, 1e-4, 1, 9, 100} {
				for _, breakdown := range []float64{2.7, 12.6, 200} {
					z := circuit.Zener{Name: "Z", Anode: "a", Cathode: "0", Is: 1e-14, Volts: breakdown, TestAmperes: 5e-3, SlopeOhms: slope}
					st := built(t, curve.Setting{}, circuit.Conditions{}, source("s", volts), resistor("R", "s", "a", ohms), z)
					v, _ := st.Volts("a")
					i, _ := st.Current("Z")
					given := (volts - v) / ohms
					// Volts are settled to 1e-12 of themselves.
					rounding := 1e-11*math.Abs(volts)/ohms + 2e-15*math.Abs(v) + 1e-11/ohms
					knee := max(slope*5e-3, 1e-7)
					if off := math.Abs(i - given); !(off <= 1e-9*math.Abs(given)+rounding+math.Abs(i)*1e-11*(1+math.Abs(v))/knee) {
						t.Errorf("%g V, %g ohm, %g ohm slope, %g V: zener %.12g A, resistor %.12g A", volts, ohms, slope, breakdown, i, given)
					}
					cases++
				}
			}
		}
	}
	t.Logf("%d cases", cases)
}

// TestLeastLoad: through 100 k from 45 V a 12.6 V zener regulates down to a
// load of 38.889 k (Lessons in Electric Circuits vol. III, ch. 3, from the
// work; 12.6 V/(32.4 V/100 k), worked out from the definition).
func TestLeastLoad(t *testing.T) {
	regulates := func(load float64) bool {
		st := built(t, curve.Setting{}, circuit.Conditions{}, source("rail", 45), resistor("R", "rail", "out", 100e3), resistor("load", "out", "0", load),
			circuit.Zener{Name: "Z", Anode: "0", Cathode: "out", Is: 1e-14, Volts: 12.6, TestAmperes: 1e-8, SlopeOhms: 100})
		i, _ := st.Current("Z")
		return i < -1e-9
	}
	low, high := 20e3, 100e3
	for range 40 {
		if middle := (low + high) / 2; regulates(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	if math.Abs(high-38.889e3) > 0.5 {
		t.Errorf("regulates down to %.6g ohm", high)
	}
}

// TestZenerNoise: shot noise of its current across its slope and the dropper.
func TestZenerNoise(t *testing.T) {
	z := circuit.Zener{Name: "Z", Anode: "0", Cathode: "out", Is: 1e-14, Volts: 12, TestAmperes: 5e-3, SlopeOhms: 10}
	st := built(t, curve.Setting{}, circuit.Conditions{}, source("rail", 12+5), resistor("R", "rail", "out", 1e3), z)
	r := 1 / (1/10.0 + 1/1e3)
	near(t, "shot", share(t, noiseAt(t, st, "out", 1000), "Z"), 2*electron*5e-3*r*r, 1e-6)
}
