package circuit

import "math"

// CopperKelvin is the temperature coefficient of copper's resistance at
// 20 °C, per kelvin (IEC 60028, as quoted by a second text).
const CopperKelvin = 0.00393

// CopperOhms gives the resistance at one temperature of copper wire that was
// measured at another, both in °C: R = R20·(1 + 0.00393·(T − 20)). False: one
// of them lies below −200 °C, where the straight line does not hold.
func CopperOhms(ohms, measured, at float64) (warm float64, ok bool) {
	const least = -200
	if !(measured >= least && at >= least) {
		return 0, false
	}
	return ohms * ((1 + CopperKelvin*(at-20)) / (1 + CopperKelvin*(measured-20))), true
}

// CoreOhms gives the core loss of an inductance alone (no copper) whose
// quality at one frequency is q: the resistor R = q·2πf·L across it.
func CoreOhms(q, hz, henries float64) float64 { return q * 2 * math.Pi * hz * henries }

// CoreOhmsOfCoil gives the core loss that makes the whole coil, copper
// included, have quality q at one frequency. With X = 2πf·L and y = Rc/X the
// coil is DCR + X·y/(1+y²) + jX·y²/(1+y²), so that
//
//	y²·(X − q·DCR) − q·X·y − q·DCR = 0
//
// whose one root above 0 is taken. False: the copper alone already makes the
// quality that low or lower, and no core loss fits.
func CoreOhmsOfCoil(q, hz, henries, dcr float64) (ohms float64, ok bool) {
	x := 2 * math.Pi * hz * henries
	lead := x - q*dcr
	if !(lead > 0) || !(q > 0) {
		return 0, false
	}
	y := (q*x + math.Sqrt(q*q*x*x+4*lead*q*dcr)) / (2 * lead)
	return y * x, true
}

// Impedance gives the coil's impedance at one frequency: copper, core loss
// and self-capacitance included, couplings left out.
func (l Inductor) Impedance(hz float64) complex128 {
	omega := 2 * math.Pi * hz
	y := 1 / complex(0, omega*l.Henries)
	if l.CoreOhms > 0 {
		y += complex(1/l.CoreOhms, 0)
	}
	if l.SelfInside {
		y += complex(0, omega*l.SelfFarads)
	}
	z := complex(l.DCR, 0) + 1/y
	if !l.SelfInside && l.SelfFarads > 0 {
		z = 1 / (1/z + complex(0, omega*l.SelfFarads))
	}
	return z
}

// Quality gives the coil's Q at one frequency, reactance over resistance: 1
// over the sum of 1/Q of copper and core where both are high. It is below 0
// above the coil's self-resonance, and infinite without any loss.
func (l Inductor) Quality(hz float64) float64 {
	z := l.Impedance(hz)
	return imag(z) / real(z)
}
