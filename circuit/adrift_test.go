package circuit

import (
	"context"
	"slices"
	"testing"

	"bandwright/curve"
)

// A switch that no run reaches, and a board of a part and a capacitor, are adrift;
// what a contact, a capacitor or a junction reaches is not. Tied down, all of it
// has an answer.
func TestAdrift(t *testing.T) {
	parts := []Part{
		VoltageSource{Name: "v", Plus: "a", DC: 1, Minus: Ground}, Capacitor{Name: "c", A: "a", B: "b", Farads: 1e-9},
		Diode{Name: "d", Anode: "a", Cathode: "e", Is: 1e-14}, Resistor{Name: "r.e", A: "e", B: Ground, Ohms: 10},
		Switch{Name: "s", Positions: []string{"in", "out"}},
		Contact{Name: "s.0", A: "b", B: "f", Switch: "s", Closed: []string{"out"}},
		Contact{Name: "s.1", A: "p1", B: "p2", Switch: "s", Closed: []string{"in"}},
		Contact{Name: "s.2", A: "p2", B: "p3", Switch: "s", Closed: []string{"out"}},
		Resistor{Name: "r", A: "board.0", B: "x", Ohms: 1e3}, Capacitor{Name: "cx", A: "x", B: "y", Farads: 1e-9},
	}
	c, err := New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.Adrift(), []string{"board.0", "p1"}; !slices.Equal(got, want) {
		t.Fatalf("adrift: %v, want %v", got, want)
	}
	if _, err := c.Solve(context.Background(), curve.Setting{}, Conditions{}); err == nil {
		t.Error("what is adrift has an answer")
	}
	for _, p := range c.Adrift() {
		parts = append(parts, Resistor{Name: "insulation." + p, A: p, B: Ground, Ohms: OpenOhms})
	}
	tied, err := New(parts...)
	if err != nil || len(tied.Adrift()) > 0 {
		t.Fatalf("%v, adrift: %v", err, tied.Adrift())
	}
	for _, s := range []curve.Setting{{}, curve.Setting{}.WithSwitch("s", "out")} {
		if _, err := tied.Solve(context.Background(), s, Conditions{}); err != nil {
			t.Error(err)
		}
	}
}
