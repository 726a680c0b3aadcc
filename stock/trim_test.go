package stock

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/quantity"
	"bandwright/trials"
)

// madeBoard is a board whose parts came out some way off the design, and wants what
// the design does.
func madeBoard(t testing.TB, rng *rand.Rand, hertz []float64) Trims {
	t.Helper()
	m, e, bands := boardDesign(t, hertz)
	q := Trims{Ensemble: e, Measure: m, Celsius: 20, Meter: exact()}
	for _, b := range bands {
		henries := 750 * 1.2 / (2 * math.Pi * b.CentreHz)
		q.Bands = append(q.Bands, TrimBand{b, Model{Henries: henries, DCR: 100, CoreOhms: CoreOhms(henries, 60, 1000), SelfFarads: 100e-12,
			Farads: ResonantFarads(henries, b.CentreHz), Loss: 0.005, Ohms: 650}})
	}
	designed := q.begin()
	for i, f := range designed.solved(make([]int, len(q.Bands))).figures {
		q.Bands[i].CentreHz, q.Bands[i].BoostDB = f[0], f[1]
		leg := &q.Bands[i].Leg
		leg.Henries *= math.Exp(0.06 * rng.NormFloat64())
		leg.Farads *= math.Exp(0.03 * rng.NormFloat64())
		leg.Ohms *= math.Exp(0.04 * rng.NormFloat64())
	}
	return q
}

func trimmed(t testing.TB, q Trims) *Trimmed {
	t.Helper()
	a, err := Trim(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// ranked is an answer's rank by the twin's own reckoning.
func ranked(q Trims, a *Trimmed) rank {
	var r rank
	beyond := 0.0
	for i, b := range a.Bands {
		r.changes += len(b.Changes)
		c := math.Abs(b.Centre.At/q.Bands[i].CentreHz-1) / 0.01
		d := math.Abs(b.Boost.At-q.Bands[i].BoostDB) / 0.2
		if c > 1 || d > 1 {
			r.outside++
		}
		beyond += math.Max(0, c-1) + math.Max(0, d-1)
		r.error += c*c + d*d
	}
	r.tenths = int(math.Ceil(10 * beyond))
	return r
}

// smallTrims are 24 values: capacitors that go across or behind, resistors and coils.
func smallTrims(rng *rand.Rand, q Trims) []Part {
	var parts []Part
	add := func(n int, kind Kind, value func() float64) {
		for range n {
			p := Part{ID: fmt.Sprint("part ", len(parts)), Kind: kind, Count: 1}
			r := Reading{Value: value(), Hertz: 1000, Mode: Series}
			if kind == Coil {
				r.DCR = 80 + 40*rng.Float64()
			}
			p.Readings = []Reading{r}
			parts = append(parts, p)
		}
	}
	own := func() Model { return q.Bands[rng.IntN(len(q.Bands))].Leg }
	add(16, Capacitor, func() float64 {
		share := 0.002 * math.Pow(100, rng.Float64())
		if rng.IntN(2) == 0 {
			share = 1 / share
		}
		return own().Farads * share
	})
	add(6, Resistor, func() float64 { return own().Ohms * math.Exp(0.15*rng.NormFloat64()) })
	add(2, Coil, func() float64 { return own().Henries * math.Exp(0.1*rng.NormFloat64()) })
	return parts
}

// twinTrims solves every board there is of two bands and gives the best rank. It has
// its own loops and its own reckoning; what an option makes of a leg, and the solver
// of boards, are shared.
func twinTrims(q Trims) rank {
	t := q.begin()
	var boards [][]int
	for a := range t.options[0] {
		for b := range t.options[1] {
			used := map[int]int{}
			fits := true
			for _, part := range slices.Concat(t.options[0][a].uses, t.options[1][b].uses) {
				used[part]++
				fits = fits && used[part] <= t.Parts[part].Count
			}
			if fits {
				boards = append(boards, []int{a, b})
			}
		}
	}
	best := rank{tenths: farthest}
	t.take(boards, func(i int, f [][3]float64) {
		var made Trimmed
		for b, figures := range f {
			made.Bands = append(made.Bands, TrimmedBand{Centre: Reached{At: figures[0]}, Boost: Reached{At: figures[1]},
				Changes: t.options[b][boards[i][b]].changes})
		}
		if r := ranked(q, &made); r.less(best) {
			best = r
		}
	})
	return best
}

// same ranks: errors to a millionth.
func alike(a, b rank) bool {
	return a.outside == b.outside && a.tenths == b.tenths && a.changes == b.changes && math.Abs(a.error-b.error) <= 1e-6*(1+b.error)
}

// Two bands and 24 values: the trims found are the best of all there are, one change
// a band or two.
func TestTrimEqualsExhaustiveTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260501), 1))
	changes := 0
	for n := range trials.Count(20) {
		q := madeBoard(t, rng, []float64{400, 700})
		q.Parts, q.Most = smallTrims(rng, q), 1
		if n%10 == 9 {
			q.Most = 2
		}
		a := trimmed(t, q)
		want := twinTrims(q)
		changes += a.Changes
		if got := ranked(q, a); !alike(got, want) || got.outside != a.Outside || math.Abs(got.error-a.Error) > 1e-9*(1+got.error) {
			t.Errorf("drawer %d, %d a band: %+v, the best is %+v", n, q.Most, got, want)
		}
	}
	if changes == 0 {
		t.Error("nothing was ever to do")
	}
}

// coordinatewise goes round the bands, solving every option of one with the others
// held, until none is better: what a person with endless patience could do.
func coordinatewise(q Trims) rank {
	t := q.begin()
	best := t.solved(make([]int, len(q.Bands)))
	for changed := true; changed; {
		changed = false
		for band, options := range t.options {
			var boards [][]int
			for n := range options {
				at := slices.Clone(best.at)
				at[band] = n
				boards = append(boards, at)
			}
			t.take(boards, func(i int, f [][3]float64) {
				if r := t.rankOf(boards[i], f); r.less(best.rank) && t.possible(boards[i]) {
					best, changed = trimBoard{at: boards[i], rank: r}, true
				}
			})
		}
	}
	return best.rank
}

// Six bands, preferred values: never worse than going round the bands with every
// value.
func TestTrimNeverWorseThanCoordinatewise(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260502), 1))
	better, outside, changes, solved := 0, 0, 0, 0
	n := trials.Count(20)
	for k := range n {
		q := madeBoard(t, rng, sixBands)
		q.Capacitors, q.Resistors = quantity.E6, quantity.E24
		a := trimmed(t, q)
		want := coordinatewise(q)
		got := ranked(q, a)
		if want.less(got) && !alike(got, want) {
			t.Errorf("unit %d: %+v, round the bands %+v", k, got, want)
		}
		if got.less(want) && !alike(got, want) {
			better++
		}
		outside, changes, solved = outside+a.Outside, changes+a.Changes, solved+a.Solved
	}
	t.Logf("%d units: better in %d, %d bands left outside, %.2f changes and %d boards solved a unit", n, better, outside, float64(changes)/float64(n), solved/n)
	if outside > n { // of six bands each
		t.Error("bands are left beyond limits that these values can mostly meet")
	}
}

// A board within its limits is left alone; one that nothing can bring there says
// what stands in the way.
func TestTrimSaysWhy(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260503), 1))
	q := madeBoard(t, rng, []float64{400, 1000})
	q.Capacitors, q.Resistors = quantity.E24, quantity.E24
	made := q.begin()
	for i, f := range made.solved([]int{0, 0}).figures {
		q.Bands[i].CentreHz, q.Bands[i].BoostDB = f[0], f[1]
	}
	if a := trimmed(t, q); a.Changes != 0 || a.Outside != 0 || !a.Settled {
		t.Errorf("%+v", a)
	}
	q.Bands[0].BoostDB += 12 // beyond what no resistor at all gives: the copper stands
	a := trimmed(t, q)
	b := a.Bands[0]
	if b.Within || len(b.Unmet) == 0 {
		t.Fatalf("%+v", b)
	}
	u := b.Unmet[slices.IndexFunc(b.Unmet, func(u Unmet) bool { return u.Figure == "boost" })]
	if u.Against != "" || u.Nearest > u.Wanted-1 || u.Nearest < u.Reached-1e-9 {
		t.Errorf("%+v", u)
	}
	q.Bands[0].BoostDB -= 12
	q.Resistors, q.Capacitors, q.Bands[0].CentreHz = 0, 0, q.Bands[0].CentreHz*1.05 // nothing to trim with
	if b := trimmed(t, q).Bands[0]; b.Within || len(b.Changes) > 0 || b.Unmet[0].Figure != "centre" || b.Unmet[0].Nearest != b.Unmet[0].Reached {
		t.Errorf("%+v", b)
	}
}

// A drawer's part is taken as often as it is there.
func TestTrimCounts(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260504), 1))
	for range trials.Count(5) {
		q := madeBoard(t, rng, sixBands[1:4])
		for i := range q.Bands { // all want the same: a little more capacitor
			q.Bands[i].CentreHz *= 0.98
		}
		for i, b := range q.Bands {
			q.Parts = append(q.Parts, Part{ID: fmt.Sprint("C", i), Kind: Capacitor, Marked: b.Leg.Farads * 0.04, Count: 1})
		}
		used := map[string]int{}
		for _, b := range trimmed(t, q).Bands {
			for _, c := range b.Changes {
				if used[c.ID]++; used[c.ID] > 1 || c.How != Across && c.How != Behind {
					t.Errorf("%+v", c)
				}
			}
		}
	}
}

// The same question has the same answer, and a stop is the context's.
func TestTrimStops(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260505), 1))
	q := madeBoard(t, rng, []float64{400, 1000})
	q.Capacitors, q.Resistors = quantity.E12, quantity.E12
	if a, b := trimmed(t, q), trimmed(t, q); fmt.Sprint(a) != fmt.Sprint(b) {
		t.Error("two answers to one question")
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if a, err := Trim(ctx, q); a != nil || err == nil {
		t.Errorf("%v %v", a, err)
	}
}
