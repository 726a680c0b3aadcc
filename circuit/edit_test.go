package circuit_test

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// bench is a small circuit with one part of every kind that can be edited.
func benchParts() []circuit.Part {
	return []circuit.Part{
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.VoltageSource{Name: "source", Plus: "generator", Minus: "0"},
		circuit.Wire{Name: "run", A: "generator", B: "in"},
		circuit.Capacitor{Name: "c", A: "in", B: "base", Farads: 1e-6},
		circuit.Resistor{Name: "r1", A: "rail", B: "base", Ohms: 100e3},
		circuit.Resistor{Name: "r2", A: "base", B: "0", Ohms: 47e3},
		circuit.Resistor{Name: "rc", A: "rail", B: "out", Ohms: 2200},
		circuit.Resistor{Name: "re", A: "emitter", B: "0", Ohms: 1000},
		circuit.Transistor{Name: "q", Collector: "out", Base: "base", Emitter: "emitter", Is: 1e-14, BetaF: 200, BetaR: 3},
		circuit.Slider{Name: "63", Boost: "out", Wiper: "wiper", Cut: "in", Track: 10e3, BoostEnd: 2, CutEnd: 9},
		circuit.Inductor{Name: "coil", A: "wiper", B: "x", Henries: 0.4, DCR: 80},
		circuit.Capacitor{Name: "leg", A: "x", B: "0", Farads: 390e-9},
		circuit.Diode{Name: "d", Anode: "emitter", Cathode: "out", Is: 1e-12},
	}
}

// TestEditsAreTheirDefinition: each edit gives the parts that a hand would
// write, compared one by one, and leaves the circuit it came from alone.
func TestEditsAreTheirDefinition(t *testing.T) {
	resistor := func(name, a, b string, ohms float64) circuit.Part {
		return circuit.Resistor{Name: name, A: a, B: b, Ohms: ohms}
	}
	q := circuit.Transistor{Name: "q", Collector: "out", Base: "base", Emitter: "emitter", Is: 1e-14, BetaF: 200, BetaR: 3}
	swapped := func(c, b, e string) circuit.Transistor {
		p := q
		p.Collector, p.Base, p.Emitter = c, b, e
		return p
	}
	for _, c := range []struct {
		edit circuit.Edit
		want []circuit.Part // in place of those of the same name, or beside
	}{
		{circuit.Open("r1"), []circuit.Part{resistor("r1", "rail", "base", circuit.OpenOhms)}},
		{circuit.Open("run"), []circuit.Part{resistor("run", "generator", "in", circuit.OpenOhms)}},
		{circuit.Open("c"), []circuit.Part{resistor("c", "in", "base", circuit.OpenOhms)}},
		{circuit.Open("coil"), []circuit.Part{resistor("coil|0", "wiper", "coil|0", circuit.OpenOhms),
			circuit.Inductor{Name: "coil", A: "coil|0", B: "x", Henries: 0.4, DCR: 80}}},
		{circuit.OpenLeg("q", 1), []circuit.Part{resistor("q|1", "base", "q|1", circuit.OpenOhms), swapped("out", "q|1", "emitter")}},
		{circuit.Short("leg", 0, 1, 0.05), []circuit.Part{resistor("leg|short", "x", "0", 0.05)}},
		{circuit.Short("q", 0, 2, 0), []circuit.Part{resistor("q|short", "out", "emitter", 0)}},
		{circuit.Scale("r2", "Ohms", 0.1), []circuit.Part{resistor("r2", "base", "0", 4700)}},
		{circuit.Set("coil", "DCR", 0), []circuit.Part{circuit.Inductor{Name: "coil", A: "wiper", B: "x", Henries: 0.4}}},
		{circuit.Swap("c", "leg"), []circuit.Part{circuit.Capacitor{Name: "c", A: "x", B: "0", Farads: 1e-6},
			circuit.Capacitor{Name: "leg", A: "in", B: "base", Farads: 390e-9}}},
		{circuit.Reverse("63"), []circuit.Part{circuit.Slider{Name: "63", Boost: "in", Wiper: "wiper", Cut: "out", Track: 10e3, BoostEnd: 2, CutEnd: 9}}},
		{circuit.Reverse("d"), []circuit.Part{circuit.Diode{Name: "d", Anode: "out", Cathode: "emitter", Is: 1e-12}}},
		{circuit.ReverseElectrolytic("c", 1500), []circuit.Part{circuit.Capacitor{Name: "c", A: "base", B: "in", Farads: 1e-6},
			resistor("c|leak", "base", "in", 1500)}},
		{circuit.Permute("q", 2, 1, 0), []circuit.Part{swapped("emitter", "base", "out")}},
		{circuit.Permute("q", 1, 2, 0), []circuit.Part{swapped("base", "emitter", "out")}},
		{circuit.Move("run", 1, "base"), []circuit.Part{circuit.Wire{Name: "run", A: "generator", B: "base"}}},
		{circuit.Series("63", 1, 470), []circuit.Part{resistor("63|1", "wiper", "63|1", 470),
			circuit.Slider{Name: "63", Boost: "out", Wiper: "63|1", Cut: "in", Track: 10e3, BoostEnd: 2, CutEnd: 9}}},
		{circuit.Bridge("x", "base", 0.05), []circuit.Part{resistor("x|base", "x", "base", 0.05)}},
	} {
		whole, err := circuit.New(benchParts()...)
		if err != nil {
			t.Fatal(err)
		}
		edited, err := whole.Edited(c.edit)
		if err != nil {
			t.Errorf("%s: %v", c.edit, err)
			continue
		}
		want := benchParts()
		for _, p := range c.want {
			want = replacing(want, p)
		}
		sameParts(t, c.edit.String(), edited.Parts(), want)
		sameParts(t, "after "+c.edit.String(), whole.Parts(), benchParts())
	}
}

func replacing(parts []circuit.Part, p circuit.Part) []circuit.Part {
	for i, q := range parts {
		if q.PartName() == p.PartName() {
			parts[i] = p
			return parts
		}
	}
	return append(parts, p)
}

func sameParts(t *testing.T, what string, got, want []circuit.Part) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d parts, want %d", what, len(got), len(want))
		return
	}
	for _, p := range want {
		found := false
		for _, q := range got {
			found = found || reflect.DeepEqual(p, q)
		}
		if !found {
			t.Errorf("%s: %+v is not among %+v", what, p, got)
		}
	}
}

// TestEditsTurnBack: what is done twice and is its own inverse is not done, and
// edits follow each other.
func TestEditsTurnBack(t *testing.T) {
	whole, _ := circuit.New(benchParts()...)
	for _, pair := range [][]circuit.Edit{
		{circuit.Reverse("63"), circuit.Reverse("63")},
		{circuit.Swap("r1", "rc"), circuit.Swap("r1", "rc")},
		{circuit.Permute("q", 1, 2, 0), circuit.Permute("q", 2, 0, 1)},
		{circuit.Scale("leg", "Farads", 8), circuit.Scale("leg", "Farads", 0.125)},
		{circuit.Move("run", 0, "x"), circuit.Move("run", 0, "generator")},
	} {
		back, err := whole.Edited(pair...)
		if err != nil {
			t.Fatal(err)
		}
		sameParts(t, pair[0].String(), back.Parts(), benchParts())
	}
	both, err := whole.Edited(circuit.Series("q", 0, 10), circuit.Series("q", 0, 20))
	if err != nil {
		t.Fatal(err)
	}
	if p, _ := both.Part("q|0'"); p == nil {
		t.Error("a second joint in the same leg has no name of its own")
	}
}

// TestEditedOhms: a linear network with a leg opened, shorted, in series or
// bridged reads what the laws of series and parallel say, either way round.
func TestEditedOhms(t *testing.T) {
	ladder, err := circuit.New(
		circuit.Resistor{Name: "a", A: "1", B: "2", Ohms: 100},
		circuit.Resistor{Name: "b", A: "2", B: "0", Ohms: 300},
		circuit.Resistor{Name: "c", A: "1", B: "0", Ohms: 600})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		edit circuit.Edit
		want float64
	}{
		{circuit.Scale("c", "Ohms", 1), 240},
		{circuit.Open("c"), 400},
		{circuit.Open("a"), 600},
		{circuit.Short("b", 0, 1, 0), 600.0 / 7},
		{circuit.Series("b", 0, 200), 300},
		{circuit.Bridge("2", "0", 150), 150},
		{circuit.Move("b", 0, "1"), 200},
	} {
		edited, err := ladder.Edited(c.edit)
		if err != nil {
			t.Fatal(err)
		}
		there, err := edited.Ohms(context.Background(), curve.Setting{}, circuit.PowerOff{}, "1", "0")
		back, err2 := edited.Ohms(context.Background(), curve.Setting{}, circuit.PowerOff{}, "0", "1")
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if math.Abs(there.Ohms-c.want) > 1e-6*c.want || math.Abs(back.Ohms-there.Ohms) > 1e-9*c.want {
			t.Errorf("%s: %.9g ohms, %.9g back, want %.9g", c.edit, there.Ohms, back.Ohms, c.want)
		}
	}
}

// TestEditsRefused: an edit that hits nothing is named with its place.
func TestEditsRefused(t *testing.T) {
	whole, _ := circuit.New(benchParts()...)
	for _, c := range []struct {
		edit  circuit.Edit
		id    finding.ID
		place finding.Place
	}{
		{circuit.Open("r9"), circuit.IDNoPart, finding.Place{Part: "r9"}},
		{circuit.Open("q"), circuit.IDNoEdit, finding.Place{Part: "q"}},
		{circuit.Swap("r1", "r9"), circuit.IDNoPart, finding.Place{Part: "r9"}},
		{circuit.Swap("r1", "q"), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.Swap("r1", "r1"), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.OpenLeg("r1", 2), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.Short("q", 1, 1, 0), circuit.IDNoEdit, finding.Place{Part: "q"}},
		{circuit.Short("r1", 0, 1, -1), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.Scale("r1", "Ohms", math.NaN()), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.Scale("r1", "Ohms", 0), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.Scale("r1", "Farads", 2), circuit.IDNoKnob, finding.Place{Part: "r1"}},
		{circuit.Scale("leg", "ESR", 2), circuit.IDNoKnob, finding.Place{Part: "leg"}},
		{circuit.Permute("q", 0, 1, 1), circuit.IDNoEdit, finding.Place{Part: "q"}},
		{circuit.Couple("r1", "coil", 0.1), circuit.IDNoEdit, finding.Place{Part: "r1"}},
		{circuit.Couple("coil", "r1", 0.1), circuit.IDNoEdit, finding.Place{Part: "coil"}},
		{circuit.Couple("coil", "coil 9", 0.1), circuit.IDNoPart, finding.Place{Part: "coil 9"}},
		{circuit.Reverse("q"), circuit.IDNoEdit, finding.Place{Part: "q"}},
		{circuit.Move("run", 1, "nowhere"), circuit.IDNoPoint, finding.Place{Point: "nowhere"}},
		{circuit.Bridge("x", "nowhere", 1), circuit.IDNoPoint, finding.Place{Point: "nowhere"}},
		{circuit.Bridge("x", "x", 1), circuit.IDNoEdit, finding.Place{Point: "x"}},
		{circuit.Set("r1", "Ohms", -1), circuit.IDBadValue, finding.Place{Part: "r1"}},
	} {
		_, err := whole.Edited(c.edit)
		var list finding.List
		if !errors.As(err, &list) || list[0].ID != c.id || list[0].Place != c.place && c.edit.Kind != circuit.EditMove {
			t.Errorf("%s: %v, want %s at %v", c.edit, err, c.id, c.place)
		}
	}
}
