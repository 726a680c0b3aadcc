package equaliser

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// specOf writes a cell as a description.
func specOf(c cell) Spec {
	s := Spec{Drawing: DrawingIdeal, Feed: c.feed, Feedback: c.feedback, LoadOhms: 47e3}
	for i, l := range c.legs {
		s.Bands = append(s.Bands, Band{
			Name: fmt.Sprintf("b%d", i), Hz: legResonance(l.henries, l.farads),
			Slider:    circuit.Slider{Track: l.track, BoostEnd: l.boostEnd, CutEnd: l.cutEnd, WiperOhms: l.wiper},
			Coil:      circuit.Inductor{Henries: l.henries, DCR: l.ohms * 0.3},
			Capacitor: circuit.Capacitor{Farads: l.farads},
			Resistor:  circuit.Resistor{Ohms: l.ohms * 0.7},
		})
	}
	return s
}

// setting says where a cell's sliders stand.
func (c cell) setting() curve.Setting {
	var s curve.Setting
	for i, l := range c.legs {
		s = s.WithSlider(fmt.Sprintf("b%d", i), l.position)
	}
	return s
}

func mustBuild(t *testing.T, s Spec) *Equaliser {
	t.Helper()
	e, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func mustSolve(t *testing.T, e *Equaliser, s curve.Setting) *circuit.State {
	t.Helper()
	st, err := e.Solve(context.Background(), s)
	if err != nil {
		t.Fatalf("%v: %v", s, err)
	}
	return st
}

func gains(t *testing.T, st *circuit.State, hz []float64) []complex128 {
	t.Helper()
	r, err := st.Response(context.Background(), Source, []string{OutputPoint}, hz)
	if err != nil {
		t.Fatal(err)
	}
	return r.Gains[0]
}

func dB(g complex128) float64 { return 20 * math.Log10(cmplx.Abs(g)) }

// audio gives n frequencies from 10 Hz to 40 kHz, evenly in log.
func audio(n int) []float64 {
	hz := make([]float64, n)
	for i := range hz {
		hz[i] = 10 * math.Pow(4000, float64(i)/float64(n-1))
	}
	return hz
}

// The engine against the closed form, at random settings, parts and band
// counts, slider ends and ends of 0 ohm included.
func TestIdealCellAgainstItsClosedForm(t *testing.T) {
	const seed = 7
	r := rand.New(rand.NewPCG(seed, 2))
	worst := 0.0
	for trial := range 124 {
		c := randomCell(r, 1+trial%31)
		c.feedback *= math.Exp(0.3 * r.NormFloat64())
		for i := range c.legs {
			l := &c.legs[i]
			l.position = []float64{-1, 1, 0, 2*r.Float64() - 1}[r.IntN(4)]
			if r.IntN(2) == 0 {
				l.boostEnd, l.cutEnd, l.wiper = 20*r.Float64(), 20*r.Float64(), 10*r.Float64()
			}
		}
		hz := audio(23)
		e := mustBuild(t, specOf(c))
		for i, got := range gains(t, mustSolve(t, e, c.setting()), hz) {
			want, _ := c.gain(hz[i])
			worst = max(worst, cmplx.Abs(got-want)/cmplx.Abs(want))
		}
	}
	if worst > 1e-9 {
		t.Errorf("seed %d: engine and closed form differ by %g relative", seed, worst)
	}
	t.Logf("largest relative difference %.2g", worst)
}

// With every slider centred the cell is flat whatever the legs; with the legs
// lifted it is flat too, wherever the sliders stand (worked out from the
// definition).
func TestFlatAndLiftedAreFlat(t *testing.T) {
	const seed = 8
	r := rand.New(rand.NewPCG(seed, 2))
	for range 20 {
		c := randomCell(r, 1+r.IntN(12))
		s := specOf(c)
		s.Lift, s.Bypass = &Lift{}, &Bypass{}
		e := mustBuild(t, s)
		lifted, ok := e.Lifted()
		bypassed, too := e.Bypassed()
		if !ok || !too {
			t.Fatal("no lift or no bypass")
		}
		settings := []curve.Setting{e.Flat(), lifted, bypassed}
		for _, at := range settings {
			for i, g := range gains(t, mustSolve(t, e, at), audio(11)) {
				if cmplx.Abs(g-1) > 1e-10 {
					t.Errorf("seed %d: %v: gain %v at %g Hz", seed, at, g, audio(11)[i])
				}
			}
		}
		// One slider alone lifted still leaves the leg without a way to ground.
		moved := lifted.WithSlider("b0", 1)
		if len(c.legs) == 1 {
			for _, g := range gains(t, mustSolve(t, e, moved), audio(11)) {
				if cmplx.Abs(g-1) > 1e-10 {
					t.Errorf("seed %d: %v: gain %v", seed, moved, g)
				}
			}
		}
	}
}

// Equal feed and feedback: exchanging both ends of every slider turns the gain
// into its inverse (worked out from the definition).
func TestMirroredSlidersInvertTheGain(t *testing.T) {
	const seed = 9
	r := rand.New(rand.NewPCG(seed, 2))
	for range 20 {
		c := randomCell(r, 1+r.IntN(12))
		mirror := curve.Setting{}
		for i := range c.legs {
			c.legs[i].position = 2*r.Float64() - 1
			mirror = mirror.WithSlider(fmt.Sprintf("b%d", i), -c.legs[i].position)
		}
		e := mustBuild(t, specOf(c))
		a := gains(t, mustSolve(t, e, c.setting()), audio(15))
		b := gains(t, mustSolve(t, e, mirror), audio(15))
		for i := range a {
			if cmplx.Abs(a[i]*b[i]-1) > 1e-9 {
				t.Errorf("seed %d: product of mirrored gains %v", seed, a[i]*b[i])
			}
		}
	}
}

// The balance holds with the source's own ohms when the feed was left to the
// drawing: feed and source together are the feedback.
func TestFeedLeftBlankBalancesTheSource(t *testing.T) {
	s := specOf(randomCell(rand.New(rand.NewPCG(4, 4)), 3))
	s.Feed, s.Feedback, s.SourceOhms, s.LoadOhms = 0, 2200, 1000, 0
	e := mustBuild(t, s)
	if part, _ := e.Circuit().Part("feed"); part.(circuit.Resistor).Ohms != 1200 {
		t.Errorf("feed is %v, want 1200", part)
	}
	up, down := gains(t, mustSolve(t, e, e.AllUp()), audio(9)), gains(t, mustSolve(t, e, e.AllDown()), audio(9))
	for i := range up {
		if cmplx.Abs(up[i]*down[i]-1) > 1e-9 {
			t.Errorf("all up times all down is %v", up[i]*down[i])
		}
	}
}

// A part of the drawing, whatever its property, is changed by its name; a new
// one is added; every other part stays.
func TestExtraChangesAndAdds(t *testing.T) {
	for _, drawing := range Drawings() {
		s := specOf(randomCell(rand.New(rand.NewPCG(5, 5)), 2))
		s.Drawing, s.Lift, s.Bypass = drawing, &Lift{LeadFarads: 1e-9}, &Bypass{GroundsInput: true}
		s.LoadFarads = 1e-10
		parts, err := s.Drawn()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range parts {
			changed := s
			changed.Extra = []circuit.Part{doubled(p), circuit.Capacitor{Name: "C.extra", A: "boost", B: "0", Farads: 1e-10}}
			got := mustBuild(t, changed).Circuit().Parts()
			if len(got) != len(parts)+1 {
				t.Fatalf("%s: %d parts, want %d", drawing, len(got), len(parts)+1)
			}
			for i, was := range parts {
				want := fmt.Sprintf("%#v", was)
				if was.PartName() == p.PartName() {
					want = fmt.Sprintf("%#v", doubled(p))
				}
				if fmt.Sprintf("%#v", got[i]) != want {
					t.Errorf("%s, %s changed: part %d is %#v", drawing, p.PartName(), i, got[i])
				}
			}
		}
	}
}

// doubled gives a part with another value, legal for its kind.
func doubled(p circuit.Part) circuit.Part {
	switch p := p.(type) {
	case circuit.Resistor:
		p.Ohms = 2*p.Ohms + 1
		return p
	case circuit.Capacitor:
		p.ESR = 2
		return p
	case circuit.Inductor:
		p.CoreOhms = 1e5
		return p
	case circuit.Slider:
		p.Law = circuit.Law{Travel: []float64{0, 0.5, 1}, Share: []float64{0, 0.4, 1}}
		return p
	case circuit.Transistor:
		p.BetaF = 123
		return p
	case circuit.VoltageSource:
		p.DC = 5
		return p
	case circuit.Contact:
		p.OffOhms = 1e9
		return p
	}
	return p
}

func TestWrongDescriptionsAreFindings(t *testing.T) {
	good := specOf(randomCell(rand.New(rand.NewPCG(6, 6)), 2))
	band := func(change func(*Band)) func(*Spec) {
		return func(s *Spec) { s.Bands = slices.Clone(s.Bands); change(&s.Bands[1]) }
	}
	for _, c := range []struct {
		name   string
		change func(*Spec)
		want   finding.ID
	}{
		{"drawing", func(s *Spec) { s.Drawing = "three-valve" }, IDUnknownDrawing},
		{"source", func(s *Spec) { s.SourceOhms = -1 }, IDBadValue},
		{"rail", func(s *Spec) { s.Rail = math.Inf(1) }, IDBadValue},
		{"load", func(s *Spec) { s.LoadOhms = math.NaN() }, IDBadValue},
		{"stated centre", band(func(b *Band) { b.Hz = 0 }), IDBadValue},
		{"same name", band(func(b *Band) { b.Name = "b0" }), IDBandTwice},
		{"no name", band(func(b *Band) { b.Name = " " }), IDBandName},
		{"sign", band(func(b *Band) { b.Name = "a=b" }), IDBandName},
		{"word", band(func(b *Band) { b.Name = "flat" }), IDBandName},
		{"a part's name", band(func(b *Band) { b.Name = "feed" }), IDBandName},
		{"part twice", func(s *Spec) {
			p := circuit.Resistor{Name: "R.x", A: "in", B: "0", Ohms: 1}
			s.Extra = []circuit.Part{p, p}
		}, IDPartTwice},
		{"a value", band(func(b *Band) { b.Coil.Henries = -1 }), circuit.IDBadValue},
	} {
		s := good
		c.change(&s)
		_, err := Build(s)
		list, ok := finding.From(err)
		if !ok || !slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == c.want }) {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
		if strings.Contains(fmt.Sprint(err), "part=") {
			t.Errorf("%s: a part as an argument instead of a place: %v", c.name, err)
		}
	}
}
