package known

import "bandwright/circuit"

// Nodal are networks of resistors with published node voltages. The
// derivatives of the first come from its adjoint system (Director and Rohrer
// 1969), worked out and checked against central differences.
func Nodal() []Circuit { return []Circuit{twoNodes(), bridge(), millman()} }

const nodalSource = "T. R. Kuphaldt, Lessons in Electric Circuits vol. I, ch. 10"

func twoNodes() Circuit {
	drives := []Drive{{"V1", 10}, {"V2", -4}}
	derivative := func(part string, want, tol float64) Derivative {
		return Derivative{Drives: drives, Point: "1", Part: part, Param: "Ohms", Value: Value{want, tol, Calculated}}
	}
	fromSource := func(source string, want float64) Gain {
		return Gain{Probe: Probe{Source: source, Plus: "1", Minus: circuit.Ground, Scale: 1}, Hz: 1,
			Magnitude: Value{want, 5e-8, Calculated}, Degrees: at(Value{0, 1e-9, Calculated})}
	}
	return Circuit{Name: "two nodes between 10 V and -4 V", Source: nodalSource,
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "V1", Plus: "left", Minus: circuit.Ground, DC: 10},
			circuit.VoltageSource{Name: "V2", Plus: "right", Minus: circuit.Ground, DC: -4},
			circuit.Resistor{Name: "R1", A: "left", B: "1", Ohms: 2},
			circuit.Resistor{Name: "R2", A: "1", B: circuit.Ground, Ohms: 4},
			circuit.Resistor{Name: "R3", A: "1", B: "2", Ohms: 2.5},
			circuit.Resistor{Name: "R4", A: "2", B: circuit.Ground, Ohms: 5},
			circuit.Resistor{Name: "R5", A: "2", B: "right", Ohms: 1},
		},
		Volts: []Volts{
			{"1", circuit.Ground, printed(3.809524, 5e-7)},
			{"2", circuit.Ground, printed(-1.547619, 5e-7)},
		},
		Gains: []Gain{fromSource("V1", 0.4761905), fromSource("V2", 0.2380952)},
		Derivatives: []Derivative{
			derivative("R1", -1.4739229, 5e-8),
			derivative("R2", 0.2267574, 5e-8),
			derivative("R3", 0.6122449, 5e-8),
			derivative("R4", -0.01473923, 5e-9),
			derivative("R5", 0.5839002, 5e-8),
		},
	}
}

func bridge() Circuit {
	arm := func(name, a, b string, ohms float64) circuit.Part {
		return circuit.Resistor{Name: name, A: a, B: b, Ohms: ohms}
	}
	return Circuit{Name: "bridge fed 0.136092 A", Source: nodalSource,
		Parts: []circuit.Part{
			circuit.CurrentSource{Name: "I", From: circuit.Ground, To: "1", DC: 0.136092},
			arm("R12", "1", "2", 150), arm("R13", "1", "3", 50), arm("R23", "2", "3", 100),
			arm("R20", "2", circuit.Ground, 300), arm("R30", "3", circuit.Ground, 250),
		},
		Volts: []Volts{
			{"1", circuit.Ground, printed(24.000, 5e-4)},
			{"2", circuit.Ground, printed(17.655, 5e-4)},
			{"3", circuit.Ground, printed(19.310, 5e-4)},
			{"1", circuit.Ground, Value{24.00001, 5e-6, Calculated}},
			{"2", circuit.Ground, Value{17.65518, 5e-6, Calculated}},
			{"3", circuit.Ground, Value{19.31035, 5e-6, Calculated}},
		},
	}
}

// millman is three branches side by side: 28 V behind 4 ohm, 2 ohm alone and
// 7 V behind 1 ohm.
func millman() Circuit {
	return Circuit{Name: "three branches side by side", Source: nodalSource,
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "V28", Plus: "a", Minus: circuit.Ground, DC: 28},
			circuit.VoltageSource{Name: "V7", Plus: "b", Minus: circuit.Ground, DC: 7},
			circuit.Resistor{Name: "R4", A: "a", B: "out", Ohms: 4},
			circuit.Resistor{Name: "R2", A: "out", B: circuit.Ground, Ohms: 2},
			circuit.Resistor{Name: "R1", A: "b", B: "out", Ohms: 1},
		},
		Volts:    []Volts{{"out", circuit.Ground, printed(8, 1e-9)}},
		Currents: []Current{{"R4", calc(5, 1e-9)}, {"R2", calc(4, 1e-9)}, {"R1", calc(-1, 1e-9)}},
	}
}
