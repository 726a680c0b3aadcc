package sparse

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// problem is a random system: a pattern, its samples, and lanes to solve.
type problem struct {
	n       int
	cells   []Cell
	samples [][]complex128
	lanes   [][]complex128
}

// randomProblem makes a pattern with a hidden full diagonal of decent size
// under random rows and columns, as nodal equations with branch currents have.
func randomProblem(rng *rand.Rand, n int, classes []Class) problem {
	p := problem{n: n}
	perm := rng.Perm(n)
	place := map[[2]int]bool{}
	put := func(r, c int) {
		if !place[[2]int{r, c}] {
			place[[2]int{r, c}] = true
			p.cells = append(p.cells, Cell{r, c, classes[rng.IntN(len(classes))]})
		}
	}
	for i := range n {
		put(i, perm[i])
	}
	for range 2 * n {
		put(rng.IntN(n), rng.IntN(n))
	}
	rng.Shuffle(len(p.cells), func(i, j int) { p.cells[i], p.cells[j] = p.cells[j], p.cells[i] })
	fixed := make([]float64, len(p.cells))
	for i, c := range p.cells {
		fixed[i] = float64(1 - 2*rng.IntN(2))
		if c.Col == perm[c.Row] && c.Class != Fixed {
			fixed[i] *= 3
		}
	}
	draw := func() []complex128 {
		v := make([]complex128, len(p.cells))
		for i, c := range p.cells {
			v[i] = randomValue(rng, c.Class, fixed[i])
		}
		return v
	}
	for range 4 {
		p.samples = append(p.samples, draw())
	}
	for range Block {
		v := draw()
		for i, c := range p.cells {
			switch c.Class {
			case Const:
				v[i] = p.samples[0][i]
			case ConstImag:
				v[i] = complex(real(p.samples[0][i]), imag(v[i]))
			}
		}
		p.lanes = append(p.lanes, v)
	}
	return p
}

func randomValue(rng *rand.Rand, class Class, around float64) complex128 {
	re, im := around*math.Exp(rng.NormFloat64()/3), around*math.Exp(rng.NormFloat64()/3)
	switch class {
	case Fixed:
		return complex(around, 0)
	case Const, Real:
		return complex(re, 0)
	case Imag:
		return complex(0, im)
	}
	return complex(re, im)
}

// load puts the problem's lanes into l.
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

func TestFirst(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	made := 0
	worst, raw, refined, flagged := 0.0, 0.0, 0.0, 0
	for trial := range 3000 {
		n := 1 + rng.IntN(40)
		p := randomProblem(rng, n, []Class{Fixed, Const, Real, Imag, ConstImag, Complex, Fixed, Const})
		plan, err := NewPlan(n, p.cells, p.samples, Options{})
		if err != nil {
			continue
		}
		made++
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		for _, tr := range []bool{false, true} {
			var rhs []RHS
			for i := range n {
				rhs = append(rhs, RHS{Row: i, Class: Complex})
			}
			sp := plan.NewSolve(rhs, plan.All(), tr)
			s := l.NewSolver(sp)
			for i := range n {
				re, im := s.B(i)
				for k := range Block {
					re[k], im[k] = rng.NormFloat64(), rng.NormFloat64()
				}
			}
			s.Solve()
			f := s.NewRefiner(plan.NewRefine(sp))
			for k, e := range f.Refine() {
				if l.Flagged()>>k&1 == 0 {
					raw = max(raw, e)
				} else {
					flagged++
				}
			}
			for k, e := range f.Residual() {
				if l.Flagged()>>k&1 == 0 {
					refined = max(refined, e)
				}
			}
			d := NewDense[complex128](n)
			b, x := make([]complex128, n), make([]complex128, n)
			for k := range Block {
				if l.Flagged()>>k&1 != 0 {
					continue
				}
				l.FillDense(d, k)
				if d.Factor() != nil {
					t.Fatal(trial)
				}
				s.rhsLane(b, k)
				if tr {
					d.SolveTransposed(b, x)
				} else {
					d.Solve(b, x)
				}
				var diff, size float64
				for j := range n {
					re, im := s.X(j)
					diff = max(diff, cmplx.Abs(complex(re[k], im[k])-x[j]))
					size = max(size, cmplx.Abs(x[j]))
				}
				if diff/size > 1e-7 || diff != diff {
					t.Fatal(trial, n, tr, k, diff/size)
				}
				worst = max(worst, diff/size)
			}
		}
	}
	t.Log(made, worst, raw, refined, flagged)
}
