package equaliser

import (
	"math"

	"bandwright/circuit"
)

// legValues is a band's leg as it stands in the circuit.
type legValues struct {
	henries, farads float64
	ohms            float64 // whole series resistance at resonance
}

// leg adds up a band's leg from the circuit's parts, so that edits, and parts
// soldered across those of the band, count. False: it has no coil or no
// capacitor, hence no resonance.
func (e *Equaliser) leg(band string) (legValues, bool) {
	var leg legValues
	coil, hasCoil := e.part(band + ".coil").(circuit.Inductor)
	first, hasCapacitor := e.part(band + ".capacitor").(circuit.Capacitor)
	if !hasCoil || !hasCapacitor {
		return leg, false
	}
	leg.henries = coil.Henries
	lossy := 0.0
	for _, p := range e.circuit.Parts() { // a second capacitor across the first trims it
		if c, ok := p.(circuit.Capacitor); ok && across(c, first) {
			leg.farads += c.Farads
			lossy += c.Farads * c.Loss
		}
	}
	omega := 2 * math.Pi * legResonance(leg.henries, leg.farads)
	leg.ohms = e.legResistor(band) + coil.DCR + first.ESR + lossy/(omega*leg.farads*leg.farads)
	if coil.CoreOhms > 0 {
		// A resistor across X is X²·G in series with it while it is far above X.
		x := omega * leg.henries
		leg.ohms += x * x * coil.CoreOhms / (coil.CoreOhms*coil.CoreOhms + x*x)
	}
	if s, ok := e.part(band).(circuit.Slider); ok {
		leg.ohms += s.WiperOhms
	}
	return leg, true
}

// q is (1/R)√(L/C), 0 where there is no resistance to divide by.
func (l legValues) q() float64 {
	if l.ohms == 0 {
		return 0
	}
	return math.Sqrt(l.henries/l.farads) / l.ohms
}

// legResistor is the band's resistor with what is soldered across it.
func (e *Equaliser) legResistor(band string) float64 {
	first, ok := e.part(band + ".resistor").(circuit.Resistor)
	if !ok {
		return 0
	}
	siemens := 0.0
	for _, p := range e.circuit.Parts() {
		if r, ok := p.(circuit.Resistor); ok && across(r, first) {
			siemens += 1 / r.Ohms // 0 ohm makes it infinite, and the whole 0
		}
	}
	return 1 / siemens
}

func (e *Equaliser) part(name string) circuit.Part {
	p, _ := e.circuit.Part(name)
	return p
}

// across says whether two parts are soldered to the same two points.
func across(p, q circuit.Part) bool {
	a, b := p.Terminals(), q.Terminals()
	return a[0] == b[0] && a[1] == b[1] || a[0] == b[1] && a[1] == b[0]
}
