package main

import (
	"math"
	"math/cmplx"
	"testing"
)

// gains of the two transistors that the driver must stand.
var gains = [][2]float64{{300, 300}, {100, 100}, {500, 500}, {100, 500}, {500, 100}}

func withGains(g [2]float64) unit {
	u := asDrawn()
	u.beta1, u.beta2 = g[0], g[1]
	return u
}

// The driver sits near half rail, whatever the transistors, and carries a
// current that can swing its load.
func TestDriverBias(t *testing.T) {
	for _, g := range gains {
		n := withGains(g).build(setting{})
		a, bias := n.operate()
		if out := real(a.volts("out")); math.Abs(out-12) > 1 {
			t.Errorf("gains %v: out at %.3f V, want 12 ± 1", g, out)
		}
		if i, _, _ := n.junctions[1].currents(bias[1]); i < 3e-3 || i > 6e-3 {
			t.Errorf("gains %v: q2 carries %.3f mA, want 3 to 6", g, i*1e3)
		}
		for _, bus := range []string{"cut", "boost", "63.contact", "return"} {
			if v := real(a.volts(bus)); math.Abs(v) > 1e-3 {
				t.Errorf("gains %v: %g V on %s", g, v, bus)
			}
		}
	}
}

// Centred it is flat, and so it is lifted but for the lead's capacitance.
func TestDriverFlat(t *testing.T) {
	for _, g := range gains {
		for _, c := range []struct {
			setting setting
			limit   float64
		}{{setting{}, 0.05}, {setting{lifted: true}, 0.1}, {setting{bypassed: true}, 0.01}} {
			n := withGains(g).build(c.setting)
			_, bias := n.operate()
			middle := decibels(n.respond(1000, bias).volts("return"))
			for _, hz := range frequencies() {
				if off := decibels(n.respond(hz, bias).volts("return")) - middle; math.Abs(off) > c.limit {
					t.Errorf("gains %v, %+v: %+.3f dB at %.0f Hz", g, c.setting, off, hz)
				}
			}
			if math.Abs(middle) > 0.25 {
				t.Errorf("gains %v, %+v: %.3f dB at 1 kHz", g, c.setting, middle)
			}
		}
	}
}

// The gain from the buses' difference to the output; below about 800 it shows
// in the bands (common practice, no source).
func TestDriverGain(t *testing.T) {
	for _, g := range gains {
		n := withGains(g).build(setting{})
		_, bias := n.operate()
		a := n.respond(1000, bias)
		if gain := real(a.volts("out") / (a.volts("cut") - a.volts("boost"))); gain < 800 {
			t.Errorf("gains %v: %.0f from buses to out", g, gain)
		}
	}
}

// returnRatio of q2: its controlled current is taken away and one ampere sent
// in its place; what it would then send itself is the ratio.
func returnRatio(n *network, bias []junction, hz float64) complex128 {
	_, _, g := n.junctions[1].currents(bias[1])
	c, b, e := n.index("out"), n.index("q1.collector"), n.index("rail")
	m := n.fill(hz, bias)
	m.transfer(c, e, b, e, complex(-g[0], 0))
	n.hold(m, func(source) complex128 { return 0 })
	m[c][len(m)] = -1
	x := m.solve()
	return complex(-g[0], 0) * (x[b] - x[e])
}

// turns counts how often 1 + T goes round nought from 1 mHz to 100 MHz: minus
// the number of pairs of poles in the right half plane, since without q2 the
// network is passive but for one follower.
func turns(n *network, bias []junction) float64 {
	whole, last := 0.0, 0.0
	for i := range 551 {
		angle := cmplx.Phase(1 + returnRatio(n, bias, 1e-3*math.Pow(10, float64(i)/50)))
		if i > 0 {
			whole += math.Remainder(angle-last, 2*math.Pi)
		}
		last = angle
	}
	return whole / (2 * math.Pi)
}

func TestDriverSteady(t *testing.T) {
	for _, g := range gains {
		for _, s := range settings() {
			n := withGains(g).build(s)
			_, bias := n.operate()
			if w := turns(n, bias); math.Abs(w) > 0.3 {
				t.Errorf("gains %v, %s: 1 + T turns %.2f times", g, s.name, w)
			}
		}
	}
}

// With the big C.dc that a first drawing had, the direct and the alternating
// feedback hand over with the wrong phase and it motorboats below 1 Hz: the
// count above must see that.
func TestDriverUnsteadyIsSeen(t *testing.T) {
	n := motorboat().build(setting{})
	_, bias := n.operate()
	if w := turns(n, bias); math.Abs(w+1) > 0.3 {
		t.Errorf("1 + T turns %.2f times, want -1", w)
	}
}

// motorboat is the drawing with those first values.
func motorboat() unit {
	u := asDrawn()
	for i, p := range u.driver {
		switch p.name {
		case "C.dc":
			u.driver[i].value = 100e-6
		case "C.emitter", "C.base":
			u.driver[i].value = 47e-6
		case "R.dc1":
			u.driver[i].value = 4700
		case "R.dc2":
			u.driver[i].value = 27e3
		}
	}
	return u
}
