package known

import (
	"fmt"
	"math/rand/v2"

	"bandwright/circuit"
	"bandwright/curve"
)

// Sample is a random circuit that has an answer: every point has a resistive
// path to ground, no loop is without resistance, and every op-amp has its own
// feedback. What the answer is, a slow twin must say.
type Sample struct {
	Parts   []circuit.Part
	Setting curve.Setting
	Source  string
	Outs    []string
}

// RandomPassive draws a connected circuit of resistors, coils, capacitors,
// sliders (often at an end), switches and two sources with so many points.
func RandomPassive(rng *rand.Rand, points int) Sample {
	b := newBuilder(rng)
	b.tree(points)
	b.links(points + rng.IntN(points+1))
	b.sliders(rng.IntN(3))
	b.contacts(rng.IntN(3))
	b.inject()
	return b.sample()
}

// RandomLinear is RandomPassive with op-amps, ideal and with one pole, inside.
func RandomLinear(rng *rand.Rand, points, opAmps int) Sample {
	b := newBuilder(rng)
	b.tree(points)
	b.links(points + rng.IntN(points+1))
	b.sliders(rng.IntN(3))
	b.contacts(rng.IntN(3))
	for range opAmps {
		b.opAmp()
	}
	b.inject()
	return b.sample()
}

// RandomActive is RandomPassive with transistor stages, NPN and PNP, each with
// a divider and an emitter resistor that give it a sound operating point on a
// rail of 9 to 30 V.
func RandomActive(rng *rand.Rand, points, transistors int) Sample {
	b := newBuilder(rng)
	b.add(circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: circuit.Ground, DC: 9 + 21*rng.Float64()})
	b.tree(points)
	b.links(points)
	for range transistors {
		b.stage()
	}
	b.sliders(rng.IntN(3))
	return b.sample()
}

// RandomCoupled is RandomPassive with two or three coils coupled to each other,
// copper, core loss and self-capacitance as they come.
func RandomCoupled(rng *rand.Rand, points int) Sample {
	b := newBuilder(rng)
	b.tree(points)
	b.links(points)
	b.coupled(2 + rng.IntN(2))
	b.sliders(rng.IntN(2))
	b.inject()
	return b.sample()
}

// RandomValves is RandomPassive with triode stages on a rail of 150 to 400 V
// and zeners fed from it through droppers.
func RandomValves(rng *rand.Rand, points, valves int) Sample {
	b := newBuilder(rng)
	b.add(circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: circuit.Ground, DC: 150 + 250*rng.Float64()})
	b.tree(points)
	b.links(points)
	for range valves {
		b.triode()
	}
	b.zener()
	b.sliders(rng.IntN(2))
	return b.sample()
}

// builder grows a circuit part by part. Points in joints may be joined to;
// inner points of a stage are kept out of it.
type builder struct {
	rng     *rand.Rand
	parts   []circuit.Part
	setting curve.Setting
	joints  []string
	count   int
}

func newBuilder(rng *rand.Rand) *builder {
	b := &builder{rng: rng, joints: []string{circuit.Ground, "n1"}}
	b.add(circuit.VoltageSource{Name: "source", Plus: "n1", Minus: circuit.Ground})
	return b
}

func (b *builder) add(parts ...circuit.Part) { b.parts = append(b.parts, parts...) }

// name gives a part name that is still free.
func (b *builder) name(kind string) string {
	b.count++
	return fmt.Sprintf("%s%d", kind, b.count)
}

func (b *builder) joint() string { return b.joints[b.rng.IntN(len(b.joints))] }

// pair gives two different joints.
func (b *builder) pair() (string, string) {
	i := b.rng.IntN(len(b.joints))
	j := b.rng.IntN(len(b.joints) - 1)
	if j >= i {
		j++
	}
	return b.joints[i], b.joints[j]
}

func (b *builder) ohms() float64   { return logBetween(b.rng, 10, 1e6) }
func (b *builder) farads() float64 { return logBetween(b.rng, 10e-12, 100e-6) }

func (b *builder) resistor(from, to string, ohms float64) {
	b.add(circuit.Resistor{Name: b.name("R"), A: from, B: to, Ohms: ohms})
}

func (b *builder) capacitor(from, to string) {
	b.add(circuit.Capacitor{Name: b.name("C"), A: from, B: to, Farads: b.farads(),
		Loss: b.rng.Float64() * 0.02, ESR: b.rng.Float64()})
}

// coil always has some copper, so that coils alone never close a loop.
func (b *builder) coil(from, to string) {
	l := circuit.Inductor{Name: b.name("L"), A: from, B: to,
		Henries: logBetween(b.rng, 1e-3, 10), DCR: logBetween(b.rng, 0.1, 500)}
	if b.rng.IntN(2) == 0 {
		l.CoreOhms = logBetween(b.rng, 10e3, 1e6)
	}
	if b.rng.IntN(2) == 0 {
		l.SelfFarads = logBetween(b.rng, 10e-12, 1e-9)
		l.SelfInside = b.rng.IntN(2) == 0
	}
	b.add(l)
}

// tree gives every point a resistive path to ground.
func (b *builder) tree(points int) {
	for i := 2; i <= points; i++ {
		point := fmt.Sprintf("n%d", i)
		b.resistor(point, b.joint(), b.ohms())
		b.joints = append(b.joints, point)
	}
}

// links joins random pairs by random passive parts.
func (b *builder) links(n int) {
	for range n {
		from, to := b.pair()
		switch b.rng.IntN(3) {
		case 0:
			b.resistor(from, to, b.ohms())
		case 1:
			b.capacitor(from, to)
		default:
			b.coil(from, to)
		}
	}
}

// sliders hang a track between two joints with a leg at the wiper. Half of
// them stand at an end or in the middle.
func (b *builder) sliders(n int) {
	for range n {
		from, to := b.pair()
		name := b.name("slider")
		b.add(circuit.Slider{Name: name, Boost: from, Wiper: name + ".wiper", Cut: to, Track: logBetween(b.rng, 1e3, 200e3)})
		b.resistor(name+".wiper", circuit.Ground, b.ohms())
		position := 2*b.rng.Float64() - 1
		if b.rng.IntN(2) == 0 {
			position = float64(b.rng.IntN(3) - 1)
		}
		b.setting = b.setting.WithSlider(name, position)
	}
}

// contacts add a switch with one contact that a resistor leads to, so that a
// closed contact never shorts a source.
func (b *builder) contacts(n int) {
	for range n {
		from, to := b.pair()
		name := b.name("switch")
		b.add(circuit.Switch{Name: name, Positions: []string{"in", "out"}},
			circuit.Contact{Name: name + ".contact", A: name + ".a", B: to, Switch: name,
				Closed: []string{"in"}, OnOhms: float64(b.rng.IntN(2)) * 0.05})
		b.resistor(from, name+".a", b.ohms())
		if b.rng.IntN(2) == 0 {
			b.setting = b.setting.WithSwitch(name, "out")
		}
	}
}

// inject adds a direct current into a joint, for the operating point.
func (b *builder) inject() {
	b.add(circuit.CurrentSource{Name: b.name("I"), From: circuit.Ground, To: b.joints[len(b.joints)-1],
		DC: logBetween(b.rng, 1e-6, 1e-3)})
}

// opAmp adds an inverting or a following stage with feedback of its own.
func (b *builder) opAmp() {
	name := b.name("opamp")
	minus, out := name+".minus", name+".out"
	amp := circuit.OpAmp{Name: name, Plus: circuit.Ground, Minus: minus, Out: out, Ideal: b.rng.IntN(2) == 0}
	if !amp.Ideal {
		amp.Gain = logBetween(b.rng, 1e4, 1e6)
		amp.GainBandwidth = logBetween(b.rng, 1e5, 1e7)
		amp.InputOhms = logBetween(b.rng, 1e5, 1e9)
		amp.OutputOhms = logBetween(b.rng, 1, 300)
	}
	if b.rng.IntN(2) == 0 {
		amp.Plus = b.joint()
		b.resistor(minus, circuit.Ground, logBetween(b.rng, 1e3, 1e5))
	} else {
		b.resistor(b.joint(), minus, logBetween(b.rng, 1e3, 1e5))
	}
	b.resistor(out, minus, logBetween(b.rng, 1e3, 1e5))
	b.add(amp)
	// A resistor leads on, so that later parts load the stage but do not tie
	// two outputs together.
	b.resistor(out, name+".on", logBetween(b.rng, 100, 1e4))
	b.resistor(name+".on", circuit.Ground, b.ohms())
	b.joints = append(b.joints, name+".on")
}

// stage adds a common-emitter stage, coupled in and out by capacitors: base
// at about a quarter of the rail, emitter resistor a third of the collector's.
func (b *builder) stage() {
	name := b.name("Q")
	base, emitter, collector := name+".base", name+".emitter", name+".collector"
	near, far := circuit.Ground, "rail" // of the emitter, of the collector
	pnp := b.rng.IntN(2) == 0
	if pnp {
		near, far = far, near
	}
	emitterOhms := logBetween(b.rng, 200, 5e3)
	b.resistor(far, base, 30*emitterOhms)
	b.resistor(base, near, 10*emitterOhms)
	b.resistor(emitter, near, emitterOhms)
	b.resistor(collector, far, (1+b.rng.Float64())*emitterOhms)
	b.add(circuit.Transistor{Name: name, Collector: collector, Base: base, Emitter: emitter, PNP: pnp,
		Is: logBetween(b.rng, 1e-15, 1e-13), BetaF: logBetween(b.rng, 50, 500), BetaR: logBetween(b.rng, 0.5, 5),
		EarlyVolts: float64(b.rng.IntN(2)) * 100, BaseEmitterFarads: 20e-12, BaseCollectorFarads: 4e-12})
	b.capacitor(b.joint(), base)
	if b.rng.IntN(2) == 0 {
		b.capacitor(emitter, near)
	}
	out := name + ".out"
	b.capacitor(collector, out)
	b.resistor(out, circuit.Ground, b.ohms())
	b.joints = append(b.joints, out)
}

// coupled adds coils and couples each with every other. With k = ±a·b of one
// share a coil they are positive definite whatever the shares below 1.
func (b *builder) coupled(coils int) {
	var names []string
	var shares []float64
	for range coils {
		from, to := b.pair()
		b.coil(from, to)
		share := 0.1 + 0.89*b.rng.Float64()
		if b.rng.IntN(2) == 0 {
			share = -share
		}
		for i, name := range names {
			b.add(circuit.Coupling{Name: b.name("M"), First: name, Second: b.lastCoil(), K: share * shares[i]})
		}
		names, shares = append(names, b.lastCoil()), append(shares, share)
	}
}

// lastCoil names the coil that was added last.
func (b *builder) lastCoil() string {
	for i := len(b.parts) - 1; ; i-- {
		if l, ok := b.parts[i].(circuit.Inductor); ok {
			return l.Name
		}
	}
}

// triode adds a stage with cathode bias, coupled in and out by capacitors,
// its constants about those of a small high-gain valve.
func (b *builder) triode() {
	name := b.name("V")
	grid, cathode, plate := name+".grid", name+".cathode", name+".plate"
	around := func(x float64) float64 { return x * (0.8 + 0.4*b.rng.Float64()) }
	b.resistor(grid, circuit.Ground, logBetween(b.rng, 100e3, 1e6))
	b.resistor(cathode, circuit.Ground, logBetween(b.rng, 470, 4.7e3))
	b.resistor(plate, "rail", logBetween(b.rng, 47e3, 220e3))
	b.add(circuit.Triode{Name: name, Plate: plate, Grid: grid, Cathode: cathode,
		Mu: around(100), Exponent: around(1.5), KG1: around(1060), KP: around(600), KVB: around(300),
		GridIs: float64(b.rng.IntN(2)) * 1e-9, GridN: around(3), GridCathodeFarads: 1.6e-12,
		GridPlateFarads: 1.7e-12, PlateCathodeFarads: 0.5e-12})
	b.capacitor(b.joint(), grid)
	if b.rng.IntN(2) == 0 {
		b.capacitor(cathode, circuit.Ground)
	}
	out := name + ".out"
	b.capacitor(plate, out)
	b.resistor(out, circuit.Ground, b.ohms())
	b.joints = append(b.joints, out)
}

// zener adds one fed from the rail, between a milliampere and ten, and a
// capacitor that couples it on.
func (b *builder) zener() {
	name := b.name("Z")
	volts, amperes := logBetween(b.rng, 5, 47), logBetween(b.rng, 1e-3, 10e-3)
	b.resistor("rail", name+".k", 150/amperes)
	b.add(circuit.Zener{Name: name, Anode: circuit.Ground, Cathode: name + ".k", Is: 1e-14,
		Volts: volts, TestAmperes: 5e-3, SlopeOhms: logBetween(b.rng, 2, 50)})
	b.capacitor(name+".k", b.joint())
}

// sample takes up to three points to look at, the last ones built first.
func (b *builder) sample() Sample {
	var outs []string
	for i := len(b.joints) - 1; i >= 0 && len(outs) < 3; i-- {
		if b.joints[i] != circuit.Ground {
			outs = append(outs, b.joints[i])
		}
	}
	return Sample{Parts: b.parts, Setting: b.setting, Source: "source", Outs: outs}
}
