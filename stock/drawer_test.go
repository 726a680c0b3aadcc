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

// making is how the parts of a made-up drawer lie about what is written:
// capacitors a whole bag to one side and each by itself about that, as shares.
type making struct {
	least, most float64 // of a bag's shift
	own         float64
	self        float64 // how far a coil's self-capacitance lies from what is written, at most
}

// The ways to make them. What Chance believes is byLaw: every value within
// ±5 % alike, whatever the bag.
var (
	byLaw  = making{own: 0.05, self: 0.2}
	byBags = making{-0.04, 0.04, 0.01, 0}
	allUp  = making{0.04, 0.04, 0.01, 0.2} // every bag +3 to +5 %
)

// drawer makes an invented drawer of believable spread: coils wound by hand
// and salvaged, whole bags of capacitors to one side of their marking, some
// resistors by the bag. Of what is measured the meter's error is drawn within
// its limits. The same rng gives the same drawer. It serves the tests of
// reading and of choosing alike.
func drawer(rng *rand.Rand, coils, capacitors, resistors int, m Meter) (parts []Part, truths []truth) {
	return made(rng, coils, capacitors, resistors, m, byBags)
}

// made makes a drawer whose parts are made in one way.
func made(rng *rand.Rand, coils, capacitors, resistors int, m Meter, by making) (parts []Part, truths []truth) {
	for i := range coils {
		p, is := someCoil(rng, i, by.self, m)
		parts, truths = append(parts, p), append(truths, is)
	}
	shift := 0.0
	for i := range capacitors {
		if i%10 == 0 { // a new bag: one maker, one day, one side
			shift = by.least + rng.Float64()*(by.most-by.least)
		}
		p, is := someCapacitor(rng, i, shift, by.own, m)
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
func someCoil(rng *rand.Rand, i int, off float64, m Meter) (Part, truth) {
	marked := quantity.E12.At(-28 + rng.IntN(36))
	henries := within(rng, marked, 0.2)
	// Wire of any gauge: a ratio without ends, so that the copper by itself says
	// next to nothing of the inductance.
	is := Model{Henries: henries, DCR: 250 * math.Pow(henries, 0.7) * math.Exp(0.3*rng.NormFloat64())}
	is.CoreOhms = CoreOhms(henries, 30+rng.Float64()*100, 1000)
	self := (40 + rng.Float64()*200) * 1e-12 // as it was written down
	is.SelfFarads = within(rng, self, off)
	t := quantity.Tolerance{Minus: 0.2, Plus: 0.2}
	p := Part{ID: fmt.Sprintf("L%d", i+1), Kind: Coil, Marked: marked, Tolerance: &t, Count: 1,
		SelfFarads: self, Place: fmt.Sprintf("A%d", 1+i/10)}
	if rng.IntN(8) > 0 {
		hertz, _ := TestFrequency(henries)
		mode := [...]Mode{Series, Parallel}[rng.IntN(2)]
		p.Readings = append(p.Readings, metered(rng, is, Coil, mode, hertz, m))
	}
	return p, truth{p.ID, is}
}

// someCapacitor draws a capacitor of 1 nF to 8.2 µF and, mostly, its reading.
func someCapacitor(rng *rand.Rand, i int, shift, own float64, m Meter) (Part, truth) {
	marked := quantity.E6.At(rng.IntN(24)) * 1e-9
	is := Model{Farads: within(rng, marked*(1+shift), own), Loss: rng.Float64() * 0.011}
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

// leastRead is the least D that a meter shows.
const leastRead = 1e-6

// metered gives what a meter within its limits shows, uniformly off.
func metered(rng *rand.Rand, is Model, kind Kind, mode Mode, hertz float64, m Meter) Reading {
	value, loss := shown(is, kind, mode, hertz)
	l, _ := m.limit(kind, mode, hertz)
	// A meter shows no loss below nought; 0 would be "not written".
	read := max(loss+(rng.Float64()*2-1)*l.Loss, leastRead)
	r := Reading{Hertz: hertz, Mode: mode, Value: off(rng, value, read, l)}
	if kind == Coil {
		r.Q = 1 / read
		ohms, _ := m.limit(Resistor, "", 0)
		r.DCR = off(rng, is.DCR, 0, ohms)
	} else {
		r.D = read
	}
	return r
}

// off gives a reading that lies within the limit which the leaflet gives for
// that reading: limits go by what is shown, and jump where the display
// changes its range.
func off(rng *rand.Rand, value, loss float64, l Limit) float64 {
	if l.Greatest(value, loss) == 0 {
		return value // an exact meter
	}
	widest := 1.2*l.Greatest(1.2*value, loss) + 0.01*value
	for {
		r := value + (rng.Float64()*2-1)*widest
		if math.Abs(r-value) <= l.Greatest(r, loss) {
			return r
		}
	}
}

// exact is a meter with no error at all.
func exact() Meter {
	return Meter{Name: "exact", Limits: []Limit{{}}}
}
