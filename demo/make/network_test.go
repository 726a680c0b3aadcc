package main

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// near fails when two numbers differ by more than a share of the second.
func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, relative)
	}
}

// phasor fails when a phasor is not the printed one: size to half a unit of
// the fourth digit, angle to half a unit of the last printed place.
func phasor(t *testing.T, what string, got complex128, size, angle, angleStep float64) {
	t.Helper()
	step := math.Pow(10, math.Floor(math.Log10(size))-3)
	off := math.Remainder(degrees(got)-angle, 360)
	if math.Abs(cmplx.Abs(got)-size) > 0.51*step || math.Abs(off) > 0.51*angleStep {
		t.Errorf("%s: %.6g at %.4f°, want %g at %g°", what, cmplx.Abs(got), degrees(got), size, angle)
	}
}

func (n *network) inductor(a, b string, henries float64) {
	n.add(a, b, 1e9, func(w float64) complex128 { return 1 / complex(0, w*henries) })
}

// Lessons in Electric Circuits II, chapters 3 to 5, 60 Hz: from the work.
func TestPhasorTables(t *testing.T) {
	n := newNetwork()
	n.drive("s", 0, 10)
	n.inductor("s", "a", 10e-3)
	n.resistor("a", ground, 5)
	a := n.respond(60, nil)
	phasor(t, "RL: VR", a.volts("a"), 7.985, -37.02, 0.01)
	phasor(t, "RL: VL", a.volts("s")-a.volts("a"), 6.020, 52.98, 0.01)
	phasor(t, "RL: I", a.volts("a")/5, 1.597, -37.02, 0.01)

	n = newNetwork()
	n.drive("s", 0, 10)
	n.resistor("s", "a", 5)
	n.capacitor("a", ground, 100e-6)
	a = n.respond(60, nil)
	phasor(t, "RC: VR", a.volts("s")-a.volts("a"), 1.852, 79.33, 0.01)
	phasor(t, "RC: VC", a.volts("a"), 9.827, -10.67, 0.01)

	n = newNetwork()
	n.drive("s", 0, 120)
	n.resistor("s", "a", 250)
	n.inductor("a", "b", 650e-3)
	n.capacitor("b", ground, 1.5e-6)
	a = n.respond(60, nil)
	phasor(t, "RLC: VR", a.volts("s")-a.volts("a"), 19.43, 80.68, 0.01)
	phasor(t, "RLC: VL", a.volts("a")-a.volts("b"), 19.05, 170.7, 0.1)
	phasor(t, "RLC: VC", a.volts("b"), 137.5, -9.320, 0.001)

	n = newNetwork()
	n.drive("s", 0, 120)
	n.capacitor("s", "a", 4.7e-6)
	n.inductor("a", "b", 650e-3)
	n.capacitor("b", ground, 1.5e-6)
	n.resistor("a", ground, 470)
	a = n.respond(60, nil)
	phasor(t, "series-parallel: VC1", a.volts("s")-a.volts("a"), 82.76, -31.63, 0.01)
	phasor(t, "series-parallel: VL", a.volts("a")-a.volts("b"), 10.59, -138.8, 0.1)
	phasor(t, "series-parallel: VC2", a.volts("b"), 76.45, 41.22, 0.01)
	phasor(t, "series-parallel: VR", a.volts("a"), 65.86, 41.22, 0.01)
	phasor(t, "series-parallel: IR", a.volts("a")/470, 0.1401, 41.22, 0.01)
}

func plainLeg(ohms, henries, farads float64) leg {
	return leg{resistor: ohms, henries: henries, core: math.Inf(1), farads: farads}
}

// University Physics 2, section 15.5: from the work; edges worked out from the
// definition w = ±R/2L + sqrt((R/2L)² + w0²).
func TestSeriesResonance(t *testing.T) {
	for _, c := range []struct{ ohms, henries, farads, hz float64 }{
		{4, 3e-3, 800e-6, 102.734},
		{40, 2e-3, 500e-6, 159.155},
		{100, 150e-3, 0.25e-6, 821.873},
		{100, 2, 5e-6, 50.3292},
	} {
		l := plainLeg(c.ohms, c.henries, c.farads)
		top := golden(func(x float64) float64 { return cmplx.Abs(l.admittance(2 * math.Pi * math.Exp(x))) },
			math.Log(c.hz*0.9), math.Log(c.hz*1.1))
		near(t, fmt.Sprint(c, " resonance"), math.Exp(top), c.hz, 6e-6)
		near(t, fmt.Sprint(c, " at resonance"), 1/cmplx.Abs(l.admittance(2*math.Pi*c.hz)), c.ohms, 1e-5)
	}
	l := plainLeg(100, 150e-3, 0.25e-6)
	for _, edge := range []float64{770.531, 876.634} {
		near(t, "half power", cmplx.Abs(l.admittance(2*math.Pi*edge))*100, math.Sqrt2/2, 1e-5)
	}
	near(t, "phase at 200 Hz", -cmplx.Phase(plainLeg(40, 2e-3, 500e-6).admittance(400*math.Pi)), 0.0230390, 2e-5)
}

// A coil's core loss lies across the inductance alone and its
// self-capacitance across the whole coil: the limits tell one from the other.
func TestCoilLimits(t *testing.T) {
	l := leg{resistor: 10, henries: 1, dcr: 100, core: 50e3, self: 300e-12, farads: 1}
	at := func(hz float64) complex128 { return 1/l.admittance(2*math.Pi*hz) - 10 }
	near(t, "copper alone at the bottom", real(at(0.01)), 100, 1e-6)
	l.self = 0
	near(t, "copper and core at the top", real(at(1e9)), 100+50e3, 1e-6)
	l.self, l.core = 300e-12, math.Inf(1)
	// Across 1 H, 300 pF lifts the apparent inductance at 1 kHz by
	// 1/(1 - w²LC) = 1.012, worked out from the definition.
	near(t, "apparent inductance", imag(at(1000))/(2000*math.Pi), 1/(1-math.Pow(2000*math.Pi, 2)*300e-12), 1e-3)
}

// cell is the ideal-amplifier cell with legs at places of their sliders.
func cell(ohms float64, legs []leg, at []float64) *network {
	n := newNetwork()
	n.drive("s", 0, 1)
	n.resistor("s", "cut", ohms)
	n.resistor("out", "boost", ohms)
	n.ideal("cut", "boost", "out")
	n.resistor("legs", ground, 1e-9)
	for i, l := range legs {
		l.addTo(n, at[i])
	}
	return n
}

// closed is the closed form of that cell, worked out from the definition:
// H = [1 + R Σ p Y]/[1 + R Σ (1-p) Y] with Y = 1/(Z + p(1-p)Rp).
func closed(ohms, w float64, legs []leg, at []float64) complex128 {
	up, down := complex(1, 0), complex(1, 0)
	for i, l := range legs {
		p := (at[i] + 1) / 2
		y := complex(ohms, 0) / (1/l.admittance(w) + complex(p*(1-p)*l.track, 0))
		up += complex(p, 0) * y
		down += complex(1-p, 0) * y
	}
	return up / down
}

func randomCell(random *rand.Rand) (ohms float64, legs []leg, at []float64) {
	for i := range 1 + random.IntN(10) {
		l := bands()[i%6]
		l.band = fmt.Sprint("band", i)
		l.hz *= math.Exp(random.NormFloat64() / 3)
		l.henries *= math.Exp(random.NormFloat64() / 3)
		l.farads *= math.Exp(random.NormFloat64() / 3)
		l.track = 5e3 + 20e3*random.Float64()
		l.end = 0
		legs = append(legs, l)
		at = append(at, 1.9*random.Float64()-0.95)
	}
	return 1e3 + 4e3*random.Float64(), legs, at
}

// The whole chain, matrix and sliders and legs, against the closed form; flat
// is 1 and a mirrored setting gives the inverse.
func TestIdealCell(t *testing.T) {
	random := rand.New(rand.NewPCG(22, 7))
	for trial := range 200 {
		ohms, legs, at := randomCell(random)
		hz := 20 * math.Pow(1000, random.Float64())
		h := cell(ohms, legs, at).respond(hz, nil).volts("out")
		want := closed(ohms, 2*math.Pi*hz, legs, at)
		if cmplx.Abs(h/want-1) > 1e-9 {
			t.Fatalf("seed 22,7 trial %d: %v, closed form %v", trial, h, want)
		}
		centred, mirrored := make([]float64, len(at)), make([]float64, len(at))
		for i := range at {
			mirrored[i] = -at[i]
		}
		if flat := cell(ohms, legs, centred).respond(hz, nil).volts("out"); cmplx.Abs(flat-1) > 1e-9 {
			t.Fatalf("seed 22,7 trial %d: flat is %v", trial, flat)
		}
		if back := cell(ohms, legs, mirrored).respond(hz, nil).volts("out"); cmplx.Abs(h*back-1) > 1e-9 {
			t.Fatalf("seed 22,7 trial %d: mirrored is not the inverse: %v", trial, h*back)
		}
	}
	// One band at full boost, at resonance: 1 + R/Rs; 3 k and 1 k give 12.04 dB.
	l := plainLeg(1000, 1, 1e-6)
	l.track, l.end = 10e3, 1e-6
	top := cell(3000, []leg{l}, []float64{1}).respond(1/(2*math.Pi*1e-3), nil).volts("out")
	near(t, "full boost", decibels(top), 12.0412, 1e-5)
}

// What enters a point leaves it, at every setting of the demo.
func TestCurrentsBalance(t *testing.T) {
	u := unitA()
	for _, s := range settings() {
		n := u.build(s)
		_, bias := n.operate()
		for _, hz := range []float64{20, 1000, 20e3} {
			a := n.respond(hz, bias)
			net, most := make([]complex128, len(n.points)), make([]float64, len(n.points))
			flow := func(from, to string, i complex128) {
				for point, sign := range map[string]complex128{from: 1, to: -1} {
					if k := n.index(point); k >= 0 {
						net[k] += sign * i
						most[k] += cmplx.Abs(i)
					}
				}
			}
			for _, b := range n.branches {
				flow(b.a, b.b, b.y(2*math.Pi*hz)*(a.volts(b.a)-a.volts(b.b)))
			}
			for k, q := range n.junctions {
				_, _, g := q.currents(bias[k])
				be, bc := a.volts(q.base)-a.volts(q.emitter), a.volts(q.base)-a.volts(q.collector)
				flow(q.collector, q.emitter, complex(g[0], 0)*be+complex(g[1], 0)*bc)
				flow(q.base, q.emitter, complex(g[2], 0)*be+complex(g[3], 0)*bc)
				flow(q.base, q.emitter, complex(0, 2*math.Pi*hz*q.baseEmitter)*be)
				flow(q.base, q.collector, complex(0, 2*math.Pi*hz*q.baseCollector)*bc)
			}
			for k, point := range n.points {
				if point != "generator" && point != "rail" && cmplx.Abs(net[k]) > 1e-8*most[k] {
					t.Errorf("%s at %g Hz: %s is left with %v of %g A", s.name, hz, point, net[k], most[k])
				}
			}
		}
	}
}
