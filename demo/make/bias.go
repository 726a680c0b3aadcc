package main

import "math"

// Constants of the junctions: Boltzmann's constant and the elementary charge
// are exact in the SI since 2019.
const (
	boltzmann = 1.380649e-23
	charge    = 1.602176634e-19
	zeroC     = 273.15
)

// thermalVolts is kT/q at a temperature in °C.
func thermalVolts(celsius float64) float64 {
	return boltzmann * (celsius + zeroC) / charge
}

// transistor in the transport form of Ebers and Moll: one current from
// collector to emitter, two base junctions, constant capacitances. The
// current rises with the collector's volts by the forward Early voltage.
type transistor struct {
	collector, base, emitter   string
	pnp                        bool
	is, betaF, betaR           float64
	early                      float64 // volts; 0 is none
	vt                         float64 // n·kT/q
	baseEmitter, baseCollector float64 // farad
}

// junction is the bias of one transistor, as an NPN sees it.
type junction struct{ vbe, vbc float64 }

func (t transistor) sign() float64 {
	if t.pnp {
		return -1
	}
	return 1
}

// currents into collector and base, with the four small-signal conductances
// d(ic)/d(vbe), d(ic)/d(vbc), d(ib)/d(vbe), d(ib)/d(vbc).
func (t transistor) currents(j junction) (ic, ib float64, g [4]float64) {
	ef, er := math.Exp(j.vbe/t.vt), math.Exp(j.vbc/t.vt)
	gf, gr := t.is*ef/t.vt, t.is*er/t.vt
	lift, slope := 1.0, 0.0
	if t.early > 0 {
		lift, slope = 1-j.vbc/t.early, 1/t.early
	}
	ic = t.is*(ef-er)*lift - t.is/t.betaR*(er-1)
	ib = t.is/t.betaF*(ef-1) + t.is/t.betaR*(er-1)
	return ic, ib, [4]float64{
		gf * lift, -gr*lift - t.is*(ef-er)*slope - gr/t.betaR,
		gf / t.betaF, gr / t.betaR,
	}
}

// stamp4 adds the linearised transistor; it is the same for NPN and PNP since
// turning both volts and currents round leaves a conductance as it was.
func (t transistor) stamp4(n *network, m matrix, g [4]float64) {
	c, b, e := n.index(t.collector), n.index(t.base), n.index(t.emitter)
	m.transfer(c, e, b, e, complex(g[0], 0))
	m.transfer(c, e, b, c, complex(g[1], 0))
	m.transfer(b, e, b, e, complex(g[2], 0))
	m.transfer(b, e, b, c, complex(g[3], 0))
}

func (t transistor) stampSignal(n *network, m matrix, w float64, j junction) {
	_, _, g := t.currents(j)
	t.stamp4(n, m, g)
	m.stamp(n.index(t.base), n.index(t.emitter), complex(0, w*t.baseEmitter))
	m.stamp(n.index(t.base), n.index(t.collector), complex(0, w*t.baseCollector))
}

// limit keeps Newton from leaping up an exponential: a rise of a junction is
// taken as if its current rose along the straight line found.
func limit(next, last, vt float64) float64 {
	if next <= last+2*vt || next < 0.3 {
		return next
	}
	return math.Max(last, 0.3) + vt*math.Log(1+(next-math.Max(last, 0.3))/vt)
}

// leak is put from every point to ground at direct current, so that a point
// behind capacitors only has volts; 1e-12 S moves nothing that matters.
const leak = 1e-12

// operate finds the operating point: the volts of every point and the bias of
// every transistor, by Newton's method from junctions at rest.
func (n *network) operate() (answer, []junction) {
	bias := make([]junction, len(n.junctions))
	for k := range bias {
		bias[k] = junction{0.6, -1}
	}
	for range 500 {
		a := answer{n, n.direct(bias).solve()}
		worst := 0.0
		for k, t := range n.junctions {
			b := real(a.volts(t.base))
			next := junction{
				limit(t.sign()*(b-real(a.volts(t.emitter))), bias[k].vbe, t.vt),
				limit(t.sign()*(b-real(a.volts(t.collector))), bias[k].vbc, t.vt),
			}
			worst = max(worst, math.Abs(next.vbe-bias[k].vbe), math.Abs(next.vbc-bias[k].vbc))
			bias[k] = next
		}
		if worst < 1e-12 {
			return a, bias
		}
	}
	panic("make: no operating point")
}

// direct is the nodal matrix at direct current, transistors linearised.
func (n *network) direct(bias []junction) matrix {
	m := newMatrix(len(n.points))
	last := len(n.points)
	for i := range m {
		m[i][i] = leak
	}
	for _, b := range n.branches {
		m.stamp(n.index(b.a), n.index(b.b), complex(b.direct, 0))
	}
	for k, t := range n.junctions {
		ic, ib, g := t.currents(bias[k])
		t.stamp4(n, m, g)
		// What the straight line leaves over at zero volts.
		j := bias[k]
		ic0 := t.sign() * (ic - g[0]*j.vbe - g[1]*j.vbc)
		ib0 := t.sign() * (ib - g[2]*j.vbe - g[3]*j.vbc)
		for k, point := range [3]string{t.collector, t.base, t.emitter} {
			if i := n.index(point); i >= 0 {
				m[i][last] -= complex([3]float64{ic0, ib0, -ic0 - ib0}[k], 0)
			}
		}
	}
	n.hold(m, func(s source) complex128 { return complex(s.volts, 0) })
	return m
}
