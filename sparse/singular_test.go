package sparse

import (
	"errors"
	"math"
	"slices"
	"testing"
)

// What cannot be planned is named by the columns and rows left over.
func TestSingular(t *testing.T) {
	full := func(n int, class Class) (cells []Cell) {
		for r := range n {
			for c := range n {
				cells = append(cells, Cell{r, c, class})
			}
		}
		return cells
	}
	cases := []struct {
		name          string
		n             int
		cells         []Cell
		samples       [][]complex128
		columns, rows []int
	}{
		{"empty", 1, nil, [][]complex128{{}}, []int{0}, []int{0}},
		{"an unknown in no equation", 3,
			[]Cell{{0, 0, Const}, {1, 0, Const}, {1, 2, Const}, {2, 2, Const}},
			[][]complex128{{2, 1, 1, 2}}, []int{1}, nil},
		{"two equations the same, exactly", 2, full(2, Fixed),
			[][]complex128{{1, -1, 1, -1}}, []int{1}, []int{1}},
		{"two equations the same but for rounding", 2, full(2, Real),
			[][]complex128{{0.1, 0.3, 0.7 * 0.1, 0.7 * 0.3}}, []int{1}, nil},
		{"singular in the second sample only", 2, full(2, Complex),
			[][]complex128{{1, 2, 3, 4}, {1, 2, 2, 4}}, nil, nil},
		{"nothing but zeros", 2, full(2, Real),
			[][]complex128{{0, 0, 0, 0}}, []int{0, 1}, []int{0, 1}},
		{"not a number", 1, full(1, Real),
			[][]complex128{{complex(math.NaN(), 0)}}, []int{0}, []int{0}},
		{"infinite", 1, full(1, Real),
			[][]complex128{{complex(math.Inf(1), 0)}}, []int{0}, []int{0}},
	}
	for _, c := range cases {
		_, err := NewPlan(c.n, c.cells, c.samples, Options{})
		var s *Singular
		if !errors.As(err, &s) {
			t.Errorf("%s: error %v, want a *Singular", c.name, err)
			continue
		}
		if len(s.Columns) != len(s.Rows) || len(s.Columns) == 0 {
			t.Errorf("%s: columns %v and rows %v left", c.name, s.Columns, s.Rows)
		}
		if c.columns != nil && !slices.Equal(s.Columns, c.columns) {
			t.Errorf("%s: columns %v, want %v", c.name, s.Columns, c.columns)
		}
		if c.rows != nil && !slices.Equal(s.Rows, c.rows) {
			t.Errorf("%s: rows %v, want %v", c.name, s.Rows, c.rows)
		}
		if err.Error() == "" {
			t.Errorf("%s: no text", c.name)
		}
	}
}

// A part of a circuit without a path to ground is found by rounding alone,
// whatever its values, and only its own points are named.
func TestFloatingIsland(t *testing.T) {
	rng := seeded(t, 2026, 30)
	for trial := range 500 {
		ground, island := 1+rng.IntN(8), 2+rng.IntN(8)
		w := &network{at: map[[2]int]int{}}
		ohms := func() float64 { return math.Exp(math.Log(10) * (1 + 5*rng.Float64())) }
		for p := range ground {
			w.admit(p, rng.IntN(p+1)-1, 1e3/ohms(), 0)
		}
		for p := 1; p < island; p++ {
			w.admit(ground+p, ground+rng.IntN(p), 1e3/ohms(), 0)
			if p > 1 {
				w.admit(ground+p, ground+rng.IntN(p), 0, 1e-3*rng.Float64())
			}
		}
		w.n = ground + island
		w.classify(trial%2 == 0)
		w.fill(rng, trial%2 == 0)
		if trial%2 == 0 {
			w.balance(ground)
		}
		_, err := NewPlan(w.n, w.cells, w.samples, Options{})
		var s *Singular
		if !errors.As(err, &s) {
			t.Fatalf("trial %d: %v, want a *Singular", trial, err)
		}
		if len(s.Columns) != 1 || s.Columns[0] < ground || s.Rows[0] < ground {
			t.Fatalf("trial %d: %v, want one point of %d … %d", trial, s, ground, w.n-1)
		}
	}
}

// balance makes the rows of the island sum to zero again after spreading.
func (w *network) balance(first int) {
	for _, v := range w.samples {
		sums := make([]complex128, w.n)
		for i, c := range w.cells {
			if c.Row != c.Col {
				sums[c.Row] += v[i]
			}
		}
		for i, c := range w.cells {
			if c.Row == c.Col && c.Row >= first {
				v[i] = -sums[c.Row]
			}
		}
	}
}

// Misuse by our own code panics with the room's name.
func TestMisuse(t *testing.T) {
	one := []Cell{{0, 0, Const}}
	unit := [][]complex128{{1}}
	plan, err := NewPlan(1, one, unit, Options{})
	if err != nil {
		t.Fatal(err)
	}
	other, _ := NewPlan(1, []Cell{{0, 0, Real}}, unit, Options{})
	solve := plan.NewSolve(nil, []int{0}, false)
	cases := map[string]func(){
		"no sample":        func() { NewPlan(1, one, nil, Options{}) },
		"cell outside":     func() { NewPlan(1, []Cell{{0, 1, Const}}, unit, Options{}) },
		"cell twice":       func() { NewPlan(1, []Cell{{0, 0, Const}, {0, 0, Real}}, [][]complex128{{1, 1}}, Options{}) },
		"unknown class":    func() { NewPlan(1, []Cell{{0, 0, 99}}, unit, Options{}) },
		"fixed not real":   func() { NewPlan(1, []Cell{{0, 0, Fixed}}, [][]complex128{{1i}}, Options{}) },
		"constant of Real": func() { other.NewLanes().SetConst(0, 1) },
		"factor unfolded":  func() { plan.NewLanes().Factor(1) },
		"no lanes":         func() { plan.NewLanes().Factor(0) },
		"too many lanes":   func() { plan.NewLanes().Factor(Block + 1) },
		"right side twice": func() { plan.NewSolve([]RHS{{Row: 0, Class: Real}, {Row: 0, Class: Real}}, nil, false) },
		"right side class": func() { plan.NewSolve([]RHS{{Row: 0, Class: Const}}, nil, false) },
		"another's solve":  func() { other.NewLanes().NewSolver(solve) },
		"refining a part":  func() { plan.NewRefine(plan.NewSolve(nil, nil, false)) },
		"another's refine": func() {
			plan.NewLanes().NewSolver(solve).NewRefiner(plan.NewRefine(plan.NewSolve(nil, []int{0}, false)))
		},
		"vector of no size": func() { NewDense[float64](2).Solve(nil, nil) },
	}
	for name, f := range cases {
		func() {
			defer func() {
				if s, ok := recover().(string); !ok || len(s) < 8 || s[:8] != "sparse: " {
					t.Errorf("%s: panicked with %q", name, s)
				}
			}()
			f()
			t.Errorf("%s: no panic", name)
		}()
	}
}
