package known

import (
	"math"

	"bandwright/circuit"
)

// Physical constants, exact by the SI of 2019.
const (
	boltzmann = 1.380649e-23    // J/K
	charge    = 1.602176634e-19 // C
)

// thermalVolts is kT/q.
func thermalVolts(kelvin float64) float64 { return boltzmann * kelvin / charge }

// biasKelvin makes kT/q the 26 mV that the works calculate with.
const biasKelvin = 0.026 * charge / boltzmann

// idealJunction is the printed examples' assumption turned into a transistor:
// a saturation current that puts exactly 0.7 V across base and emitter at the
// collector current the circuit settles at.
func idealJunction(name, c, b, e string, beta, collectorAmperes float64) circuit.Part {
	return circuit.Transistor{Name: name, Collector: c, Base: b, Emitter: e,
		Is:    collectorAmperes / math.Exp(0.7/thermalVolts(biasKelvin)),
		BetaF: beta, BetaR: 1}
}

// biasCase is one printed current. The works take emitter and collector
// current to be equal, an error up to 1/beta, which the tolerance of the
// printed figure allows on top of half its last digit.
type biasCase struct {
	name                string
	supply              float64 // volt behind the base resistor
	base, emitter, load float64 // ohm; 0 means a plain joint
	fed                 bool    // base resistor from the collector, not the supply
	beta                float64
	printed             float64 // ampere
	half                float64 // half a unit of its last digit
}

// Bias are transistor operating points of Lessons in Electric Circuits vol.
// III, a differential pair, and the small-signal figures at 1 mA.
func Bias() []Circuit {
	cases := []biasCase{
		{"base bias", 10, 910e3, 0, 0, false, 100, 1.02e-3, 5e-6},
		{"base bias", 10, 910e3, 0, 0, false, 300, 3.07e-3, 5e-6},
		{"collector feedback", 10, 470e3, 0, 4.7e3, true, 100, 0.989e-3, 0.5e-6},
		{"collector feedback", 10, 470e3, 0, 4.7e3, true, 300, 1.48e-3, 5e-6},
		{"emitter bias 10 V", 10, 870e3, 470, 0, false, 100, 1.01e-3, 5e-6},
		{"emitter bias 10 V", 10, 870e3, 470, 0, false, 300, 2.76e-3, 5e-6},
		{"emitter bias 2 V", 2, 82e3, 470, 0, false, 100, 1.01e-3, 5e-6},
		{"emitter bias 2 V", 2, 82e3, 470, 0, false, 300, 1.75e-3, 5e-6},
		{"emitter bias 2 V 910 ohm", 2, 39e3, 910, 0, false, 100, 1.00e-3, 5e-6},
		{"emitter bias 2 V 910 ohm", 2, 39e3, 910, 0, false, 300, 1.25e-3, 5e-6},
		{"emitter bias 1.5 V", 1.5, 33e3, 470, 0, false, 100, 1.00e-3, 5e-6},
		{"emitter bias 1.5 V", 1.5, 33e3, 470, 0, false, 300, 1.38e-3, 5e-6},
	}
	var all []Circuit
	for _, c := range cases {
		all = append(all, c.circuit())
	}
	return append(all, differentialPair(), commonEmitter(0), commonEmitter(2600))
}

// circuit builds the case. Its exact current follows from Kirchhoff's voltage
// law with 0.7 V: the base resistor carries I_B, the emitter or the feedback
// load (beta+1)·I_B.
func (c biasCase) circuit() Circuit {
	baseAmperes := (c.supply - 0.7) / (c.base + (c.beta+1)*(c.emitter+c.load))
	exact := c.beta * baseAmperes
	name := c.name + " beta 100"
	if c.beta == 300 {
		name = c.name + " beta 300"
	}
	const collectorSupply = 10
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "VCC", Plus: "vcc", Minus: circuit.Ground, DC: collectorSupply},
		circuit.VoltageSource{Name: "VBB", Plus: "vbb", Minus: circuit.Ground, DC: c.supply},
		circuit.Resistor{Name: "RE", A: "e", B: circuit.Ground, Ohms: c.emitter},
		circuit.Resistor{Name: "RC", A: "vcc", B: "c", Ohms: c.load},
		idealJunction("Q", "c", "b", "e", c.beta, exact),
	}
	from := "vbb"
	if c.fed {
		from = "c"
	}
	parts = append(parts, circuit.Resistor{Name: "RB", A: from, B: "b", Ohms: c.base})
	collector := collectorSupply - c.load*(exact+baseAmperes)
	return Circuit{Name: name, Kelvin: biasKelvin, Parts: parts,
		Source: "T. R. Kuphaldt, Lessons in Electric Circuits vol. III, ch. 4",
		Currents: []Current{
			{"Q", Value{c.printed, c.half + c.printed/c.beta, Read}},
			{"Q", calc(exact, 1e-7)},
			{"RB", calc(baseAmperes, 1e-7)},
		},
		Volts: []Volts{{"b", "e", calc(0.7, 1e-7)}, {"c", circuit.Ground, calc(collector, 1e-7)}},
	}
}

// differentialPair is two transistors on ±12 V with 4.7 k loads and a 3.3 k
// tail; base currents are neglected in the source, so beta is very large.
func differentialPair() Circuit {
	const exact = (12 - 0.7) / 3300 / 2
	half := func(n string) []circuit.Part {
		return []circuit.Part{
			circuit.Resistor{Name: "RC" + n, A: "plus", B: "c" + n, Ohms: 4700},
			circuit.Resistor{Name: "RB" + n, A: "b" + n, B: circuit.Ground, Ohms: 10},
			idealJunction("Q"+n, "c"+n, "b"+n, "tail", 1e9, exact),
		}
	}
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "V+", Plus: "plus", Minus: circuit.Ground, DC: 12},
		circuit.VoltageSource{Name: "V-", Plus: "minus", Minus: circuit.Ground, DC: -12},
		circuit.Resistor{Name: "RE", A: "tail", B: "minus", Ohms: 3300},
	}
	parts = append(append(parts, half("1")...), half("2")...)
	return Circuit{Name: "differential pair", Kelvin: biasKelvin, Parts: parts,
		Source: "open text, electronics exam bank",
		Currents: []Current{
			{"Q1", printed(1.712e-3, 0.5e-6)}, {"Q2", printed(1.712e-3, 0.5e-6)},
			{"Q1", calc(exact, 1e-7)}, {"Q2", calc(exact, 1e-7)},
		},
		Volts: []Volts{
			{"c1", "tail", printed(4.653, 5e-4)},
			{"c2", "tail", printed(4.653, 5e-4)},
			{"c1", "tail", calc(12.7-4700*exact, 1e-7)},
		},
	}
}

// commonEmitter is 1 mA with 4.7 k of load: 26 mV/1 mA is 26 ohm, so the gain
// is 4700/26 = 181, halved when driven from 2600 ohm, which is the input
// resistance at beta 100.
func commonEmitter(from float64) Circuit {
	const beta, amperes, load = 100, 1e-3, 4700
	gain := printed(181, 0.5)
	exact := calc(load*amperes/0.026, 1e-7)
	name := "common emitter at 1 mA"
	if from > 0 {
		name += " from 2600 ohm"
		gain = printed(181.0/2, 0.25)
		exact = calc(load*amperes/0.026/2, 1e-7)
	}
	out := across("c", circuit.Ground)
	turned := at(Value{180, 1e-6, Calculated})
	return Circuit{Name: name, Kelvin: biasKelvin,
		Source: "T. R. Kuphaldt, Lessons in Electric Circuits vol. III, ch. 4",
		Parts: []circuit.Part{
			circuit.VoltageSource{Name: "VCC", Plus: "vcc", Minus: circuit.Ground, DC: 10},
			circuit.VoltageSource{Name: "source", Plus: "s", Minus: circuit.Ground, DC: 0.7 + from*amperes/beta},
			circuit.Resistor{Name: "RS", A: "s", B: "b", Ohms: from},
			circuit.Resistor{Name: "RC", A: "vcc", B: "c", Ohms: load},
			idealJunction("Q", "c", "b", circuit.Ground, beta, amperes),
		},
		Volts:    []Volts{{"c", circuit.Ground, printed(5.3, 0.05)}, {"c", circuit.Ground, calc(5.3, 1e-7)}},
		Currents: []Current{{"Q", calc(amperes, 1e-7)}},
		Gains: []Gain{
			{Probe: out, Hz: 1000, Magnitude: gain, Degrees: turned},
			{Probe: out, Hz: 1000, Magnitude: exact, Degrees: turned},
		},
	}
}
