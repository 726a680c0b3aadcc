package circuit_test

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/trials"
)

// kT/q, from the exact constants of the SI of 2019.
func thermalVolts(kelvin float64) float64 { return 1.380649e-23 * kelvin / 1.602176634e-19 }

// ebersMoll is the transistor written once more, from the injection form of
// Ebers and Moll (1954): each junction is a diode, and a share of each one's
// current is carried across; the Early effect scales what is carried from
// emitter to collector. Currents into collector, base and emitter.
func ebersMoll(q circuit.Transistor, vc, vb, ve, kelvin float64) (c, b, e float64) {
	sign := 1.0
	if q.PNP {
		sign = -1
	}
	vbe, vbc := sign*(vb-ve), sign*(vb-vc)
	n := q.N
	if n == 0 {
		n = 1
	}
	vt := n * thermalVolts(kelvin)
	alphaF, alphaR := q.BetaF/(1+q.BetaF), q.BetaR/(1+q.BetaR)
	forward := q.Is / alphaF * math.Expm1(vbe/vt) // the emitter's diode
	reverse := q.Is / alphaR * math.Expm1(vbc/vt) // the collector's diode
	c, e = sign*(alphaF*forward-reverse), sign*(alphaR*reverse-forward)
	if q.EarlyVolts > 0 {
		more := -sign * vbc / q.EarlyVolts * (alphaF*forward - alphaR*reverse)
		c, e = c+more, e-more
	}
	return c, -c - e, e
}

// lambertW solves w·exp(w) = x for x > 0, by Newton on the logarithm:
// ln w + w = ln x (Corless and others 1996), x given by its logarithm.
func lambertW(logX float64) float64 {
	w := max(logX-math.Log(max(logX, 1)), math.Exp(min(logX, 0)))
	for range 60 {
		w -= (math.Log(w) + w - logX) / (1/w + 1)
	}
	return w
}

// TestDiode: a diode fed through a resistor, by Lambert's function:
// i = (nVT/R)·W(Is·R/(nVT)·exp((V + Is·R)/(nVT))) − Is.
func TestDiode(t *testing.T) {
	for _, volts := range []float64{-300, -5, -0.1, 0.2, 0.7, 1, 5, 24, 300} {
		for _, ohms := range []float64{1, 100, 10e3, 1e6} {
			for _, is := range []float64{1e-15, 1e-12, 1e-8} {
				for _, n := range []float64{0, 1.8} {
					for _, kelvin := range []float64{250, 300.15, 350} {
						d := circuit.Diode{Name: "D", Anode: "d", Cathode: "0", Is: is, N: n}
						st := built(t, curve.Setting{}, circuit.Conditions{Kelvin: kelvin}, source("a", volts), resistor("R", "a", "d", ohms), d)
						vt := thermalVolts(kelvin)
						if n > 0 {
							vt *= n
						}
						want := vt/ohms*lambertW(math.Log(is*ohms/vt)+(volts+is*ohms)/vt) - is
						got, _ := st.Current("D")
						// The junction carries a leak of 1e-15 S beside the model.
						if math.Abs(got-want) > 1e-9*math.Abs(want)+3e-15*math.Abs(volts)+1e-11/ohms {
							t.Errorf("%g V over %g ohm, Is %g, n %g, %g K: %.12g A, closed form %.12g", volts, ohms, is, n, kelvin, got, want)
						}
					}
				}
			}
		}
	}
}

// balance gives the direct current that is left over at each point, by the
// engine's volts and currents, and the size of what meets there.
func balance(t *testing.T, parts []circuit.Part, st *circuit.State) (left, size map[string]float64) {
	t.Helper()
	left, size = map[string]float64{}, map[string]float64{}
	volts := func(point string) float64 { v, _ := st.Volts(point); return v }
	out := func(point string, i float64) {
		left[point] += i
		size[point] += math.Abs(i)
	}
	for _, p := range parts {
		got, ok := st.Current(p.PartName())
		switch p := p.(type) {
		case circuit.Transistor:
			c, b, e := ebersMoll(p, volts(p.Collector), volts(p.Base), volts(p.Emitter), st.Kelvin())
			out(p.Collector, c)
			out(p.Base, b)
			// the leak across both junctions, beside the model
			const leak = 1e-15
			toE, toC := leak*(volts(p.Base)-volts(p.Emitter)), leak*(volts(p.Base)-volts(p.Collector))
			out(p.Base, toE+toC)
			out(p.Emitter, -toE)
			out(p.Collector, -toC)
			out(p.Emitter, e)
			if math.Abs(got-c) > 1e-9*math.Abs(c)+1e-14 || !ok {
				t.Errorf("%s: collector %.12g A, written again %.12g", p.Name, got, c)
			}
		case circuit.OpAmp:
			out(p.Out, -got)
			if p.InputOhms > 0 {
				i := (volts(p.Plus) - volts(p.Minus)) / p.InputOhms
				out(p.Plus, i)
				out(p.Minus, -i)
			}
		case circuit.Slider:
			upper, lower := sliderHalves(p, st.Setting())
			for k, v := range []float64{(volts(p.Boost) - volts(p.Wiper)) / upper, (volts(p.Wiper) - volts(p.Cut)) / lower} {
				ends := [][2]string{{p.Boost, p.Wiper}, {p.Wiper, p.Cut}}[k]
				if math.IsInf(v, 0) || math.IsNaN(v) {
					left[ends[0]], left[ends[1]] = math.NaN(), math.NaN() // an end: not told by volts
					continue
				}
				out(ends[0], v)
				out(ends[1], -v)
			}
		case circuit.Switch, circuit.Coupling:
			if ok {
				t.Errorf("%s gave a current", p.PartName())
			}
		case circuit.Triode:
			plate, grid := volts(p.Plate)-volts(p.Cathode), volts(p.Grid)-volts(p.Cathode)
			i, g := koren(p, grid, plate), p.GridIs*math.Expm1(grid/(p.GridN*thermalVolts(st.Kelvin())))
			const leak = 1e-15
			out(p.Plate, i+leak*plate)
			out(p.Grid, g+leak*grid)
			out(p.Cathode, -i-g-leak*(plate+grid))
			if math.Abs(got-i) > 1e-9*math.Abs(i) || !ok {
				t.Errorf("%s: plate %.12g A, written again %.12g", p.Name, got, i)
			}
		case circuit.Zener:
			i := zenerCurrent(p, volts(p.Anode)-volts(p.Cathode), st.Kelvin())
			out(p.Anode, i)
			out(p.Cathode, -i)
			if math.Abs(got-i) > 1e-8*math.Abs(i) || !ok {
				t.Errorf("%s: %.12g A, written again %.12g", p.Name, got, i)
			}
		case circuit.Contact:
			if !ok {
				left[p.A], left[p.B] = math.NaN(), math.NaN() // merged
				continue
			}
			out(p.A, got)
			out(p.B, -got)
		default:
			ends := p.Terminals()
			out(ends[0], got)
			out(ends[1], -got)
		}
	}
	return left, size
}

func sliderHalves(s circuit.Slider, setting curve.Setting) (upper, lower float64) {
	share := s.Law.At((setting.Slider(s.Name) + 1) / 2)
	return s.BoostEnd + s.Track*(1-share), s.CutEnd + s.Track*share
}

// held looks at every point's balance but ground's.
func held(t *testing.T, where string, parts []circuit.Part, st *circuit.State) (points int) {
	t.Helper()
	left, size := balance(t, parts, st)
	for point, i := range left {
		if point == circuit.Ground || math.IsNaN(i) {
			continue
		}
		// A junction's volts are settled to 1e-12 of some 100 V: 4e-9 of nVT.
		// Where a neighbour carries many amperes, its rounding lies here too.
		if math.Abs(i) > 1e-8*size[point]+1e-11*size[circuit.Ground]+1e-13 {
			t.Errorf("%s, %s: %g A of %g are left over", where, point, i, size[point])
		}
		points++
	}
	return points
}

// TestOperatingPoint: at every point of random circuits the currents of all
// kinds of parts sum to nothing, the transistors' written here once more.
func TestOperatingPoint(t *testing.T) {
	t.Parallel()
	from, points := trials.Seed(t, seed+31), 0
	for trial := range uint64(trials.Count(150)) {
		rng := rand.New(rand.NewPCG(from, trial))
		s := known.RandomActive(rng, 3+int(trial%12), 1+int(trial%4))
		points += held(t, fmt.Sprint("active ", trial), s.Parts, drawn(t, s))
		s = known.RandomValves(rng, 3+int(trial%12), 1+int(trial%4))
		points += held(t, fmt.Sprint("valves ", trial), s.Parts, drawn(t, s))
		s = linear(from, trial, 3+int(trial%12))
		points += held(t, fmt.Sprint("linear ", trial), s.Parts, drawn(t, s))
	}
	t.Logf("%d points", points)
}

// mirrored turns every rail, source and transistor round.
func mirrored(parts []circuit.Part) []circuit.Part {
	var turned []circuit.Part
	for _, p := range parts {
		switch q := p.(type) {
		case circuit.VoltageSource:
			q.DC = -q.DC
			p = q
		case circuit.CurrentSource:
			q.DC = -q.DC
			p = q
		case circuit.Transistor:
			q.PNP = !q.PNP
			p = q
		}
		turned = append(turned, p)
	}
	return turned
}

// TestMirror: turned round, a circuit has every volt and current turned
// round, and the same small signals.
func TestMirror(t *testing.T) {
	t.Parallel()
	from := trials.Seed(t, seed+32)
	for trial := range uint64(trials.Count(40)) {
		s := known.RandomActive(rand.New(rand.NewPCG(from, trial)), 3+int(trial%12), 1+int(trial%4))
		turned := s
		turned.Parts = mirrored(s.Parts)
		one, other := drawn(t, s), drawn(t, turned)
		for _, point := range one.Circuit().Points() {
			a, _ := one.Volts(point)
			b, _ := other.Volts(point)
			if math.Abs(a+b) > 1e-9*(1+math.Abs(a)) {
				t.Errorf("trial %d, %s: %g V and turned round %g V", trial, point, a, b)
			}
		}
		for _, p := range s.Parts {
			a, _ := one.Current(p.PartName())
			b, _ := other.Current(p.PartName())
			if math.Abs(a+b) > 1e-9*math.Abs(a)+1e-13 {
				t.Errorf("trial %d, %s: %g A and turned round %g A", trial, p.PartName(), a, b)
			}
		}
		h, g := responded(t, one, s.Source, s.Outs[0], audio...), responded(t, other, s.Source, s.Outs[0], audio...)
		for k := range audio {
			if cmplx.Abs(h[k]-g[k]) > 1e-7*cmplx.Abs(h[k])+1e-13 {
				t.Errorf("trial %d at %g Hz: gain %v and turned round %v", trial, audio[k], h[k], g[k])
			}
		}
	}
}

// TestRails: stages coupled directly, whose loop feeds back on itself, on
// rails from 5 to 300 V, all have an operating point that balances.
func TestRails(t *testing.T) {
	from := trials.Seed(t, seed+33)
	for trial := range uint64(trials.Count(150)) {
		rng := rand.New(rand.NewPCG(from, trial))
		rail := 5 * math.Pow(60, rng.Float64())
		parts := ladder(rng, rail, 2+rng.IntN(5))
		st := built(t, curve.Setting{}, circuit.Conditions{Kelvin: 260 + 90*rng.Float64()}, parts...)
		held(t, fmt.Sprintf("trial %d, rail %.3g V", trial, rail), parts, st)
	}
}

// ladder is stages coupled directly, NPN and PNP at random, with feedback
// from the last collector to the first base through a divider.
func ladder(rng *rand.Rand, rail float64, stages int) []circuit.Part {
	parts := join(circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: rail},
		resistor("R.up", "rail", "c0", 220e3), resistor("R.down", "c0", "0", 47e3*(0.5+rng.Float64())))
	for k := 1; k <= stages; k++ {
		near, far := "0", "rail"
		pnp := rng.IntN(2) == 0
		if pnp {
			near, far = far, near
		}
		name := fmt.Sprint(k)
		q := transistor("q"+name, "c"+name, fmt.Sprint("c", k-1), "e"+name)
		q.PNP, q.BetaF, q.Is, q.EarlyVolts = pnp, 20+500*rng.Float64(), math.Pow(10, -16+3*rng.Float64()), float64(rng.IntN(2))*80
		parts = join(parts, q,
			resistor("R.e"+name, "e"+name, near, math.Pow(10, 3*rng.Float64())),
			resistor("R.c"+name, "c"+name, far, math.Pow(10, 3+2*rng.Float64())))
	}
	last := fmt.Sprint("c", stages)
	return join(parts, resistor("R.fb", last, "c0", 100e3))
}

// TestSaturated: a transistor driven hard lies at its saturation volts,
// V_CE = VT·ln[(1/αR + β/βR)/(1 − β/βF)], β the forced gain Ic/Ib (Ebers
// and Moll 1954); turned end for end it has the reverse gain.
func TestSaturated(t *testing.T) {
	q := transistor("q1", "c", "b", "e")
	vt := thermalVolts(circuit.DefaultKelvin)
	for _, base := range []float64{1e-4, 1e-3, 1e-2} {
		for _, collector := range []float64{1e-4, 1e-3, 5e-3} {
			st := built(t, curve.Setting{}, circuit.Conditions{}, q, resistor("R.e", "e", "0", 0), resistor("R.b", "b", "0", 1e9),
				resistor("R.c", "c", "0", 1e9),
				circuit.CurrentSource{Name: "Ib", From: "0", To: "b", DC: base}, circuit.CurrentSource{Name: "Ic", From: "0", To: "c", DC: collector})
			forced := collector / base
			want := vt * math.Log((1+1/q.BetaR+forced/q.BetaR)/(1-forced/q.BetaF))
			if got, _ := st.Volts("c"); math.Abs(got-want) > 1e-4*vt {
				t.Errorf("%g A into base, %g A into collector: V_CE %.9g, closed form %.9g", base, collector, got, want)
			}
		}
	}
	turned := transistor("q1", "e", "b", "c") // collector and emitter exchanged
	st := built(t, curve.Setting{}, circuit.Conditions{}, turned, source("c", 5), resistor("R.e", "e", "0", 0),
		circuit.CurrentSource{Name: "Ib", From: "0", To: "b", DC: 1e-6}, resistor("R.b", "b", "0", 1e9))
	i, _ := st.Current("q1") // out of what is now the emitter
	if gain := -i/1e-6 - 1; math.Abs(gain-q.BetaR) > 2e-3*q.BetaR {
		t.Errorf("reverse gain %.6g, want %g", gain, q.BetaR)
	}
}

// TestTemperature: at one current a junction's volts are n·kT/q·ln(I/Is + 1),
// Is being the part's own at that temperature.
func TestTemperature(t *testing.T) {
	for _, kelvin := range []float64{0, 250, 273.15, 300, 308.15, 360} {
		d := circuit.Diode{Name: "D", Anode: "d", Cathode: "0", Is: 1e-12, N: 1.5}
		st := built(t, curve.Setting{}, circuit.Conditions{Kelvin: kelvin}, d, circuit.CurrentSource{Name: "I", From: "0", To: "d", DC: 1e-3})
		if kelvin == 0 {
			kelvin = circuit.DefaultKelvin
		}
		want := 1.5 * thermalVolts(kelvin) * math.Log1p(1e-3/1e-12)
		if got, _ := st.Volts("d"); math.Abs(got-want) > 1e-10 {
			t.Errorf("%g K: %.12g V, want %.12g", kelvin, got, want)
		}
	}
}

// TestSmallSignalIsTheSlope: with every reactance so small or so far that it
// is nothing at a thousandth of a hertz, the response from a source is the
// slope of the operating point by that source's volts.
func TestSmallSignalIsTheSlope(t *testing.T) {
	from := trials.Seed(t, seed+34)
	for trial := range uint64(trials.Count(60)) {
		rng := rand.New(rand.NewPCG(from, trial))
		rail := 9 + 40*rng.Float64()
		parts := ladder(rng, rail, 1+rng.IntN(4))
		parts = join(parts, source("gen", 0), resistor("R.gen", "gen", "c0", 47e3),
			circuit.Diode{Name: "D", Anode: "c1", Cathode: "d", Is: 1e-12, N: 1.7}, resistor("R.d", "d", "0", 22e3))
		at := func(dc float64) *circuit.State {
			return built(t, curve.Setting{}, circuit.Conditions{}, join(parts[:len(parts)-4], source("gen", dc), parts[len(parts)-3:])...)
		}
		st := at(0)
		const step = 1e-5
		up, down := at(step), at(-step)
		for _, point := range st.Circuit().Points() {
			a, _ := up.Volts(point)
			b, _ := down.Volts(point)
			want := (a - b) / (2 * step)
			got := responded(t, st, "source", point, 1e-3)[0]
			if cmplx.Abs(got-complex(want, 0)) > 1e-4*math.Abs(want)+2e-6*rail/5 {
				t.Errorf("trial %d, %s: small signal %v, slope %g", trial, point, got, want)
			}
		}
	}
}

// A cancelled search for an operating point gives the context's error.
func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	c, err := circuit.New(source("a", 5), resistor("R", "a", "d", 1e3), circuit.Diode{Name: "D", Anode: "d", Cathode: "0", Is: 1e-14})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Solve(ctx, curve.Setting{}, circuit.Conditions{}); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}

// TestFloatingBoard: a board that hangs on nothing but its insulation settles at
// whatever volts a meter puts across its junction, and its own volts are those
// of the same board on ground.
func TestFloatingBoard(t *testing.T) {
	board := func(ohms, meter float64) (volts [3]float64) {
		t.Helper()
		st := built(t, curve.Setting{}, circuit.Conditions{},
			circuit.VoltageSource{Name: "meter", Plus: "red", Minus: "e", DC: meter}, resistor("meter.ohms", "red", "b", 1e3),
			circuit.Transistor{Name: "q", Collector: "c", Base: "b", Emitter: "e", Is: 1e-14, BetaF: 200, BetaR: 5},
			resistor("R.c", "c", "b", 1e3), resistor("R.e", "e", "floor", 47e3), resistor("R.b", "b", "floor", 22e3),
			resistor("insulation", "floor", "0", ohms))
		floor, _ := st.Volts("floor")
		for i, point := range []string{"b", "c", "e"} {
			v, _ := st.Volts(point)
			volts[i] = v - floor
		}
		return volts
	}
	for meter := 0.1; meter < 12; meter *= 1.07 {
		floating, grounded := board(1e9, meter), board(1e-3, meter) // what floats with the board is no matter
		for i := range floating {
			if math.Abs(floating[i]-grounded[i]) > 1e-8 {
				t.Errorf("meter of %v V: point %d stands %v V over the board's ground, with the board on ground %v", meter, i, floating[i], grounded[i])
			}
		}
	}
}
