package job

import (
	"reflect"
	"strings"
	"testing"

	"bandwright/circuit"
)

// TestKindsAreTheCircuits holds the points of every kind against the fields
// of circuit's part types, whose order Terminals gives.
func TestKindsAreTheCircuits(t *testing.T) {
	parts := map[string]circuit.Part{
		"resistor": circuit.Resistor{}, "capacitor": circuit.Capacitor{}, "inductor": circuit.Inductor{},
		"slider": circuit.Slider{}, "voltage-source": circuit.VoltageSource{}, "current-source": circuit.CurrentSource{},
		"switch": circuit.Switch{}, "contact": circuit.Contact{}, "wire": circuit.Wire{}, "diode": circuit.Diode{},
		"zener": circuit.Zener{}, "triode": circuit.Triode{}, "coupling": circuit.Coupling{},
		"transistor": circuit.Transistor{}, "op-amp": circuit.OpAmp{},
	}
	if len(Kinds()) != len(parts) {
		t.Errorf("%d kinds, %d part types", len(Kinds()), len(parts))
	}
	for _, k := range Kinds() {
		part := reflect.New(reflect.TypeOf(parts[k.Name])).Elem()
		for _, point := range k.Points {
			field := part.FieldByName(strings.ToUpper(point[:1]) + point[1:])
			if !field.IsValid() {
				t.Fatalf("kind %s: circuit has no point %s", k.Name, point)
			}
			field.SetString(point)
		}
		if got := part.Interface().(circuit.Part).Terminals(); strings.Join(got, " ") != strings.Join(k.Points, " ") {
			t.Errorf("kind %s: points %v, circuit has %v", k.Name, k.Points, got)
		}
	}
}
