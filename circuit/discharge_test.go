package circuit_test

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// timeConstant is minus the slope of the phase at the bottom of the band: of
// a circuit with one pole and no zero, H = 1/(1 + jωτ), exactly τ there.
func timeConstant(t *testing.T, parts ...circuit.Part) float64 {
	t.Helper()
	st := built(t, curve.Setting{}, circuit.Conditions{}, parts...)
	var gain, byHz [1]complex128
	if err := st.Slopes(context.Background(), "V", "out", []float64{1e-7}, gain[:], byHz[:]); err != nil {
		t.Fatal(err)
	}
	return -imag(byHz[0]/gain[0]) / (2 * math.Pi)
}

// TestChargingTables: the engine's time constants put into the charging and
// current tables of T. R. Kuphaldt, Lessons in Electric Circuits vol. I, ch. 16
// (from the work; half a unit of the last printed digit).
func TestChargingTables(t *testing.T) {
	supply := circuit.VoltageSource{Name: "V", Plus: "in", Minus: circuit.Ground, DC: 15}
	tau := timeConstant(t, supply, resistor("R", "in", "out", 10e3), capacitor("C", "out", circuit.Ground, 100e-6))
	for _, row := range []struct{ seconds, volts, microamperes, half float64 }{
		{0.5, 5.902, 909.8, 0.05}, {1, 9.482, 551.8, 0.05}, {2, 12.970, 203.0, 0.05}, {3, 14.253, 74.68, 0.005},
		{4, 14.725, 27.47, 0.005}, {5, 14.899, 10.11, 0.005}, {6, 14.963, 3.718, 0.0005}, {10, 14.999, 0.068, 0.0005},
		{7.25, 14.989, 1.065, 0.0005},
	} {
		left := 15 * math.Exp(-row.seconds/tau)
		if math.Abs(15-left-row.volts) > 0.00051 {
			t.Errorf("%g s: %.4f V, printed %.3f", row.seconds, 15-left, row.volts)
		}
		if math.Abs(left/10e3*1e6-row.microamperes) > row.half*1.01 {
			t.Errorf("%g s: %.4f µA, printed %g", row.seconds, left/10e3*1e6, row.microamperes)
		}
	}
	// 15 V, 1 ohm, 1 H at 3.5 s: 14.547 A, 0.453 V left across the coil.
	tau = timeConstant(t, supply, coil("L", "in", "out", 1, 0), resistor("R", "out", circuit.Ground, 1))
	if left := 15 * math.Exp(-3.5/tau); math.Abs(left-0.453) > 0.0005 || math.Abs(15-left-14.547) > 0.0005 {
		t.Errorf("%.4f V across the coil at 3.5 s, printed 0.453", left)
	}
}
