package equaliser

import (
	"context"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
)

// wiredHarness joins board and amplifier by 0-ohm runs through a switch of two poles
// that grounds the board's input when out.
func wiredHarness(onOhms float64, railed bool) []circuit.Part {
	run := func(name, a, b string) circuit.Part { return circuit.Resistor{Name: "run." + name, A: a, B: b} }
	contact := func(name, a, b, closed string) circuit.Part {
		return circuit.Contact{Name: name, A: a, B: b, Switch: PanelSwitch, Closed: []string{closed}, OnOhms: onOhms}
	}
	parts := []circuit.Part{
		circuit.Switch{Name: PanelSwitch, Positions: []string{"in", "out"}},
		run("tap", TapPoint, "a1"), contact("c1", "a1", "a2", "in"), contact("c2", "a2", "a3", "out"), run("in", "a2", InputPoint),
		run("ground", "a3", "board.0"), run("round", "a1", "b3"),
		run("out", BoardOutput, "b1"), contact("c3", "b1", "b2", "in"), contact("c4", "b2", "b3", "out"), run("back", "b2", OutputPoint),
		run("return", "board.0", circuit.Ground),
	}
	if railed {
		parts = append(parts, run("rail", "amp.rail", "rail"))
	}
	return parts
}

func wiredPair(drawing string) (plain, wired Spec) {
	plain = specOf(randomCell(rand.New(rand.NewPCG(5, 1)), 4))
	plain.Drawing, plain.SourceOhms, plain.LoadFarads, plain.LevelVolts = drawing, 1000, 120e-12, 0.5
	plain.Feed, plain.Feedback = 1200, 2200
	plain.Lift = &Lift{OnOhms: 0.1, LeadFarads: 600e-12}
	wired = plain
	plain.Bypass = &Bypass{OnOhms: 0.05, GroundsInput: true}
	if drawing == DrawingIdeal { // left open at its input it has a bleed
		plain.Extra = []circuit.Part{circuit.Resistor{Name: "R.in", A: InputPoint, B: circuit.Ground, Ohms: 1e6}}
	}
	wired.Wired = &Wired{BoardGround: "board.0", RailLug: "amp.rail"}
	wired.Extra = wiredHarness(0.05, drawing == DrawingTwoTransistor)
	return plain, wired
}

// Left to a harness without ohms, every drawing does what it does when it is
// joined by itself: at every setting, bands and headroom too.
func TestWiredIsTheSame(t *testing.T) {
	for _, drawing := range Drawings() {
		a, b := wiredPair(drawing)
		plain, wired := mustBuild(t, a), mustBuild(t, b)
		for _, named := range plain.Family() {
			want, got := gains(t, mustSolve(t, plain, named.Setting), audio(41)), gains(t, mustSolve(t, wired, named.Setting), audio(41))
			for i := range want {
				if cmplx.Abs(got[i]-want[i]) > 1e-8*cmplx.Abs(want[i]) {
					t.Fatalf("%s, %s, number %d: %v, want %v", drawing, named.Name, i, got[i], want[i])
				}
			}
		}
		if len(plain.Family()) != len(wired.Family()) {
			t.Errorf("%s: %d settings, %d wired", drawing, len(plain.Family()), len(wired.Family()))
		}
		sameFigures(t, plain, wired)
	}
}

func sameFigures(t *testing.T, plain, wired *Equaliser) {
	t.Helper()
	ctx := context.Background()
	want, _, err := plain.Features(ctx, nil, plain.Flat())
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := wired.Features(ctx, nil, wired.Flat())
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if !near(got[i].CentreHz, want[i].CentreHz, 1e-7) || !near(got[i].BoostDB, want[i].BoostDB, 1e-7) {
			t.Errorf("%s: %g Hz %g dB, want %g Hz %g dB", want[i].Band, got[i].CentreHz, got[i].BoostDB, want[i].CentreHz, want[i].BoostDB)
		}
	}
	before, _, err := plain.Headroom(ctx, nil, want)
	if err != nil {
		t.Fatal(err)
	}
	after, _, err := wired.Headroom(ctx, nil, got)
	if err != nil {
		t.Fatal(err)
	}
	for i := range before {
		if (before[i].UpVolts == nil) != (after[i].UpVolts == nil) || before[i].UpVolts != nil && !near(*after[i].UpVolts, *before[i].UpVolts, 1e-7) {
			t.Errorf("%s: headroom %v, want %v", before[i].Band, after[i].UpVolts, before[i].UpVolts)
		}
	}
}

// A run that is missing has its consequences: without its 0 V the board is no
// amplifier, without its rail it is dead, without its output nothing comes.
func TestWiredRunMissing(t *testing.T) {
	_, spec := wiredPair(DrawingTwoTransistor)
	whole := mustBuild(t, spec)
	want := gains(t, mustSolve(t, whole, whole.AllUp()), audio(41))
	for _, run := range []string{"run.return", "run.rail", "run.out", "run.in", "run.tap", "run.back"} {
		c, err := whole.Circuit().Edited(circuit.Open(run))
		if err != nil {
			t.Fatal(err)
		}
		without, most := whole.With(c), 0.0
		for i, got := range gains(t, mustSolve(t, without, without.AllUp()), audio(41)) {
			most = max(most, math.Abs(20*math.Log10(cmplx.Abs(got)/cmplx.Abs(want[i]))))
		}
		if !(most > 3) {
			t.Errorf("%s missing moves the gain by only %.2f dB", run, most)
		}
	}
}

// Every slip is an edit that the circuit takes, its label its own, and all
// together make 1.
func TestSlips(t *testing.T) {
	_, spec := wiredPair(DrawingTwoTransistor)
	e, sum, seen := mustBuild(t, spec), 0.0, map[string]bool{}
	for _, s := range e.Slips() {
		sum += s.Prior
		if seen[string(s.Kind)+s.Label] {
			t.Errorf("%s %s twice", s.Kind, s.Label)
		}
		seen[string(s.Kind)+s.Label] = true
		if _, err := e.Circuit().Edited(s.Edits...); err != nil {
			t.Errorf("%s %s: %v", s.Kind, s.Label, err)
		}
	}
	if len(seen) != 4*12+4 || math.Abs(sum-1) > 1e-12 {
		t.Errorf("%d slips of %v", len(seen), sum)
	}
}
