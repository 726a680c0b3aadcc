package circuit_test

import (
	"context"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/known"
	"bandwright/trials"
)

// Short forms for circuits built by hand: points before values.

func source(plus string, dc float64) circuit.VoltageSource {
	return circuit.VoltageSource{Name: "source", Plus: plus, Minus: circuit.Ground, DC: dc}
}

func resistor(name, a, b string, ohms float64) circuit.Resistor {
	return circuit.Resistor{Name: name, A: a, B: b, Ohms: ohms}
}

func capacitor(name, a, b string, farads float64) circuit.Capacitor {
	return circuit.Capacitor{Name: name, A: a, B: b, Farads: farads}
}

func coil(name, a, b string, henries, dcr float64) circuit.Inductor {
	return circuit.Inductor{Name: name, A: a, B: b, Henries: henries, DCR: dcr}
}

func transistor(name, c, b, e string) circuit.Transistor {
	return circuit.Transistor{Name: name, Collector: c, Base: b, Emitter: e, Is: 1e-14, BetaF: 300, BetaR: 4}
}

// footswitch is a switch with one contact, closed at rest.
func footswitch(a, b string) []circuit.Part {
	return []circuit.Part{
		circuit.Switch{Name: "footswitch", Positions: []string{"in", "lifted"}},
		circuit.Contact{Name: "lift", A: a, B: b, Switch: "footswitch", Closed: []string{"in"}},
	}
}

// join puts parts and lists of parts into one list.
func join(lists ...any) []circuit.Part {
	var parts []circuit.Part
	for _, l := range lists {
		switch l := l.(type) {
		case circuit.Part:
			parts = append(parts, l)
		case []circuit.Part:
			parts = append(parts, l...)
		default:
			panic("not a part")
		}
	}
	return parts
}

// built solves parts that must have an answer.
func built(t *testing.T, s curve.Setting, cond circuit.Conditions, parts ...circuit.Part) *circuit.State {
	t.Helper()
	c, err := circuit.New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	st, err := c.Solve(context.Background(), s, cond)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func responded(t *testing.T, st *circuit.State, source, out string, hz ...float64) []complex128 {
	t.Helper()
	r, err := st.Response(context.Background(), source, []string{out}, hz)
	if err != nil {
		t.Fatal(err)
	}
	return r.Gains[0]
}

// wants holds an error to exactly one finding, its place and its args.
func wants(t *testing.T, name string, err error, id finding.ID, place finding.Place, args finding.Args) {
	t.Helper()
	list, _ := finding.From(err)
	if len(list) != 1 || list[0].ID != id || list[0].Level != finding.Error || list[0].Place != place {
		t.Errorf("%s: got %v, want %s at %s", name, err, id, place)
		return
	}
	for key, want := range args {
		if got := list[0].Args[key]; got != want {
			t.Errorf("%s: %s is %v, want %v", name, key, got, want)
		}
	}
}

// TestForm: what New refuses, part by part.
func TestForm(t *testing.T) {
	g, sw := circuit.Ground, circuit.Switch{Name: "s", Positions: []string{"in", "out"}}
	contact := func(name string, closed ...string) circuit.Contact {
		return circuit.Contact{Name: "c", A: "a", B: g, Switch: name, Closed: closed}
	}
	for _, c := range []struct {
		name  string
		parts []circuit.Part
		id    finding.ID
		part  string
		args  finding.Args
	}{
		{"one name twice", join(resistor("R", "a", g, 1), capacitor("R", "a", g, 1)), circuit.IDNameTwice, "R", nil},
		{"no name", join(resistor("", "a", g, 1)), circuit.IDNameless, "", finding.Args{"kind": "Resistor"}},
		{"no point", join(resistor("R", "", g, 1)), circuit.IDNameless, "R", finding.Args{"kind": "Resistor"}},
		{"contact without switch", join(sw, contact("t", "in")), circuit.IDNoSwitch, "c", finding.Args{"switch": "t"}},
		{"contact at no position", join(sw, contact("s", "up")), circuit.IDNoPosition, "c", finding.Args{"switch": "s", "position": "up"}},
		{"switch without positions", join(circuit.Switch{Name: "s"}), circuit.IDBadValue, "s", finding.Args{"property": "Positions"}},
	} {
		_, err := circuit.New(c.parts...)
		wants(t, c.name, err, c.id, finding.Place{Part: c.part}, c.args)
	}
}

// transistorWith, zenerWith and triodeWith are sound parts with one thing changed.
func transistorWith(change func(*circuit.Transistor)) circuit.Part {
	q := transistor("x", "c", "b", circuit.Ground)
	change(&q)
	return q
}

func zenerWith(change func(*circuit.Zener)) circuit.Part {
	z := circuit.Zener{Name: "x", Anode: circuit.Ground, Cathode: "a", Is: 1e-14, Volts: 12, TestAmperes: 5e-3}
	change(&z)
	return z
}

func triodeWith(change func(*circuit.Triode)) circuit.Part {
	v := known.PrintedTriode("a", "b", circuit.Ground)
	v.Name = "x"
	change(&v)
	return v
}

// TestBadValues: each number of each kind, with what it may not be.
func TestBadValues(t *testing.T) {
	g := circuit.Ground
	slider := func(change func(*circuit.Slider)) circuit.Part {
		s := circuit.Slider{Name: "x", Boost: "a", Wiper: "b", Cut: "c", Track: 10e3}
		change(&s)
		return s
	}
	law := func(travel, share []float64) circuit.Part {
		return slider(func(s *circuit.Slider) { s.Law = circuit.Law{Travel: travel, Share: share} })
	}
	opAmp := func(gain, bandwidth, in, out float64) circuit.Part {
		return circuit.OpAmp{Name: "x", Plus: "a", Minus: "b", Out: "c", Gain: gain, GainBandwidth: bandwidth, InputOhms: in, OutputOhms: out}
	}
	nan, inf := math.NaN(), math.Inf(1)
	refuseValues(t, []badValue{
		{"Ohms", resistor("x", "a", g, -1)},
		{"Ohms", resistor("x", "a", g, nan)},
		{"Ohms", resistor("x", "a", g, inf)},
		{"Farads", capacitor("x", "a", g, 0)},
		{"Farads", capacitor("x", "a", g, -1e-9)},
		{"Farads", capacitor("x", "a", g, nan)},
		{"Loss", circuit.Capacitor{Name: "x", A: "a", B: g, Farads: 1e-9, Loss: -1}},
		{"ESR", circuit.Capacitor{Name: "x", A: "a", B: g, Farads: 1e-9, ESR: inf}},
		{"Henries", coil("x", "a", g, 0, 1)},
		{"DCR", coil("x", "a", g, 1, -1)},
		{"CoreOhms", circuit.Inductor{Name: "x", A: "a", B: g, Henries: 1, CoreOhms: -1}},
		{"SelfFarads", circuit.Inductor{Name: "x", A: "a", B: g, Henries: 1, SelfFarads: nan}},
		{"DC", source("a", nan)},
		{"DC", circuit.CurrentSource{Name: "x", From: g, To: "a", DC: inf}},
		{"Gain", opAmp(0, 1e6, 1e6, 10)},
		{"GainBandwidth", opAmp(1e5, -1, 1e6, 10)},
		{"InputOhms", opAmp(1e5, 1e6, -1, 10)},
		{"OutputOhms", opAmp(1e5, 1e6, 1e6, -1)},
		{"Track", slider(func(s *circuit.Slider) { s.Track = 0 })},
		{"BoostEnd", slider(func(s *circuit.Slider) { s.BoostEnd = -1 })},
		{"CutEnd", slider(func(s *circuit.Slider) { s.CutEnd = nan })},
		{"WiperOhms", slider(func(s *circuit.Slider) { s.WiperOhms = -1 })},
		{"Law", law([]float64{0}, []float64{0})},
		{"Law", law([]float64{0, 1}, []float64{0, 0.5, 1})},
		{"Law", law(nil, []float64{0, 1})},
		{"Law", law([]float64{0.1, 1}, []float64{0, 1})},
		{"Law", law([]float64{0, 0.9}, []float64{0, 1})},
		{"Law", law([]float64{0, 1}, []float64{0.1, 1})},
		{"Law", law([]float64{0, 1}, []float64{0, 0.9})},
		{"Law", law([]float64{0, 0.5, 0.5, 1}, []float64{0, 0.2, 0.8, 1})},
		{"Law", law([]float64{0, 0.3, 0.6, 1}, []float64{0, 0.5, 0.4, 1})},
		{"Law", law([]float64{0, nan, 1}, []float64{0, 0.5, 1})},
		{"OnOhms", circuit.Contact{Name: "x", A: "a", B: g, Switch: "s", OnOhms: -1}},
		{"OffOhms", circuit.Contact{Name: "x", A: "a", B: g, Switch: "s", OffOhms: nan}},
	})
}

// TestBadValuesOfDevices: the same of what bends.
func TestBadValuesOfDevices(t *testing.T) {
	g, nan, inf := circuit.Ground, math.NaN(), math.Inf(1)
	refuseValues(t, []badValue{
		{"Is", circuit.Diode{Name: "x", Anode: "a", Cathode: g}},
		{"N", circuit.Diode{Name: "x", Anode: "a", Cathode: g, Is: 1e-14, N: -1}},
		{"Is", zenerWith(func(z *circuit.Zener) { z.Is = 0 })},
		{"N", zenerWith(func(z *circuit.Zener) { z.N = -1 })},
		{"Volts", zenerWith(func(z *circuit.Zener) { z.Volts = 0 })},
		{"TestAmperes", zenerWith(func(z *circuit.Zener) { z.TestAmperes = nan })},
		{"TestAmperes", zenerWith(func(z *circuit.Zener) { z.Is = z.TestAmperes })},
		{"SlopeOhms", zenerWith(func(z *circuit.Zener) { z.SlopeOhms = -1 })},
		{"Mu", triodeWith(func(v *circuit.Triode) { v.Mu = 0 })},
		{"Exponent", triodeWith(func(v *circuit.Triode) { v.Exponent = 1 })},
		{"KG1", triodeWith(func(v *circuit.Triode) { v.KG1 = -1 })},
		{"KP", triodeWith(func(v *circuit.Triode) { v.KP = 0 })},
		{"KVB", triodeWith(func(v *circuit.Triode) { v.KVB = inf })},
		{"GridIs", triodeWith(func(v *circuit.Triode) { v.GridIs = -1 })},
		{"GridN", triodeWith(func(v *circuit.Triode) { v.GridN = -1 })},
		{"GridCathodeFarads", triodeWith(func(v *circuit.Triode) { v.GridCathodeFarads = -1 })},
		{"GridPlateFarads", triodeWith(func(v *circuit.Triode) { v.GridPlateFarads = nan })},
		{"PlateCathodeFarads", triodeWith(func(v *circuit.Triode) { v.PlateCathodeFarads = -1 })},
		{"BetaF", transistorWith(func(q *circuit.Transistor) { q.BetaF = 0 })},
		{"BetaR", transistorWith(func(q *circuit.Transistor) { q.BetaR = -1 })},
		{"EarlyVolts", transistorWith(func(q *circuit.Transistor) { q.EarlyVolts = -80 })},
		{"BaseEmitterFarads", transistorWith(func(q *circuit.Transistor) { q.BaseEmitterFarads = nan })},
		{"BaseCollectorFarads", transistorWith(func(q *circuit.Transistor) { q.BaseCollectorFarads = -1 })},
	})
}

// badValue is a part with one value that it may not have.
type badValue struct {
	property string
	part     circuit.Part
}

func refuseValues(t *testing.T, list []badValue) {
	t.Helper()
	for _, c := range list {
		_, err := circuit.New(c.part, circuit.Switch{Name: "s", Positions: []string{"in"}})
		wants(t, c.property, err, circuit.IDBadValue, finding.Place{Part: c.part.PartName()}, finding.Args{"property": c.property})
	}
}

// All that is wrong is named at once, not only the first.
func TestEveryMistakeIsNamed(t *testing.T) {
	_, err := circuit.New(resistor("R", "a", "0", -1), capacitor("R", "a", "0", 0), resistor("", "a", "0", 1),
		circuit.Contact{Name: "c", A: "a", B: "0", Switch: "none"})
	if list, _ := finding.From(err); len(list) != 5 {
		t.Errorf("%d findings: %v", len(list), err)
	}
}

// TestBadSettings: what a setting names must be there, and on the travel.
func TestBadSettings(t *testing.T) {
	c, err := circuit.New(join(source("a", 0), resistor("R", "a", "b", 100), footswitch("b", "0"),
		circuit.Slider{Name: "63", Boost: "a", Wiper: "w", Cut: "0", Track: 10e3})...)
	if err != nil {
		t.Fatal(err)
	}
	var flat curve.Setting
	for _, k := range []struct {
		name string
		s    curve.Setting
		id   finding.ID
		args finding.Args
	}{
		{"no such slider", flat.WithSlider("64", 0.5), circuit.IDNoSlider, finding.Args{"slider": "64"}},
		{"a part that is no slider", flat.WithSlider("R", 0.5), circuit.IDNoSlider, finding.Args{"slider": "R"}},
		{"above the travel", flat.WithSlider("63", 1.0000001), circuit.IDTravel, finding.Args{"slider": "63", "position": "1.0000001"}},
		{"below the travel", flat.WithSlider("63", -2), circuit.IDTravel, finding.Args{"slider": "63", "position": "-2"}},
		{"no number", flat.WithSlider("63", math.NaN()), circuit.IDTravel, finding.Args{"slider": "63", "position": "NaN"}},
		{"no such switch", flat.WithSwitch("panel", "in"), circuit.IDNoSwitch, finding.Args{"switch": "panel"}},
		{"no such position", flat.WithSwitch("footswitch", "up"), circuit.IDNoPosition, finding.Args{"switch": "footswitch", "position": "up"}},
	} {
		_, err := c.Solve(context.Background(), k.s, circuit.Conditions{})
		wants(t, k.name, err, k.id, finding.Place{Setting: k.s.String()}, k.args)
	}
}

// TestStructure: how a circuit may not hang together, and near by what is
// sound. id "" means it must solve.
func TestStructure(t *testing.T) {
	g := circuit.Ground
	wire := func(name, a, b string) circuit.Part { return circuit.Wire{Name: name, A: a, B: b} }
	second := func(plus string) circuit.Part { return circuit.VoltageSource{Name: "second", Plus: plus, Minus: g} }
	stage := join(source("in", 0), circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: g, DC: 24},
		resistor("R.c", "rail", "c", 10e3), resistor("R.e", "e", g, 1e3), transistor("q2", "c", "q2.base", "e"),
		capacitor("C.base", "in", "q2.base", 22e-6))
	strapped := join(source("a", 0), resistor("R", "a", "bus", 100), resistor("load", "cut", g, 100),
		circuit.Slider{Name: "63", Boost: "bus", Wiper: "w", Cut: "cut", Track: 10e3})
	amp := circuit.OpAmp{Name: "driver", Plus: "in", Minus: "m", Out: "out", Ideal: true}
	current := func(dc float64) circuit.Part { return circuit.CurrentSource{Name: "I", From: g, To: "a", DC: dc} }
	up := curve.Setting{}.WithSlider("63", 1)
	for _, c := range []struct {
		name    string
		parts   []circuit.Part
		setting curve.Setting
		keep    []string
		id      finding.ID
		place   finding.Place
	}{
		{"base on a coupling capacitor only", stage, curve.Setting{}, nil, circuit.IDNoPath, finding.Place{Point: "q2.base"}},
		{"base with a divider", join(stage, resistor("R.b", "q2.base", g, 1e5)), curve.Setting{}, nil, "", finding.Place{}},
		{"base on a contact that is open", join(stage, circuit.Switch{Name: "footswitch", Positions: []string{"out", "in"}},
			circuit.Contact{Name: "k", A: "q2.base", B: "e", Switch: "footswitch", Closed: []string{"in"}}), curve.Setting{}, nil, "", finding.Place{}},
		{"an island of its own", join(source("a", 0), resistor("R", "a", g, 1), resistor("R2", "x", "y", 1)),
			curve.Setting{}, nil, circuit.IDNoPath, finding.Place{Point: "x"}},
		{"a point on an open contact", join(source("a", 0), resistor("R", "a", g, 1), footswitch("x", "a"), resistor("R2", "x", "y", 1)),
			curve.Setting{}.WithSwitch("footswitch", "lifted"), nil, "", finding.Place{}},
		{"a point on a contact that never closes", join(source("a", 0), resistor("R", "a", g, 1), resistor("R2", "x", "y", 1),
			circuit.Switch{Name: "footswitch", Positions: []string{"in"}}, circuit.Contact{Name: "k", A: "x", B: "a", Switch: "footswitch"}),
			curve.Setting{}, nil, circuit.IDNoPath, finding.Place{Point: "x"}},

		{"two sources in parallel", join(source("a", 1), second("a")), curve.Setting{}, nil, circuit.IDZeroLoop, finding.Place{Part: "second"}},
		{"two sources over a wire", join(source("a", 1), second("b"), wire("W", "a", "b")), curve.Setting{}, nil, circuit.IDZeroLoop, finding.Place{Part: "second"}},
		{"two sources over 0 ohm", join(source("a", 1), second("b"), resistor("R", "a", "b", 0)), curve.Setting{}, nil, circuit.IDZeroLoop, finding.Place{Part: "R"}},
		{"two sources over 1 ohm", join(source("a", 1), second("b"), resistor("R", "a", "b", 1)), curve.Setting{}, nil, "", finding.Place{}},
		{"0 ohm twice", join(source("a", 1), resistor("R", "b", g, 1), resistor("Z1", "a", "b", 0), resistor("Z2", "a", "b", 0)),
			curve.Setting{}, nil, circuit.IDZeroLoop, finding.Place{Part: "Z2"}},
		{"a source shorted by a contact", join(source("a", 1), footswitch("a", g)), curve.Setting{}, nil, circuit.IDZeroLoop, finding.Place{Part: "source"}},
		{"the same contact open", join(source("a", 1), footswitch("a", g)), curve.Setting{}.WithSwitch("footswitch", "lifted"), nil, "", finding.Place{}},
		{"a kept contact shorts a source", join(source("a", 1), footswitch("a", g)), curve.Setting{}, []string{"lift"}, circuit.IDZeroLoop, finding.Place{Part: "lift"}},
		{"slider at its end, wiper strapped", join(strapped, wire("strap", "w", "bus")), up, nil, circuit.IDZeroLoop, finding.Place{Part: "63"}},
		{"slider centred, wiper strapped", join(strapped, wire("strap", "w", "bus")), curve.Setting{}, nil, "", finding.Place{}},
		{"slider at its end, wiper on a resistor", join(strapped, resistor("strap", "w", "bus", 10)), up, nil, "", finding.Place{}},
		{"wires in parallel, both kept", join(source("a", 1), resistor("R", "b", g, 1), wire("W1", "a", "b"), wire("W2", "a", "b")),
			curve.Setting{}, []string{"W1", "W2"}, circuit.IDZeroLoop, finding.Place{Part: "W2"}},
		{"wires in parallel, one kept", join(source("a", 1), resistor("R", "b", g, 1), wire("W1", "a", "b"), wire("W2", "a", "b")),
			curve.Setting{}, []string{"W1"}, circuit.IDZeroLoop, finding.Place{Part: "W1"}},
		{"wires in parallel", join(source("a", 1), resistor("R", "b", g, 1), wire("W1", "a", "b"), wire("W2", "a", "b")), curve.Setting{}, nil, "", finding.Place{}},

		{"coils in parallel", join(source("a", 1), resistor("R", "a", "b", 1), coil("L1", "b", g, 1, 0), coil("L2", "b", g, 1, 0)),
			curve.Setting{}, nil, circuit.IDCoilLoop, finding.Place{Part: "L2"}},
		{"coils in parallel, one with DCR", join(source("a", 1), resistor("R", "a", "b", 1), coil("L1", "b", g, 1, 0), coil("L2", "b", g, 1, 0.1)),
			curve.Setting{}, nil, "", finding.Place{}},
		{"coil across a source", join(source("a", 1), coil("L", "a", g, 1, 0)), curve.Setting{}, nil, circuit.IDCoilLoop, finding.Place{Part: "L"}},
		{"coil with DCR across a source", join(source("a", 1), coil("L", "a", g, 1, 5)), curve.Setting{}, nil, "", finding.Place{}},

		{"op-amp without feedback", join(source("in", 0), resistor("R1", "m", g, 1e3), resistor("R2", "out", g, 1e3), amp),
			curve.Setting{}, nil, circuit.IDNoFeedback, finding.Place{Part: "driver"}},
		{"op-amp with feedback", join(source("in", 0), resistor("R1", "m", g, 1e3), resistor("R2", "out", "m", 1e3), amp), curve.Setting{}, nil, "", finding.Place{}},

		{"current into an island", join(current(1e-3), capacitor("C", "a", g, 1e-6)), curve.Setting{}, nil, circuit.IDForced, finding.Place{Part: "I"}},
		{"no direct current into an island", join(current(0), capacitor("C", "a", g, 1e-6)), curve.Setting{}, nil, "", finding.Place{}},
	} {
		made, err := circuit.New(c.parts...)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		_, err = made.Solve(context.Background(), c.setting, circuit.Conditions{Keep: c.keep})
		if c.id == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		c.place.Setting = c.setting.String()
		wants(t, c.name, err, c.id, c.place, nil)
	}
}

// Two outputs that both decide one point, and an ideal op-amp whose feedback
// decides nothing, have no single answer; a part or point of the ring is named.
func TestSingular(t *testing.T) {
	follower := func(name string) circuit.Part {
		return circuit.OpAmp{Name: name, Plus: "in", Minus: "out", Out: "out", Ideal: true}
	}
	c, err := circuit.New(source("in", 1), resistor("load", "out", "0", 1e3), follower("one"), follower("two"))
	if err != nil {
		t.Fatal(err)
	}
	_, err = c.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
	list, _ := finding.From(err)
	if len(list) != 1 || list[0].ID != circuit.IDSingular || list[0].Place.Part == "" && list[0].Place.Point == "" {
		t.Errorf("two outputs at one point: %v", err)
	}
}

// TestFinite: whatever the setting, sliders at their ends and every position
// of every switch, no answer is NaN or infinite.
func TestFinite(t *testing.T) {
	t.Parallel()
	from, asked := trials.Seed(t, seed+11), 0
	for trial := range uint64(trials.Count(20)) {
		rng := rand.New(rand.NewPCG(from, trial))
		points, few := 3+rng.IntN(15), 1+rng.IntN(3)
		for _, s := range []known.Sample{
			known.RandomPassive(rng, points), known.RandomLinear(rng, points, few), known.RandomActive(rng, points, few),
			known.RandomCoupled(rng, points), known.RandomValves(rng, points, few),
		} {
			for _, setting := range extremes(s) {
				s.Setting = setting
				finite(t, trial, s)
				asked++
			}
		}
	}
	t.Logf("%d settings", asked)
}

// extremes lists settings: all sliders at one end, the other, and the middle,
// with every position of each switch in turn.
func extremes(s known.Sample) []curve.Setting {
	settings := []curve.Setting{{}, {}, {}}
	for _, p := range s.Parts {
		switch p := p.(type) {
		case circuit.Slider:
			for i := range settings {
				settings[i] = settings[i].WithSlider(p.Name, float64(i%3-1))
			}
		case circuit.Switch:
			var more []curve.Setting
			for _, position := range p.Positions {
				for _, was := range settings {
					more = append(more, was.WithSwitch(p.Name, position))
				}
			}
			settings = more
		}
	}
	return settings
}

func finite(t *testing.T, trial uint64, s known.Sample) {
	t.Helper()
	ctx, st := context.Background(), drawn(t, s)
	bad := func(x complex128) bool { return cmplx.IsNaN(x) || cmplx.IsInf(x) }
	for _, point := range st.Circuit().Points() {
		if v, _ := st.Volts(point); bad(complex(v, 0)) {
			t.Errorf("trial %d at %s: %s has %v V", trial, s.Setting, point, v)
		}
	}
	for _, p := range s.Parts {
		if i, _ := st.Current(p.PartName()); bad(complex(i, 0)) {
			t.Errorf("trial %d at %s: %s carries %v A", trial, s.Setting, p.PartName(), i)
		}
	}
	r, err := st.Response(ctx, s.Source, s.Outs, audio)
	if err != nil {
		t.Fatal(err)
	}
	for _, gains := range r.Gains {
		for k, gain := range gains {
			if bad(gain) {
				t.Errorf("trial %d at %s: gain %v at %g Hz", trial, s.Setting, gain, audio[k])
			}
		}
	}
	if bad(complex(r.Raw, r.Residual)) {
		t.Errorf("trial %d at %s: residuals %g, %g", trial, s.Setting, r.Raw, r.Residual)
	}
	noise, err := st.Noise(ctx, s.Outs[0], audio)
	if err != nil {
		t.Fatal(err)
	}
	for k, power := range noise.Total {
		if bad(complex(power, 0)) || power < 0 {
			t.Errorf("trial %d at %s: noise %v at %g Hz", trial, s.Setting, power, audio[k])
		}
	}
	by, err := st.Sensitivity(s.Source, s.Outs[0], 700)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range by.By {
		if bad(d.By) {
			t.Errorf("trial %d at %s: d/d(%s.%s) %v", trial, s.Setting, d.Part, d.Value, d.By)
		}
	}
}

// A point that one leg alone reaches is said, once, with its part; ground and
// points of two legs are not.
func TestLonePoint(t *testing.T) {
	c, err := circuit.New(
		circuit.VoltageSource{Name: "V", Plus: "a", Minus: circuit.Ground, DC: 1},
		circuit.Resistor{Name: "R", A: "a", B: "b", Ohms: 1000},
		circuit.Resistor{Name: "S", A: "b", B: circuit.Ground, Ohms: 1000},
		circuit.Capacitor{Name: "C", A: "bost", B: "b", Farads: 1e-9},
	)
	if err != nil {
		t.Fatal(err)
	}
	found := c.Lone()
	if len(found) != 1 || found[0].ID != circuit.IDLonePoint || found[0].Place.Point != "bost" || found[0].Place.Part != "C" {
		t.Errorf("%v", found)
	}
}
