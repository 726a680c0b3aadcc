package equaliser

import (
	"maps"
	"slices"

	"bandwright/circuit"
)

// The starter drawings of a driver. Each runs from point "in" to point
// "out.coupled" and offers the buses "cut" and "boost".
const (
	DrawingIdeal         = "ideal"
	DrawingOpAmp         = "op-amp"
	DrawingTwoTransistor = "two-transistor"
)

// drawings makes the parts of each; it is read, never changed.
var drawings = map[string]func(Spec) []circuit.Part{
	DrawingIdeal:         ideal,
	DrawingOpAmp:         opAmp,
	DrawingTwoTransistor: twoTransistor,
}

// starterRail is what each drawing runs from when nothing is said, in volts.
var starterRail = map[string]float64{DrawingOpAmp: 15, DrawingTwoTransistor: 24}

// Drawings names the starter drawings, sorted.
func Drawings() []string { return slices.Sorted(maps.Keys(drawings)) }

// ideal is an amplifier that holds its inputs equal (a nullor) between the two
// resistors, and nothing else. Where a switch leaves the input open, a bleed of 1 Mohm keeps it at 0 V, as it does in a real unit.
func ideal(s Spec) []circuit.Part {
	parts := []circuit.Part{
		resistor("feed", "in", "cut", s.Feed),
		circuit.OpAmp{Name: "amplifier", Plus: "cut", Minus: "boost", Out: "out", Ideal: true},
		resistor("feedback", "out", "boost", s.Feedback),
		circuit.Wire{Name: "out.wire", A: "out", B: "out.coupled"},
	}
	if s.Wired != nil || s.Bypass != nil && !s.Bypass.GroundsInput {
		parts = append(parts, resistor("R.in", "in", circuit.Ground, 1e6))
	}
	return parts
}

// opAmp is a driver of one operational amplifier on two rails. The values are
// generic (common practice, no source): 100 dB at DC, 10 MHz, 1 Mohm between
// the inputs, 50 ohm out; coupled in and out by capacitors.
func opAmp(s Spec) []circuit.Part {
	return []circuit.Part{
		capacitor("C.in", "in", "in.coupled", 47e-6),
		resistor("R.in", "in.coupled", circuit.Ground, 100e3),
		resistor("feed", "in.coupled", "cut", s.Feed),
		circuit.OpAmp{Name: "amplifier", Plus: "cut", Minus: "boost", Out: "out",
			Gain: 1e5, GainBandwidth: 10e6, InputOhms: 1e6, OutputOhms: 50},
		resistor("feedback", "out", "boost", s.Feedback),
		capacitor("C.out", "out", "out.coupled", 10e-6),
		resistor("R.bleed", "out.coupled", circuit.Ground, 100e3),
	}
}

func resistor(name, a, b string, ohms float64) circuit.Resistor {
	return circuit.Resistor{Name: name, A: a, B: b, Ohms: ohms}
}

func capacitor(name, a, b string, farads float64) circuit.Capacitor {
	return circuit.Capacitor{Name: name, A: a, B: b, Farads: farads}
}
