package circuit_test

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"bandwright/circuit"
	"bandwright/known"
)

// solved puts a known circuit at its setting.
func solved(t *testing.T, k known.Circuit) *circuit.State {
	t.Helper()
	c, err := circuit.New(k.Parts...)
	if err != nil {
		t.Fatalf("%s: %v", k.Name, err)
	}
	st, err := c.Solve(context.Background(), k.Setting, circuit.Conditions{Kelvin: k.Kelvin})
	if err != nil {
		t.Fatalf("%s: %v", k.Name, err)
	}
	return st
}

// probed is the response a probe asks for, at one frequency.
func probed(t *testing.T, st *circuit.State, p known.Probe, hz float64) complex128 {
	t.Helper()
	r, err := st.Response(context.Background(), p.Source, []string{orGround(p.Plus), orGround(p.Minus)}, []float64{hz})
	if err != nil {
		t.Fatal(err)
	}
	scale := p.Scale
	if scale == 0 {
		scale = 1
	}
	return complex(scale, 0) * (r.Gains[0][0] - r.Gains[1][0])
}

func orGround(point string) string {
	if point == "" {
		return circuit.Ground
	}
	return point
}

func within(t *testing.T, where string, got float64, want known.Value) {
	t.Helper()
	if !(math.Abs(got-want.Want) <= want.Tol) {
		t.Errorf("%s: %.9g, want %.9g ± %.2g (%s)", where, got, want.Want, want.Tol, want.Mark)
	}
}

// TestKnownCircuits holds the engine against every published answer that the
// room known has collected.
func TestKnownCircuits(t *testing.T) {
	for _, k := range known.All() {
		t.Run(k.Name, func(t *testing.T) {
			st := solved(t, k)
			where := k.Source
			for _, v := range k.Volts {
				plus, _ := st.Volts(orGround(v.Plus))
				minus, _ := st.Volts(orGround(v.Minus))
				within(t, where+" volts "+v.Plus, plus-minus, v.Value)
			}
			for _, i := range k.Currents {
				amperes, ok := st.Current(i.Part)
				if !ok {
					t.Errorf("no current through %s", i.Part)
				}
				within(t, where+" current "+i.Part, amperes, i.Value)
			}
			for _, g := range k.Gains {
				got := probed(t, st, g.Probe, g.Hz)
				within(t, where+" gain", cmplx.Abs(got), g.Magnitude)
				if g.Degrees != nil {
					off := math.Remainder(cmplx.Phase(got)*180/math.Pi-g.Degrees.Want, 360)
					within(t, where+" degrees", off+g.Degrees.Want, *g.Degrees)
				}
			}
			extremaAndCrossings(t, st, k)
			for _, n := range k.Noise {
				noise, err := st.Noise(context.Background(), n.Point, []float64{n.Hz})
				if err != nil {
					t.Fatal(err)
				}
				within(t, where+" noise", math.Sqrt(noise.Total[0]), n.Value)
			}
		})
	}
}

func extremaAndCrossings(t *testing.T, st *circuit.State, k known.Circuit) {
	for _, e := range k.Extrema {
		size := func(hz float64) float64 { return cmplx.Abs(probed(t, st, e.Probe, hz)) }
		hz := goldenSection(size, e.Low, e.High, e.Lowest)
		within(t, k.Source+" extremum", hz, e.Hz)
		if e.Magnitude != nil {
			within(t, k.Source+" extremum's size", size(hz), *e.Magnitude)
		}
	}
	for _, c := range k.Crossings {
		low, high := c.Low, c.High
		above := func(hz float64) bool { return cmplx.Abs(probed(t, st, c.Probe, hz)) > c.Level }
		start := above(low)
		for range 60 {
			if middle := math.Sqrt(low * high); above(middle) == start {
				low = middle
			} else {
				high = middle
			}
		}
		within(t, k.Source+" crossing", low, c.Hz)
	}
}

// goldenSection narrows an extremum down to about 1e-8 of its frequency.
func goldenSection(f func(float64) float64, low, high float64, lowest bool) float64 {
	better := func(a, b float64) bool { return (f(a) > f(b)) != lowest }
	const ratio = 0.6180339887498949
	for range 80 {
		a, b := high-ratio*(high-low), low+ratio*(high-low)
		if better(a, b) {
			high = b
		} else {
			low = a
		}
	}
	return (low + high) / 2
}

// TestKnownDerivatives: the adjoint sensitivities of the nodal examples, the
// sum over the sources that are on.
func TestKnownDerivatives(t *testing.T) {
	asked := 0
	for _, k := range known.All() {
		for _, d := range k.Derivatives {
			st := solved(t, k)
			var got complex128
			for _, drive := range d.Drives {
				s, err := st.Sensitivity(drive.Source, d.Point, 1)
				if err != nil {
					t.Fatal(err)
				}
				for _, by := range s.By {
					if by.Part == d.Part && by.Value == d.Param {
						got += complex(drive.Amount, 0) * by.By
					}
				}
			}
			within(t, k.Name+" d"+d.Point+"/d"+d.Part, real(got), d.Value)
			asked++
		}
	}
	if asked == 0 {
		t.Fatal("no derivative was asked")
	}
}
