package circuit

import (
	"math"
	"math/cmplx"
)

// PartName gives the name.
func (z Zener) PartName() string { return z.Name }

// Terminals gives Anode, Cathode.
func (z Zener) Terminals() []string { return []string{z.Anode, z.Cathode} }

func (z Zener) values() []value {
	test := value{"TestAmperes", z.TestAmperes, positive}
	if z.TestAmperes > 0 && z.Is >= z.TestAmperes {
		test.value = 0 // the forward leakage would already carry it
	}
	return []value{
		{"Is", z.Is, positive}, {"N", z.N, notNegative}, {"Volts", z.Volts, positive},
		test, {"SlopeOhms", z.SlopeOhms, notNegative},
	}
}

func (z Zener) branches(place) int { return 0 }

func (z Zener) stamp(at place, to *stamps) {
	to.admit(at.node[0], at.node[1], junctionLeak, 0)
}

func (z Zener) slope(place, string, *stamps) bool { return false }

func (z Zener) ports(at place) (controls, flows [][2]int) {
	ports := [][2]int{{at.node[0], at.node[1]}}
	return ports, ports
}

func (z Zener) modelValues() []value {
	return []value{
		{"Is", z.Is, positive}, {"N", oneIfZero(z.N), positive}, {"Volts", z.Volts, positive},
		{"TestAmperes", z.TestAmperes, positive}, {"SlopeOhms", z.SlopeOhms, notNegative},
	}
}

// model: a diode forward, and backward an exponential of its own,
//
//	i = Is·(exp(v/(n·VT)) − 1) − B·(exp(−(v + Vz)/w) − exp(−Vz/w))
//
// with w = SlopeOhms·TestAmperes. The last term makes i(0) = 0 exactly, and B
// follows from i(−Vz) = −TestAmperes exactly; B is TestAmperes but for the
// forward leakage and exp(−Vz/w), so that dv/di there is the slope resistance.
// Both exponentials rise with v: the current is monotone.
func (z Zener) model(v pair, p []complex128, thermal float64) (i pair, g [2]pair) {
	is, nvt := p[0], p[1]*complex(thermal, 0)
	volts, test, knee := p[2], p[3], complex(thermal, 0)
	if p[4] != 0 {
		knee = p[4] * test
	}
	e, slope := exponential(v[0] / nvt)
	r, rise := exponential(-(v[0] + volts) / knee)
	rest := cmplx.Exp(-volts / knee)
	b := (test - is*(1-cmplx.Exp(-volts/nvt))) / (1 - rest)
	i[0] = is*(e-1) - b*(r-rest)
	g[0][0] = is*slope/nvt + b*rise/knee
	return i, g
}

// start: between the two knees.
func (z Zener) start(float64) pair { return pair{} }

// limit: nearer to the breakdown than to 0 V the step is limited as that of a
// junction turned round.
func (z Zener) limit(_ int, wanted, was, thermal float64) float64 {
	forward := bend{z.Is, oneIfZero(z.N) * thermal}
	if wanted > -z.Volts/2 {
		return forward.limit(wanted, was)
	}
	knee := thermal
	if z.SlopeOhms > 0 {
		knee = z.SlopeOhms * z.TestAmperes
	}
	// The exponential is written by a saturation current far below the test
	// current, which moves its 0 V towards 0 V of the diode: an exponential
	// looks the same from everywhere but must not be met at its knee at once.
	const far = 1e-10
	shift := knee * math.Log(1/far)
	backward := bend{z.TestAmperes * far, knee}
	return -(backward.limit(-(wanted+z.Volts)+shift, -(was+z.Volts)+shift) - shift) - z.Volts
}
