package known

import "bandwright/circuit"

// polar adds a printed phasor, of a source of so many volts: magnitude with
// the last digit's half unit, phase in degrees likewise.
func (c Circuit) polar(p Probe, hz, volts float64, magnitude, degrees Value) Circuit {
	magnitude.Want /= volts
	magnitude.Tol /= volts
	return c.gain(p, hz, magnitude, &degrees)
}

// Phasors are the worked alternating-current tables at 60 Hz and a supply
// filter at 120 Hz.
func Phasors() []Circuit {
	return append(simplePhasors(), mixedPhasors(), parallelPhasors(), supplyFilter())
}

const phasorSource = "T. R. Kuphaldt, Lessons in Electric Circuits vol. II, ch. 3–5"

func simplePhasors() []Circuit {
	drive := circuit.VoltageSource{Name: "source", Plus: "a", Minus: circuit.Ground}
	resistor := circuit.Resistor{Name: "R", A: "a", B: "b", Ohms: 5}
	b0 := across("b", circuit.Ground)
	threeProbe := across("c", circuit.Ground)
	return []Circuit{
		Circuit{Name: "10 V, 5 ohm, 10 mH", Source: phasorSource, Parts: []circuit.Part{drive, resistor,
			circuit.Inductor{Name: "L", A: "b", B: circuit.Ground, Henries: 10e-3}}}.
			polar(across("a", "b"), 60, 10, printed(7.985, 0.0005), printed(-37.02, 0.005)).
			polar(b0, 60, 10, printed(6.020, 0.0005), printed(52.98, 0.005)).
			polar(through("a", "b", 5), 60, 10, printed(1.597, 0.0005), printed(-37.02, 0.005)),
		Circuit{Name: "10 V, 5 ohm, 100 uF", Source: phasorSource, Parts: []circuit.Part{drive, resistor,
			circuit.Capacitor{Name: "C", A: "b", B: circuit.Ground, Farads: 100e-6}}}.
			polar(across("a", "b"), 60, 10, printed(1.852, 0.0005), printed(79.33, 0.005)).
			polar(b0, 60, 10, printed(9.827, 0.0005), printed(-10.67, 0.005)).
			polar(through("a", "b", 5), 60, 10, printed(0.3705, 0.00005), printed(79.33, 0.005)),
		Circuit{Name: "120 V, 250 ohm, 650 mH, 1.5 uF in series", Source: phasorSource,
			Parts: seriesParts(250, 650e-3, 1.5e-6)}.
			polar(across("a", "b"), 60, 120, printed(19.43, 0.005), printed(80.68, 0.005)).
			polar(across("b", "c"), 60, 120, printed(19.05, 0.005), printed(170.7, 0.05)).
			polar(threeProbe, 60, 120, printed(137.5, 0.05), printed(-9.320, 0.0005)).
			polar(through("a", "b", 250), 60, 120, printed(77.73e-3, 0.005e-3), printed(80.68, 0.005)),
	}
}

// parallelPhasors reads each branch's current across a resistance too small
// to be seen in the printed digits.
func parallelPhasors() Circuit {
	const sense = 1e-6
	branch := func(name string) circuit.Part {
		return circuit.Resistor{Name: "sense." + name, A: "a", B: name, Ohms: sense}
	}
	return Circuit{Name: "120 V, 250 ohm, 650 mH, 1.5 uF in parallel", Source: phasorSource,
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "source", Plus: "s", Minus: circuit.Ground},
			circuit.Resistor{Name: "sense", A: "s", B: "a", Ohms: sense},
			branch("r"), branch("l"), branch("c"),
			circuit.Resistor{Name: "R", A: "r", B: circuit.Ground, Ohms: 250},
			circuit.Inductor{Name: "L", A: "l", B: circuit.Ground, Henries: 650e-3},
			circuit.Capacitor{Name: "C", A: "c", B: circuit.Ground, Farads: 1.5e-6},
		}}.
		polar(through("s", "a", sense), 60, 120, printed(0.6390, 0.00005), printed(-41.31, 0.005)).
		polar(through("a", "r", sense), 60, 120, printed(0.4800, 0.00005), printed(0, 0.005)).
		polar(through("a", "l", sense), 60, 120, printed(0.4897, 0.00005), printed(-90, 0.005)).
		polar(through("a", "c", sense), 60, 120, printed(0.06786, 0.000005), printed(90, 0.005))
}

// mixedPhasors is 4.7 µF, then 650 mH with 1.5 µF, both bridged by 470 ohm.
func mixedPhasors() Circuit {
	return Circuit{Name: "120 V, C1, then coil and C2 bridged by R", Source: phasorSource,
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "source", Plus: "a", Minus: circuit.Ground},
			circuit.Capacitor{Name: "C1", A: "a", B: "b", Farads: 4.7e-6},
			circuit.Inductor{Name: "L", A: "b", B: "c", Henries: 650e-3},
			circuit.Capacitor{Name: "C2", A: "c", B: circuit.Ground, Farads: 1.5e-6},
			circuit.Resistor{Name: "R", A: "b", B: circuit.Ground, Ohms: 470},
		}}.
		polar(across("a", "b"), 60, 120, printed(82.76, 0.005), printed(-31.63, 0.005)).
		polar(across("b", "c"), 60, 120, printed(10.59, 0.005), printed(-138.8, 0.05)).
		polar(across("c", circuit.Ground), 60, 120, printed(76.45, 0.005), printed(41.22, 0.005)).
		polar(across("b", circuit.Ground), 60, 120, printed(65.86, 0.005), printed(41.22, 0.005)).
		polar(through("b", circuit.Ground, 470), 60, 120, printed(0.1401, 0.00005), printed(41.22, 0.005))
}

// supplyFilter lets 12 V through unchanged and 120 Hz hardly at all.
func supplyFilter() Circuit {
	return Circuit{Name: "supply filter 3 H, 9500 uF, 2 H", Source: phasorSource,
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "source", Plus: "a", Minus: circuit.Ground, DC: 12},
			circuit.Inductor{Name: "L1", A: "a", B: "b", Henries: 3},
			circuit.Capacitor{Name: "C", A: "b", B: circuit.Ground, Farads: 9500e-6},
			circuit.Inductor{Name: "L2", A: "b", B: "c", Henries: 2},
			circuit.Resistor{Name: "load", A: "c", B: circuit.Ground, Ohms: 1000},
		},
		Volts: []Volts{{Plus: "c", Minus: circuit.Ground, Value: printed(12, 1e-9)}}}.
		gain(across("c", circuit.Ground), 120, printed(34.12e-6, 0.005e-6), nil)
}
