package known

import (
	"fmt"
	"math"

	"bandwright/circuit"
)

// JohnsonNoise is the thermal noise of single resistors, √(4kTR), with the
// Boltzmann constant of the SI of 2019. Where the source gives a voltage over
// a bandwidth it is divided by the root of that bandwidth.
func JohnsonNoise() []Circuit {
	return []Circuit{
		johnson(1e3, 300, Value{4.070355e-9, 5e-16, Calculated}),
		johnson(1e3, 290, Value{4.001941e-9, 5e-16, Calculated}),
		johnson(10e3, 298.15, Value{1.28318e-6 / math.Sqrt(10e3), 5e-12 / math.Sqrt(10e3), Calculated}),
		johnson(100e3, 293.15, Value{5.69025e-6 / math.Sqrt(20e3), 5e-12 / math.Sqrt(20e3), Calculated}),
		johnson(1e6, 310, Value{1.31e-4 / math.Sqrt(1e6), 5e-7 / math.Sqrt(1e6), Read}),
		johnson(1e6, 310, Value{1.30844e-4 / math.Sqrt(1e6), 5e-10 / math.Sqrt(1e6), Calculated}),
	}
}

func johnson(ohms, kelvin float64, density Value) Circuit {
	c := Circuit{Name: fmt.Sprintf("noise of %g ohm at %g K, %s", ohms, kelvin, density.Mark),
		Source: "thermal noise √(4kTR), k exact (SI 2019)", Kelvin: kelvin,
		Parts: []circuit.Part{circuit.Resistor{Name: "R", A: "out", B: circuit.Ground, Ohms: ohms}},
	}
	for _, hz := range []float64{20, 1000, 20e3} {
		c.Noise = append(c.Noise, Noise{Point: "out", Hz: hz, Value: density})
	}
	return c
}
