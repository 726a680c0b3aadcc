package main

import "fmt"

// leg is what stands between a slider's wiper and the legs' common, with the
// slider itself. Ohm, henry, farad.
type leg struct {
	band string
	hz   float64 // stated centre

	resistor float64

	henries, dcr, core, self float64 // self lies across the whole coil
	farads, loss, esr        float64

	track, end, wiper float64
	reversed          bool // boost and cut ends exchanged
}

// admittance of the leg from the wiper's contact down to the common: wiper,
// resistor, coil and capacitor in series, lumped into one number.
func (l leg) admittance(w float64) complex128 {
	inductance := 1/complex(0, w*l.henries) + complex(1/l.core, 0)
	coil := 1 / (1/(1/inductance+complex(l.dcr, 0)) + complex(0, w*l.self))
	capacitor := 1/complex(w*l.farads*l.loss, w*l.farads) + complex(l.esr, 0)
	return 1 / (complex(l.wiper+l.resistor, 0) + coil + capacitor)
}

// addTo draws the band with its slider at position, -1 cut … +1 boost.
func (l leg) addTo(n *network, position float64) {
	share := (position + 1) / 2
	if l.reversed {
		share = 1 - share
	}
	contact := l.band + ".contact"
	n.resistor("boost", contact, l.end+l.track*(1-share))
	n.resistor(contact, "cut", l.end+l.track*share)
	n.add(contact, "legs", 0, l.admittance)
}

// bands are the six legs as the meter found the parts: the same figures that
// job.toml gives as measured, or as marked where nothing was measured. The
// coils were read warm, so that their copper needs no correction. All invented.
func bands() []leg {
	table := [...]struct {
		hz, resistor, henries, dcr, core, self, farads, loss, esr float64
	}{
		{63, 330, 2.72, 255, 180e3, 400e-12, 2.23e-6, 0.004, 0.15},
		{160, 430, 0.968, 138, 120e3, 260e-12, 0.982e-6, 0.004, 0.12},
		{400, 470, 0.409, 82, 75e3, 180e-12, 0.384e-6, 0.004, 0.10},
		{1000, 470, 0.1685, 47, 47e3, 120e-12, 0.1512e-6, 0.004, 0.10},
		{2500, 510, 0.0728, 28, 33e3, 85e-12, 55.4e-9, 0.005, 0.10},
		{6300, 560, 0.0303, 16, 33e3, 55e-12, 22.3e-9, 0.005, 0.10},
	}
	legs := make([]leg, len(table))
	for i, t := range table {
		legs[i] = leg{band: fmt.Sprint(t.hz), hz: t.hz, resistor: t.resistor,
			henries: t.henries, dcr: t.dcr, core: t.core, self: t.self,
			farads: t.farads, loss: t.loss, esr: t.esr, track: 10e3, end: 2, wiper: 5}
	}
	return legs
}
