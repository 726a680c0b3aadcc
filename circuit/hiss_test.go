package circuit_test

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

const (
	boltzmann = 1.380649e-23    // J/K, SI 2019, exact
	electron  = 1.602176634e-19 // C, SI 2019, exact
)

func noiseAt(t *testing.T, st *circuit.State, point string, hz ...float64) *circuit.Noise {
	t.Helper()
	n, err := st.Noise(context.Background(), point, hz)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// share is one part's noise at the first frequency.
func share(t *testing.T, n *circuit.Noise, part string) float64 {
	t.Helper()
	for _, p := range n.Parts {
		if p.Part == part {
			return p.Power[0]
		}
	}
	t.Errorf("no noise of %s", part)
	return 0
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestShotOfDiode: 2qI·|Z|² (Schottky 1918), Z what the diode's small signal
// resistance nVT/(I + Is), the resistor and the capacitor are in parallel.
func TestShotOfDiode(t *testing.T) {
	const ohms, farads, kelvin, n = 4700.0, 3.3e-9, 310.0, 1.3
	for _, volts := range []float64{1, 5, 24, 300} {
		st := built(t, curve.Setting{}, circuit.Conditions{Kelvin: kelvin}, source("a", volts), resistor("R", "a", "d", ohms),
			circuit.Diode{Name: "D", Anode: "d", Cathode: "0", Is: 1e-13, N: n}, capacitor("C", "d", "0", farads))
		i, _ := st.Current("D")
		for _, hz := range []float64{20, 1000, 20e3, 1e6} {
			y := complex((i+1e-13)/(n*thermalVolts(kelvin))+1/ohms, 2*math.Pi*hz*farads)
			z := 1 / math.Pow(cmplx.Abs(y), 2)
			noise := noiseAt(t, st, "d", hz)
			where := fmt.Sprintf("%g V at %g Hz", volts, hz)
			near(t, where+" shot", share(t, noise, "D"), 2*electron*i*z, 1e-8)
			near(t, where+" thermal", share(t, noise, "R"), 4*boltzmann*kelvin/ohms*z, 1e-8)
			near(t, where+" total", noise.Total[0], share(t, noise, "D")+share(t, noise, "R"), 1e-12)
		}
	}
}

// TestCommonEmitter: at the collector of a stage with base resistance Rs and
// load Rc, worked out from the definition (gm = Ic/VT, rπ = β/gm):
//
//	Ic's shot    2qIc·Rc²
//	Ib's shot    2qIb·(gm·Rc·(Rs ∥ rπ))²
//	Rs           4kT·Rs·(gm·Rc·rπ/(rπ + Rs))²
//	Rc           4kT·Rc
func TestCommonEmitter(t *testing.T) {
	const rs, rc, kelvin, beta = 10e3, 2200.0, 300.0, 200.0
	for _, pnp := range []bool{false, true} {
		sign := 1.0
		if pnp {
			sign = -1
		}
		q := transistor("q1", "c", "b", "0")
		q.PNP, q.BetaF = pnp, beta
		st := built(t, curve.Setting{}, circuit.Conditions{Kelvin: kelvin}, q, source("s", sign*0.75), resistor("Rs", "s", "b", rs),
			circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: sign * 12}, resistor("Rc", "rail", "c", rc))
		ic, _ := st.Current("q1")
		ic = math.Abs(ic)
		gm := ic / thermalVolts(kelvin)
		r := beta / gm
		noise := noiseAt(t, st, "c", 1000)
		gain := gm * rc * r / (r + rs)
		shot := 2*electron*ic*rc*rc + 2*electron*ic/beta*math.Pow(gain*rs, 2)
		near(t, "shot", share(t, noise, "q1"), shot, 1e-6)
		near(t, "Rs", share(t, noise, "Rs"), 4*boltzmann*kelvin*rs*gain*gain, 1e-6)
		near(t, "Rc", share(t, noise, "Rc"), 4*boltzmann*kelvin*rc, 1e-6)
		near(t, "density", noise.Density(0), math.Sqrt(noise.Total[0]), 1e-15)
	}
}

// TestBand: an RC's noise over all frequencies is kT/C whatever the
// resistance (Nyquist 1928; 1.5707 corners wide).
func TestBand(t *testing.T) {
	const farads, kelvin = 1e-9, 290.0
	for _, ohms := range []float64{100, 1e4, 1e6} {
		st := built(t, curve.Setting{}, circuit.Conditions{Kelvin: kelvin}, source("a", 0), resistor("R", "a", "b", ohms), capacitor("C", "b", "0", farads))
		corner := 1 / (2 * math.Pi * ohms * farads)
		var hz []float64
		for k := range 6000 {
			hz = append(hz, corner*math.Pow(10, -4+8*float64(k)/5999))
		}
		noise := noiseAt(t, st, "b", hz...)
		want := math.Sqrt(boltzmann * kelvin / farads)
		near(t, "all parts", noise.Band(nil), want, 1e-4)
		near(t, "R alone", noise.Parts[0].Band(hz, nil), want, 1e-4)
		half := func(float64) float64 { return 0.5 }
		near(t, "half as loud", noise.Band(half), want/2, 1e-4)
	}
}

// TestAWeighting holds the weighting to table 3 of IEC 61672-1:2013 (as quoted
// by a second text), at the exact frequencies 1000·10^(n/10).
func TestAWeighting(t *testing.T) {
	table := []float64{
		-70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6, -6.6, -4.8,
		-3.2, -1.9, -0.8, 0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3,
	}
	for k, want := range table {
		hz := 1000 * math.Pow(10, float64(k-20)/10)
		if got := 20 * math.Log10(circuit.AWeight(hz)); math.Abs(got-want) > 0.05 {
			t.Errorf("%.4g Hz: %.4f dB, table %g", hz, got, want)
		}
	}
	if circuit.AWeight(1000) != 1 {
		t.Error("not 1 at 1 kHz")
	}
}
