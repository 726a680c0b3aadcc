package main

// part is one line of the driver's parts list.
type part struct {
	name   string
	a, b   string
	value  float64 // ohm, or farad when the name begins with C
	spread float64 // the maker's tolerance, a share
}

// driver is the two-transistor driver, from point "in" to "out.coupled": a
// series-feedback pair whose two input buses see like shunts (R.b1 and R.b2 on
// the one, R.e and R.dc2 on the other) and like resistances (the source's ohms
// and the feed on the one, the feedback on the other), so that it is flat when
// centred. The signal is taken back from behind C.out, which ties both buses
// to 0 V through the tracks and keeps direct current off the sliders.
//
// The values were settled with this network: half rail within 0.8 V for
// current gains of 100 to 500, flat within 0.03 dB, steady at every setting.
func driver() []part {
	return []part{
		{"C.in", "in", "in.coupled", 47e-6, 0.20},
		{"R.in", "in", ground, 1e6, 0.05},
		{"feed", "in.coupled", "cut", 1200, 0.01},
		{"C.base", "cut", "q1.base", 22e-6, 0.20},
		{"R.b1", "rail", "q1.base", 30e3, 0.01},
		{"R.b2", "q1.base", ground, 33e3, 0.01},
		{"R.e", "q1.emitter", ground, 47e3, 0.01},
		{"C.emitter", "boost", "q1.emitter", 100e-6, 0.20},
		{"R.c1", "rail", "q1.collector", 3300, 0.01},
		{"C.comp", "q1.collector", "out", 47e-12, 0.05},
		{"R.load", "out", ground, 2200, 0.01},
		{"R.dc1", "out", "dc.mid", 10e3, 0.01},
		{"R.dc2", "dc.mid", "q1.emitter", 22e3, 0.01},
		{"C.dc", "dc.mid", ground, 10e-6, 0.20},
		{"C.out", "out", "out.coupled", 47e-6, 0.20},
		{"R.bleed", "out.coupled", ground, 100e3, 0.05},
		{"feedback", "out.coupled", "boost", 2200, 0.01},
	}
}

// chassisCelsius is what the parts work at.
const chassisCelsius = 35

// pair gives the two transistors with their forward current gains. The
// capacitances are round figures for small-signal silicon at these currents.
func pair(beta1, beta2 float64) (q1, q2 transistor) {
	vt := thermalVolts(chassisCelsius)
	q1 = transistor{collector: "q1.collector", base: "q1.base", emitter: "q1.emitter",
		is: 1e-14, betaF: beta1, betaR: 4, early: 80, vt: vt,
		baseEmitter: 20e-12, baseCollector: 4e-12}
	q2 = transistor{collector: "out", base: "q1.collector", emitter: "rail", pnp: true,
		is: 1e-14, betaF: beta2, betaR: 4, early: 80, vt: vt,
		baseEmitter: 200e-12, baseCollector: 6e-12}
	return q1, q2
}

// What stands around the equaliser, and its contacts: ohm and farad.
const (
	sourceOhms   = 1e3
	loadOhms     = 470e3
	loadFarads   = 120e-12
	panelContact = 0.05
	liftContact  = 0.1
	leadFarads   = 600e-12
)

// build draws the unit at a setting. A part's value says its kind: there is no
// capacitor of an ohm and no resistor of a farad.
func (u unit) build(s setting) *network {
	n := newNetwork()
	n.drive("generator", 0, 1)
	n.drive("rail", u.rail, 0)
	n.resistor("generator", "tap", sourceOhms)
	if s.bypassed {
		n.resistor("tap", "return", panelContact)
		n.resistor("in", ground, panelContact)
	} else {
		n.resistor("tap", "in", panelContact)
		n.resistor("out.coupled", "return", panelContact)
	}
	for _, p := range u.driver {
		if p.name[0] == 'C' {
			n.capacitor(p.a, p.b, p.value)
		} else {
			n.resistor(p.a, p.b, p.value)
		}
	}
	q1, q2 := pair(u.beta1, u.beta2)
	n.transistor(q1)
	n.transistor(q2)
	n.resistor("return", ground, loadOhms)
	n.capacitor("return", ground, loadFarads)
	n.capacitor("legs", ground, leadFarads)
	if !s.lifted {
		n.resistor("legs", ground, liftContact)
	}
	for _, l := range u.legs {
		l.addTo(n, s.position(l.band))
	}
	return n
}
