package sparse

import (
	"math"
	"testing"
)

// varyingPivot gives the cell that is a plan's first pivot, and whether its
// own value is the pivot and something lies below it.
func varyingPivot(p problem, plan *Plan) (cell int, ok bool) {
	for _, s := range plan.steps {
		for i, v := range plan.values {
			if v == s.pivot && v.varying() && p.cells[i].Row == int(s.row) && len(s.below) > 0 {
				return i, true
			}
		}
	}
	return 0, false
}

// Lanes whose pivot is spoiled on purpose, to nothing or next to nothing, are
// flagged, they alone, and dense elimination sets them right.
func TestSpoiledPivots(t *testing.T) {
	rng := seeded(t, 2026, 20)
	spoiled, redone := 0, 0
	for range 400 {
		p := scatter(rng, 2+rng.IntN(30), []Class{Complex, Real, Fixed, Const})
		plan, err := NewPlan(p.n, p.cells, p.samples, Options{})
		if err != nil {
			continue
		}
		cell, ok := varyingPivot(p, plan)
		if !ok {
			continue
		}
		var want uint64
		for k := range Block {
			if rng.IntN(4) == 0 {
				p.lanes[k][cell] *= []complex128{0, 1e-6, 1e-8, 1e-10}[rng.IntN(4)]
				want |= 1 << k
				spoiled++
			}
		}
		l := plan.NewLanes()
		p.load(l)
		l.Factor(Block)
		if got := l.Flagged(); got&want != want {
			t.Fatalf("n=%d: flagged %032b, spoiled %032b", p.n, got, want)
		} else if extra := got &^ want; extra != 0 {
			t.Fatalf("n=%d: sound lanes %032b flagged", p.n, extra)
		}
		redone += redoneRight(t, p, l)
	}
	t.Logf("%d lanes spoiled, %d redone", spoiled, redone)
	if redone < 1000 {
		t.Error("too few lanes redone to mean anything")
	}
}

// redoneRight solves all lanes both ways round and checks every one that is
// not singular, through a second refinement that must leave flagged lanes be.
func redoneRight(t *testing.T, p problem, l *Lanes) (count int) {
	t.Helper()
	d := NewDense[complex128](p.n)
	for _, transposed := range []bool{false, true} {
		sp := l.plan.NewSolve([]RHS{{Row: p.n - 1, Class: Fixed, Value: 1}}, l.plan.All(), transposed)
		s := l.NewSolver(sp)
		s.Solve()
		n, singular := s.Redo(d, make([]complex128, p.n), make([]complex128, p.n))
		r := s.NewRefiner(l.plan.NewRefine(sp))
		r.Refine()
		right := 0
		for k, e := range r.Residual() {
			if singular>>k&1 != 0 || largest(s.lane(k)) > 1e10 {
				continue // singular, or as good as
			}
			right++
			if !(e <= 1e-14) {
				t.Fatalf("n=%d lane %d transposed %v: backward error %g after redoing", p.n, k, transposed, e)
			}
		}
		count += min(n, right)
	}
	return count
}

// A constant bound to a value no pivot can have flags every lane.
func TestConstantPivotOfZero(t *testing.T) {
	cells := []Cell{{0, 0, Const}, {0, 1, Real}, {1, 0, Real}, {1, 1, Real}}
	values := []complex128{1, 0.5, 0.25, 3}
	plan, err := NewPlan(2, cells, [][]complex128{values}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	l := plan.NewLanes()
	p := problem{n: 2, cells: cells, lanes: [][]complex128{values, values, values}}
	p.load(l)
	l.Factor(3)
	if l.Flagged() != 0 {
		t.Errorf("sound lanes flagged: %b", l.Flagged())
	}
	l.SetConst(0, 0)
	l.Fold()
	l.Factor(3)
	if l.Flagged() != 0b111 {
		t.Errorf("flags %b, want all three", l.Flagged())
	}
	s := l.NewSolver(plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, plan.All(), false))
	s.Solve()
	redone, singular := s.Redo(NewDense[complex128](2), make([]complex128, 2), make([]complex128, 2))
	if redone != 3 || singular != 0 {
		t.Fatalf("%d redone, %b singular", redone, singular)
	}
	// 0·x + 0.5·y = 1, 0.25·x + 3·y = 0.
	if x := s.lane(1); distance(x, []complex128{-24, 2}) > 1e-15 {
		t.Errorf("redone to %v, want −24, 2", x)
	}
}

// A lane that is singular, or not a number, is flagged and said to be so.
func TestLanesBeyondHelp(t *testing.T) {
	cells := []Cell{{0, 0, Real}, {0, 1, Real}, {1, 0, Real}, {1, 1, Real}}
	good := []complex128{1, 2, 3, 4}
	plan, err := NewPlan(2, cells, [][]complex128{good}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	l := plan.NewLanes()
	p := problem{n: 2, cells: cells, lanes: [][]complex128{good, {1, 2, 2, 4}, {complex(math.NaN(), 0), 2, 3, 4}, {0, 0, 0, 0}, good}}
	p.load(l)
	l.Factor(5)
	if l.Flagged() != 0b01110 {
		t.Fatalf("flags %05b", l.Flagged())
	}
	s := l.NewSolver(plan.NewSolve([]RHS{{Row: 0, Class: Fixed, Value: 1}}, []int{1}, false))
	s.Solve()
	redone, singular := s.Redo(NewDense[complex128](2), make([]complex128, 2), make([]complex128, 2))
	if redone != 0 || singular != 0b01110 {
		t.Errorf("%d redone, %05b singular", redone, singular)
	}
	for _, k := range []int{0, 4} {
		if x := s.lane(k)[0]; math.Abs(real(x)-1.5) > 1e-15 || imag(x) != 0 {
			t.Errorf("lane %d: %v, want 1.5", k, x)
		}
	}
}
