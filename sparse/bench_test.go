package sparse

import (
	"math"
	"math/cmplx"
	"testing"
)

// The fixed problem the engine's speed is measured on: a six-band equaliser
// of the studio's bass head (invented values) between two buses, 42 unknowns.
//
// Per band: wiper, two slider-half currents, two leg nodes, coil current;
// then the points in, P bus, N bus, out, and the currents of the source and
// of the ideal amplifier. Currents are counted in milliamperes against volts
// (branch currents scaled by 1 kΩ), so that entries stay near 1.

const (
	benchBands = 6
	kilo       = 1e3
	feedOhms   = 2200.0
	trackOhms  = 10e3
)

// band is one leg and where its slider stands.
type band struct {
	ohms, dcr, henries, farads float64
	travel                     float64 // share of the track below the wiper
}

// benchBand makes legs of Q about 1.5 at the bands' centres.
func benchLegs() []band {
	legs := make([]band, benchBands)
	travel := [benchBands]float64{0.9, 0.35, 0.6, 0.15, 0.75, 0.45}
	for i, hz := range [benchBands]float64{63, 160, 400, 1000, 2500, 6300} {
		legs[i] = band{ohms: 330, dcr: 120, travel: travel[i]}
		legs[i].henries = 1.5 * 450 / (2 * math.Pi * hz)
		w := 2 * math.Pi * hz
		legs[i].farads = 1 / (w * w * legs[i].henries)
	}
	return legs
}

// equaliser is the benchmark's pattern with what each cell depends on.
type equaliser struct {
	n      int
	legs   []band
	cells  []Cell
	consts []float64      // value of Fixed and Const cells, real part of ConstImag
	slope  []float64      // imaginary part per rad/s
	at     map[[2]int]int // place → cell
	rhs    []RHS
	out    int
}

func (e *equaliser) put(row, col int, class Class, re, im float64) {
	if k, ok := e.at[[2]int{row, col}]; ok {
		e.consts[k] += re
		e.slope[k] += im
		e.cells[k].Class = max(class, e.cells[k].Class)
		return
	}
	e.at[[2]int{row, col}] = len(e.cells)
	e.cells = append(e.cells, Cell{row, col, class})
	e.consts, e.slope = append(e.consts, re), append(e.slope, im)
}

// conductance joins points a and b (−1 is ground) by kilo/ohms.
func (e *equaliser) conductance(a, b int, ohms float64) {
	g := kilo / ohms
	for _, p := range [...][2]int{{a, b}, {b, a}} {
		if p[0] < 0 {
			continue
		}
		e.put(p[0], p[0], Const, g, 0)
		if p[1] >= 0 {
			e.put(p[0], p[1], Const, -g, 0)
		}
	}
}

// branch is the current unknown i from a to b, with v(a) − v(b) − z·i = 0.
func (e *equaliser) branch(i, a, b int) {
	for _, p := range [...]struct {
		at   int
		sign float64
	}{{a, 1}, {b, -1}} {
		if p.at >= 0 {
			e.put(p.at, i, Fixed, p.sign, 0)
			e.put(i, p.at, Fixed, p.sign, 0)
		}
	}
}

func newEqualiser() *equaliser {
	e := &equaliser{n: 6*benchBands + 6, legs: benchLegs(), at: map[[2]int]int{}}
	in, plus, minus, out, source, amp := 36, 37, 38, 39, 40, 41
	for k, b := range e.legs {
		wiper, up, down, a, c, coil := 6*k, 6*k+1, 6*k+2, 6*k+3, 6*k+4, 6*k+5
		e.branch(up, minus, wiper)
		e.put(up, up, Const, -(1-b.travel)*trackOhms/kilo, 0)
		e.branch(down, wiper, plus)
		e.put(down, down, Const, -b.travel*trackOhms/kilo, 0)
		e.conductance(wiper, a, b.ohms)
		e.branch(coil, a, c)
		e.put(coil, coil, ConstImag, -b.dcr/kilo, -b.henries/kilo)
		e.put(c, c, Imag, 0, kilo*b.farads)
	}
	e.conductance(in, plus, feedOhms)
	e.conductance(out, minus, feedOhms)
	e.branch(source, in, -1)
	e.put(out, amp, Fixed, 1, 0)
	e.put(amp, plus, Fixed, 1, 0)
	e.put(amp, minus, Fixed, -1, 0)
	e.rhs, e.out = []RHS{{Row: source, Class: Fixed, Value: 1}}, out
	return e
}

// at1 gives all cells at one frequency.
func (e *equaliser) values(hz float64) []complex128 {
	w := 2 * math.Pi * hz
	v := make([]complex128, len(e.cells))
	for i := range v {
		v[i] = complex(e.consts[i], w*e.slope[i])
	}
	return v
}

func (e *equaliser) samples() (s [][]complex128) {
	for _, hz := range []float64{20, 63, 100, 160, 400, 1000, 2500, 6300, 10000, 20000} {
		s = append(s, e.values(hz))
	}
	return s
}

// audio spreads n frequencies over 20 Hz … 20 kHz.
func audio(n int) []float64 {
	hz := make([]float64, n)
	for i := range hz {
		hz[i] = 20 * math.Pow(1000, float64(i)/float64(n-1))
	}
	return hz
}

// load sets the varying cells at a block of frequencies.
func (e *equaliser) load(l *Lanes, hz []float64) {
	var w Vector
	for i, f := range hz {
		w[i] = 2 * math.Pi * f
	}
	for i, k := range e.slope {
		if k == 0 {
			continue
		}
		_, im := l.Cell(i)
		for j := range im {
			im[j] = k * w[j]
		}
	}
}

func (e *equaliser) bind(l *Lanes) {
	for i, c := range e.cells {
		if c.Class == Const || c.Class == ConstImag {
			l.SetConst(i, e.consts[i])
		}
	}
	l.Fold()
}

// twoBus is the same circuit reduced by hand: each leg with its slider is a
// triangle between the two buses and ground, and two equations are left.
func (e *equaliser) twoBus(hz float64) complex128 {
	w := 2 * math.Pi * hz
	// Admittances in millisiemens: bus to ground, and bus to bus.
	var plus, minus, across complex128
	for _, b := range e.legs {
		x := (w*b.henries - 1/(w*b.farads)) / kilo
		r := (b.ohms + b.dcr) / kilo
		up, down := (1-b.travel)*trackOhms/kilo, b.travel*trackOhms/kilo
		// Star to triangle: the sum of pairwise products over the far arm.
		sr, si := up*down+r*(up+down), x*(up+down)
		q := 1 / (sr*sr + si*si)
		y := complex(sr*q, -si*q)
		minus += y * complex(down, 0)
		plus += y * complex(up, 0)
		across += y * complex(r, x)
	}
	feed := complex(kilo/feedOhms, 0)
	// The amplifier holds both buses at v: no current flows across.
	v := feed / (feed + plus)
	return (v * (feed + minus)) / feed
}

func newBench() (*equaliser, *Plan, *Lanes, *Solver) {
	e := newEqualiser()
	p, err := NewPlan(e.n, e.cells, e.samples(), Options{})
	if err != nil {
		panic(err)
	}
	l := p.NewLanes()
	e.bind(l)
	return e, p, l, l.NewSolver(p.NewSolve(e.rhs, []int{e.out}, false))
}

func TestEqualiser(t *testing.T) {
	e, p, l, s := newBench()
	hz := audio(Block)
	e.load(l, hz)
	l.Factor(Block)
	s.Solve()
	re, im := s.X(0)
	for i, f := range hz {
		want := e.twoBus(f)
		if got := complex(re[i], im[i]); !(cmplx.Abs(got-want) < 1e-11*cmplx.Abs(want)) {
			t.Errorf("%g Hz: %v, two-bus %v", f, got, want)
		}
	}
	t.Logf("factor %+v, solve %+v, %d operations", p.Ops(), s.plan.Ops(), p.Ops().Plus(s.plan.Ops()).Operations())
}

func perLane(b *testing.B, lanes int) {
	ns := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / float64(lanes)
	b.ReportMetric(ns, "ns/lane")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkLanes is load, factor and solve for one output, with its operations
// and with the dense twin and the two-bus kernel timed in the same run.
func BenchmarkLanes(b *testing.B) {
	e, p, l, s := newBench()
	hz := audio(Block)
	for b.Loop() {
		e.load(l, hz)
		l.Factor(Block)
		s.Solve()
	}
	perLane(b, Block)
	ours := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / Block
	b.ReportMetric(1e9/ours, "solves/s")
	b.ReportMetric(float64(p.Ops().Plus(s.plan.Ops()).Operations()), "operations/solve")
	b.ReportMetric(ours/nanoseconds(b, twoBusSweep(e, hz))*Block, "×two-bus")
	b.ReportMetric(ours/nanoseconds(b, denseSolve(e)), "×dense")
}

// nanoseconds gives what one call takes by the benchmark's own clock, the
// best of some rounds.
func nanoseconds(b *testing.B, call func()) float64 {
	best := math.Inf(1)
	for range 20 {
		const calls = 50
		before := b.Elapsed()
		b.StartTimer()
		for range calls {
			call()
		}
		b.StopTimer()
		best = min(best, float64((b.Elapsed()-before).Nanoseconds())/calls)
	}
	return best
}

// What a reported curve costs: every unknown, one refinement, the backward
// error after it.
func BenchmarkReported(b *testing.B) {
	e, p, l, _ := newBench()
	sp := p.NewSolve(e.rhs, p.All(), false)
	s := l.NewSolver(sp)
	r := s.NewRefiner(p.NewRefine(sp))
	hz := audio(Block)
	for b.Loop() {
		e.load(l, hz)
		l.Factor(Block)
		s.Solve()
		r.Refine()
		r.Residual()
	}
	perLane(b, Block)
}

// twoBusSweep answers a block by the kernel reduced by hand.
func twoBusSweep(e *equaliser, hz []float64) func() {
	var sum complex128
	return func() {
		for _, f := range hz {
			sum += e.twoBus(f)
		}
		if cmplx.IsNaN(sum) {
			panic("sparse: the two-bus kernel gives no number")
		}
	}
}

// denseSolve answers one frequency by the dense twin.
func denseSolve(e *equaliser) func() {
	d := NewDense[complex128](e.n)
	rhs, x := make([]complex128, e.n), make([]complex128, e.n)
	rhs[e.rhs[0].Row] = 1
	v := e.values(1000)
	return func() {
		clear(d.A)
		for i, c := range e.cells {
			d.A[c.Row*e.n+c.Col] = v[i]
		}
		if d.Factor() != nil {
			panic("sparse: the benchmark's matrix is singular")
		}
		d.Solve(rhs, x)
	}
}

func BenchmarkTwoBus(b *testing.B) {
	sweep := twoBusSweep(newEqualiser(), audio(Block))
	for b.Loop() {
		sweep()
	}
	perLane(b, Block)
}

func BenchmarkDense(b *testing.B) {
	solve := denseSolve(newEqualiser())
	for b.Loop() {
		solve()
	}
	perLane(b, 1)
}

func BenchmarkPlan(b *testing.B) {
	e := newEqualiser()
	samples := e.samples()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewPlan(e.n, e.cells, samples, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
