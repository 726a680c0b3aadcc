package known

import (
	"math"

	"bandwright/circuit"
)

// seriesParts is source – resistor – coil – capacitor – ground with the
// points "a" (source), "b" (behind the resistor), "c" (behind the coil).
func seriesParts(ohms, henries, farads float64) []circuit.Part {
	return []circuit.Part{
		circuit.VoltageSource{Name: "source", Plus: "a", Minus: circuit.Ground},
		circuit.Resistor{Name: "R", A: "a", B: "b", Ohms: ohms},
		circuit.Inductor{Name: "L", A: "b", B: "c", Henries: henries},
		circuit.Capacitor{Name: "C", A: "c", B: circuit.Ground, Farads: farads},
	}
}

// series makes an entry with the answers every series circuit has by
// definition: the current is greatest, 1/R, at 1/(2π√(LC)); there the coil
// and the capacitor carry Q times the source; the half-power edges.
func series(name, source string, ohms, henries, farads float64) Circuit {
	w0 := 1 / math.Sqrt(henries*farads)
	f0 := w0 / (2 * math.Pi)
	q := w0 * henries / ohms
	half := ohms / (2 * henries)
	low := (math.Sqrt(half*half+w0*w0) - half) / (2 * math.Pi)
	high := low + ohms/henries/(2*math.Pi)
	current := through("a", "b", ohms)
	edge := 1 / (math.Sqrt2 * ohms)
	return Circuit{
		Name: name, Source: source,
		Parts: seriesParts(ohms, henries, farads),
		Extrema: []Extremum{{Probe: current, Low: f0 / 3, High: f0 * 3,
			Hz: calc(f0, 1e-6), Magnitude: at(calc(1/ohms, 1e-9))}},
		Crossings: []Crossing{
			{Probe: current, Low: low / 100, High: f0, Level: edge, Hz: calc(low, 1e-6)},
			{Probe: current, Low: f0, High: high * 100, Level: edge, Hz: calc(high, 1e-6)},
		},
		Gains: []Gain{
			{Probe: across("c", circuit.Ground), Hz: f0, Magnitude: calc(q, 1e-7), Degrees: at(Value{-90, 1e-4, Calculated})},
			{Probe: across("b", "c"), Hz: f0, Magnitude: calc(q, 1e-7), Degrees: at(Value{90, 1e-4, Calculated})},
		},
	}
}

// peak adds a printed resonance and gain adds a printed response.
func (c Circuit) peak(p Probe, hz Value, magnitude *Value) Circuit {
	c.Extrema = append(c.Extrema, Extremum{Probe: p, Low: hz.Want / 3, High: hz.Want * 3, Hz: hz, Magnitude: magnitude})
	return c
}

func (c Circuit) gain(p Probe, hz float64, magnitude Value, degrees *Value) Circuit {
	c.Gains = append(c.Gains, Gain{Probe: p, Hz: hz, Magnitude: magnitude, Degrees: degrees})
	return c
}

// SeriesRLC are the resonance examples of University Physics and Lessons in
// Electric Circuits, and one RC low-pass. Printed Q is read as the capacitor's
// voltage per volt at resonance.
func SeriesRLC() []Circuit {
	const (
		physics = "OpenStax, University Physics volume 2, section 15.5"
		lessons = "T. R. Kuphaldt, Lessons in Electric Circuits vol. II, ch. 6"
		bank    = "open text, alternating-current example bank"
		notes   = "open text, web notes on resonance"
	)
	c0 := across("c", circuit.Ground)
	hz := func(w float64) float64 { return w / (2 * math.Pi) }
	return []Circuit{
		series("series 4 ohm 3 mH 800 uF", physics, 4, 3e-3, 800e-6).
			peak(through("a", "b", 4), printed(103, 0.5), at(printed(25.0e-3/0.100, 0.05e-3/0.100))),
		series("series 0.2 ohm 4 mH 2 uF", physics, 0.2, 4e-3, 2e-6).
			peak(through("a", "b", 0.2), printed(hz(1.12e4), hz(50)), nil).
			// 40.0 W at 4.00 V peak: ½ × 4 V × 20 A.
			peak(through("a", "b", 0.2), printed(hz(1.12e4), hz(50)), at(printed(5, 0.007))).
			gain(c0, hz(11180.3399), printed(224, 0.5), nil),
		series("series 40 ohm 2 mH 500 uF", physics, 40, 2e-3, 500e-6).
			peak(through("a", "b", 40), printed(160, 5), nil).
			// 0.023 rad, the current behind the source.
			gain(across("a", "b"), 200, calc(math.Cos(0.0230390), 1e-6),
				at(printed(-0.023*180/math.Pi, 0.0005*180/math.Pi))),
		series("series 100 ohm 150 mH 0.25 uF", physics, 100, 150e-3, 0.25e-6).
			peak(through("a", "b", 100), printed(820, 5), nil).
			gain(c0, 821.873, printed(7.8, 0.06), nil),
		series("series 100 ohm 2 H 5 uF", physics, 100, 2, 5e-6).
			peak(through("a", "b", 100), printed(50, 0.5), nil).
			gain(c0, 50.3292, printed(6.32, 0.005), nil),
		series("series 10 ohm 10 mH 10 uF", notes, 10, 10e-3, 10e-6).
			peak(through("a", "b", 10), printed(hz(3162), hz(0.5)), nil).
			gain(c0, hz(3162.27766), printed(3.16, 0.005), nil),
		series("series 12 ohm 0.15 H 100 uF", bank, 12, 0.15, 100e-6).
			peak(through("a", "b", 12), printed(41.09, 0.005), at(printed(8.33/100, 0.005/100))).
			peak(c0, printed(40.10, 0.005), nil).
			peak(across("b", "c"), printed(42.12, 0.005), nil),
		series("series 1 ohm 100 mH 10 uF", lessons, 1, 100e-3, 10e-6).
			peak(through("a", "b", 1), printed(159.155, 0.0005), at(printed(1, 0.0005))).
			gain(c0, 159.154943, printed(100, 0.05), nil).
			gain(across("b", "c"), 159.154943, printed(100, 0.05), nil),
		series("band-pass 1 H 1 uF load 1k", lessons, 1000, 1, 1e-6).
			peak(through("a", "b", 1000), printed(159.15, 0.005), nil),
		lowPass(lessons),
	}
}

// lowPass is 500 ohm into 7 µF without load: 0.707 at 45.473 Hz.
func lowPass(source string) Circuit {
	out := across("b", circuit.Ground)
	c := Circuit{
		Name: "RC low-pass 500 ohm 7 uF", Source: source,
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "source", Plus: "a", Minus: circuit.Ground},
			circuit.Resistor{Name: "R", A: "a", B: "b", Ohms: 500},
			circuit.Capacitor{Name: "C", A: "b", B: circuit.Ground, Farads: 7e-6},
		},
		Crossings: []Crossing{{Probe: out, Low: 1, High: 1e4, Level: math.Sqrt(0.5), Hz: printed(45.473, 0.0005)}},
	}
	for _, hz := range []float64{0.1, 1, 10, 45.473, 100, 1e3, 1e5} {
		x := 2 * math.Pi * hz * 500 * 7e-6
		c = c.gain(out, hz, calc(1/math.Sqrt(1+x*x), 1e-12), at(Value{-math.Atan(x) * 180 / math.Pi, 1e-9, Calculated}))
	}
	return c
}

// ShiftedExtrema are circuits whose extremum leaves 1/(2π√(LC)) because the
// resistor lies across one reactance. The work prints grid points of a coarse
// sweep; the exact extrema are worked out from the definition.
func ShiftedExtrema() []Circuit {
	const source = "T. R. Kuphaldt, Lessons in Electric Circuits vol. II, ch. 6 (circuits); exact extrema worked out"
	drive := circuit.VoltageSource{Name: "source", Plus: "a", Minus: circuit.Ground}
	sense := circuit.Resistor{Name: "R1", A: "a", B: "b", Ohms: 1}
	coil := func(a, b string) circuit.Part {
		return circuit.Inductor{Name: "L", A: a, B: b, Henries: 100e-3}
	}
	capacitor := func(a, b string) circuit.Part {
		return circuit.Capacitor{Name: "C", A: a, B: b, Farads: 10e-6}
	}
	hundred := func(a, b string) circuit.Part {
		return circuit.Resistor{Name: "R100", A: a, B: b, Ohms: 100}
	}
	// A voltage source's current is least where the impedance a current
	// source sees is greatest.
	inject := circuit.CurrentSource{Name: "source", From: circuit.Ground, To: "a"}
	g := circuit.Ground
	return []Circuit{
		Circuit{Name: "series C, coil bridged by 100 ohm", Source: source,
			Parts: []circuit.Part{drive, sense, capacitor("b", "c"), coil("c", g), hundred("c", g)}}.
			peak(through("a", "b", 1), Value{185.288, 0.0005, Calculated}, at(Value{14.50e-3, 0.005e-3, Calculated})),
		Circuit{Name: "series L, capacitor bridged by 100 ohm", Source: source,
			Parts: []circuit.Part{drive, sense, coil("b", "c"), capacitor("c", g), hundred("c", g)}}.
			peak(through("a", "b", 1), Value{136.708, 0.0005, Calculated}, nil),
		Circuit{Name: "parallel C with coil and 100 ohm", Source: source,
			Parts: []circuit.Part{inject, capacitor("a", g), coil("a", "b"), hundred("b", g)}}.
			peak(across("a", g), Value{136.173, 0.0005, Calculated}, at(Value{1 / 6.81e-3, 0.005 / 6.81 / 6.81e-3, Calculated})),
		Circuit{Name: "parallel L with capacitor and 100 ohm", Source: source,
			Parts: []circuit.Part{inject, coil("a", g), capacitor("a", "b"), hundred("b", g)}}.
			peak(across("a", g), Value{186.016, 0.0005, Calculated}, nil),
		series("series 100 ohm 100 mH 10 uF", source, 100, 100e-3, 10e-6).
			peak(through("a", "b", 100), printed(159.2, 0.05), nil),
	}
}
