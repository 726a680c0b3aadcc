package circuit

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"sync"
	"testing"

	"bandwright/curve"
)

// board is so many legs between two buses, invented values, with resonances
// of high Q: coils of little copper, and no point shared by coil and capacitor.
func board(t *testing.T, bands int) *State {
	t.Helper()
	parts := []Part{
		VoltageSource{Name: "source", Plus: "in", Minus: Ground},
		Resistor{Name: "feed", A: "in", B: "cut", Ohms: 2200}, Resistor{Name: "feedback", A: "out", B: "boost", Ohms: 2200},
		OpAmp{Name: "driver", Plus: "cut", Minus: "boost", Out: "out", Gain: 1e5, GainBandwidth: 3e6},
	}
	var s curve.Setting
	for k := range bands {
		name := fmt.Sprint(k)
		w := 2 * math.Pi * 40 * math.Pow(2, float64(k))
		parts = append(parts, Slider{Name: name, Boost: "boost", Wiper: name + ".w", Cut: "cut", Track: 10e3},
			Inductor{Name: name + ".coil", A: name + ".w", B: name + ".a", Henries: 700 / w},
			Resistor{Name: name + ".resistor", A: name + ".a", B: name + ".b", Ohms: 1.5},
			Capacitor{Name: name + ".capacitor", A: name + ".b", B: Ground, Farads: 1 / (700 * w)})
		s = s.WithSlider(name, float64(k%3-1))
	}
	c, err := New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	st, err := c.Solve(context.Background(), s, Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func spread(low, high float64, n int) []float64 {
	hz := make([]float64, n)
	for k := range hz {
		hz[k] = low * math.Pow(high/low, float64(k)/float64(n-1))
	}
	return hz
}

// TestReplan: a plan made anew, for frequencies that distrusted the old one,
// gives the same answers but for rounding, while others keep asking.
func TestReplan(t *testing.T) {
	st, hz := board(t, 8), spread(10, 50e3, 500)
	ask := func() []complex128 {
		r, err := st.Response(context.Background(), "source", []string{"out"}, hz)
		if err != nil {
			t.Error(err)
			return make([]complex128, len(hz))
		}
		return r.Gains[0]
	}
	before, plan := ask(), st.matrix.plan
	var group sync.WaitGroup
	for k := range 4 {
		group.Go(func() { st.matrix.replan(hz[k*50 : k*50+50]) })
		group.Go(func() { agree(t, ask(), before, 1e-11) })
	}
	group.Wait()
	if st.matrix.plan == plan {
		t.Error("the plan was not made anew")
	}
	agree(t, ask(), before, 1e-11)
	if n := len(st.matrix.judges); n > mostJudges {
		t.Errorf("%d judges", n)
	}
	judges := slices.Clone(st.matrix.judges)
	for range 20 {
		st.matrix.replan(hz)
	}
	if n := len(st.matrix.judges); n > mostJudges || n < len(judges) {
		t.Errorf("%d judges after twenty more, %d before", n, len(judges))
	}
	agree(t, ask(), before, 1e-11)
}

func agree(t *testing.T, got, want []complex128, relative float64) {
	t.Helper()
	for k := range want {
		if !(cmplx.Abs(got[k]-want[k]) <= relative*cmplx.Abs(want[k])) {
			t.Errorf("%d: %v, want %v", k, got[k], want[k])
			return
		}
	}
}

// TestDistrustedLanes: pivots chosen at one frequency far from the questions
// are distrusted there; those lanes are solved again with full pivoting, the
// plan is made anew after the sweep, and no answer suffers.
func TestDistrustedLanes(t *testing.T) {
	good, st := board(t, 6), board(t, 6)
	st.matrix.judges = []float64{1e-3}
	if err := st.matrix.makePlan(); err != nil {
		t.Fatal(err)
	}
	hz := spread(1e3, 1e9, 300)
	want, err := good.Response(context.Background(), "source", []string{"out"}, hz)
	if err != nil {
		t.Fatal(err)
	}
	first, err := st.Response(context.Background(), "source", []string{"out"}, hz)
	if err != nil {
		t.Fatal(err)
	}
	if first.Redone == 0 || len(st.matrix.judges) == 1 {
		t.Errorf("%d lanes were redone, %d judges", first.Redone, len(st.matrix.judges))
	}
	second, err := st.Response(context.Background(), "source", []string{"out"}, hz)
	if err != nil {
		t.Fatal(err)
	}
	agree(t, first.Gains[0], want.Gains[0], 1e-9)
	agree(t, second.Gains[0], want.Gains[0], 1e-9)
	if second.Redone >= first.Redone {
		t.Errorf("%d lanes redone at first, %d with the new plan", first.Redone, second.Redone)
	}
	for _, r := range []*Response{first, second} {
		if !(r.Residual <= 1e-14) || !(r.Raw <= 1e-10) {
			t.Errorf("residuals %g, %g before refinement", r.Residual, r.Raw)
		}
	}
	t.Logf("redone %d, then %d of %d", first.Redone, second.Redone, len(hz))
}

// TestNoAllocation: with a warm plan a search costs the same memory for
// whatever number of frequencies: nothing a lane.
func TestNoAllocation(t *testing.T) {
	st := board(t, 6)
	cost := func(n int) float64 {
		hz, gain, slope := spread(20, 20e3, n), make([]complex128, n), make([]complex128, n)
		ask := func() {
			if st.Gain(context.Background(), "source", "out", hz, gain) != nil || st.Slopes(context.Background(), "source", "out", hz, gain, slope) != nil {
				t.Error("no answer")
			}
		}
		ask()
		return testing.AllocsPerRun(20, ask)
	}
	few, many := cost(64), cost(6400)
	// The pool of workers may be emptied between two runs by the collector.
	if many > few+8 {
		t.Errorf("%g allocations for 64 frequencies, %g for 6400", few, many)
	}
	t.Logf("%g allocations a question", few)
}

// TestSameBytes: one state gives the same bits again, and from many
// goroutines at once; so does another state of the same circuit.
func TestSameBytes(t *testing.T) {
	st, hz := board(t, 6), spread(20, 20e3, 300)
	all := func(st *State) string {
		ctx := context.Background()
		r, err := st.Response(ctx, "source", []string{"out", "cut"}, hz)
		if err != nil {
			return err.Error()
		}
		gain, slope := make([]complex128, len(hz)), make([]complex128, len(hz))
		if err := st.Slopes(ctx, "source", "out", hz, gain, slope); err != nil {
			return err.Error()
		}
		noise, err := st.Noise(ctx, "out", hz[:40])
		if err != nil {
			return err.Error()
		}
		s, err := st.Sensitivity("source", "out", 1000)
		if err != nil {
			return err.Error()
		}
		return fmt.Sprintf("%b %b %b %b %v", r.Gains, gain, slope, noise.Total, *s)
	}
	want := all(st)
	if all(st) != want || all(board(t, 6)) != want {
		t.Error("asked again, an answer differs")
	}
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			if all(st) != want {
				t.Error("asked at once, an answer differs")
			}
		})
	}
	group.Wait()
}

// TestRamp: with the rails full on at once Newton's method does not settle in
// a ladder of stages that drive each other hard; ramped, or left to settle
// where the ramp meets a turning point, it does.
func TestRamp(t *testing.T) {
	alone, ramped, crept := 0, 0, 0
	for k := range 60 {
		n := newtonOf(t, latches(k))
		ctx := context.Background()
		n.seed()
		if ok, err := n.iterate(ctx, 1); err != nil {
			t.Fatal(err)
		} else if ok {
			alone++
			continue
		}
		if share, err := n.ramp(ctx); err != nil {
			t.Fatal(err)
		} else if share == 1 {
			ramped++
			continue
		}
		if ok, err := n.settle(ctx); err != nil || !ok {
			t.Errorf("circuit %d has no operating point: %v", k, err)
		}
		crept++
	}
	t.Logf("%d settled at once, %d ramped, %d crept", alone, ramped, crept)
	if alone == 60 {
		t.Error("no circuit needed its rails ramped")
	}
}

// latches is stages coupled directly, NPN and PNP in turn or in threes, with
// low emitter resistors, on rails of 20 to 300 V.
func latches(k int) []Part {
	rail := 20 * math.Pow(15, float64(k%10)/9)
	parts := []Part{
		VoltageSource{Name: "rail", Plus: "rail", Minus: Ground, DC: rail},
		Resistor{Name: "R.up", A: "rail", B: "c0", Ohms: 100e3}, Resistor{Name: "R.down", A: "c0", B: Ground, Ohms: 10e3},
	}
	stages := 2 + k%5
	for i := 1; i <= stages; i++ {
		near, far, pnp := Ground, "rail", (i>>(k%3))%2 == 1
		if pnp {
			near, far = far, near
		}
		name := fmt.Sprint(i)
		parts = append(parts, Transistor{Name: "q" + name, Collector: "c" + name, Base: fmt.Sprint("c", i-1), Emitter: "e" + name,
			PNP: pnp, Is: 1e-15, BetaF: 50 * float64(1+k%7), BetaR: 2},
			Resistor{Name: "R.e" + name, A: "e" + name, B: near, Ohms: math.Pow(4, float64(k%6))},
			Resistor{Name: "R.c" + name, A: "c" + name, B: far, Ohms: 1e3 * math.Pow(3, float64(i%4))})
	}
	return append(parts, Resistor{Name: "R.fb", A: fmt.Sprint("c", stages), B: "c0", Ohms: 47e3})
}

// newtonOf is the search for an operating point, not begun.
func newtonOf(t *testing.T, parts []Part) *newton {
	t.Helper()
	c, err := New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	net, err := c.place(curve.Setting{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	st := &State{net: net, kelvin: DefaultKelvin, linear: net.stampAll()}
	st.dcGroups = net.islandsOf(net.tied(steady, junction))
	return st.newNewton()
}
