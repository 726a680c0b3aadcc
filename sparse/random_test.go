package sparse

import (
	"math"
	"math/rand/v2"
	"testing"
)

// problem is a random system: a pattern, its samples, and a block of lanes.
type problem struct {
	n       int
	cells   []Cell
	samples [][]complex128
	lanes   [][]complex128
}

// seeded prints the seeds it starts a generator from.
func seeded(t *testing.T, a, b uint64) *rand.Rand {
	t.Helper()
	t.Logf("PCG seeds %d, %d", a, b)
	return rand.New(rand.NewPCG(a, b))
}

// mixes are the classes a random pattern draws from.
var mixes = [][]Class{
	{Fixed},
	{Const},
	{Real},
	{Imag},
	{ConstImag},
	{Complex},
	{Fixed, Const},
	{Fixed, Const, Real},
	{Fixed, Fixed, Const, Imag},
	{Fixed, Const, Real, Imag, ConstImag, Complex},
}

// scatter makes a pattern without form: random places around a hidden
// permutation of larger entries.
func scatter(rng *rand.Rand, n int, classes []Class) problem {
	p := problem{n: n}
	perm := rng.Perm(n)
	seen := map[[2]int]bool{}
	var around []float64
	put := func(r, c int, size float64) {
		if seen[[2]int{r, c}] {
			return
		}
		seen[[2]int{r, c}] = true
		class := classes[rng.IntN(len(classes))]
		p.cells = append(p.cells, Cell{r, c, class})
		if class == Fixed {
			size = 1
		}
		around = append(around, size*float64(1-2*rng.IntN(2)))
	}
	for i := range n {
		put(i, perm[i], 3)
	}
	for range 2 * n {
		put(rng.IntN(n), rng.IntN(n), 1)
	}
	rng.Shuffle(len(p.cells), func(i, j int) {
		p.cells[i], p.cells[j] = p.cells[j], p.cells[i]
		around[i], around[j] = around[j], around[i]
	})
	p.draw(func(i int) (float64, float64) {
		return around[i] * math.Exp(rng.NormFloat64()/3), around[i] * math.Exp(rng.NormFloat64()/3)
	}, around)
	return p
}

// draw fills samples and lanes; constants are those of the first sample.
func (p *problem) draw(part func(cell int) (re, im float64), fixed []float64) {
	for s := range 5 + Block {
		v := make([]complex128, len(p.cells))
		for i, c := range p.cells {
			re, im := part(i)
			if c.Class == Fixed {
				re = fixed[i]
			} else if s > 0 && (c.Class == Const || c.Class == ConstImag) {
				re = real(p.samples[0][i])
			}
			switch c.Class {
			case Fixed, Const, Real:
				im = 0
			case Imag:
				re = 0
			}
			v[i] = complex(re, im)
		}
		if s < 5 {
			p.samples = append(p.samples, v)
		} else {
			p.lanes = append(p.lanes, v)
		}
	}
}

// network makes nodal equations with branch currents (volts and
// milliamperes) of a random circuit: a tree of resistors to ground, more
// resistors, capacitors, coils and amplifiers across it, a source. Lanes are
// frequencies of 20 Hz to 20 kHz, or with spread samples with every value
// 10 % off too.
type network struct {
	problem
	at       map[[2]int]int
	re, im   []float64 // per cell: real part, imaginary part per rad/s
	re2, im2 []bool    // the parts depend on values
}

func (w *network) put(r, c int, re, im float64, value bool) {
	if r < 0 || c < 0 {
		return
	}
	k, ok := w.at[[2]int{r, c}]
	if !ok {
		k = len(w.cells)
		w.at[[2]int{r, c}] = k
		w.cells = append(w.cells, Cell{Row: r, Col: c})
		w.re, w.im = append(w.re, 0), append(w.im, 0)
		w.re2, w.im2 = append(w.re2, false), append(w.im2, false)
	}
	w.re[k] += re
	w.im[k] += im
	w.re2[k] = w.re2[k] || value && re != 0
	w.im2[k] = w.im2[k] || im != 0
}

// admit stamps an admittance between points a and b (−1 is ground).
func (w *network) admit(a, b int, g, c float64) {
	w.put(a, a, g, c, true)
	w.put(b, b, g, c, true)
	w.put(a, b, -g, -c, true)
	w.put(b, a, -g, -c, true)
}

// branch stamps current i from a to b and its voltage's row.
func (w *network) branch(i, a, b int) {
	w.put(a, i, 1, 0, false)
	w.put(b, i, -1, 0, false)
	w.put(i, a, 1, 0, false)
	w.put(i, b, -1, 0, false)
}

func randomNetwork(rng *rand.Rand, points int, spread bool) problem {
	w := &network{at: map[[2]int]int{}}
	ohms := func() float64 { return math.Exp(math.Log(10) * (2 + 3*rng.Float64())) }
	other := func(p int) int { // a point other than p, or ground
		for {
			if q := rng.IntN(points+1) - 1; q != p {
				return q
			}
		}
	}
	next := points
	newBranch := func(a, b int) int {
		w.branch(next, a, b)
		next++
		return next - 1
	}
	newBranch(rng.IntN(points), -1) // the source
	for p := range points {
		w.admit(p, rng.IntN(p+1)-1, 1e3/ohms(), 0)
		switch q := other(p); rng.IntN(4) {
		case 0:
			w.admit(p, q, 1e3/ohms(), 0)
		case 1:
			w.admit(p, q, 0, 1e3*math.Exp(math.Log(10)*(-9+4*rng.Float64())))
		case 2:
			i := newBranch(p, q)
			w.put(i, i, -ohms()*1e-4, -1e-3*math.Exp(math.Log(10)*(-3+3*rng.Float64())), true)
		case 3:
			if rng.IntN(8) == 0 {
				i := next
				next++
				gain := math.Exp(5 * rng.Float64())
				w.put(p, i, 1, 0, false)
				w.put(i, p, 1, 0, false)
				w.put(i, other(p), gain, 0, true)
				w.put(i, i, -0.1, 0, true)
			}
		}
	}
	w.n = next
	w.classify(spread)
	w.fill(rng, spread)
	return w.problem
}

func (w *network) classify(spread bool) {
	for k := range w.cells {
		class := Fixed
		switch {
		case w.im2[k] && (w.re2[k] || w.re[k] != 0):
			class = ConstImag
			if spread {
				class = Complex
			}
		case w.im2[k]:
			class = Imag
		case w.re2[k] && spread:
			class = Real
		case w.re2[k]:
			class = Const
		}
		w.cells[k].Class = class
	}
}

func (w *network) fill(rng *rand.Rand, spread bool) {
	at := func(hz float64) []complex128 {
		v := make([]complex128, len(w.cells))
		for k := range v {
			re, im := w.re[k], 2*math.Pi*hz*w.im[k]
			if spread && w.re2[k] {
				re *= 1 + 0.1*(2*rng.Float64()-1)
			}
			if spread {
				im *= 1 + 0.1*(2*rng.Float64()-1)
			}
			v[k] = complex(re, im)
		}
		return v
	}
	for _, hz := range []float64{20, 63, 160, 400, 1000, 2500, 6300, 20000} {
		w.samples = append(w.samples, at(hz))
	}
	for range Block {
		w.lanes = append(w.lanes, at(20*math.Pow(1000, rng.Float64())))
	}
}

// load binds the constants and puts the lanes into l.
func (p problem) load(l *Lanes) {
	for i, c := range p.cells {
		if c.Class == Const || c.Class == ConstImag {
			l.SetConst(i, real(p.lanes[0][i]))
		}
		re, im := l.Cell(i)
		for k, v := range p.lanes {
			if re != nil {
				re[k] = real(v[i])
			}
			if im != nil {
				im[k] = imag(v[i])
			}
		}
	}
	l.Fold()
}

// everyRow is a Complex right side at every row.
func everyRow(n int) []RHS {
	rhs := make([]RHS, n)
	for i := range rhs {
		rhs[i] = RHS{Row: i, Class: Complex}
	}
	return rhs
}

// fillB draws a right side for every lane.
func fillB(rng *rand.Rand, s *Solver, entries int) {
	for i := range entries {
		re, im := s.B(i)
		for k := range Block {
			if re != nil {
				re[k] = rng.NormFloat64()
			}
			if im != nil {
				im[k] = rng.NormFloat64()
			}
		}
	}
}

// lane reads the solver's unknowns in one lane.
func (s *Solver) lane(k int) []complex128 {
	x := make([]complex128, len(s.plan.wanted))
	for j := range x {
		re, im := s.X(j)
		x[j] = complex(re[k], im[k])
	}
	return x
}

// problems runs f on thousands of random systems of all sizes and mixes and
// says how many it made. Systems that draw themselves singular are counted,
// and may not be many.
func problems(t *testing.T, rng *rand.Rand, count int, f func(p problem, plan *Plan)) {
	t.Helper()
	singular := 0
	for trial := range count {
		size := 1 + rng.IntN(20)
		if trial%10 == 0 {
			size = 1 + rng.IntN(75) // networks then have up to about 120 unknowns
		}
		var p problem
		switch trial % 4 {
		case 0:
			p = randomNetwork(rng, size, false)
		case 1:
			p = randomNetwork(rng, size, true)
		default:
			p = scatter(rng, size, mixes[rng.IntN(len(mixes))])
		}
		plan, err := NewPlan(p.n, p.cells, p.samples, Options{})
		if err != nil {
			singular++
			continue
		}
		f(p, plan)
	}
	t.Logf("%d systems, %d singular", count-singular, singular)
	if singular > count/20 {
		t.Errorf("%d of %d systems singular: the generator tests nothing", singular, count)
	}
}
