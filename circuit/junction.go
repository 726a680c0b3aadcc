package circuit

import (
	"math"
	"math/cmplx"
)

// Physical constants, exact since the SI of 2019.
const (
	boltzmann = 1.380649e-23    // J/K
	electron  = 1.602176634e-19 // C
)

// junctionLeak is a conductance across every junction, far below any leakage
// an audio circuit would notice; it keeps Newton's matrix regular while a
// junction is off.
const junctionLeak = 1e-15

// pair is two numbers or unknowns of a device: at most two volts control it
// and at most two currents flow in it.
type pair [2]complex128

// A device is a part whose currents are not linear in its volts.
//
// The model is written over complex numbers so that every derivative that
// is wanted (of a current or a conductance, by a volt or a value of the part)
// is taken by a complex step (Squire and Trapp 1998): f(x + ih) = f(x) +
// ih·f′(x) to machine precision, with no difference of near-equal numbers and
// no second set of formulas that could disagree with the first.
type device interface {
	Part
	// ports gives the node pairs of the controlling volts and of the
	// currents, from the first node to the second.
	ports(at place) (controls, flows [][2]int)
	// model gives the currents, and their derivatives by each controlling
	// volt, from the part's values in the order of modelValues.
	model(v pair, values []complex128, thermal float64) (i pair, g [2]pair)
	// modelValues names the values that the model depends on.
	modelValues() []value
	// start gives the controlling volts that Newton's method begins at.
	start(thermal float64) pair
	// limit gives how far the j-th controlling volt may go from where it was
	// towards where Newton's method wants it.
	limit(j int, wanted, was, thermal float64) float64
}

// bend is a junction's exponential as far as limiting it needs.
type bend struct{ is, nvt float64 }

// knee is the voltage at which the exponential bends away hardest (Nagel
// 1975): nVT·ln(nVT/(√2·Is)).
func (b bend) knee() float64 {
	return max(b.nvt*math.Log(b.nvt/(math.Sqrt2*b.is)), 0)
}

// limit: beyond the knee a step is taken in the current's logarithm, not in
// volts (Nagel 1975, the form with knee voltage).
func (b bend) limit(wanted, was float64) float64 {
	if wanted <= b.knee() || math.Abs(wanted-was) <= 2*b.nvt {
		return wanted
	}
	if was <= 0 {
		return b.nvt * math.Log(wanted/b.nvt)
	}
	change := 1 + (wanted-was)/b.nvt
	if change <= 0 {
		return b.knee()
	}
	return was + b.nvt*math.Log(change)
}

// exponential grows straight on above exp(80): no part carries such a
// current, but Newton may pass there.
func exponential(x complex128) (value, slope complex128) {
	const most = 80
	if real(x) > most {
		top := cmplx.Exp(most)
		return top * (1 + x - most), top
	}
	e := cmplx.Exp(x)
	return e, e
}

// PartName gives the name.
func (d Diode) PartName() string { return d.Name }

// Terminals gives Anode, Cathode.
func (d Diode) Terminals() []string { return []string{d.Anode, d.Cathode} }

func (d Diode) values() []value {
	return []value{{"Is", d.Is, positive}, {"N", d.N, notNegative}}
}

func (d Diode) branches(place) int { return 0 }

func (d Diode) stamp(at place, to *stamps) {
	to.admit(at.node[0], at.node[1], junctionLeak, 0)
}

func (d Diode) slope(place, string, *stamps) bool { return false }

func (d Diode) ports(at place) (controls, flows [][2]int) {
	ports := [][2]int{{at.node[0], at.node[1]}}
	return ports, ports
}

func (d Diode) modelValues() []value {
	return []value{{"Is", d.Is, positive}, {"N", oneIfZero(d.N), positive}}
}

func (d Diode) model(v pair, p []complex128, thermal float64) (i pair, g [2]pair) {
	is, nvt := p[0], p[1]*complex(thermal, 0)
	e, slope := exponential(v[0] / nvt)
	i[0] = is * (e - 1)
	g[0][0] = is * slope / nvt
	return i, g
}

// start: just on, where the exponential bends.
func (d Diode) start(thermal float64) pair { return pair{complex(d.bend(thermal).knee(), 0)} }

func (d Diode) limit(_ int, wanted, was, thermal float64) float64 {
	return d.bend(thermal).limit(wanted, was)
}

func (d Diode) bend(thermal float64) bend { return bend{d.Is, oneIfZero(d.N) * thermal} }

// PartName gives the name.
func (q Transistor) PartName() string { return q.Name }

// Terminals gives Collector, Base, Emitter.
func (q Transistor) Terminals() []string { return []string{q.Collector, q.Base, q.Emitter} }

func (q Transistor) values() []value {
	return []value{
		{"Is", q.Is, positive}, {"BetaF", q.BetaF, positive}, {"BetaR", q.BetaR, positive},
		{"N", q.N, notNegative}, {"EarlyVolts", q.EarlyVolts, notNegative},
		{"BaseEmitterFarads", q.BaseEmitterFarads, notNegative},
		{"BaseCollectorFarads", q.BaseCollectorFarads, notNegative},
	}
}

func (q Transistor) branches(place) int { return 0 }

func (q Transistor) stamp(at place, to *stamps) {
	collector, base, emitter := at.node[0], at.node[1], at.node[2]
	to.admit(base, emitter, junctionLeak, complex(0, q.BaseEmitterFarads))
	to.admit(base, collector, junctionLeak, complex(0, q.BaseCollectorFarads))
}

func (q Transistor) slope(at place, name string, to *stamps) bool {
	switch name {
	case "BaseEmitterFarads":
		to.admit(at.node[1], at.node[2], 0, 1i)
	case "BaseCollectorFarads":
		to.admit(at.node[1], at.node[0], 0, 1i)
	default:
		return false
	}
	return true
}

// ports: base–emitter and base–collector volts control the current from
// collector to emitter and the one from base to emitter. In a PNP every pair
// is the other way round.
func (q Transistor) ports(at place) (controls, flows [][2]int) {
	c, b, e := at.node[0], at.node[1], at.node[2]
	if q.PNP {
		return [][2]int{{e, b}, {c, b}}, [][2]int{{e, c}, {e, b}}
	}
	return [][2]int{{b, e}, {b, c}}, [][2]int{{c, e}, {b, e}}
}

func (q Transistor) modelValues() []value {
	early := 0.0 // as siemens-like 1/VA, so that "none" is 0
	if q.EarlyVolts > 0 {
		early = q.EarlyVolts
	}
	return []value{
		{"Is", q.Is, positive}, {"BetaF", q.BetaF, positive}, {"BetaR", q.BetaR, positive},
		{"N", oneIfZero(q.N), positive}, {"EarlyVolts", early, notNegative},
	}
}

// model: transport form. Forward and reverse currents share Is; the Early
// effect multiplies their difference by 1 − v_BC/VA.
func (q Transistor) model(v pair, p []complex128, thermal float64) (i pair, g [2]pair) {
	is, betaF, betaR, nvt := p[0], p[1], p[2], p[3]*complex(thermal, 0)
	var perEarly complex128
	if p[4] != 0 {
		perEarly = 1 / p[4]
	}
	ef, sf := exponential(v[0] / nvt)
	er, sr := exponential(v[1] / nvt)
	forward, reverse := is*(ef-1), is*(er-1)
	gf, gr := is*sf/nvt, is*sr/nvt
	early := 1 - v[1]*perEarly
	i[0] = (forward-reverse)*early - reverse/betaR
	i[1] = forward/betaF + reverse/betaR
	g[0] = pair{gf * early, -gr*early - (forward-reverse)*perEarly - gr/betaR}
	g[1] = pair{gf / betaF, gr / betaR}
	return i, g
}

// start: base and emitter just on, base and collector at one volt.
func (q Transistor) start(thermal float64) pair { return pair{complex(q.bend(thermal).knee(), 0)} }

func (q Transistor) limit(_ int, wanted, was, thermal float64) float64 {
	return q.bend(thermal).limit(wanted, was)
}

func (q Transistor) bend(thermal float64) bend { return bend{q.Is, oneIfZero(q.N) * thermal} }

func oneIfZero(n float64) float64 {
	if n == 0 {
		return 1
	}
	return n
}

// realValues gives the values as the model wants them.
func realValues(list []value) []complex128 {
	values := make([]complex128, len(list))
	for i, v := range list {
		values[i] = complex(v.value, 0)
	}
	return values
}
