package circuit_test

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/known"
)

// koren is the plate current once more, from the equation as it is printed.
func koren(v circuit.Triode, grid, plate float64) float64 {
	e := plate / v.KP * math.Log1p(math.Exp(v.KP*(1/v.Mu+grid/math.Sqrt(v.KVB+plate*plate))))
	if e <= 0 {
		return 0
	}
	return 2 * math.Pow(e, v.Exponent) / v.KG1
}

// TestKoren: the engine's plate current at many points, far cut off, at plates
// below the cathode and at grids where exp alone would overflow.
func TestKoren(t *testing.T) {
	v := known.PrintedTriode("p", "g", "0")
	for _, plate := range []float64{-100, -1, 0, 1, 20, 100, 250, 600} {
		for _, grid := range []float64{-300, -20, -4, -2, -1, -0.1, 0, 0.5, 2, 30} {
			st := built(t, curve.Setting{}, circuit.Conditions{}, source("p", plate),
				circuit.VoltageSource{Name: "grid", Plus: "g", Minus: "0", DC: grid}, v)
			got, _ := st.Current("V")
			want := koren(v, grid, plate)
			if math.IsInf(want, 0) { // ln(1 + e^u) is u there
				u := 1/v.Mu + grid/math.Sqrt(v.KVB+plate*plate)
				want = 2 * math.Pow(plate*u, v.Exponent) / v.KG1
			}
			if math.Abs(got-want) > 1e-12*math.Abs(want) {
				t.Errorf("grid %g V, plate %g V: %.12g A, want %.12g", grid, plate, got, want)
			}
		}
	}
	// Overflow: kP·(1/µ + 30/√(300 + 1)) is above 1000.
	big := built(t, curve.Setting{}, circuit.Conditions{}, source("p", 1), circuit.VoltageSource{Name: "grid", Plus: "g", Minus: "0", DC: 30}, v)
	i, _ := big.Current("V")
	near(t, "grid at +30 V", i, 2*math.Pow(0.01+30/math.Sqrt(301), 1.4)/1060, 1e-12)
}

// stage is the textbook's common-cathode stage, its cathode bypassed or not.
func stage(bypass float64) []circuit.Part {
	parts := known.Triodes()[2].Parts
	if bypass > 0 {
		parts = append(parts, capacitor("C.cathode", "k", "0", bypass))
	}
	return parts
}

// atWork gives gm and rp of the stage's valve, by moving grid and plate about
// its operating point.
func atWork(t *testing.T) (gm, rp float64) {
	t.Helper()
	st := built(t, curve.Setting{}, circuit.Conditions{}, stage(0)...)
	p, _ := st.Volts("p")
	k, _ := st.Volts("k")
	v, step := known.PrintedTriode("p", "g", "0"), 1e-4
	gm = (koren(v, -k+step, p-k) - koren(v, -k-step, p-k)) / (2 * step)
	rp = 2 * step / (koren(v, -k, p-k+step) - koren(v, -k, p-k-step))
	return gm, rp
}

// TestCommonCathode: Steck, Analog and Digital Electronics, ch. 6 (from the
// work): gm 1877.17 µS, rp = µ/gm 53.3 k, gains −32.8 and, bypassed, −65.2. The
// work takes µ for 100 there; the model's own µ at that point is gm times its
// true plate resistance of 48.99 k (worked out), and the engine's gains are
// those of the same formula with it.
func TestCommonCathode(t *testing.T) {
	gm, rp := atWork(t)
	near(t, "gm", gm, 1877.17e-6, 0.005/1877.17+1e-6)
	near(t, "µ/gm", 100/gm, 53.3e3, 0.05/53.3)
	near(t, "plate resistance", rp, 48.99e3, 0.005/48.99)
	gain := func(mu, rp, cathode float64) float64 { return -mu * 100e3 / (rp + 100e3 + (mu+1)*cathode) }
	near(t, "the work's gain", gain(100, 100/gm, 1.5e3), -32.8, 0.05/32.8)
	near(t, "the work's gain, bypassed", gain(100, 100/gm, 0), -65.2, 0.05/65.2)
	plain := built(t, curve.Setting{}, circuit.Conditions{}, stage(0)...)
	near(t, "gain", real(responded(t, plain, "source", "p", 1000)[0]), gain(gm*rp, rp, 1.5e3), 1e-6)
	bypassed := built(t, curve.Setting{}, circuit.Conditions{}, stage(1)...)
	near(t, "gain, bypassed", real(responded(t, bypassed, "source", "p", 1000)[0]), gain(gm*rp, rp, 0), 1e-6)
}

// TestDataSheetRows: the data sheet's two points of the valve that the
// constants stand for (as quoted by a second text) against what the constants
// give there (worked out from the equation). They are no fit of the sheet: at
// 250 V the current is 21 % under it, at 100 V a fifth of it. Whoever needs
// the sheet's own point must fit the constants to it.
func TestDataSheetRows(t *testing.T) {
	v := known.PrintedTriode("p", "g", "0")
	for _, row := range []struct{ plate, grid, amperes, ratio float64 }{{100, -1, 0.5e-3, 0.2008}, {250, -2, 1.2e-3, 0.7932}} {
		st := built(t, curve.Setting{}, circuit.Conditions{}, source("p", row.plate),
			circuit.VoltageSource{Name: "grid", Plus: "g", Minus: "0", DC: row.grid}, v)
		i, _ := st.Current("V")
		near(t, "share of the sheet's current", i/row.amperes, row.ratio, 1e-3)
	}
}

// TestLinearStages: Fun with Tubes, exercises 4.1 to 4.3 (from the work): gain
// µ·R/(rp + R). A valve with constant µ and rp is an op-amp's output: µ times
// the grid, behind rp.
func TestLinearStages(t *testing.T) {
	for _, c := range []struct{ mu, rp, load, next, printed, half float64 }{
		{100, 80e3, 220e3, 470e3, 65.2, 0.05},
		{60, 10.9e3, 3e3, 0, 12.9, 0.06}, // 12.95 exactly; the work cuts off
		{17, 7.7e3, 3e3, 0, 4.77, 0.005}, {41, 4.8e3, 3e3, 0, 15.8, 0.05}, {100, 80e3, 3e3, 0, 3.61, 0.005},
	} {
		parts := join(source("g", 0), resistor("R.b", "p", "0", c.load),
			circuit.OpAmp{Name: "V", Plus: "0", Minus: "g", Out: "p", Gain: c.mu, OutputOhms: c.rp})
		if c.next > 0 {
			parts = append(parts, resistor("R.next", "p", "0", c.next))
		}
		st := built(t, curve.Setting{}, circuit.Conditions{}, parts...)
		if got := -real(responded(t, st, "source", "p", 1000)[0]); math.Abs(got-c.printed) > c.half {
			t.Errorf("µ %g, rp %g into %g: gain %.5g, printed %g", c.mu, c.rp, c.load, got, c.printed)
		}
	}
}

// TestMiller: the grid's input capacitance is Cgk + Cgp·(1 + |gain|), met by
// the corner it makes with a source's resistance.
func TestMiller(t *testing.T) {
	v := known.PrintedTriode("p", "g", "0")
	v.GridCathodeFarads, v.GridPlateFarads = 1.6e-12, 1.7e-12
	st := built(t, curve.Setting{}, circuit.Conditions{}, source("s", 0), resistor("R.s", "s", "g", 1e6), v,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 250}, resistor("R.p", "rail", "p", 1e3))
	gain := -real(responded(t, st, "source", "p", 1)[0])
	input := 1.6e-12 + 1.7e-12*(1+gain)
	corner := 1 / (2 * math.Pi * 1e6 * input)
	h := responded(t, st, "source", "g", corner)[0]
	near(t, "at the corner", real(h), 0.5, 1e-3)
	near(t, "at the corner", imag(h), -0.5, 1e-3)
}

// TestGrid: grid current is the diode's; a grid that no direct current reaches
// is named.
func TestGrid(t *testing.T) {
	v := known.PrintedTriode("p", "g", "0")
	v.GridIs, v.GridN = 1e-9, 3
	d := circuit.Diode{Name: "D", Anode: "d", Cathode: "0", Is: 1e-9, N: 3}
	parts := join(source("s", 5), resistor("R.g", "s", "g", 100e3), resistor("R.d", "s", "d", 100e3), v, d,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 250}, resistor("R.p", "rail", "p", 100e3))
	st := built(t, curve.Setting{}, circuit.Conditions{}, parts...)
	grid, _ := st.Volts("g")
	diode, _ := st.Volts("d")
	near(t, "grid", grid, diode, 1e-9)
	c, err := circuit.New(join(source("s", 0), capacitor("C", "s", "g", 1e-8), v, resistor("R", "p", "s", 1e5))...)
	if err != nil {
		t.Fatal(err)
	}
	_, err = c.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
	wants(t, "no leak", err, circuit.IDNoPath, finding.Place{Point: "g", Setting: curve.Setting{}.String()}, nil)
}

// TestSpaceCharge: a triode's noise is that of 2.5/gm at its grid at 290 K.
func TestSpaceCharge(t *testing.T) {
	gm, _ := atWork(t)
	st := built(t, curve.Setting{}, circuit.Conditions{}, stage(1)...)
	gain := real(responded(t, st, "source", "p", 1000)[0])
	near(t, "noise", share(t, noiseAt(t, st, "p", 1000), "V"), 4*boltzmann*290*2.5/gm*gain*gain, 1e-6)
}
