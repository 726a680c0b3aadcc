package known

import "bandwright/circuit"

// printedZener is as near the textbook's ideal zener as a model comes: 12.6 V
// within a fraction of a millivolt whatever the current.
func printedZener(amperes float64) circuit.Part {
	return circuit.Zener{Name: "Z", Anode: circuit.Ground, Cathode: "out", Is: 1e-14,
		Volts: 12.6, TestAmperes: amperes, SlopeOhms: 1e-6 / amperes}
}

// Zeners are the regulator examples of Lessons in Electric Circuits vol. III,
// ch. 3: 45 V through a dropper into a 12.6 V zener, with and without a load.
// The zener's current runs backwards.
func Zeners() []Circuit {
	regulator := func(name string, dropper, load, test float64, volts []Volts, currents ...Current) Circuit {
		c := Circuit{Name: "45 V regulator, " + name, Source: "T. R. Kuphaldt, Lessons in Electric Circuits vol. III, ch. 3",
			Parts: []circuit.Part{
				circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: circuit.Ground, DC: 45},
				circuit.Resistor{Name: "dropper", A: "rail", B: "out", Ohms: dropper},
				printedZener(test),
			}, Volts: volts, Currents: currents}
		if load > 0 {
			c.Parts = append(c.Parts, circuit.Resistor{Name: "load", A: "out", B: circuit.Ground, Ohms: load})
		}
		return c
	}
	held := []Volts{{"out", circuit.Ground, printed(12.6, 5e-4)}, {"rail", "out", printed(32.4, 0.05)}}
	off := []Volts{{"rail", "out", printed(44.776, 5e-4)}, {"out", circuit.Ground, printed(224e-3, 0.5e-3)}}
	return []Circuit{
		regulator("1 k, no load", 1e3, 0, 32.4e-3, held,
			Current{"dropper", printed(32.4e-3, 5e-5)}, Current{"Z", printed(-32.4e-3, 5e-5)}),
		regulator("100 k, no load", 100e3, 0, 324e-6, held,
			Current{"dropper", printed(324e-6, 5e-7)}, Current{"Z", printed(-324e-6, 5e-7)}),
		regulator("1 k, 500 ohm", 1e3, 500, 7.2e-3, held,
			Current{"load", printed(25.2e-3, 5e-5)}, Current{"Z", printed(-7.2e-3, 5e-5)}, Current{"dropper", printed(32.4e-3, 5e-5)}),
		regulator("100 k, 500 ohm: the zener is off", 100e3, 500, 324e-6, off,
			Current{"dropper", printed(447.76e-6, 5e-9)}, Current{"Z", printed(0, 1e-12)}),
	}
}

// PrintedTriode is the valve of the worked examples: Koren's constants for a
// small high-gain triode, without grid current or capacitances.
func PrintedTriode(plate, grid, cathode string) circuit.Triode {
	return circuit.Triode{Name: "V", Plate: plate, Grid: grid, Cathode: cathode,
		Mu: 100, Exponent: 1.4, KG1: 1060, KP: 600, KVB: 300}
}

// worked is a figure worked out from the equation, with the digits it is given.
func worked(want, tol float64) Value { return Value{Want: want, Tol: tol, Mark: Calculated} }

const (
	korenSource = "N. Koren's triode equations (1996)"
	steckSource = "D. Steck, Analog and Digital Electronics, ch. 6; supply and resistors inferred, with which all printed figures agree"
)

// Triodes are points of Koren's equations and the common-cathode stage of a
// textbook. The grid is at 0 V through its leak.
func Triodes() []Circuit {
	point := func(name string, grid, plate float64, want ...Value) Circuit {
		c := Circuit{Name: name, Source: korenSource, Parts: []circuit.Part{
			circuit.VoltageSource{Name: "plate", Plus: "p", Minus: circuit.Ground, DC: plate},
			circuit.VoltageSource{Name: "grid", Plus: "g", Minus: circuit.Ground, DC: grid},
			PrintedTriode("p", "g", circuit.Ground),
		}}
		for _, v := range want {
			c.Currents = append(c.Currents, Current{"V", v})
		}
		return c
	}
	return []Circuit{
		// The printed figure is a hand estimate: 3 %.
		point("grid at 0 V, plate at 250 V", 0, 250, worked(6.8091e-3, 5e-8), Value{6.66e-3, 0.03 * 6.66e-3, Read}),
		// The data sheet has 1.2 mA here (as quoted by a second text): these
		// constants put the model 21 % under it.
		point("grid at -2 V, plate at 250 V", -2, 250, worked(0.951803e-3, 5e-10)),
		{Name: "common-cathode stage", Source: steckSource,
			Parts: []circuit.Part{
				circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: circuit.Ground, DC: 330},
				circuit.Resistor{Name: "R.plate", A: "rail", B: "p", Ohms: 100e3},
				circuit.Resistor{Name: "R.cathode", A: "k", B: circuit.Ground, Ohms: 1.5e3},
				circuit.VoltageSource{Name: "source", Plus: "g", Minus: circuit.Ground},
				PrintedTriode("p", "g", "k"),
			},
			Currents: []Current{{"V", printed(1.07e-3, 5e-6)}, {"V", worked(1.07419e-3, 5e-9)}},
			Volts: []Volts{
				{"p", "k", printed(221, 0.5)}, {"p", "k", worked(220.970, 5e-4)},
				{"g", "k", printed(-1.61, 5e-3)}, {"g", "k", worked(-1.61129, 5e-6)},
			},
		},
	}
}
