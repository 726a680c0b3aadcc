package equaliser

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// At every step the scale must be what a full solve at that position gives, and
// a solve at every mark must give its level: the quotient is put to the proof.
func TestScaleAgainstSolves(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Spec)
	}{
		{"linear", func(*Spec) {}},
		{"a measured law", func(s *Spec) {
			s.Bands[1].Slider.Law = circuit.Law{Travel: []float64{0, 0.3, 0.5, 0.7, 1}, Share: []float64{0, 0.1, 0.5, 0.88, 1}}
		}},
		{"ends and wiper", func(s *Spec) {
			s.Bands[1].Slider.BoostEnd, s.Bands[1].Slider.CutEnd, s.Bands[1].Slider.WiperOhms = 15, 40, 8
		}},
		{"two transistors", func(s *Spec) { s.Drawing, s.SourceOhms = DrawingTwoTransistor, 1000 }},
	} {
		s := sixBands(0)
		c.change(&s)
		e := mustBuild(t, s)
		others := curve.Setting{}.WithSlider("400", 0.5)
		f, _, err := e.Feature(context.Background(), nil, "160", others)
		if err != nil {
			t.Fatal(err)
		}
		solves := 0
		states := func(ctx context.Context, at curve.Setting) (*circuit.State, error) {
			solves++
			return e.Solve(ctx, at)
		}
		scale, err := e.Scale(context.Background(), states, f, others)
		if err != nil {
			t.Fatal(err)
		}
		if solves != 7 {
			t.Errorf("%s: %d solves, want 7", c.name, solves)
		}
		level := func(position float64) float64 {
			var gain [2]complex128
			for i, at := range []float64{position, 0} {
				gain[i] = gains(t, mustSolve(t, e, others.WithSlider("160", at)), []float64{f.CentreHz})[0]
			}
			return dB(gain[0]) - dB(gain[1])
		}
		if len(scale.Travel) != 21 || scale.Travel[10] != (ScaleMark{}) {
			t.Errorf("%s: travel %v", c.name, scale.Travel)
		}
		for _, m := range append(scale.Travel, scale.Marks...) {
			if got := level(m.Position); math.Abs(got-m.DB) > 1e-7 {
				t.Errorf("%s: scale says %.10g dB at %g, a solve %.10g", c.name, m.DB, m.Position, got)
			}
		}
		checkMarks(t, c.name, scale)
	}
}

// checkMarks: every even dB within reach, once, in order.
func checkMarks(t *testing.T, name string, s Scale) {
	t.Helper()
	low, high := s.Travel[0].DB, s.Travel[20].DB
	want := -1 // 0 has no mark
	for db := 2 * math.Ceil(low/2); db <= high; db += 2 {
		want++
	}
	if len(s.Marks) != want+0 || want < 6 {
		t.Errorf("%s: %d marks from %g to %g dB, want %d", name, len(s.Marks), low, high, want)
	}
	for i := 1; i < len(s.Marks); i++ {
		if !(s.Marks[i].Position > s.Marks[i-1].Position && s.Marks[i].DB > s.Marks[i-1].DB) {
			t.Errorf("%s: marks out of order: %v", name, s.Marks)
		}
	}
}

// A linear slider crowds most of its dB into the last quarter of the travel;
// worked out from the definition for 10 k and generic legs, 50, 75, 90, 95 and
// 100 % of travel are 0, 1.8, 4.4, 6.2 and 10.1 dB.
func TestLinearTravelIsCrowdedAtTheEnds(t *testing.T) {
	e := mustBuild(t, sixBands(0))
	f, _, err := e.Feature(context.Background(), nil, "400", curve.Setting{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := e.Scale(context.Background(), nil, f, curve.Setting{})
	if err != nil {
		t.Fatal(err)
	}
	at := func(percent int) float64 { return s.Travel[percent/5].DB }
	t.Logf("75 %%: %.1f dB, 90 %%: %.1f dB, 95 %%: %.1f dB, 100 %%: %.1f dB", at(75), at(90), at(95), at(100))
	if at(75) > 0.3*at(100) || at(95) > 0.8*at(100) {
		t.Errorf("75 %%: %g dB, 95 %%: %g dB, of %g", at(75), at(95), at(100))
	}
	for i := range s.Travel {
		if mirror := s.Travel[20-i]; math.Abs(mirror.DB+s.Travel[i].DB) > 1e-8 {
			t.Errorf("%v and %v do not mirror", mirror, s.Travel[i])
		}
	}
}

// Direct current in a track moves the operating point with the slider; then the
// quotient does not hold, is found out, and every position is solved.
func TestScaleWhereTheTrackCarriesCurrent(t *testing.T) {
	s := sixBands(0)
	s.Drawing, s.SourceOhms = DrawingTwoTransistor, 1000
	// The 160 slider's track also biases a diode across the output.
	s.Extra = []circuit.Part{
		circuit.Resistor{Name: "R.bias", A: "rail", B: "160.wiper", Ohms: 22e3},
		circuit.Diode{Name: "D", Anode: "160.wiper", Cathode: "0", Is: 1e-14},
	}
	e := mustBuild(t, s)
	f := Feature{Band: "160", Found: true, CentreHz: 160}
	scale, err := e.Scale(context.Background(), nil, f, curve.Setting{})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range []ScaleMark{scale.Travel[3], scale.Travel[17]} {
		a := gains(t, mustSolve(t, e, e.alone("160", m.Position)), []float64{160})[0]
		b := gains(t, mustSolve(t, e, e.Flat()), []float64{160})[0]
		if math.Abs(dB(a)-dB(b)-m.DB) > 1e-7 {
			t.Errorf("%v, a solve gives %g dB", m, dB(a)-dB(b))
		}
	}
}
