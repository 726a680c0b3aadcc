package equaliser

import (
	"context"
	"math"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

func headroom(t *testing.T, e *Equaliser) ([]Headroom, []string) {
	t.Helper()
	all, _ := features(t, e, curve.Setting{})
	h, list, err := e.Headroom(context.Background(), nil, all)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range list {
		names = append(names, string(f.ID)+" "+f.Place.Band)
	}
	return h, names
}

func TestHeadroomOfAnIdealDriverHasNoLimit(t *testing.T) {
	s := sixBands(0)
	s.LevelVolts = 1
	h, list := headroom(t, mustBuild(t, s))
	for _, one := range h {
		if one.FlatVolts != nil || one.UpVolts != nil || one.UpDB != nil {
			t.Errorf("%+v", one)
		}
	}
	if len(list) > 0 {
		t.Errorf("findings %v", list)
	}
}

// An op-amp's limit is its rail less the margin over its gain (definition).
func TestHeadroomOfAnOpAmpIsItsRail(t *testing.T) {
	s := sixBands(0)
	s.Drawing, s.Rail, s.LevelVolts = DrawingOpAmp, 12, 1.3
	e := mustBuild(t, s)
	h, list := headroom(t, e)
	for _, one := range h {
		out := func(at curve.Setting) float64 {
			r, err := mustSolve(t, e, at).Response(context.Background(), Source, []string{"out"}, []float64{one.Hz})
			if err != nil {
				t.Fatal(err)
			}
			return dB(r.Gains[0][0])
		}
		for _, v := range []struct{ got, gain float64 }{{*one.FlatVolts, out(e.Flat())}, {*one.UpVolts, out(e.Boost(one.Band))}} {
			if want := 10 / math.Sqrt2 / math.Pow(10, v.gain/20); !near(v.got, want, 1e-9) {
				t.Errorf("%s: %g V, want %g", one.Band, v.got, want)
			}
		}
		if one.UpBy != (Limit{"amplifier", "rail"}) || !near(*one.UpDB, 20*math.Log10(*one.UpVolts/1.3), 1e-9) {
			t.Errorf("%+v", one)
		}
		// 10 V peak less some 10 dB of boost leaves 5 dB over 1.3 V: too little.
		if !slices.Contains(list, string(IDLittleHeadroom)+" "+one.Band) {
			t.Errorf("%s: %g dB and no warning", one.Band, *one.UpDB)
		}
	}
}

// directCoupled gives the two-transistor driver with every capacitor between
// stages replaced by a source of the volts it holds at rest: for signals the
// same short circuit, and now a slow source can be followed by operating points.
func directCoupled(t *testing.T, s Spec) *Equaliser {
	t.Helper()
	e := mustBuild(t, s)
	st := mustSolve(t, e, e.Flat())
	for _, p := range e.Circuit().Parts() {
		if c, ok := p.(circuit.Capacitor); ok && c.Farads > 1e-6 {
			a, _ := st.Volts(c.A)
			b, _ := st.Volts(c.B)
			s.Extra = append(s.Extra, circuit.VoltageSource{Name: c.Name, Plus: c.A, Minus: c.B, DC: a - b},
				// Changes no volt; gives the source a current that is more than rounding.
				circuit.Resistor{Name: c.Name + ".across", A: c.A, B: c.B, Ohms: 1e3})
		}
	}
	return mustBuild(t, s)
}

// Headroom by small signals against the large-signal operating point followed
// step by step: inside nine tenths of it the output stays within 3 % of
// straight, a tenth beyond it one of the two sides has bent.
func TestHeadroomAgainstALargeSignalWalk(t *testing.T) {
	for _, change := range []func(*Spec){
		func(*Spec) {},
		func(s *Spec) { s.Rail = 18 },
		func(s *Spec) { s.LoadOhms = 2200 }, // now the load takes the standing current
		func(s *Spec) {
			s.Extra = append(s.Extra, circuit.Resistor{Name: "feedback", A: "out.coupled", B: "boost", Ohms: 1100},
				circuit.Resistor{Name: "R.boost", A: "boost", B: "0", Ohms: 300})
		},
	} {
		s := Spec{Drawing: DrawingTwoTransistor, SourceOhms: 1000, LoadOhms: 470e3}
		change(&s)
		direct := directCoupled(t, s)
		source := func(volts float64) float64 {
			moved, err := direct.Circuit().Replace(circuit.VoltageSource{Name: Source, Plus: "generator", Minus: "0", DC: volts})
			if err != nil {
				t.Fatal(err)
			}
			out, _ := mustSolve(t, direct.With(moved), curve.Setting{}).Volts("out")
			return out
		}
		largest, by, _, err := direct.largest(context.Background(), mustSolve(t, direct, curve.Setting{}), 1000)
		if err != nil || largest == nil {
			t.Fatal(err, largest)
		}
		peak := *largest * math.Sqrt2 / direct.tapShare()
		rest := source(0)
		gain := (source(1e-3*peak) - source(-1e-3*peak)) / (2e-3 * peak)
		bend := func(share float64) float64 {
			worst := 0.0
			for _, v := range []float64{share * peak, -share * peak} {
				worst = max(worst, math.Abs((source(v)-rest)/(gain*v)-1))
			}
			return worst
		}
		inside, beyond := bend(0.9), bend(1.1)
		t.Logf("limit %.3g V peak of source by %v, gain %.3g: bent by %.2g inside, %.2g beyond", peak, by, gain, inside, beyond)
		if inside > 0.03 || beyond < 0.03 {
			t.Errorf("bent by %g at nine tenths, by %g at eleven tenths of the limit", inside, beyond)
		}
	}
}

// The swing of a collector current per volt of source, reckoned from signal
// volts, is the derivative of the operating point's current.
func TestCollectorSwingIsTheDerivativeOfItsCurrent(t *testing.T) {
	direct := directCoupled(t, Spec{Drawing: DrawingTwoTransistor, SourceOhms: 1000, LoadOhms: 4700, Feedback: 8200})
	at := func(volts float64) *circuit.State {
		moved, err := direct.Circuit().Replace(circuit.VoltageSource{Name: Source, Plus: "generator", Minus: "0", DC: volts})
		if err != nil {
			t.Fatal(err)
		}
		return mustSolve(t, direct.With(moved), curve.Setting{})
	}
	rest := at(0)
	const step = 1e-3
	checked := 0
	for _, r := range direct.rooms(rest) {
		if r.limit.How != "cut-off" {
			continue
		}
		answer, err := rest.Response(context.Background(), Source, r.points, []float64{1})
		if err != nil {
			t.Fatal(err)
		}
		swing := 0.0
		for i, w := range r.weight {
			swing += w * real(answer.Gains[i][0])
		}
		up, _ := at(step).Current(r.limit.Part)
		down, _ := at(-step).Current(r.limit.Part)
		if want := math.Abs(up-down) / (2 * step); !near(math.Abs(swing), want, 1e-4) {
			t.Errorf("%s: %g A/V, operating points give %g", r.limit.Part, swing, want)
		}
		checked++
	}
	if checked != 2 {
		t.Errorf("%d transistors", checked)
	}
}

// The level is stated, and the answer given, with the amp's own load on the
// source: half its volts where the two are equal.
func TestHeadroomIsGivenAtTheLoadedTapIn(t *testing.T) {
	s := Spec{Drawing: DrawingOpAmp, SourceOhms: 10e3, LoadOhms: 10e3, LevelVolts: 1}
	e := mustBuild(t, s)
	st := mustSolve(t, e, e.Flat())
	got, _, _, err := e.largest(context.Background(), st, 1000)
	if err != nil {
		t.Fatal(err)
	}
	r, err := st.Response(context.Background(), Source, []string{"out"}, []float64{1000})
	if err != nil {
		t.Fatal(err)
	}
	if want := 13 / math.Sqrt2 / math.Pow(10, dB(r.Gains[0][0])/20) / 2; !near(*got, want, 1e-9) {
		t.Errorf("%g V, want %g", *got, want)
	}
}

func TestHeadroomWithoutALevelSaysSo(t *testing.T) {
	s := sixBands(1000)
	s.Drawing = DrawingTwoTransistor
	h, list := headroom(t, mustBuild(t, s))
	if !slices.Contains(list, string(IDNoLevel)+" ") {
		t.Errorf("findings %v", list)
	}
	for _, one := range h {
		if one.FlatVolts == nil || one.UpVolts == nil || one.FlatDB != nil || *one.UpVolts >= *one.FlatVolts {
			t.Errorf("%+v", one)
		}
	}
}

// A stage that is off at rest has no headroom at all, and is named.
func TestHeadroomOfAStageThatIsOff(t *testing.T) {
	s := sixBands(1000)
	s.Drawing, s.LevelVolts = DrawingTwoTransistor, 0.4
	s.Extra = []circuit.Part{circuit.Resistor{Name: "R.b2", A: "q1.base", B: "0", Ohms: 100}}
	h, list := headroom(t, mustBuild(t, s))
	if !slices.Contains(list, string(IDOffAtRest)+" ") {
		t.Errorf("findings %v", list)
	}
	for _, one := range h {
		for _, p := range []*float64{one.FlatVolts, one.FlatDB, one.UpDB} {
			if p != nil && (math.IsNaN(*p) || math.IsInf(*p, 0)) {
				t.Errorf("%+v", one)
			}
		}
	}
}
