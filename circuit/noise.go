package circuit

import (
	"context"
	"math"
	"math/cmplx"
)

// hiss is one noise source: how it enters the equations for one volt or
// ampere, and its density, white + ω·perOmega, in V²/Hz or A²/Hz.
type hiss struct {
	terms           []term
	white, perOmega float64
}

// A hisser is a part that makes noise: thermal where it has resistance
// (Johnson 1928, Nyquist 1928: 4kTR), shot where it has a junction
// (Schottky 1918: 2qI). The resistances of an OpAmp are its model's, not
// resistors, and make none.
type hisser interface {
	hisses(at place, kelvin float64) []hiss
}

// inVolts is thermal noise in series with a branch.
func inVolts(branch int, ohms, kelvin float64) hiss {
	return hiss{terms: []term{{row: branch, g: 1}}, white: 4 * boltzmann * kelvin * ohms}
}

// inAmperes is a noise current from one node to another.
func inAmperes(a, b int) []term {
	return []term{{row: a, g: -impedanceUnit}, {row: b, g: impedanceUnit}}
}

func (r Resistor) hisses(at place, kelvin float64) []hiss {
	if r.branches(at) == 1 {
		return []hiss{inVolts(at.branch, r.Ohms, kelvin)}
	}
	return []hiss{{terms: inAmperes(at.node[0], at.node[1]), white: 4 * boltzmann * kelvin / r.Ohms}}
}

func (c Contact) hisses(at place, kelvin float64) []hiss {
	if r, ok := c.resistor(at); ok {
		return r.hisses(at, kelvin)
	}
	return nil
}

func (c Capacitor) hisses(at place, kelvin float64) []hiss {
	loss := hiss{perOmega: 4 * boltzmann * kelvin * c.Farads * c.Loss}
	if c.ESR == 0 {
		loss.terms = inAmperes(at.node[0], at.node[1])
		return []hiss{loss}
	}
	loss.terms = []term{{row: at.branch, g: impedanceUnit}}
	series := hiss{
		terms: []term{{row: at.branch, c: c.perOmega() * impedanceUnit}},
		white: 4 * boltzmann * kelvin * c.ESR,
	}
	return []hiss{loss, series}
}

func (l Inductor) hisses(at place, kelvin float64) []hiss {
	copper := inVolts(at.branch, l.DCR, kelvin)
	if l.inner() {
		// the copper's noise also lies across the self-capacitance
		copper.terms = append(copper.terms, term{row: at.branch + 1, c: complex(0, -l.SelfFarads*impedanceUnit)})
	}
	list := []hiss{copper}
	if l.CoreOhms == 0 {
		return list
	}
	core := hiss{white: 4 * boltzmann * kelvin / l.CoreOhms}
	if l.inner() {
		core.terms = []term{{row: at.branch + 1, g: impedanceUnit}}
	} else {
		// the noise current passes the coil's terminals and its DCR
		core.terms = append(inAmperes(at.node[0], at.node[1]), term{row: at.branch, g: l.DCR})
	}
	return append(list, core)
}

func (s Slider) hisses(at place, kelvin float64) []hiss {
	upper, lower := s.halves(at.travel)
	wiper := hiss{
		terms: []term{{row: at.branch, g: 1}, {row: at.branch + 1, g: -1}},
		white: 4 * boltzmann * kelvin * s.WiperOhms,
	}
	return []hiss{inVolts(at.branch, upper, kelvin), inVolts(at.branch+1, lower, kelvin), wiper}
}

// shot gives the shot noise of a device's currents.
func (st *State) shot(d device, at place) []hiss {
	i, g := d.model(st.point.controls(d, at), realValues(d.modelValues()), st.thermal())
	_, flows := d.ports(at)
	var list []hiss
	for k, flow := range flows {
		list = append(list, hiss{terms: inAmperes(flow[0], flow[1]), white: 2 * electron * math.Abs(real(i[k]))})
	}
	if _, ok := d.(Triode); ok {
		list[0].white = spaceChargeNoise(real(g[0][0]))
	}
	return list
}

// Noise is the noise at one point, in V²/Hz at each frequency.
type Noise struct {
	Hz    []float64
	Total []float64   // all parts together: they are independent
	Parts []PartNoise // in the circuit's order, silent parts left out
}

// PartNoise is one part's share of the total.
type PartNoise struct {
	Part  string
	Power []float64 // V²/Hz, one a frequency
}

// Noise gives the noise at a point, every part's share found from one
// solution of the adjoint circuit a frequency (Rohrer, Nagel, Meyer and Weber
// 1971). All sources are silent: a source's own noise is that of its ohms.
func (st *State) Noise(ctx context.Context, out string, hz []float64) (*Noise, error) {
	e, err := st.outTerms(out)
	if err != nil {
		return nil, err
	}
	checkHz(hz)
	n := &Noise{Hz: hz, Total: make([]float64, len(hz))}
	var sources [][]hiss
	for i, p := range st.net.circuit.parts {
		list := st.hissesOf(p, st.net.at[i])
		if len(list) > 0 {
			n.Parts = append(n.Parts, PartNoise{Part: p.PartName(), Power: make([]float64, len(hz))})
			sources = append(sources, list)
		}
	}
	err = st.matrix.eachAdjoint(ctx, e, hz, func(k int, omega float64, lambda []complex128) {
		for i, list := range sources {
			power := powerOf(list, lambda, omega)
			n.Parts[i].Power[k] = power
			n.Total[k] += power
		}
	})
	return n, err
}

func (st *State) hissesOf(p Part, at place) []hiss {
	var list []hiss
	if h, ok := p.(hisser); ok {
		list = h.hisses(at, st.kelvin)
	}
	if d, ok := p.(device); ok {
		list = st.shot(d, at)
	}
	var loud []hiss
	for _, h := range list {
		h.terms = kept(h.terms)
		if (h.white > 0 || h.perOmega > 0) && len(h.terms) > 0 {
			loud = append(loud, h)
		}
	}
	return loud
}

func powerOf(list []hiss, lambda []complex128, omega float64) float64 {
	var sum float64
	for _, h := range list {
		transfer := cmplx.Abs(dot(h.terms, lambda, omega))
		sum += transfer * transfer * (h.white + omega*h.perOmega)
	}
	return sum
}

// Density gives the noise at the k-th frequency in volts per root hertz.
func (n *Noise) Density(k int) float64 { return math.Sqrt(n.Total[k]) }

// Band gives the root-mean-square volts between the first and last frequency:
// the square root of the integral of the density times |weight|², by the
// trapezoid rule in f. weight is a gain by frequency; nil means 1.
func (n *Noise) Band(weight func(hz float64) float64) float64 { return rms(n.Hz, n.Total, weight) }

// Band gives one part's root-mean-square volts, as Noise.Band.
func (p PartNoise) Band(hz []float64, weight func(hz float64) float64) float64 {
	return rms(hz, p.Power, weight)
}

func rms(hz, power []float64, weight func(float64) float64) float64 {
	weighted := func(i int) float64 {
		if weight == nil {
			return power[i]
		}
		w := weight(hz[i])
		return power[i] * w * w
	}
	var sum float64
	for i := 1; i < len(hz); i++ {
		sum += (weighted(i-1) + weighted(i)) / 2 * (hz[i] - hz[i-1])
	}
	return math.Sqrt(sum)
}

// AWeight is the A-weighting of IEC 61672-1 as a gain, 1 at 1 kHz. The poles
// are the standard's; the gain at 1 kHz is made exactly 1 rather than by its
// rounded constant.
func AWeight(hz float64) float64 {
	return aShape(hz) / aShape(1000)
}

func aShape(hz float64) float64 {
	const p1, p2, p3, p4 = 20.598997, 107.65265, 737.86223, 12194.217
	f := hz * hz
	return f * f * p4 * p4 / ((f + p1*p1) * math.Sqrt((f+p2*p2)*(f+p3*p3)) * (f + p4*p4))
}
