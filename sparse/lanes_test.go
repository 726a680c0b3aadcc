package sparse

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// The contract of every answer: backward errors of at most 1e-10 as solved
// and 1e-14 after one refinement, on thousands of random systems.
func TestBackwardErrors(t *testing.T) {
	rng := seeded(t, 2026, 1)
	var raw, refined float64
	lanes, flagged := 0, 0
	problems(t, rng, 3000, func(p problem, plan *Plan) {
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		for _, transposed := range []bool{false, true} {
			sp := plan.NewSolve(everyRow(p.n), plan.All(), transposed)
			s := l.NewSolver(sp)
			fillB(rng, s, p.n)
			s.Solve()
			d := NewDense[complex128](p.n)
			redone, singular := s.Redo(d, make([]complex128, p.n), make([]complex128, p.n))
			if singular != 0 {
				t.Errorf("n=%d: lanes %b singular", p.n, singular)
			}
			lanes += Block
			flagged += redone
			r := s.NewRefiner(plan.NewRefine(sp))
			for _, e := range r.Refine() {
				raw = max(raw, e)
			}
			for _, e := range r.Residual() {
				refined = max(refined, e)
			}
		}
	})
	t.Logf("raw %.1e, refined %.1e, %d of %d lanes redone", raw, refined, flagged, lanes)
	if !(raw <= 1e-10) || !(refined <= 1e-14) {
		t.Errorf("backward errors %g raw, %g refined", raw, refined)
	}
	if flagged > lanes/100 {
		t.Errorf("%d of %d lanes flagged", flagged, lanes)
	}
}

// Residual is what it says: the same figure worked out from the matrix.
func TestResidualDefinition(t *testing.T) {
	rng := seeded(t, 2026, 2)
	problems(t, rng, 200, func(p problem, plan *Plan) {
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		for _, transposed := range []bool{false, true} {
			rhs := []RHS{{Row: rng.IntN(p.n), Class: Fixed, Value: 2}}
			sp := plan.NewSolve(rhs, plan.All(), transposed)
			s := l.NewSolver(sp)
			s.Solve()
			for j := range p.n { // spoil the answer, so that there is a residual
				re, im := s.X(j)
				for k := range Block {
					re[k] += 1e-3 * rng.NormFloat64()
					im[k] += 1e-3 * rng.NormFloat64()
				}
			}
			got := s.NewRefiner(plan.NewRefine(sp)).Residual()
			for k := range Block {
				want := backwardError(p, k, s.lane(k), rhs[0].Row, 2, transposed)
				if !(math.Abs(got[k]-want) <= 1e-9*want) {
					t.Fatalf("n=%d lane %d transposed %v: %g, by definition %g", p.n, k, transposed, got[k], want)
				}
			}
		}
	})
}

// backwardError is max |b − Ax| / (|A||x| + |b|) (Oettli and Prager 1964)
// with b one entry.
func backwardError(p problem, lane int, x []complex128, row int, b complex128, transposed bool) float64 {
	sum, size := make([]complex128, p.n), make([]float64, p.n)
	sum[row], size[row] = b, real(b)
	for i, c := range p.cells {
		r, k := c.Row, c.Col
		if transposed {
			r, k = k, r
		}
		a := p.lanes[lane][i]
		sum[r] -= a * x[k]
		size[r] += abs1(a) * abs1(x[k])
	}
	var worst float64
	for i := range sum {
		if size[i] > 0 {
			worst = max(worst, abs1(sum[i])/size[i])
		}
	}
	return worst
}

// distance is max |x − y| over max |y|.
func distance(x, y []complex128) float64 {
	var diff, size float64
	for i := range x {
		diff, size = max(diff, cmplx.Abs(x[i]-y[i])), max(size, cmplx.Abs(y[i]))
	}
	if size == 0 || math.IsNaN(diff) {
		return diff
	}
	return diff / size
}

// Lanes and Dense give the same unknowns, refined, wherever the matrix is
// decently conditioned: the patterns without form are.
func TestAgainstDense(t *testing.T) {
	rng := seeded(t, 2026, 3)
	worst := 0.0
	for range 500 {
		p := scatter(rng, 1+rng.IntN(60), mixes[rng.IntN(len(mixes))])
		plan, err := NewPlan(p.n, p.cells, p.samples, Options{})
		if err != nil {
			continue
		}
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		d := NewDense[complex128](p.n)
		b, x := make([]complex128, p.n), make([]complex128, p.n)
		for _, transposed := range []bool{false, true} {
			sp := plan.NewSolve(everyRow(p.n), plan.All(), transposed)
			s := l.NewSolver(sp)
			fillB(rng, s, p.n)
			s.Solve()
			s.NewRefiner(plan.NewRefine(sp)).Refine()
			for k := range Block {
				if l.Flagged()>>k&1 != 0 {
					continue
				}
				l.FillDense(d, k)
				if err := d.Factor(); err != nil {
					t.Fatal(err)
				}
				s.rhsLane(b, k)
				if transposed {
					d.SolveTransposed(b, x)
				} else {
					d.Solve(b, x)
				}
				d.Refine(b, x, transposed)
				worst = max(worst, distance(s.lane(k), x))
			}
		}
	}
	t.Logf("worst difference %.1e", worst)
	if !(worst < 1e-9) {
		t.Errorf("lanes and Dense differ by %g", worst)
	}
}

// Tight classes and Complex everywhere give the same answers.
func TestClassesChangeNothing(t *testing.T) {
	rng := seeded(t, 2026, 4)
	var tightOps, wideOps int
	problems(t, rng, 600, func(p problem, plan *Plan) {
		q := p
		q.cells = append([]Cell(nil), p.cells...)
		for i := range q.cells {
			q.cells[i].Class = Complex
		}
		loose, err := NewPlan(q.n, q.cells, q.samples, Options{})
		if err != nil {
			t.Fatal(err)
		}
		row := rng.IntN(p.n)
		tight, wide := refined(p, plan, row), refined(q, loose, row)
		for k := range Block {
			if d := distance(tight[k], wide[k]); !(d < 1e-6) {
				t.Fatalf("n=%d lane %d: differ by %g", p.n, k, d)
			}
		}
		tightOps += plan.Ops().Operations()
		wideOps += loose.Ops().Operations()
	})
	t.Logf("%d operations with classes, %d without", tightOps, wideOps)
	if 4*tightOps > 3*wideOps {
		t.Error("classes save less than a quarter of the work")
	}
}

// refined solves for a unit at one row, all lanes, redone where flagged.
func refined(p problem, plan *Plan, row int) [][]complex128 {
	l := plan.NewLanes()
	p.load(l)
	l.Factor(Block)
	sp := plan.NewSolve([]RHS{{Row: row, Class: Fixed, Value: 1}}, plan.All(), false)
	s := l.NewSolver(sp)
	s.Solve()
	s.Redo(NewDense[complex128](p.n), make([]complex128, p.n), make([]complex128, p.n))
	s.NewRefiner(plan.NewRefine(sp)).Refine()
	x := make([][]complex128, Block)
	for k := range x {
		x[k] = s.lane(k)
	}
	return x
}

// A solve for few right sides and few unknowns is the full solve's share.
func TestFewOfMany(t *testing.T) {
	rng := seeded(t, 2026, 5)
	problems(t, rng, 600, func(p problem, plan *Plan) {
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		if l.Flagged() != 0 {
			return
		}
		for _, transposed := range []bool{false, true} {
			rhs, wanted := few(rng, p.n)
			part := l.NewSolver(plan.NewSolve(rhs, wanted, transposed))
			whole := l.NewSolver(plan.NewSolve(everyRow(p.n), plan.All(), transposed))
			fillB(rng, part, len(rhs))
			b := make([]complex128, p.n)
			for k := range Block {
				part.rhsLane(b, k)
				for i := range b {
					re, im := whole.B(i)
					re[k], im[k] = real(b[i]), imag(b[i])
				}
			}
			part.Solve()
			whole.Solve()
			for k := range Block {
				x, all := part.lane(k), whole.lane(k)
				for i, j := range wanted {
					// The two round differently: measure against the largest.
					if e := cmplx.Abs(x[i] - all[j]); !(e <= 1e-8*largest(all)) {
						t.Fatalf("n=%d lane %d unknown %d: %v, in full %v", p.n, k, j, x[i], all[j])
					}
				}
			}
		}
	})
}

func largest(x []complex128) (m float64) {
	for _, v := range x {
		m = max(m, cmplx.Abs(v))
	}
	return m
}

// few draws up to three right sides of any class and one to three unknowns.
func few(rng *rand.Rand, n int) (rhs []RHS, wanted []int) {
	rows, cols := rng.Perm(n), rng.Perm(n)
	for i := range min(n, rng.IntN(4)) {
		class := []Class{Fixed, Fixed, Real, Imag, Complex}[rng.IntN(5)]
		rhs = append(rhs, RHS{Row: rows[i], Class: class, Value: float64(rng.IntN(5) - 2)})
	}
	return rhs, cols[:min(n, 1+rng.IntN(3))]
}

// yᵀ(A⁻¹b) = (A⁻ᵀy)ᵀb, by two different programs.
func TestTransposeIsAdjoint(t *testing.T) {
	rng := seeded(t, 2026, 6)
	problems(t, rng, 600, func(p problem, plan *Plan) {
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		from, to := rng.IntN(p.n), rng.IntN(p.n)
		ahead := l.NewSolver(plan.NewSolve([]RHS{{Row: from, Class: Fixed, Value: 1}}, []int{to}, false))
		back := l.NewSolver(plan.NewSolve([]RHS{{Row: to, Class: Fixed, Value: 1}}, plan.All(), true))
		ahead.Solve()
		back.Solve()
		for k := range Block {
			if l.Flagged()>>k&1 != 0 {
				continue
			}
			x, y := ahead.lane(k)[0], back.lane(k)
			if e := cmplx.Abs(x - y[from]); !(e <= 1e-7*largest(y)) {
				t.Fatalf("n=%d lane %d: %v ahead, %v back", p.n, k, x, y[from])
			}
		}
	})
}

// The determinant's size, angle and sign are Dense's.
func TestLogDet(t *testing.T) {
	rng := seeded(t, 2026, 7)
	problems(t, rng, 600, func(p problem, plan *Plan) {
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		var size, angle Vector
		l.LogDet(&size, &angle)
		d := NewDense[complex128](p.n)
		for k := range Block {
			if l.Flagged()>>k&1 != 0 {
				continue
			}
			l.FillDense(d, k)
			if err := d.Factor(); err != nil {
				t.Fatal(err)
			}
			s, a := d.LogDet()
			turn := math.Remainder(angle[k]-a, 2*math.Pi)
			if !(math.Abs(size[k]-s) < 1e-6) || !(math.Abs(turn) < 1e-6) {
				t.Fatalf("n=%d lane %d: %g ∠ %g, Dense %g ∠ %g", p.n, k, size[k], angle[k], s, a)
			}
		}
	})
}

// A determinant beyond the range of a float64 is told by its logarithm.
func TestLogDetDoesNotOverflow(t *testing.T) {
	const n = 100
	var cells []Cell
	values := make([]complex128, n)
	for i := range n {
		cells = append(cells, Cell{i, (i + 1) % n, Complex}) // a cycle of n: odd for even n
		values[i] = 1e100i
	}
	plan, err := NewPlan(n, cells, [][]complex128{values}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	l := plan.NewLanes()
	problem{n: n, cells: cells, lanes: [][]complex128{values}}.load(l)
	l.Factor(1)
	var size, angle Vector
	l.LogDet(&size, &angle)
	if want := n * 100 * math.Ln10; math.Abs(size[0]-want) > 1e-9*want {
		t.Errorf("log|det| %g, want %g", size[0], want)
	}
	// i¹⁰⁰ = 1, times −1 for the cycle.
	if math.Abs(math.Remainder(angle[0]-math.Pi, 2*math.Pi)) > 1e-9 {
		t.Errorf("angle %g, want π", angle[0])
	}
}

// Fewer lanes than a block: the rest are copies, and nobody is flagged.
func TestShortBlock(t *testing.T) {
	rng := seeded(t, 2026, 8)
	problems(t, rng, 100, func(p problem, plan *Plan) {
		full, short := plan.NewLanes(), plan.NewLanes()
		p.load(full)
		full.Factor(Block)
		count := 1 + rng.IntN(Block-1)
		p.lanes = p.lanes[:count]
		p.load(short)
		short.Factor(count)
		if got, want := short.Flagged(), full.Flagged()&(1<<count-1); got != want {
			t.Fatalf("flags %b of %d lanes, want %b", got, count, want)
		}
		sp := plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, plan.All(), false)
		a, b := full.NewSolver(sp), short.NewSolver(sp)
		a.Solve()
		b.Solve()
		for k := range count {
			x, y := a.lane(k), b.lane(k)
			for j := range x {
				if x[j] != y[j] && full.Flagged()>>k&1 == 0 {
					t.Fatalf("lane %d of %d: %v, in a full block %v", k, count, y[j], x[j])
				}
			}
		}
		for k := count; k < Block; k++ {
			if x, y := b.lane(k), b.lane(count-1); x[0] != y[0] && short.Flagged() == 0 {
				t.Fatalf("unused lane %d is no copy", k)
			}
		}
	})
}

// A kept plan with other constants gives what a new plan would.
func TestNewConstants(t *testing.T) {
	rng := seeded(t, 2026, 9)
	problems(t, rng, 300, func(p problem, plan *Plan) {
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		sp := plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, plan.All(), false)
		s := l.NewSolver(sp)
		s.Solve()
		for i, c := range p.cells {
			k := 1 + 0.05*rng.Float64()
			for lane := range p.lanes {
				if v := &p.lanes[lane][i]; c.Class == Const || c.Class == ConstImag {
					*v = complex(real(*v)*k, imag(*v))
				}
			}
		}
		p.load(l)
		l.Factor(Block)
		s.Solve()
		fresh := refined(p, plan, 0)
		for k := range Block {
			if d := distance(s.lane(k), fresh[k]); l.Flagged()>>k&1 == 0 && !(d < 1e-6) {
				t.Fatalf("n=%d lane %d: differ by %g", p.n, k, d)
			}
		}
	})
}

// The same input gives the same plan, operation by operation.
func TestPlanIsDeterministic(t *testing.T) {
	rng := seeded(t, 2026, 10)
	problems(t, rng, 100, func(p problem, plan *Plan) {
		again, err := NewPlan(p.n, p.cells, p.samples, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, o := range plan.prog.ops {
			if again.prog.ops[i] != o {
				t.Fatalf("operation %d differs", i)
			}
		}
	})
}
