package stock

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// smallDrawer holds coils, capacitors and resistors, all about what two bands
// need, and known exactly.
func smallDrawer(rng *rand.Rand, coils, capacitors, resistors int) (parts []Part) {
	add := func(n int, kind Kind, prefix string, value func() float64) {
		for i := range n {
			p := Part{ID: prefix + string(rune('A'+i)), Kind: kind, Count: 1}
			r := Reading{Value: value(), Hertz: 1000, Mode: Series, Q: 0}
			if kind == Coil {
				r.DCR = 60 + 60*rng.Float64()
			}
			p.Readings = []Reading{r}
			parts = append(parts, p)
		}
	}
	either := func(a, b, about float64) float64 {
		return [...]float64{a, b}[rng.IntN(2)] * math.Exp((2*rng.Float64()-1)*about)
	}
	l := [...]float64{750 * 1.2 / (2 * math.Pi * 400), 750 * 1.2 / (2 * math.Pi * 700)}
	add(coils, Coil, "L", func() float64 { return either(l[0], l[1], 0.2) })
	add(capacitors, Capacitor, "C", func() float64 { return either(ResonantFarads(l[0], 400), ResonantFarads(l[1], 700), 0.3) })
	add(resistors, Resistor, "R", func() float64 { return 650 * math.Exp((2*rng.Float64()-1)*0.3) })
	return parts
}

// twinLegs gives every leg of a band and the parts that each takes.
func twinLegs(c *chooser, band int) (legs []Model, uses [][]int) {
	at := c.at[band]
	for l, coil := range c.Parts {
		for k, first := range c.Parts {
			for r, resistor := range c.Parts {
				if coil.Kind != Coil || first.Kind != Capacitor || resistor.Kind != Resistor {
					continue
				}
				legs = append(legs, legOf(at[l].Model, at[k].Model, Model{}, false, at[r].Model.Ohms))
				uses = append(uses, []int{l, k, r})
				for other := k; other < len(c.Parts) && !c.OneCapacitor; other++ {
					if c.Parts[other].Kind == Capacitor && (other != k || first.Count > 1) {
						for _, series := range []bool{false, true} {
							legs = append(legs, legOf(at[l].Model, at[k].Model, at[other].Model, series, at[r].Model.Ohms))
							uses = append(uses, []int{l, k, r, other})
						}
					}
				}
			}
		}
	}
	return legs, uses
}

// twin solves every board of two bands and gives the least error. It has its
// own loops and its own error; only the leg of its parts and the solver of
// boards are shared.
func twin(q Board) float64 {
	c := q.begin()
	_ = c.check()
	c.look()
	var legs [2][]Model
	var uses [2][][]int
	for b := range legs {
		legs[b], uses[b] = twinLegs(c, b)
	}
	var pairs [][2]int
	for i, u := range uses[0] {
		for j, v := range uses[1] {
			if fillsBoth(c.Parts, u, v) {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	least := math.Inf(1)
	c.room.take(c.want, len(pairs), func(i, band int) Model { return legs[band][pairs[i][band]] }, func(_ int, f [][3]float64) {
		sum := 0.0
		for b, band := range q.Bands {
			one := math.Pow(100*(f[b][0]/band.CentreHz-1), 2) + math.Pow(5*(f[b][1]-band.BoostDB), 2)
			if sum += one; q.Worst {
				sum = max(sum-one, one)
			}
		}
		if sum < least { // NaN is never less
			least = sum
		}
	})
	return least
}

// fillsBoth says whether the drawer holds what two legs take.
func fillsBoth(parts []Part, u, v []int) bool {
	taken := map[int]int{}
	for _, i := range append(append([]int(nil), u...), v...) {
		if taken[i]++; taken[i] > parts[i].Count {
			return false
		}
	}
	return true
}

// Two capacitors to a leg, bags of two, parts fixed and barred: all boards of a
// drawer are just those of the twin, and the best of them is chosen.
func TestChooseEqualsTwinWithPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260417), 1))
	for n := range trials.Count(2) {
		m, e, bands := boardDesign(t, []float64{400, 700})
		q := Board{Parts: smallDrawer(rng, 3, 4, 3), Bands: bands, Ensemble: e, Measure: m, Spread: 4, Celsius: 20, Meter: exact(), Worst: n%2 == 1}
		for i := range q.Parts {
			q.Parts[i].Count = 1 + rng.IntN(2)
		}
		a := choose(t, q)
		counted(t, q, a)
		least := twin(q)
		t.Logf("drawer %d, worst %v: chosen %.6g, least of all %.6g, %d boards solved", n, q.Worst, a.Error, least, a.Solved)
		if math.Abs(a.Error-least) > 1e-6*(1+least) || !a.Proven {
			t.Errorf("drawer %d: chosen %g, the least is %g, proven %v", n, a.Error, least, a.Proven)
		}
	}
}

// Two bands and 24 values: the board chosen is the best of all there are, by
// least total and by least worst, and proven so. The search that larger drawers
// are left with finds it mostly, and its bound is never above it.
func TestChooseEqualsExhaustiveTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260404), 1))
	cases, equal, above := 0, 0, 0.0
	for n := range trials.Count(4) {
		m, e, bands := boardDesign(t, []float64{400, 700})
		q := Board{Parts: smallDrawer(rng, 3, 13, 8), Bands: bands, Ensemble: e, Measure: m, OneCapacitor: true, Spread: 4,
			Celsius: 20, Meter: exact(), Worst: n%2 == 1}
		a := choose(t, q)
		counted(t, q, a)
		least := twin(q)
		if math.Abs(a.Error-least) > 1e-6*(1+least) || a.Bound != a.Error || a.Gap != 0 || !a.Proven || !a.Settled || a.ModelError != 0 {
			t.Errorf("drawer %d: chosen %g, the least is %g; bound %g, proven %v", n, a.Error, least, a.Bound, a.Proven)
		}
		c := searched(t, q)
		t.Logf("drawer %d, worst %v: chosen %.6g, least of all %.6g, by the search alone %.6g, bound %.4g, model within %.3g",
			n, q.Worst, a.Error, least, c.best.error, c.bound, c.differs)
		if c.bound > least*(1+1e-9) {
			t.Errorf("drawer %d: the bound is %g, the least %g", n, c.bound, least)
		}
		if cases++; c.best.error <= least*(1+1e-6) {
			equal++
		}
		above = max(above, c.best.error/least-1)
	}
	t.Logf("the search alone finds the least in %d of %d, else %.2g %% more at most", equal, cases, 100*above)
	if equal*10 < cases*9 {
		t.Errorf("the search alone finds the least in %d of %d", equal, cases)
	}
}

// searched is the search of drawers too large to solve every board of.
func searched(t *testing.T, q Board) *chooser {
	t.Helper()
	c := q.begin()
	if err := c.check().Err(); err != nil {
		t.Fatal(err)
	}
	c.look()
	ctx := context.Background()
	if err := errors.Join(c.aim(ctx), c.search(ctx)); err != nil {
		t.Fatal(err)
	}
	return c
}

// Parts fixed by hand are there, parts barred are not, and one that is fixed
// in one band goes to no other.
func TestChooseRespectsTheHand(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260405), 1))
	q := someBoard(t, rng, sixBands[:3], 40, 60, 20)
	first := choose(t, q)
	b := first.Bands[1]
	q.Bands[0].Barred = []string{first.Bands[0].Coil.ID}
	q.Bands[1].Fixed = []string{b.Coil.ID, b.Capacitors[0].ID}
	q.Barred = []string{first.Bands[2].Capacitors[0].ID}
	a := choose(t, q)
	counted(t, q, a)
	if a.Bands[0].Coil.ID == first.Bands[0].Coil.ID {
		t.Error("a barred coil is on the board")
	}
	if a.Bands[1].Coil.ID != b.Coil.ID {
		t.Errorf("coil %s instead of the fixed %s", a.Bands[1].Coil.ID, b.Coil.ID)
	}
	has := false
	for i, band := range a.Bands {
		for _, p := range band.Capacitors {
			has = has || i == 1 && p.ID == b.Capacitors[0].ID
			if p.ID == q.Barred[0] {
				t.Error("a barred capacitor is on the board")
			}
		}
	}
	if !has {
		t.Errorf("the fixed capacitor %s is not there: %+v", b.Capacitors[0].ID, a.Bands[1])
	}
}

// Wrong questions and drawers that cannot do are named, a stop is the
// context's error.
func TestChooseSaysWhyNot(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260406), 1))
	whole := someBoard(t, rng, sixBands[:2], 20, 30, 0)
	for _, c := range []struct {
		name   string
		change func(*Board)
		id     finding.ID
		why    any
	}{
		{"no such part", func(q *Board) { q.Bands[0].Fixed = []string{"nothing"} }, IDChooseUnknown, nil},
		{"no such part to bar", func(q *Board) { q.Barred = []string{"nothing"} }, IDChooseUnknown, nil},
		{"no centre", func(q *Board) { q.Bands[0].CentreHz = 0 }, IDChooseWanted, nil},
		{"no number", func(q *Board) { q.Bands[1].BoostDB = math.NaN() }, IDChooseWanted, nil},
		{"two coils", func(q *Board) { q.Bands[0].Fixed = []string{"L1", "L2"} }, IDChooseMany, nil},
		{"no parts", func(q *Board) { q.Parts = nil }, IDChooseShort, "coils"},
		{"no resistor", func(q *Board) { q.NewOhms = 0 }, IDChooseShort, "resistors"},
		{"one coil for two", func(q *Board) {
			for _, p := range q.Parts {
				if p.Kind == Coil && p.ID != "L1" {
					q.Barred = append(q.Barred, p.ID)
				}
			}
			q.Parts[0].Count, q.Spread = 1, 1e6
			q.Parts[0].Readings = []Reading{{Value: 0.5, Hertz: 1000, Mode: Series, DCR: 100}}
		}, IDChooseShort, "conflict"},
	} {
		q := whole
		q.Bands = append([]BoardBand(nil), whole.Bands...)
		q.Parts = append([]Part(nil), whole.Parts...)
		c.change(&q)
		_, err := Choose(context.Background(), q)
		list, ok := finding.From(err)
		if !ok || len(list) == 0 || list[0].ID != c.id || c.why != nil && list[0].Args["why"] != c.why {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Choose(stopped, whole); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	whole.Bands[0].BoostDB = 30 // no copper is so little
	if a := choose(t, whole); !named(a.Findings, whole.Bands[0].Band, "boost") {
		t.Errorf("30 dB are not named as missed: %v", a.Findings)
	}
}
