package stock

import (
	"fmt"
	"math"
	"math/rand/v2"

	"bandwright/quantity"
)

// truth is what a part of a made-up drawer really is.
type truth struct {
	id    string
	model Model // DCR at 20 °C
}

// drawer makes an invented drawer of believable spread: coils wound by hand
// and salvaged, whole bags of capacitors to one side of their marking, some
// resistors by the bag. Of what is measured the meter's error is drawn within
// its limits. The same rng gives the same drawer. It serves the tests of
// reading and of choosing alike.
func drawer(rng *rand.Rand, coils, capacitors, resistors int, m Meter) (parts []Part, truths []truth) {
	for i := range coils {
		p, is := someCoil(rng, i, m)
		parts, truths = append(parts, p), append(truths, is)
	}
	shift := 0.0
	for i := range capacitors {
		if i%10 == 0 { // a new bag: one maker, one day, one side
			shift = (rng.Float64()*2 - 1) * 0.04
		}
		p, is := someCapacitor(rng, i, shift, m)
		parts, truths = append(parts, p), append(truths, is)
	}
	for i := range resistors {
		marked := quantity.E12.At(24 + rng.IntN(36)) // 100 ohm to 82 k
		t := quantity.Tolerance{Minus: 0.05, Plus: 0.05}
		id := fmt.Sprintf("R%d", i+1)
		parts = append(parts, Part{ID: id, Kind: Resistor, Marked: marked, Tolerance: &t, Count: 1 + rng.IntN(50), Place: "R box"})
		truths = append(truths, truth{id, Model{Ohms: within(rng, marked, 0.05)}})
	}
	return parts, truths
}

// within draws uniformly within ± a fraction of v.
func within(rng *rand.Rand, v, fraction float64) float64 {
	return v * (1 + (rng.Float64()*2-1)*fraction)
}

// someCoil draws a coil of 5 mH to 4 H and, mostly, its reading.
func someCoil(rng *rand.Rand, i int, m Meter) (Part, truth) {
	marked := quantity.E12.At(-28 + rng.IntN(36))
	henries := within(rng, marked, 0.2)
	is := Model{Henries: henries, DCR: within(rng, 250*math.Pow(henries, 0.7), 0.3)}
	is.CoreOhms = CoreOhms(henries, 30+rng.Float64()*100, 1000)
	is.SelfFarads = (40 + rng.Float64()*200) * 1e-12
	t := quantity.Tolerance{Minus: 0.2, Plus: 0.2}
	p := Part{ID: fmt.Sprintf("L%d", i+1), Kind: Coil, Marked: marked, Tolerance: &t, Count: 1,
		SelfFarads: is.SelfFarads, Place: fmt.Sprintf("A%d", 1+i/10)}
	if rng.IntN(8) > 0 {
		hertz, _ := TestFrequency(henries)
		mode := [...]Mode{Series, Parallel}[rng.IntN(2)]
		p.Readings = append(p.Readings, metered(rng, is, Coil, mode, hertz, m))
	}
	return p, truth{p.ID, is}
}

// someCapacitor draws a capacitor of 1 nF to 8.2 µF and, mostly, its reading.
func someCapacitor(rng *rand.Rand, i int, shift float64, m Meter) (Part, truth) {
	marked := quantity.E6.At(rng.IntN(24)) * 1e-9
	is := Model{Farads: within(rng, marked*(1+shift), 0.01), Loss: 0.001 + rng.Float64()*0.01}
	t := quantity.Tolerance{Minus: 0.05, Plus: 0.05}
	p := Part{ID: fmt.Sprintf("C%d", i+1), Kind: Capacitor, Marked: marked, Tolerance: &t, Count: 1, Place: fmt.Sprintf("B%d", 1+i/10)}
	if rng.IntN(10) > 0 {
		p.Readings = append(p.Readings, metered(rng, is, Capacitor, Parallel, 1000, m))
	}
	return p, truth{p.ID, is}
}

// shown gives what a perfect meter shows of a part, by its impedance alone.
func shown(is Model, kind Kind, mode Mode, hertz float64) (value, loss float64) {
	z := is.Impedance(hertz)
	w := 2 * math.Pi * hertz
	y := 1 / z
	switch {
	case kind == Coil && mode == Series:
		return imag(z) / w, real(z) / imag(z)
	case kind == Coil:
		return -1 / (imag(y) * w), -real(y) / imag(y)
	case mode == Series:
		return -1 / (imag(z) * w), -real(z) / imag(z)
	}
	return imag(y) / w, real(y) / imag(y)
}

// metered gives what a meter within its limits shows, uniformly off.
func metered(rng *rand.Rand, is Model, kind Kind, mode Mode, hertz float64, m Meter) Reading {
	value, loss := shown(is, kind, mode, hertz)
	l, _ := m.limit(kind, mode, hertz)
	r := Reading{Hertz: hertz, Mode: mode, Value: value + (rng.Float64()*2-1)*l.Greatest(value, loss)}
	loss += (rng.Float64()*2 - 1) * min(l.Loss, loss)
	if kind == Coil {
		r.Q = 1 / loss
		ohms, _ := m.limit(Resistor, "", 0)
		r.DCR = is.DCR + (rng.Float64()*2-1)*ohms.Greatest(is.DCR, 0)
	} else {
		r.D = loss
	}
	return r
}

// exact is a meter with no error at all.
func exact() Meter {
	return Meter{Name: "exact", Limits: []Limit{{}}}
}
