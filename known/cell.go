package known

import (
	"fmt"
	"math"
	"math/rand/v2"

	"bandwright/circuit"
	"bandwright/curve"
)

// Leg is one band of the ideal cell: a slider of Track ohms between the two
// buses, Share of its track below the wiper (0 at the cut bus, 1 at the boost
// bus), and a series leg from wiper to ground.
type Leg struct {
	Track                 float64 // ohm; 0 is legal
	Share                 float64 // p = (position+1)/2
	Ohms, Henries, Farads float64 // Ohms > 0
}

// Impedance of the series leg at hz.
func (l Leg) Impedance(hz float64) complex128 {
	w := 2 * math.Pi * hz
	return complex(l.Ohms, w*l.Henries-1/(w*l.Farads))
}

// IdealCell is the gain of the slider-across-the-inputs cell with an ideal
// amplifier and ohms in feed and feedback alike, for any number of legs:
//
//	H = [1 + R Σ pᵢYᵢ] / [1 + R Σ (1−pᵢ)Yᵢ],  Yᵢ = 1/(Zᵢ + pᵢ(1−pᵢ)·Track)
//
// worked out from the definition: each slider is a divider between two nodes
// at the same voltage.
func IdealCell(ohms float64, legs []Leg, hz float64) complex128 {
	z := make([]complex128, len(legs))
	for i, l := range legs {
		z[i] = l.Impedance(hz)
	}
	return IdealCellOf(ohms, legs, z)
}

// IdealCellOf is IdealCell with the legs' impedances given, whatever they are
// made of.
func IdealCellOf(ohms float64, legs []Leg, impedances []complex128) complex128 {
	up, down := complex(1, 0), complex(1, 0)
	for i, l := range legs {
		y := 1 / (impedances[i] + complex(l.Share*(1-l.Share)*l.Track, 0))
		up += complex(ohms*l.Share, 0) * y
		down += complex(ohms*(1-l.Share), 0) * y
	}
	return up / down
}

// IdealCellParts is the same cell as parts, with its setting. Source "source"
// stands at point "generator", the output at point "out"; bands are named "1",
// "2", … .
func IdealCellParts(ohms float64, legs []Leg) ([]circuit.Part, curve.Setting) {
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "source", Plus: "generator", Minus: circuit.Ground},
		circuit.Resistor{Name: "feed", A: "generator", B: "cut", Ohms: ohms},
		circuit.Resistor{Name: "feedback", A: "out", B: "boost", Ohms: ohms},
		circuit.OpAmp{Name: "driver", Plus: "cut", Minus: "boost", Out: "out", Ideal: true},
	}
	var setting curve.Setting
	for i, l := range legs {
		band := fmt.Sprint(i + 1)
		wiper, a, b := band+".wiper", band+".a", band+".b"
		parts = append(parts,
			circuit.Slider{Name: band, Boost: "boost", Wiper: wiper, Cut: "cut", Track: l.Track},
			circuit.Resistor{Name: band + ".resistor", A: wiper, B: a, Ohms: l.Ohms},
			circuit.Inductor{Name: band + ".coil", A: a, B: b, Henries: l.Henries},
			circuit.Capacitor{Name: band + ".capacitor", A: b, B: circuit.Ground, Farads: l.Farads},
		)
		setting = setting.WithSlider(band, 2*l.Share-1)
	}
	return parts, setting
}

// RandomCell draws feed ohms and legs with resonances spread over 20 Hz to
// 20 kHz. About one slider in four stands exactly at an end, one in eight in
// the middle.
func RandomCell(rng *rand.Rand, bands int) (ohms float64, legs []Leg) {
	ohms = logBetween(rng, 500, 50e3)
	for range bands {
		hz := logBetween(rng, 20, 20e3)
		reactance := logBetween(rng, 300, 3000)
		leg := Leg{
			Track:   logBetween(rng, 2e3, 200e3),
			Share:   rng.Float64(),
			Ohms:    logBetween(rng, 50, 2e3),
			Henries: reactance / (2 * math.Pi * hz),
			Farads:  1 / (2 * math.Pi * hz * reactance),
		}
		switch rng.IntN(8) {
		case 0:
			leg.Share = 0
		case 1:
			leg.Share = 1
		case 2:
			leg.Share = 0.5
		}
		legs = append(legs, leg)
	}
	return ohms, legs
}

// logBetween draws evenly on a logarithmic scale.
func logBetween(rng *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, rng.Float64())
}
