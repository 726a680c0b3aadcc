package stock

import "math"

// Conversions between what is seen from outside and what a circuit computes
// with. All arguments are in base units and above nought unless said.

// Zero degrees and slope of copper: R(T) = R20 (1 + 0.00393 (T − 20 °C)).
// IEC 60028, as quoted by a second text.
const (
	copperSlope = 0.00393
	room        = 20.0 // °C, of readings without a temperature
)

// ParallelHenries gives the parallel inductance of a coil of Ls at Q.
func ParallelHenries(series, q float64) float64 { return series * (1 + 1/(q*q)) }

// SeriesHenries gives the series inductance of a coil of Lp at Q.
func SeriesHenries(parallel, q float64) float64 { return parallel / (1 + 1/(q*q)) }

// SeriesFarads gives the series capacitance of a capacitor of Cp at D.
func SeriesFarads(parallel, d float64) float64 { return parallel * (1 + d*d) }

// ParallelFarads gives the parallel capacitance of a capacitor of Cs at D.
func ParallelFarads(series, d float64) float64 { return series / (1 + d*d) }

// SeenHenries gives what a coil without losses and with farads across it
// looks like: L/(1 − ω²LC). From its self-resonance up ok is false: there it
// looks like no coil.
func SeenHenries(henries, farads, hertz float64) (seen float64, ok bool) {
	below := 1 - square(omega(hertz))*henries*farads
	if below <= 0 {
		return 0, false
	}
	return henries / below, true
}

// TrueHenries gives the inductance of a coil without losses that is seen with
// farads across it: the inverse of SeenHenries.
func TrueHenries(seen, farads, hertz float64) float64 {
	return seen / (1 + square(omega(hertz))*seen*farads)
}

// ResonantFarads gives the capacitance that tunes a coil to a frequency, from
// its self-resonance: 1/(ω²L).
func ResonantFarads(henries, hertz float64) float64 {
	return 1 / (square(omega(hertz)) * henries)
}

// ResonantHertz gives the frequency of a coil with a capacitance across it.
func ResonantHertz(henries, farads float64) float64 {
	return 1 / (2 * math.Pi * math.Sqrt(henries*farads))
}

// Copper gives the resistance at to °C of copper with ohms at from °C.
func Copper(ohms, from, to float64) float64 {
	return ohms * (1 + copperSlope*(to-room)) / (1 + copperSlope*(from-room))
}

// CoreOhms gives the resistor across an inductance that is its core loss, of a
// Q of the core alone at a frequency: ωLQ.
func CoreOhms(henries, q, hertz float64) float64 { return omega(hertz) * henries * q }

// CoreQ gives the Q that a core-loss resistor alone leaves at a frequency.
func CoreQ(henries, ohms, hertz float64) float64 { return ohms / (omega(hertz) * henries) }

func omega(hertz float64) float64 { return 2 * math.Pi * hertz }

func square(x float64) float64 { return x * x }

// nearness is how far two frequencies lie apart, as a ratio from 1 up; a
// frequency nobody wrote down is far from all.
func nearness(a, b float64) float64 {
	if a <= 0 || b <= 0 {
		return math.MaxFloat64
	}
	return max(a/b, b/a)
}
