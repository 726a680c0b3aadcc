package equaliser

import (
	"context"
	"fmt"
	"math"
	"testing"

	"bandwright/circuit"
)

// discrete is an invented six-band equaliser with the two-transistor driver; both
// gains of the transistors are set.
func discrete(beta1, beta2 float64) Spec {
	s := sixBands(1000)
	s.Drawing, s.LoadOhms, s.LoadFarads, s.Kelvin = DrawingTwoTransistor, 470e3, 120e-12, 308.15
	parts, err := s.Drawn()
	if err != nil {
		panic(err)
	}
	for _, p := range parts {
		if q, ok := p.(circuit.Transistor); ok {
			q.BetaF = beta1
			if q.Name == "q2" {
				q.BetaF = beta2
			}
			s.Extra = append(s.Extra, q)
		}
	}
	return s
}

// Bias, flatness and loop gain for current gains of 100 to 500 in either
// transistor, the range of ordinary small-signal types (common practice, no
// source).
func TestTwoTransistorDriverOverCurrentGain(t *testing.T) {
	for _, beta := range [][2]float64{{100, 100}, {100, 500}, {300, 300}, {500, 100}, {500, 500}} {
		name := fmt.Sprintf("β %v", beta)
		e := mustBuild(t, discrete(beta[0], beta[1]))
		st := mustSolve(t, e, e.Flat())
		out, _ := st.Volts("out")
		emitter, _ := st.Volts("q1.emitter")
		collector, _ := st.Volts("q1.collector")
		if math.Abs(out-12) > 1 || collector-emitter < 2 {
			t.Errorf("%s: out %g V of 24, first transistor has %g V", name, out, collector-emitter)
		}
		if i, _ := st.Current("q2"); math.Abs(i) < 4e-3 || math.Abs(i) > 7e-3 {
			t.Errorf("%s: second transistor stands at %g A", name, i)
		}
		for _, band := range e.Bands() { // no direct current in a slider: it would scratch
			if i, _ := st.Current(band); math.Abs(i) > 1e-9 {
				t.Errorf("%s: %g A in slider %s", name, i, band)
			}
		}
		checkFlat(t, name, e, st)
		// Output over the difference of the buses is the gain in the loop.
		r, err := st.Response(context.Background(), Source, []string{"out", "cut", "boost"}, []float64{1000})
		if err != nil {
			t.Fatal(err)
		}
		loop := dB(r.Gains[0][0] / (r.Gains[1][0] - r.Gains[2][0]))
		t.Logf("%s: out %.3f V, gain in the loop %.1f dB", name, out, loop)
		if loop < 20*math.Log10(800) {
			t.Errorf("%s: gain in the loop %g dB, want 800", name, loop)
		}
	}
}

func checkFlat(t *testing.T, name string, e *Equaliser, st *circuit.State) {
	t.Helper()
	var hz []float64
	for f := 20.0; f < 20000; f *= 1.1 {
		hz = append(hz, f)
	}
	g := gains(t, st, append(hz, 20000))
	middle := dB(gains(t, st, []float64{1000})[0])
	for i, one := range g {
		if math.Abs(dB(one)-middle) > 0.1 {
			t.Errorf("%s: flat is %+.3f dB against 1 kHz at frequency %d", name, dB(one)-middle, i)
		}
	}
	if math.Abs(middle) > 0.25 {
		t.Errorf("%s: flat is %+.3f dB at 1 kHz", name, middle)
	}
}

// The values of the drawing are stable at every setting of the family; slower
// direct feedback is not (two poles in the right half plane near 0.6 Hz).
func TestTwoTransistorDriverIsStable(t *testing.T) {
	ctx := context.Background()
	for _, beta := range []float64{100, 500} {
		e := mustBuild(t, discrete(beta, beta))
		for _, named := range e.Family() {
			got, err := mustSolve(t, e, named.Setting).Stability(ctx)
			if err != nil {
				t.Fatal(err)
			}
			if got.RightHalfPoles != 0 {
				t.Errorf("β %g, %s: %d poles in the right half plane", beta, named.Name, got.RightHalfPoles)
			}
		}
	}
	slow := discrete(300, 300)
	slow.Extra = append(slow.Extra, capacitor("C.dc", "dc.mid", "0", 100e-6), capacitor("C.emitter", "boost", "q1.emitter", 22e-6))
	e := mustBuild(t, slow)
	got, err := mustSolve(t, e, e.Flat()).Stability(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if got.RightHalfPoles != 2 {
		t.Errorf("slow direct feedback: %d poles in the right half plane, want 2", got.RightHalfPoles)
	}
}

// A real driver costs little: centres within 1 % of the ideal one's, boosts a
// little lower, by its gain and by what it loads the two buses with: 0.1 dB for
// the op-amp, 0.8 dB for the pair.
func TestDriversAgreeWithTheIdealOne(t *testing.T) {
	ideal := sixBands(1000)
	want, _ := features(t, mustBuild(t, ideal), (&Equaliser{}).Flat())
	for drawing, loss := range map[string]float64{DrawingOpAmp: 0.1, DrawingTwoTransistor: 0.8} {
		s := sixBands(1000)
		s.Drawing = drawing
		got, list := features(t, mustBuild(t, s), (&Equaliser{}).Flat())
		for i := range got {
			if !near(got[i].CentreHz, want[i].CentreHz, 0.01) || !(got[i].BoostDB < want[i].BoostDB && got[i].BoostDB > want[i].BoostDB-loss) {
				t.Errorf("%s, %s: %g dB at %g Hz, ideal %g dB at %g Hz", drawing, got[i].Band,
					got[i].BoostDB, got[i].CentreHz, want[i].BoostDB, want[i].CentreHz)
			}
		}
		t.Logf("%s: findings %v", drawing, ids(list))
	}
}
