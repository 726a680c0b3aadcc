package sparse

import "testing"

// A resistor and a lossy coil in series with the point between them and the
// coil's current unknown, worked out by hand:
//
//	[ G   1 ] [v]   [1]
//	[ 1  −z ]·[i] = [0]      G Const, z ConstImag
//
// Eliminating v by G leaves −z − 1/G, which differs from −z in the real part
// alone, and that is constant: no lane does anything for it. The reciprocal
// of what is left is 4 multiplications, 1 addition and 1 division; the watch
// over it is 2 and 2.
func TestCountByHand(t *testing.T) {
	cells := []Cell{{0, 0, Const}, {0, 1, Fixed}, {1, 0, Fixed}, {1, 1, ConstImag}}
	plan, err := NewPlan(2, cells, [][]complex128{{0.5, 1, 1, -1 - 2i}, {0.5, 1, 1, -1 - 0.1i}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := Count{Multiplies: 4 + 2, Adds: 1 + 2, Divides: 1, Passes: 3}
	if got := plan.Ops(); got != want {
		t.Errorf("factor %+v, by hand %+v", got, want)
	}
	// i = −1/G·inverse: two scalings, and two turns of sign, since what is
	// handed out has its sign in the number and not in the name.
	current := plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, []int{1}, false)
	if got, want := current.Ops(), (Count{Multiplies: 4, Passes: 4}); got != want {
		t.Errorf("current %+v, by hand %+v", got, want)
	}
	// v = (1 − i)/G: the scalings for i, one addition for the real part of
	// 1 − i, and two scalings by 1/G.
	volts := plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, []int{0}, false)
	if got, want := volts.Ops(), (Count{Multiplies: 4, Adds: 1, Passes: 5}); got != want {
		t.Errorf("volts %+v, by hand %+v", got, want)
	}
	// Nothing asked, or nothing given: nothing done but the zeros written.
	idle := plan.NewSolve(nil, []int{0}, false)
	if got, want := idle.Ops(), (Count{Passes: 2}); got != want {
		t.Errorf("no right side %+v, want %+v", got, want)
	}
}

// Constants alone cost no lane anything.
func TestConstantsAreFolded(t *testing.T) {
	rng := seeded(t, 2026, 70)
	for range 50 {
		p := scatter(rng, 1+rng.IntN(30), []Class{Fixed, Const})
		plan, err := NewPlan(p.n, p.cells, p.samples, Options{})
		if err != nil {
			continue
		}
		if c := plan.Ops(); c.Operations() != 0 {
			t.Fatalf("n=%d: %+v", p.n, c)
		}
		s := plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, plan.All(), false)
		if c := s.Ops(); c.Operations() != 0 {
			t.Fatalf("n=%d: %+v", p.n, c)
		}
	}
}

// The measured equaliser keeps its count, and classes more than halve it.
func TestEqualiserCount(t *testing.T) {
	e, p, _, s := newBench()
	got := p.Ops().Plus(s.plan.Ops()).Operations()
	t.Logf("factor %+v, solve %+v: %d operations a lane", p.Ops(), s.plan.Ops(), got)
	if got > 220 {
		t.Errorf("%d operations a lane, were 217", got)
	}
	cells := append([]Cell(nil), e.cells...)
	for i := range cells {
		cells[i].Class = Complex
	}
	loose, err := NewPlan(e.n, cells, e.samples(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	all := loose.Ops().Plus(loose.NewSolve(e.rhs, []int{e.out}, false).Ops()).Operations()
	// Dense: n³/3 complex multiply-adds of 8, and n² twice over.
	dense := 8*e.n*e.n*e.n/3 + 8*e.n*e.n
	t.Logf("%d without classes (%.1f times), %d dense (%.0f times)", all, float64(all)/float64(got), dense, float64(dense)/float64(got))
	if all < 2*got {
		t.Errorf("%d operations with classes, %d without", got, all)
	}
}

// Nothing is allocated once the workspaces stand.
func TestAllocations(t *testing.T) {
	e, p, l, s := newBench()
	sp := p.NewSolve(e.rhs, p.All(), true)
	full := l.NewSolver(sp)
	r := full.NewRefiner(p.NewRefine(sp))
	d, b, x := NewDense[complex128](e.n), make([]complex128, e.n), make([]complex128, e.n)
	hz := audio(Block)
	var size, angle Vector
	l.flags = 0
	allocs := testing.AllocsPerRun(20, func() {
		e.bind(l)
		e.load(l, hz)
		l.Factor(Block - 1)
		l.LogDet(&size, &angle)
		s.Solve()
		full.Solve()
		r.Refine()
		r.Residual()
		l.flags = 0b101 // as if two lanes had been flagged
		full.Redo(d, b, x)
	})
	if allocs != 0 {
		t.Errorf("%g allocations a block", allocs)
	}
}

// No order suits both samples: the plan is made all the same, by the pivot
// that is least bad, and refinement makes its answers good.
func TestNoCommonPivot(t *testing.T) {
	cells := []Cell{{0, 0, Complex}, {0, 1, Complex}, {1, 0, Complex}, {1, 1, Complex}}
	samples := [][]complex128{{1e-3, 1i, 1, 1e-3}, {1, 1e-3, 1e-3i, 1}}
	plan, err := NewPlan(2, cells, samples, Options{})
	if err != nil {
		t.Fatal(err)
	}
	l := plan.NewLanes()
	problem{n: 2, cells: cells, lanes: samples}.load(l)
	l.Factor(2)
	sp := plan.NewSolve([]RHS{{Row: 1, Class: Fixed, Value: 1}}, plan.All(), false)
	s := l.NewSolver(sp)
	s.Solve()
	r := s.NewRefiner(plan.NewRefine(sp))
	r.Refine()
	for k, e := range r.Residual()[:2] {
		if l.Flagged() != 0 || !(e < 1e-14) {
			t.Errorf("lane %d: backward error %g, flags %b", k, e, l.Flagged())
		}
	}
}
