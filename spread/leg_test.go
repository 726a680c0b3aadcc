package spread_test

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/quantity"
	"bandwright/spread"
)

// One leg whose figures have closed forms: a coil, a capacitor and a resistor
// in series across a source, measured across the resistor.
const (
	legOhms    = 330.0
	legHenries = 0.5
	legFarads  = 100e-9
)

func legHz(l, c float64) float64 { return 1 / (2 * math.Pi * math.Sqrt(l*c)) }

func legQ(l, c, r float64) float64 { return math.Sqrt(l/c) / r }

// Knobs of the leg, in order.
const (
	knobCoil = iota
	knobCapacitor
	knobResistor
)

func legEnsemble(tb testing.TB) *circuit.Ensemble {
	tb.Helper()
	c, err := circuit.New(
		circuit.VoltageSource{Name: "source", Plus: "generator", Minus: circuit.Ground},
		circuit.Inductor{Name: "coil", A: "generator", B: "a", Henries: legHenries},
		circuit.Capacitor{Name: "capacitor", A: "a", B: "out", Farads: legFarads},
		circuit.Resistor{Name: "resistor", A: "out", B: circuit.Ground, Ohms: legOhms},
	)
	if err != nil {
		tb.Fatal(err)
	}
	st, err := c.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
	if err != nil {
		tb.Fatal(err)
	}
	e, err := c.Ensemble([]*circuit.State{st}, []circuit.Knob{
		{Part: "coil", Value: "Henries"}, {Part: "capacitor", Value: "Farads"}, {Part: "resistor", Value: "Ohms"},
	}, "source", "out")
	if err != nil {
		tb.Fatal(err)
	}
	return e
}

// legMeasure reads reactance and its slope from one gain: with H = R/(R + jX),
// X/R = Im(1/H) and its derivative give ωL/R and 1/(ωC·R), and those the
// leg's resonance and Q, and coil and capacitor in units of the nominal ones
// where the resistor is nominal.
type legMeasure struct {
	hide  float64 // no resonance above this; 0: none hidden
	build [circuit.BuildCount]int32
	hz    [circuit.BuildCount]float64
	gain  [circuit.BuildCount]complex128
	byHz  [circuit.BuildCount]complex128
}

func (m *legMeasure) Figures() []string {
	return []string{"resonance_hz", "q", "coil", "capacitor"}
}

func (m *legMeasure) Take(b *circuit.Builds, n int, figures [][circuit.BuildCount]float64) {
	hz := legHz(legHenries, legFarads)
	for k := range n {
		m.build[k], m.hz[k] = int32(k), hz
	}
	b.Slopes(0, m.build[:n], m.hz[:n], m.gain[:n], m.byHz[:n])
	nominalX := math.Sqrt(legHenries/legFarads) / legOhms
	for k := range n {
		x := imag(1 / m.gain[k])
		slope := hz * imag(-m.byHz[k]/(m.gain[k]*m.gain[k]))
		coil, capacitor := (slope+x)/2, (slope-x)/2
		figures[0][k] = hz * math.Sqrt(capacitor/coil)
		figures[1][k] = math.Sqrt(capacitor * coil)
		figures[2][k], figures[3][k] = coil/nominalX, nominalX/capacitor
		if m.hide > 0 && figures[0][k] > m.hide {
			figures[0][k] = math.NaN()
		}
	}
}

func newLegMeasure() circuit.Measure { return &legMeasure{} }

// legPlan has flat laws within tolerances of coil and capacitor, the resistor
// within a millionth.
func legPlan(tb testing.TB, coil, capacitor float64, count int, seed uint64) spread.Plan {
	tb.Helper()
	return spread.Plan{Ensemble: legEnsemble(tb), Measure: newLegMeasure, Count: count, Seed: seed, Laws: []spread.Law{
		spread.Within(spread.Flat, legHenries, even(coil)), spread.Within(spread.Flat, legFarads, even(capacitor)),
		spread.Within(spread.Flat, legOhms, quantity.Tolerance{}),
	}}
}

func even(fraction float64) quantity.Tolerance {
	return quantity.Tolerance{Minus: fraction, Plus: fraction}
}

func mustRun(tb testing.TB, p spread.Plan) *spread.Result {
	tb.Helper()
	r, found, err := spread.Run(context.Background(), p)
	if err != nil {
		tb.Fatal(err)
	}
	for _, f := range found {
		tb.Log(f)
	}
	return r
}

func figure(tb testing.TB, r *spread.Result, name string) spread.Figure {
	tb.Helper()
	f, ok := r.At(name)
	if !ok {
		tb.Fatalf("no figure %q", name)
	}
	return f
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}
