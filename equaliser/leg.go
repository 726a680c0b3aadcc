package equaliser

import "math"

// StartingLeg gives the values of a leg that makes, in a cell with an ideal
// amplifier, equal feed and feedback resistors and no other band, a peak of
// boostDB at centreHz with the given q (centre over the width at half the
// boost in dB, as the Audio EQ Cookbook measures it).
//
// With G = 10^(boostDB/20) the whole series resistance of the leg is
// feedOhms/(G−1), for the cell's gain at resonance is 1 + feed/leg; the leg's
// own Q is q·√G (both worked out from the definitions: see docs/theory.md).
// Part of that resistance is the coil's: dcr = dcrPerHenry·henries, and ohms is
// what remains for the resistor. ohms ≤ 0 means that no resistor is small
// enough: the coil's copper alone already takes the boost below boostDB.
//
// It is a start and no more: neighbours pull centres apart and lower the boost,
// which only the whole circuit tells.
//
// All arguments but dcrPerHenry (≥ 0) must be above 0; else it panics.
func StartingLeg(centreHz, boostDB, q, feedOhms, dcrPerHenry float64) (ohms, henries, farads, dcr float64) {
	if !(centreHz > 0) || !(boostDB > 0) || !(q > 0) || !(feedOhms > 0) || !(dcrPerHenry >= 0) {
		panic("equaliser: StartingLeg wants centre, boost, q and feed above 0")
	}
	gain := math.Pow(10, boostDB/20)
	total := feedOhms / (gain - 1)
	omega := 2 * math.Pi * centreHz
	henries = q * math.Sqrt(gain) * total / omega
	farads = 1 / (omega * omega * henries)
	dcr = dcrPerHenry * henries
	return total - dcr, henries, farads, dcr
}

// legResonance is the frequency at which a coil and a capacitor in series
// cancel, in hertz.
func legResonance(henries, farads float64) float64 {
	return 1 / (2 * math.Pi * math.Sqrt(henries*farads))
}
