package reading

import (
	"context"
	"errors"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

func wired(t *testing.T, parts ...circuit.Part) *circuit.Circuit {
	t.Helper()
	c, err := circuit.New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func predicted(t *testing.T, c *circuit.Circuit, readings []Reading, parts []Uncertainty) *Prediction {
	t.Helper()
	p, err := Predict(context.Background(), c, readings, parts, Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

func ohms(part string) circuit.Knob   { return circuit.Knob{Part: part, Value: "Ohms"} }
func farads(part string) circuit.Knob { return circuit.Knob{Part: part, Value: "Farads"} }

// divider is E over r1 and r2, its middle the point "mid".
func divider(t *testing.T, e, r1, r2 float64) *circuit.Circuit {
	return wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: e},
		circuit.Resistor{Name: "r1", A: "rail", B: "mid", Ohms: r1},
		circuit.Resistor{Name: "r2", A: "mid", B: "0", Ohms: r2})
}

// wrong holds an error to one finding.
func wrong(t *testing.T, what string, err error, id finding.ID, place finding.Place) {
	t.Helper()
	var list finding.List
	if !errors.As(err, &list) {
		t.Errorf("%s: %v, want %s", what, err, id)
		return
	}
	for _, f := range list {
		if f.ID == id && f.Place == place {
			return
		}
	}
	t.Errorf("%s: %v, want %s at %v", what, err, id, place)
}

var flat = curve.Setting{}
