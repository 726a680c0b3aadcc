package circuit

import (
	"math"
	"math/cmplx"
)

// PartName gives the name.
func (v Triode) PartName() string { return v.Name }

// Terminals gives Plate, Grid, Cathode.
func (v Triode) Terminals() []string { return []string{v.Plate, v.Grid, v.Cathode} }

func (v Triode) values() []value {
	return []value{
		{"Mu", v.Mu, positive}, {"Exponent", v.Exponent, aboveOne},
		{"KG1", v.KG1, positive}, {"KP", v.KP, positive}, {"KVB", v.KVB, positive},
		{"GridIs", v.GridIs, notNegative}, {"GridN", v.GridN, notNegative},
		{"GridCathodeFarads", v.GridCathodeFarads, notNegative},
		{"GridPlateFarads", v.GridPlateFarads, notNegative},
		{"PlateCathodeFarads", v.PlateCathodeFarads, notNegative},
	}
}

func (v Triode) branches(place) int { return 0 }

func (v Triode) stamp(at place, to *stamps) {
	plate, grid, cathode := at.node[0], at.node[1], at.node[2]
	to.admit(plate, cathode, junctionLeak, complex(0, v.PlateCathodeFarads))
	to.admit(grid, cathode, junctionLeak, complex(0, v.GridCathodeFarads))
	to.admit(grid, plate, 0, complex(0, v.GridPlateFarads))
}

func (v Triode) slope(at place, name string, to *stamps) bool {
	plate, grid, cathode := at.node[0], at.node[1], at.node[2]
	switch name {
	case "GridCathodeFarads":
		to.admit(grid, cathode, 0, 1i)
	case "GridPlateFarads":
		to.admit(grid, plate, 0, 1i)
	case "PlateCathodeFarads":
		to.admit(plate, cathode, 0, 1i)
	default:
		return false
	}
	return true
}

// links: the grid is a junction even where it draws no current, so that a
// grid without a leak resistor is named and not taken to be at 0 V.
func (v Triode) links() []link {
	between := []link{{0, 2, junction}, {1, 2, junction}}
	for _, c := range []struct {
		a, b   int
		farads float64
	}{{1, 2, v.GridCathodeFarads}, {1, 0, v.GridPlateFarads}, {0, 2, v.PlateCathodeFarads}} {
		if c.farads > 0 {
			between = append(between, link{c.a, c.b, signal})
		}
	}
	return between
}

// ports: grid and plate, both from the cathode, control the plate's and the
// grid's current.
func (v Triode) ports(at place) (controls, flows [][2]int) {
	plate := [2]int{at.node[0], at.node[2]}
	grid := [2]int{at.node[1], at.node[2]}
	return [][2]int{grid, plate}, [][2]int{plate, grid}
}

func (v Triode) modelValues() []value {
	return []value{
		{"Mu", v.Mu, positive}, {"Exponent", v.Exponent, aboveOne},
		{"KG1", v.KG1, positive}, {"KP", v.KP, positive}, {"KVB", v.KVB, positive},
		{"GridIs", v.GridIs, notNegative}, {"GridN", oneIfZero(v.GridN), positive},
	}
}

// model: Koren (1996), with the plate's volts Ep and the grid's Eg from the
// cathode:
//
//	E1 = (Ep/kP)·ln(1 + exp(kP·(1/µ + Eg/√(kVB + Ep²))))
//	Ip = (E1^x/kG1)·(1 + sgn E1)
//
// so 2·E1^x/kG1 while E1 is above 0 and nothing below.
func (v Triode) model(e pair, p []complex128, thermal float64) (i pair, g [2]pair) {
	mu, x, kg, kp, kvb := p[0], p[1], p[2], p[3], p[4]
	grid, plate := e[0], e[1]
	root := cmplx.Sqrt(kvb + plate*plate)
	log, share := softPlus(kp * (1/mu + grid/root))
	e1 := plate * log / kp
	byGrid := plate * share / root
	byPlate := log/kp - plate*plate*share*grid/(root*root*root)
	// Below this neither the current nor its slope has a digit left.
	const least = 1e-200
	if real(e1) > least {
		i[0] = 2 / kg * cmplx.Exp(x*cmplx.Log(e1))
		slope := x * i[0] / e1
		g[0] = pair{slope * byGrid, slope * byPlate}
	}
	nvt := p[6] * complex(thermal, 0)
	rise, slope := exponential(grid / nvt)
	i[1] = p[5] * (rise - 1)
	g[1][0] = p[5] * slope / nvt
	return i, g
}

// start: everything at the cathode's volts, where no plate current flows and
// the plate goes to its rail first.
func (v Triode) start(float64) pair { return pair{} }

// limit: only the grid's diode bends hard.
func (v Triode) limit(j int, wanted, was, thermal float64) float64 {
	if j == 0 && v.GridIs > 0 {
		return bend{v.GridIs, oneIfZero(v.GridN) * thermal}.limit(wanted, was)
	}
	return wanted
}

// softPlus is ln(1 + exp(u)) and its slope 1/(1 + exp(−u)), without overflow
// and without loss where exp(u) is small beside 1.
func softPlus(u complex128) (value, slope complex128) {
	if real(u) > 0 {
		e := cmplx.Exp(-u)
		return u + logOnePlus(e), 1 / (1 + e)
	}
	e := cmplx.Exp(u)
	return logOnePlus(e), e / (1 + e)
}

// logOnePlus is ln(1 + z), exact for small z: |1 + z|² = 1 + a(2 + a) + b².
func logOnePlus(z complex128) complex128 {
	a, b := real(z), imag(z)
	return complex(math.Log1p(a*(2+a)+b*b)/2, math.Atan2(b, 1+a))
}

// spaceChargeNoise is the density of a triode's plate current, A²/Hz, gm its
// transconductance. The cloud before the cathode smooths the shot noise to
// that of a resistor of about 2.5/gm at the grid at room temperature, whatever
// the circuit's (Thompson, North and Harris 1940; from memory).
func spaceChargeNoise(gm float64) float64 {
	const room, gridOhms = 290, 2.5
	return 4 * boltzmann * room * gridOhms * gm
}
