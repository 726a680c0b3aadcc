package circuit_test

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/trials"
)

// middle is the angular frequency that polynomials are scaled by.
const middle = 6000.0

// nothing is the share of the largest coefficient below which one is zero:
// the twin's determinants are right to 110 places.
var nothing = bits().SetMantExp(bits().SetFloat64(1), -280)

// polynomial gives the coefficients of the twin's determinant in s/middle,
// constant first, by its values at small whole numbers.
func polynomial(parts []circuit.Part, setting curve.Setting, st *circuit.State) []*big.Float {
	n := 1
	for _, p := range parts {
		switch p := p.(type) {
		case circuit.Capacitor, circuit.Inductor:
			n++
		case circuit.OpAmp:
			if p.GainBandwidth > 0 {
				n++
			}
		case circuit.Transistor:
			n += 2
		}
	}
	a, b := make([][]exact, n), make([]exact, n)
	for k := range n {
		at := 0.5 + float64((k+1)/2*(1-2*(k%2))) // never 0, where a capacitor has no impedance
		w := &twin{point: map[string]int{}, cells: map[[2]int]exact{}, right: map[int]exact{}, polynomial: true}
		var linear []circuit.Part
		for _, p := range parts {
			if q, ok := p.(circuit.Transistor); ok {
				w.transistor(q, st, exactly(at*middle, 0))
				continue
			}
			linear = append(linear, p)
		}
		w.write(linear, setting, "", exactly(at*middle, 0), 0)
		_, b[k] = w.exact()
		power := exactly(1, 0)
		for range n {
			a[k] = append(a[k], power)
			power = power.times(exactly(at, 0))
		}
	}
	eliminate(a, b)
	coefficients := make([]*big.Float, n)
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] = b[i].minus(a[i][j].times(exact{coefficients[j], bits()}))
		}
		coefficients[i] = b[i].over(a[i][i]).re
	}
	return coefficients
}

// transistor writes a transistor's conductances at the operating point, by
// differences of the currents, and its capacitances.
func (w *twin) transistor(q circuit.Transistor, st *circuit.State, s exact) {
	points := q.Terminals()
	var v [3]float64
	for i, p := range points {
		v[i], _ = st.Volts(p)
	}
	const step = 1e-6
	for j := range points {
		up, down := v, v
		up[j], down[j] = v[j]+step, v[j]-step
		var i, k [3]float64
		i[0], i[1], i[2] = ebersMoll(q, up[0], up[1], up[2], st.Kelvin())
		k[0], k[1], k[2] = ebersMoll(q, down[0], down[1], down[2], st.Kelvin())
		for row := range points {
			w.put(w.row(points[row]), w.row(points[j]), exactly((i[row]-k[row])/(2*step), 0))
		}
	}
	for _, c := range []struct {
		to     string
		farads float64
	}{{q.Emitter, q.BaseEmitterFarads}, {q.Collector, q.BaseCollectorFarads}} {
		if c.farads > 0 {
			w.pole(element{a: q.Base, b: c.to, z: s.times(exactly(c.farads, 0)).inverse(), capacitive: true})
		}
	}
}

// routh counts a polynomial's roots in the right half-plane by the changes of
// sign in the first column of Routh's array (Routh 1877), and all its roots
// but those at zero. A zero in the column would be roots on the axis.
func routh(t *testing.T, coefficients []*big.Float) (right, roots int) {
	t.Helper()
	most := bits()
	for _, c := range coefficients {
		if x := bits().Abs(c); x.Cmp(most) > 0 {
			most = x
		}
	}
	most = most.Mul(most, nothing)
	zero := func(c *big.Float) bool { return bits().Abs(c).Cmp(most) < 0 }
	for len(coefficients) > 0 && zero(coefficients[0]) {
		coefficients = coefficients[1:]
	}
	for len(coefficients) > 0 && zero(coefficients[len(coefficients)-1]) {
		coefficients = coefficients[:len(coefficients)-1]
	}
	var one, two []*big.Float
	for i := len(coefficients) - 1; i >= 0; i -= 2 {
		one = append(one, coefficients[i])
		if i > 0 {
			two = append(two, coefficients[i-1])
		}
	}
	for len(two) > 0 {
		if two[0].Sign() == 0 {
			t.Fatal("roots on the axis")
		}
		if one[0].Sign() != two[0].Sign() {
			right++
		}
		var next []*big.Float
		for i := 1; i < len(one); i++ {
			x := bits().Mul(one[0], bits())
			if i < len(two) {
				x = bits().Quo(bits().Mul(one[0], two[i]), two[0])
			}
			next = append(next, bits().Sub(one[i], x))
		}
		one, two = two, next
	}
	return right, len(coefficients) - 1
}

// counted holds the winding's count to Routh's, and to want unless negative.
func counted(t *testing.T, name string, parts []circuit.Part, setting curve.Setting, want int) {
	t.Helper()
	st := built(t, setting, circuit.Conditions{}, parts...)
	s, err := st.Stability(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	right, roots := routh(t, polynomial(parts, setting, st))
	if !s.Known || s.RightHalfPoles != right || s.Poles != roots || want >= 0 && right != want {
		t.Errorf("%s: %+v, Routh %d of %d, want %d", name, s, right, roots, want)
	}
}

// wien is a Wien oscillator about an amplifier of closed gain 1 + ratio.
func wien(ratio float64, amp circuit.OpAmp) []circuit.Part {
	amp.Name, amp.Plus, amp.Minus, amp.Out = "amp", "p", "m", "out"
	return join(amp, resistor("R1", "out", "x", 10e3), capacitor("C1", "x", "p", 10e-9),
		resistor("R2", "p", "0", 10e3), capacitor("C2", "p", "0", 10e-9),
		resistor("Rf", "out", "m", ratio*1e3), resistor("Rg", "m", "0", 1e3), source("in", 0), resistor("R.in", "in", "p", 1e9))
}

// phaseShift is three CR sections into an inverting amplifier, whose input
// resistor is the last section's.
func phaseShift(gain float64) []circuit.Part {
	const r, c = 10e3, 10e-9
	return join(circuit.OpAmp{Name: "amp", Plus: "0", Minus: "m", Out: "out", Ideal: true},
		capacitor("C1", "out", "a", c), resistor("R1", "a", "0", r), capacitor("C2", "a", "b", c), resistor("R2", "b", "0", r),
		capacitor("C3", "b", "d", c), resistor("R3", "d", "m", r), resistor("Rf", "m", "out", gain*r))
}

// negative is a tank of 10 kohm loss beside a resistance of −ohms made by an
// amplifier.
func negative(ohms float64) []circuit.Part {
	return join(circuit.OpAmp{Name: "amp", Plus: "a", Minus: "m", Out: "out", Ideal: true},
		resistor("R1", "out", "a", ohms), resistor("R2", "out", "m", 1e3), resistor("R3", "m", "0", 1e3),
		coil("L", "a", "0", 0.1, 0), capacitor("C", "a", "0", 100e-9), resistor("R", "a", "0", 10e3))
}

// TestPoles: circuits with known poles in the right half-plane.
func TestPoles(t *testing.T) {
	var flat curve.Setting
	single := circuit.OpAmp{Name: "amp", Plus: "in", Minus: "m", Out: "out", Gain: 1e5, GainBandwidth: 1e6}
	exchanged := single
	exchanged.Plus, exchanged.Minus = "m", "in"
	around := join(source("in", 0), resistor("Rf", "out", "m", 10e3), resistor("Rg", "m", "0", 1e3))
	// a loop of one integrator and so many lags: two poles never oscillate
	loop := func(lags int, ohms float64) []circuit.Part {
		parts := join(source("in", 0), circuit.OpAmp{Name: "amp", Plus: "in", Minus: fmt.Sprint("n", lags), Out: "n0", Gain: 1e5, GainBandwidth: 1e6})
		for k := range lags {
			parts = join(parts, resistor(fmt.Sprint("R", k), fmt.Sprint("n", k), fmt.Sprint("n", k+1), ohms),
				capacitor(fmt.Sprint("C", k), fmt.Sprint("n", k+1), "0", 1e-9))
		}
		return parts
	}
	for _, c := range []struct {
		name  string
		parts []circuit.Part
		want  int
	}{
		{"Wien at 2.99", wien(1.99, circuit.OpAmp{Gain: 1e6}), 0},
		{"Wien at 3.01", wien(2.01, circuit.OpAmp{Gain: 1e6}), 2},
		{"Wien at 2.9999", wien(1.9999, circuit.OpAmp{Ideal: true}), 0},
		{"Wien at 3.0001", wien(2.0001, circuit.OpAmp{Ideal: true}), 2},
		{"Wien at 2.9, one pole", wien(1.9, circuit.OpAmp{Gain: 1e5, GainBandwidth: 1e6}), 0},
		{"Wien at 3.3, one pole", wien(2.3, circuit.OpAmp{Gain: 1e5, GainBandwidth: 1e6}), 2},
		{"phase shift at 28.9", phaseShift(28.9), 0},
		{"phase shift at 29.1", phaseShift(29.1), 2},
		{"amplifier", join(around, single), 0},
		{"inputs exchanged", join(around, exchanged), 1},
		{"loop of two poles", loop(1, 1e5), 0},
		{"loop of three poles", loop(2, 1e5), 2},
		{"loop of three poles, two far", loop(2, 10), 0},
		{"tank, −11 kohm", negative(11e3), 0},
		{"tank, −9 kohm", negative(9e3), 2},
		{"tank, −10.01 kohm", negative(10.01e3), 0},
		{"tank, −9.99 kohm", negative(9.99e3), 2},
	} {
		counted(t, c.name, c.parts, flat, c.want)
	}
}

// pair is a series-feedback pair of transistors between buses "cut" and
// "boost", as a builder of a driver might draw it; values in farads.
func pair(cDC, cEmitter, cOut, beta float64) []circuit.Part {
	q1 := circuit.Transistor{Name: "q1", Collector: "q1.collector", Base: "q1.base", Emitter: "q1.emitter",
		Is: 1e-14, BetaF: beta, BetaR: 4, EarlyVolts: 80, BaseEmitterFarads: 20e-12, BaseCollectorFarads: 4e-12}
	q2 := circuit.Transistor{Name: "q2", Collector: "out", Base: "q1.collector", Emitter: "rail", PNP: true,
		Is: 1e-14, BetaF: beta, BetaR: 4, EarlyVolts: 80, BaseEmitterFarads: 200e-12, BaseCollectorFarads: 6e-12}
	return join(source("in", 0), circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24}, q1, q2,
		capacitor("C.in", "in", "in.coupled", 47e-6), resistor("feed", "in.coupled", "cut", 2200),
		capacitor("C.base", "cut", "q1.base", 22e-6), resistor("R.b1", "rail", "q1.base", 30e3), resistor("R.b2", "q1.base", "0", 33e3),
		resistor("R.e", "q1.emitter", "0", 47e3), capacitor("C.emitter", "boost", "q1.emitter", cEmitter),
		resistor("R.c1", "rail", "q1.collector", 3300), capacitor("C.comp", "q1.collector", "out", 47e-12),
		resistor("R.load", "out", "0", 2200), resistor("R.dc1", "out", "dc.mid", 10e3), resistor("R.dc2", "dc.mid", "q1.emitter", 22e3),
		capacitor("C.dc", "dc.mid", "0", cDC), capacitor("C.out", "out", "out.coupled", cOut),
		resistor("R.bleed", "out.coupled", "0", 100e3), resistor("feedback", "out.coupled", "boost", 2200),
		resistor("track", "boost", "cut", 10e3/6))
}

// TestMotorboating: a pair whose decoupling of the direct feedback is slower
// than its couplings oscillates below the audio range; with the settled values
// it does not, whatever its transistors.
func TestMotorboating(t *testing.T) {
	for _, beta := range []float64{100, 300, 500} {
		counted(t, fmt.Sprint("settled, beta ", beta), pair(10e-6, 100e-6, 47e-6, beta), curve.Setting{}, 0)
	}
	counted(t, "C.dc 100 µF, C.emitter 22 µF", pair(100e-6, 22e-6, 47e-6, 300), curve.Setting{}, 2)
	slow := pair(100e-6, 47e-6, 47e-6, 300)
	counted(t, "C.dc 100 µF, C.emitter 47 µF", slow, curve.Setting{}, 0)
	for i, p := range slow {
		if p.PartName() == "C.base" {
			slow[i] = capacitor("C.base", "cut", "q1.base", 47e-6)
		}
	}
	counted(t, "C.dc 100 µF, C.emitter and C.base 47 µF", slow, curve.Setting{}, 2)
}

// pure takes from parts what makes a determinant no polynomial: losses that
// follow |ω|, and what shares a branch with another reactance.
func pure(parts []circuit.Part) []circuit.Part {
	var rest []circuit.Part
	for _, p := range withoutContacts(parts) {
		switch q := p.(type) {
		case circuit.Capacitor:
			q.Loss, q.ESR = 0, 0
			p = q
		case circuit.Inductor:
			q.CoreOhms, q.SelfFarads = 0, 0
			p = q
		}
		rest = append(rest, p)
	}
	return rest
}

// TestPolesOfRandom: random circuits with op-amps, some of which are not
// stable, have the poles that Routh's array of the determinant counts.
func TestPolesOfRandom(t *testing.T) {
	t.Parallel()
	from, right, wrong, unknown := trials.Seed(t, seed+41), 0, 0, 0
	n := trials.Count(40)
	for trial := range uint64(n) {
		rng := rand.New(rand.NewPCG(from, trial))
		s := known.RandomLinear(rng, 3+int(trial%4), 1+int(trial%3))
		s.Parts, s.Setting = pure(s.Parts), curve.Setting{Sliders: s.Setting.Sliders}
		if trial%2 == 1 {
			s.Parts = exchangeInputs(s.Parts)
		}
		st := drawn(t, s)
		got, err := st.Stability(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		rhp, roots := routh(t, polynomial(s.Parts, s.Setting, st))
		right += rhp
		switch {
		case !got.Known:
			unknown++
			t.Logf("trial %d: %+v, Routh %d of %d", trial, got, rhp, roots)
		case got.RightHalfPoles != rhp:
			wrong++
			t.Errorf("trial %d: %+v, Routh %d of %d", trial, got, rhp, roots)
		}
	}
	t.Logf("%d right half-plane poles in all, %d of %d unknown", right, unknown, n)
	if right == 0 {
		t.Error("no unstable circuit was drawn")
	}
}

// exchangeInputs turns the first op-amp of one pole round.
func exchangeInputs(parts []circuit.Part) []circuit.Part {
	for i, p := range parts {
		if o, ok := p.(circuit.OpAmp); ok && !o.Ideal {
			o.Plus, o.Minus = o.Minus, o.Plus
			parts[i] = o
			break
		}
	}
	return parts
}

// TestPassiveIsStable: no network of resistors, coils and capacitors has a
// pole in the right half-plane, and of all but one in a hundred it is known.
func TestPassiveIsStable(t *testing.T) {
	from, unknown := trials.Seed(t, seed+42), 0
	n := trials.Count(100)
	for trial := range uint64(n) {
		s := passive(from, trial, 3+int(trial%15))
		got, err := drawn(t, s).Stability(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !got.Known {
			unknown++
			t.Logf("trial %d: unknown, %+v", trial, got)
		} else if got.RightHalfPoles != 0 || math.Abs(got.Winding) > 0.05 {
			t.Errorf("trial %d: %+v", trial, got)
		}
	}
	if unknown*100 > n {
		t.Errorf("%d of %d are unknown", unknown, n)
	}
}

// TestPolesTogether: high resonances that lie close together, as coils of one kind
// resonate with themselves, turn the angle by whole circles within little; none is
// missed.
func TestPolesTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, seed+43), 1))
	for trial := range trials.Count(200) {
		parts := []circuit.Part{source("in", 0)}
		hz := 1e3 * math.Pow(300, rng.Float64())
		for k := range 2 + trial%3 {
			at := hz * (1 + 0.1*math.Pow(10, -4*rng.Float64())*(2*rng.Float64()-1))
			henries, q := 0.1, math.Pow(10, 1+4*rng.Float64())
			omega := 2 * math.Pi * at
			a, b := fmt.Sprint("a", k), fmt.Sprint("b", k)
			parts = append(parts, coil(fmt.Sprint("L", k), "in", a, henries, 0), resistor(fmt.Sprint("R", k), a, b, omega*henries/q),
				capacitor(fmt.Sprint("C", k), b, "0", 1/(omega*omega*henries)))
		}
		c, err := circuit.New(parts...)
		if err != nil {
			t.Fatal(err)
		}
		st, err := c.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := st.Stability(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !s.Known || s.RightHalfPoles != 0 || s.Poles != 2*(2+trial%3) {
			t.Errorf("trial %d, %d legs about %.0f Hz: %+v", trial, 2+trial%3, hz, s)
		}
	}
}
