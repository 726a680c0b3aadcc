package main

import (
	"math"
	"math/rand/v2"
)

// unit is one built equaliser: what its parts truly are.
type unit struct {
	name         string
	rail         float64 // volts
	beta1, beta2 float64
	driver       []part
	legs         []leg
	hidden       []string // what is wrong with it, in words
}

// asDrawn is the unit that the job promises: every part exactly as marked or
// measured.
func asDrawn() unit {
	return unit{name: "as drawn", rail: 24, beta1: 300, beta2: 300, driver: driver(), legs: bands()}
}

// scatter is how far a unit's parts lie from the job's figures: one standard
// deviation as a share, except that the driver's parts and the tracks take a
// quarter of their tolerance. Nothing lies beyond two and a half.
type scatter struct{ coil, capacitor, resistor float64 }

// built gives a unit whose parts are scattered from the seed.
func built(name string, seed uint64, s scatter) unit {
	random := rand.New(rand.NewPCG(seed, 1))
	off := func(deviation float64) float64 {
		return 1 + deviation*math.Max(-2.5, math.Min(2.5, random.NormFloat64()))
	}
	u := asDrawn()
	u.name = name
	u.rail *= off(0.01)
	u.beta1 *= off(0.15)
	u.beta2 *= off(0.15)
	for i := range u.driver {
		u.driver[i].value *= off(u.driver[i].spread / 4)
	}
	for i := range u.legs {
		l := &u.legs[i]
		l.henries *= off(s.coil)
		l.dcr *= off(0.01)
		l.core *= off(0.05)
		l.self *= off(0.05)
		l.farads *= off(s.capacitor)
		l.resistor *= off(s.resistor)
		l.track *= off(0.05)
	}
	return u
}

// The seeds of the two units' parts and of the noise in their takes.
const (
	seedA = 6301
	seedB = 6302
)

// unitA is the unit whose parts the job's meter readings are of: it lies as far
// from them as a good meter errs.
func unitA() unit {
	return built("A", seedA, scatter{coil: 0.003, capacitor: 0.002, resistor: 0.002})
}

// The three deviations of unit B.
const (
	coilLow  = 0.90  // of the 400 Hz coil's henries
	dryJoint = 100.0 // ohm in the 1000 Hz leg
)

// unitB was made to the same list from parts out of the same bags that nobody
// measured, and has three things wrong with it.
func unitB() unit {
	u := built("B", seedB, scatter{coil: 0.005, capacitor: 0.004, resistor: 0.0025})
	u.legs[2].henries *= coilLow
	u.legs[3].resistor += dryJoint
	u.legs[4].reversed = true
	u.hidden = []string{
		"the 400 Hz coil has 10 % less inductance than its neighbours from the same bag",
		"a dry joint puts 100 ohm more into the 1000 Hz leg",
		"the 2500 Hz slider's ends are exchanged: boost lead on the cut end",
	}
	return u
}
