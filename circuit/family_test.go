package circuit_test

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/trials"
)

// studio is a two-transistor equaliser of invented values, with its panel switch
// and its lift, every contact with ohms of its own.
func studio(t testing.TB) *circuit.Circuit {
	t.Helper()
	band := func(name string, hz, henries, dcr, farads, ohms float64) equaliser.Band {
		return equaliser.Band{Name: name, Hz: hz,
			Slider:    circuit.Slider{Track: 10e3, BoostEnd: 2, CutEnd: 2, WiperOhms: 5},
			Coil:      circuit.Inductor{Henries: henries, DCR: dcr, CoreOhms: 75e3, SelfFarads: 180e-12},
			Capacitor: circuit.Capacitor{Farads: farads, Loss: 0.004, ESR: 0.1}, Resistor: circuit.Resistor{Ohms: ohms}}
	}
	e, err := equaliser.Build(equaliser.Spec{
		Drawing: "two-transistor", SourceOhms: 1000, LoadOhms: 470e3, LoadFarads: 120e-12,
		Bands: []equaliser.Band{
			band("63", 63, 2.72, 255, 2.23e-6, 330), band("400", 400, 0.409, 82, 384e-9, 470), band("2500", 2500, 0.0728, 28, 55.4e-9, 510),
		},
		Lift:   &equaliser.Lift{OnOhms: 0.1, LeadFarads: 600e-12},
		Bypass: &equaliser.Bypass{OnOhms: 0.05, GroundsInput: true},
	})
	if err != nil {
		t.Fatal(err)
	}
	return e.Circuit()
}

// studioEdits has every kind of edit, on parts that carry direct current and on
// parts that do not.
func studioEdits() []circuit.Edit {
	edits := []circuit.Edit{
		circuit.Scale("63", "Track", 0.5), circuit.Reverse("400"), circuit.OpenLeg("400", 0), circuit.OpenLeg("63", 1),
		circuit.Short("400", 0, 2, circuit.ShortOhms), circuit.Swap("63.coil", "400.coil"), circuit.Swap("63.capacitor", "2500.capacitor"),
		circuit.Scale("400.coil", "Henries", 0.6), circuit.Scale("2500.capacitor", "Farads", 10),
		circuit.Series("63.coil", 0, 470), circuit.Series("63.capacitor", 1, 1e4),
		circuit.Bridge("cut", "boost", circuit.ShortOhms), circuit.Bridge("63.a", "400.a", 0), circuit.Bridge("tap", "return", circuit.ShortOhms),
		circuit.Bridge("legs", "0", 1e5), circuit.Bridge("q1.base", "0", 22e3), circuit.Bridge("out", "in", circuit.ShortOhms),
		circuit.Open("panel.in"), circuit.Open("lift"), circuit.Move("panel.out", 0, "in"), circuit.Move("400.capacitor", 1, "boost"),
		circuit.ReverseElectrolytic("C.out", 1500), circuit.OpenLeg("q1", 1), circuit.OpenLeg("q2", 2), circuit.OpenLeg("q1", 0),
		circuit.Short("q1", 0, 2, circuit.ShortOhms), circuit.Short("q2", 0, 1, 0), circuit.Permute("q1", 2, 1, 0), circuit.Permute("q2", 1, 0, 2),
		circuit.Scale("q1", "BetaF", 0.2),
	}
	for _, part := range []string{"63.resistor", "400.coil", "2500.capacitor", "feed", "feedback", "C.in", "C.base", "C.dc", "C.emitter", "C.out",
		"R.b1", "R.b2", "R.e", "R.c1", "R.load", "R.dc1", "R.dc2", "R.bleed"} {
		edits = append(edits, circuit.Open(part), circuit.Short(part, 0, 1, circuit.ShortOhms))
	}
	for _, part := range []string{"feed", "R.b1", "R.e", "R.dc1", "63.resistor"} {
		edits = append(edits, circuit.Scale(part, "Ohms", 10), circuit.Scale(part, "Ohms", 1./30))
	}
	return edits
}

var studioKnobs = []circuit.Knob{
	{Part: "63.resistor", Value: "Ohms"}, {Part: "400.coil", Value: "Henries"}, {Part: "400.coil", Value: "DCR"}, {Part: "2500.capacitor", Value: "Farads"},
	{Part: "400", Value: "Track"}, {Part: "feed", Value: "Ohms"}, {Part: "R.b1", Value: "Ohms"}, {Part: "R.e", Value: "Ohms"}, {Part: "q1", Value: "BetaF"},
	{Part: "rail", Value: "DC"}, {Part: "R.dc1", Value: "Ohms"},
}

var studioHz = []float64{31, 63, 250, 400, 1000, 2500, 9000}

func studioSettings() []curve.Setting {
	return []curve.Setting{{}, curve.Setting{}.WithSlider("63", 1), curve.Setting{}.WithSlider("400", -1),
		curve.Setting{}.WithSwitch("footswitch", "lifted"), curve.Setting{}.WithSwitch("panel", "out")}
}

// near says whether two numbers agree, given how large numbers here are.
func agree(got, want, scale, relative float64) bool {
	return math.Abs(got-want) <= relative*(math.Abs(want)+scale)
}

// TestFamilyIsSolve: every member's curves, volts and ohms, and their derivatives,
// are those of the edited circuit solved by itself.
func TestFamilyIsSolve(t *testing.T) {
	ctx, whole := context.Background(), studio(t)
	seen := 0
	previous := map[string]*circuit.Member{}
	for _, s := range studioSettings()[:min(5, trials.Count(3))] {
		f, err := whole.Family(ctx, s, circuit.FamilyPlan{Hz: studioHz, Knobs: studioKnobs, Source: "source", Red: "return", Black: "0"})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range studioEdits() {
			edited, err := whole.Edited(e)
			if err != nil {
				t.Fatal(err)
			}
			st, err := edited.Solve(ctx, s, circuit.Conditions{})
			if err != nil {
				t.Errorf("%s at %s by itself: %v", e, s, err)
				continue
			}
			m, err := f.Member(ctx, edited, previous[e.String()])
			if err != nil {
				t.Errorf("%s at %s: %v", e, s, err)
				continue
			}
			previous[e.String()] = m
			seen++
			compareMemberGains(t, e, s, m, st)
			compareMemberVolts(t, e, m, st)
		}
	}
	if seen < 100 {
		t.Errorf("only %d members", seen)
	}
}

func compareMemberGains(t *testing.T, e circuit.Edit, s curve.Setting, m *circuit.Member, st *circuit.State) {
	t.Helper()
	list, err := st.Sensitivities(context.Background(), "source", "return", studioHz)
	if err != nil {
		t.Fatal(err)
	}
	for k, a := range m.Gains() {
		db, ok := circuit.Decibels(list[k].Gain)
		if !ok || db < -120 {
			continue // what 1e12 ohm lets through is a matter of rounding
		}
		if a.None || !agree(a.Value, db, 10, 1e-7) {
			t.Errorf("%s at %s, %g Hz: %.9g dB, solved %.9g", e, s, studioHz[k], a.Value, db)
		}
		for n, knob := range studioKnobs {
			want := 0.0
			for _, d := range list[k].By {
				if d.Part == knob.Part && d.Value == knob.Value {
					want = 20 / math.Ln10 * real(d.By/list[k].Gain)
				}
			}
			value, _ := m.Value(knob)
			if math.Abs(a.By[n]-want)*value > 3e-4+1e-4*math.Abs(want)*value {
				t.Errorf("%s at %s, %g Hz: d/d ln %v %.9g, solved %.9g", e, s, studioHz[k], knob, a.By[n]*value, want*value)
			}
		}
	}
}

func compareMemberVolts(t *testing.T, e circuit.Edit, m *circuit.Member, st *circuit.State) {
	t.Helper()
	s := st.Setting()
	for _, point := range []string{"q1.base", "q1.emitter", "q1.collector", "out", "dc.mid", "boost", "63.wiper"} {
		v, err := st.Circuit().Voltmeter(context.Background(), s, circuit.Conditions{}, 10e6, point, "0")
		if err != nil {
			t.Fatal(err)
		}
		a := m.Volts(point, "0", 10e6)
		if a.None || math.Abs(a.Value-v.Volts) > 2e-3+1e-3*math.Abs(v.Volts) {
			t.Errorf("%s at %s: %s reads %.9g V, solved %.9g", e, s, point, a.Value, v.Volts)
			continue
		}
		idle := m.Volts(point, "0", 0)
		by, err := st.VoltsSensitivity(point)
		if err != nil {
			t.Fatal(err)
		}
		for n, knob := range studioKnobs {
			value, _ := m.Value(knob)
			if want := derivative(by, knob); !agree(idle.By[n]*value, want*value, 1, 1e-6) {
				t.Errorf("%s at %s: d(%s)/d ln %v %.6g, solved %.6g", e, s, point, knob, idle.By[n]*value, want*value)
			}
		}
	}
}

func derivative(list []circuit.Derivative, knob circuit.Knob) float64 {
	for _, d := range list {
		if d.Part == knob.Part && d.Value == knob.Value {
			return real(d.By)
		}
	}
	return 0
}

// TestMeterLoads: in a network without devices the meter's effect is exact,
// derivatives included.
func TestMeterLoads(t *testing.T) {
	ctx := context.Background()
	c, err := circuit.New(circuit.VoltageSource{Name: "e", Plus: "rail", Minus: "0", DC: 400},
		circuit.Resistor{Name: "r1", A: "rail", B: "mid", Ohms: 1e6}, circuit.Resistor{Name: "r2", A: "mid", B: "0", Ohms: 2.2e6})
	if err != nil {
		t.Fatal(err)
	}
	knobs := []circuit.Knob{{Part: "r1", Value: "Ohms"}, {Part: "r2", Value: "Ohms"}, {Part: "e", Value: "DC"}}
	f, err := c.Family(ctx, curve.Setting{}, circuit.FamilyPlan{Knobs: knobs})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range []circuit.Edit{circuit.Scale("r1", "Ohms", 1), circuit.Scale("r1", "Ohms", 10), circuit.Series("r2", 0, 1e6), circuit.Open("r2")} {
		edited, err := c.Edited(e)
		if err != nil {
			t.Fatal(err)
		}
		m, err := f.Member(ctx, edited, nil)
		if err != nil {
			t.Fatal(err)
		}
		want, err := edited.Voltmeter(ctx, curve.Setting{}, circuit.Conditions{}, 10e6, "mid", "0")
		if err != nil {
			t.Fatal(err)
		}
		got := m.Volts("mid", "0", 10e6)
		if !agree(got.Value, want.Volts, 0, 1e-9) {
			t.Errorf("%s: %g V, want %g", e, got.Value, want.Volts)
		}
		for n, knob := range knobs {
			value, _ := m.Value(knob)
			if by := derivative(want.By, knob); !agree(got.By[n]*value, by*value, 1, 1e-8) {
				t.Errorf("%s: d/d ln %v %g, want %g", e, knob, got.By[n]*value, by*value)
			}
		}
	}
}

// TestDeadFamilyIsOhms: the same for ohms.
func TestDeadFamilyIsOhms(t *testing.T) {
	ctx, whole := context.Background(), studio(t)
	off := circuit.PowerOff{}
	dead, err := whole.Dead(off)
	if err != nil {
		t.Fatal(err)
	}
	pairs := [][2]string{{"cut", "0"}, {"boost", "cut"}, {"63.wiper", "63.a"}, {"tap", "return"}, {"legs", "0"}, {"400.wiper", "boost"},
		{"q1.base", "0"}, {"out", "q1.emitter"}, {"400.b", "400.a"}, {"rail", "q1.collector"}, {"63.b", "legs"}}
	for _, s := range studioSettings() {
		f, err := dead.Family(ctx, s, circuit.FamilyPlan{Knobs: studioKnobs})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range studioEdits() {
			edited, err := whole.Edited(e)
			if err != nil {
				t.Fatal(err)
			}
			cold, err := edited.Dead(off)
			if err != nil {
				t.Fatal(err)
			}
			m, err := f.Member(ctx, cold, nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range pairs {
				want, err := edited.Ohms(ctx, s, off, p[0], p[1])
				if err != nil {
					t.Fatal(err)
				}
				got := m.Ohms(p[0], p[1])
				relative := 1e-6
				if want.Ohms > 1e9 {
					relative = 1e-2 // a difference of numbers twelve decades smaller
				}
				if got.None != want.Open || !agree(got.Value, want.Ohms, 1e-3, relative) {
					t.Errorf("%s at %s: %v %.9g ohms (%t), solved %.9g (%t)", e, s, p, got.Value, got.None, want.Ohms, want.Open)
				}
				if want.Open {
					continue
				}
				for n, knob := range studioKnobs {
					by := derivative(want.By, knob)
					if value, _ := m.Value(knob); !agree(got.By[n]*value, by*value, want.Ohms, 10*relative) {
						t.Errorf("%s at %s: d%v/d ln %v %.9g, solved %.9g", e, s, p, knob, got.By[n]*value, by*value)
					}
				}
			}
		}
	}
}
