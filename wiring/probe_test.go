package wiring

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/reading"
	"bandwright/trials"
)

const probeSeed = 20260422

// TestSharesMakeTheWhole: the parts of any network of resistors share all of a
// reading among them, as Euler's theorem has it, and no part has more current
// than the meter.
func TestSharesMakeTheWhole(t *testing.T) {
	from := trials.Seed(t, probeSeed)
	read := 0
	for trial := range uint64(trials.Count(40)) {
		s := known.RandomPassive(rand.New(rand.NewPCG(from, trial)), 3+int(trial%12))
		c, err := circuit.New(s.Parts...)
		if err != nil {
			t.Fatal(err)
		}
		p := Probe{Red: s.Outs[0], Black: "0", Setting: s.Setting}
		list, err := Through(context.Background(), c, circuit.PowerOff{}, p)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, k := range list {
			sum += k.Ohms
			if k.Current > 1+1e-6 {
				t.Errorf("trial %d: %s has %v of the current", trial, k.Part, k.Current)
			}
		}
		if len(list) == 0 {
			continue
		}
		if read++; sum < 1-leastShare*float64(len(s.Parts))-1e-6 || sum > 1+1e-6 {
			t.Errorf("trial %d: shares make %v: %v", trial, sum, list)
		}
	}
	t.Logf("%d readings", read)
	if read == 0 {
		t.Error("nothing was read")
	}
}

// TestParallelPaths: 1 kΩ beside 3 kΩ, worked by hand.
func TestParallelPaths(t *testing.T) {
	c, err := circuit.New(circuit.Resistor{Name: "one", A: "a", B: "0", Ohms: 1e3}, circuit.Resistor{Name: "three", A: "a", B: "0", Ohms: 3e3})
	if err != nil {
		t.Fatal(err)
	}
	list, err := Through(context.Background(), c, circuit.PowerOff{}, Probe{Red: "a", Black: "0"})
	want := []Share{{"one", 0.75, 0.75}, {"three", 0.25, 0.25}} // r·i²/R: 1000·0.75²/750, 3000·0.25²/750
	close := func(a, b Share) bool {
		return a.Part == b.Part && math.Abs(a.Ohms-b.Ohms) < 1e-9 && math.Abs(a.Current-b.Current) < 1e-9
	}
	if err != nil || !slices.EqualFunc(list, want, close) {
		t.Errorf("%v, %v", list, err)
	}
}

// TestSettles: a capacitor across the resistor that is read charges with R·C; one
// that is charged through the meter's own current from open to its end.
func TestSettles(t *testing.T) {
	meter := reading.HandMeter()
	for _, k := range []struct {
		name string
		list []circuit.Part
		want float64
	}{
		{"none", nil, 0},
		{"across it", []circuit.Part{circuit.Capacitor{Name: "c", A: "a", B: "0", Farads: 1e-6}}, math.Log(100) * 1e-6 * 100e3},
		{"too small to be seen", []circuit.Part{circuit.Resistor{Name: "s", A: "a", B: "b", Ohms: 1}, circuit.Resistor{Name: "far", A: "b", B: "c", Ohms: 1e9},
			circuit.Capacitor{Name: "c", A: "c", B: "0", Farads: 1e-6}, circuit.Resistor{Name: "end", A: "c", B: "0", Ohms: 1}}, 0},
	} {
		c, err := circuit.New(append([]circuit.Part{circuit.Resistor{Name: "r", A: "a", B: "0", Ohms: 100e3}}, k.list...)...)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Settles(c, circuit.PowerOff{}, meter, Probe{Red: "a", Black: "0", Setting: curve.Setting{}})
		if err != nil || math.Abs(got-k.want) > 1e-6*k.want+1e-12 {
			t.Errorf("%s: %v s, want %v, %v", k.name, got, k.want, err)
		}
	}
	c, err := circuit.New(circuit.Resistor{Name: "r", A: "a", B: "0", Ohms: 1e3}, circuit.Resistor{Name: "q", A: "b", B: "c", Ohms: 1e3},
		circuit.Capacitor{Name: "c", A: "a", B: "b", Farads: 1e-6}, circuit.Capacitor{Name: "d", A: "0", B: "c", Farads: 2e-6})
	if err != nil {
		t.Fatal(err)
	}
	if got, err := Settles(c, circuit.PowerOff{}, meter, Probe{Red: "a", Black: "b"}); err != nil || math.Abs(got-3e-6*meter.MostOhms) > 1e-9 {
		t.Errorf("open: %v s, want %v, %v", got, 3e-6*meter.MostOhms, err)
	}
}

// TestReadingsFit: a reading taken of each faulty circuit fits that fault, and
// one of the sound circuit fits none of those that the line shows.
func TestReadingsFit(t *testing.T) {
	q := benchQuestion(t, Complete)
	list, err := Quick(context.Background(), q, 3)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range list.Lines {
		if fit, err := q.Fits(context.Background(), l.Probe, l.Ohms.Nominal, l.Open, l.Shows); err != nil || len(fit) > 0 {
			t.Errorf("%s to %s: sound, and fits %v, %v", l.Red, l.Black, fit, err)
		}
		lines, err := q.Expect(context.Background(), l.Probe)
		if err != nil || lines[0].Open != l.Open || lines[0].Ohms != l.Ohms {
			t.Errorf("%v, %v, want %v", lines, err, l)
		}
		for _, f := range l.Shows {
			faulty, err := q.Circuit.Edited(q.Faults[f].Edits...)
			if err != nil {
				t.Fatal(err)
			}
			r, err := faulty.Ohms(context.Background(), l.Setting, circuit.PowerOff{}, l.Red, l.Black)
			if err != nil {
				continue // the point is gone with the fault
			}
			open := r.Open || r.Ohms > q.Meter.MostOhms
			if fit, err := q.Fits(context.Background(), l.Probe, r.Ohms, open, []int{f}); err != nil || len(fit) != 1 {
				t.Errorf("%s to %s with %s %s reads %v (open %v) and does not fit: %v", l.Red, l.Black, q.Faults[f].Slip, q.Faults[f].Label, r.Ohms, open, err)
			}
		}
	}
}

// TestStrapsLinksAndScreens: the slips that need to know the whole harness.
func TestStrapsLinksAndScreens(t *testing.T) {
	h := benchHarness()
	h.BoardGround = "board.0"
	h.Runs[0].Kind, h.Runs[0].Screen = Screened, Screen{AtFrom: "0"}
	h.Links[0].State = Made
	at := func(as As, slip Slip, label string) []circuit.Edit {
		for _, f := range h.Faults(as) {
			if f.Slip == slip && f.Label == label {
				return f.Edits
			}
		}
		return nil
	}
	if got := at(Complete, StrapSide, "run.round"); !slices.EqualFunc(got, []circuit.Edit{circuit.Move("run.round", 0, "panel.a1"), circuit.Move("run.round", 1, "panel.b1")}, same) {
		t.Errorf("strap: %v", got)
	}
	if got := at(Complete, ScreenBoth, "run.from follower"); !slices.EqualFunc(got, []circuit.Edit{circuit.Bridge("0", "board.0", screenOhms)}, same) {
		t.Errorf("screen: %v", got)
	}
	if got := at(AsMade, LinkGone, "link.follower to inverter"); !slices.EqualFunc(got, []circuit.Edit{circuit.Open("link.follower to inverter")}, same) {
		t.Errorf("link: %v", got)
	}
	if at(Complete, LinkGone, "link.follower to inverter") != nil || at(Complete, LinkLeft, "link.follower to inverter") == nil {
		t.Error("the finished harness has the link still")
	}
}

func same(a, b circuit.Edit) bool { return a.String() == b.String() }

// TestJoinsAndRoom: what switches and plugs join, and where a conductor may as
// well end.
func TestJoinsAndRoom(t *testing.T) {
	h := benchHarness()
	if got := h.Switches[0].Joins("out"); len(got) != 2 || got[0] != [2]string{"panel.a2", "panel.a3"} {
		t.Errorf("%v", got)
	}
	if got := h.Jacks[0].Plugs(); !slices.Equal(got, []Plug{TwoCircuit, NoPlug, MonoPlug}) {
		t.Errorf("%v", got)
	}
	if got := h.Jacks[0].Joins(MonoPlug); !slices.Contains(got, [2]string{"jack.ring", "jack.sleeve"}) || len(h.Jacks[0].Joins(NoPlug)) != 0 {
		t.Errorf("%v", got)
	}
	if !h.Same("panel.a3", "panel.b3") || h.Same("panel.a3", "panel.b2") || !h.Same("0", "board.0") || h.Limit() != 4 {
		t.Error("straps and returns")
	}
}
