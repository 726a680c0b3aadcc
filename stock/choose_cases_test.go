package stock

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"bandwright/finding"
	"bandwright/trials"
)

// stopping is a context that is over once it was asked so many times.
type stopping struct{ left int }

func (*stopping) Deadline() (time.Time, bool) { return time.Time{}, false }
func (*stopping) Done() <-chan struct{}       { return nil }
func (*stopping) Value(any) any               { return nil }
func (s *stopping) Err() error {
	if s.left--; s.left < 0 {
		return context.Canceled
	}
	return nil
}

// A search stopped at any of the moments it asks gives the context's error and
// no board; never stopped, it gives the board of an ordinary context.
func TestChooseStopsAtAnyMoment(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260409), 1))
	for name, q := range map[string]Board{"searched": someBoard(t, rng, []float64{400, 1000}, 30, 30, 10), "every board solved": smallBoard(t, rng)} {
		t.Run(name, func(t *testing.T) { stopsAtAnyMoment(t, q) })
	}
}

// smallBoard is one of which every board is solved.
func smallBoard(t *testing.T, rng *rand.Rand) Board {
	m, e, bands := boardDesign(t, []float64{400, 700})
	return Board{Parts: smallDrawer(rng, 3, 4, 4), Bands: bands, Ensemble: e, Measure: m, OneCapacitor: true, Spread: 4, Celsius: 20, Meter: exact()}
}

func stopsAtAnyMoment(t *testing.T, q Board) {
	ask := func(ctx context.Context) (*Chosen, error) {
		q.Draws, q.Random = 600, rand.New(rand.NewPCG(1, 2))
		return Choose(ctx, q)
	}
	counting := &stopping{math.MaxInt}
	whole, err := ask(counting)
	if err != nil {
		t.Fatal(err)
	}
	moments := math.MaxInt - counting.left
	for at := 0; at < moments; at += 1 + moments/25 {
		if a, err := ask(&stopping{at}); a != nil || !errors.Is(err, context.Canceled) {
			t.Errorf("stopped at moment %d of %d: %v", at, moments, err)
		}
	}
	again, err := ask(context.Background())
	if err != nil || again.Error != whole.Error || *again.Chance != *whole.Chance {
		t.Errorf("asked again: %v, %v", again, err)
	}
	t.Logf("%d moments", moments)
}

// Least worst: its worst band is no worse than that of the least total, and its
// error is that band's.
func TestChooseLeastWorst(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260410), 1))
	for range trials.Count(3) {
		q := someBoard(t, rng, sixBands[1:5], 60, 60, 20)
		total := choose(t, q)
		q.Worst = true
		worst := choose(t, q)
		counted(t, q, worst)
		of := func(a *Chosen) (sum, most float64) {
			for _, b := range a.Bands {
				sum, most = sum+b.Error, max(most, b.Error)
			}
			return sum, most
		}
		sum, most := of(worst)
		if math.Abs(worst.Error-most) > 1e-12 {
			t.Errorf("the error is %g, the worst band's %g", worst.Error, most)
		}
		least, other := of(total)
		t.Logf("least total %.3g (worst %.3g), least worst %.3g (total %.3g)", least, other, most, sum)
		// Both searches are by exchanges: either may end above what the other came
		// across, the worst band by little.
		if most > other*1.05+1e-3 {
			t.Errorf("the least worst is %g, beside %g of the least total", most, other)
		}
	}
}

// A wanted Q that counts makes a better board than one left out, is told
// beside what it comes to, and is named where it is missed.
func TestChooseByQ(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260411), 1))
	for range trials.Count(3) {
		q := someBoard(t, rng, []float64{400, 1000}, 60, 60, 20)
		q.Limits.Q = 1e6 // asked for, of no account
		for i := range q.Bands {
			q.Bands[i].WantedQ = 1
		}
		free := choose(t, q)
		q.Limits.Q = 0.05
		for i := range q.Bands { // a fifth above what came of itself
			q.Bands[i].WantedQ = 1.2 * free.Bands[i].Q.At
		}
		a := choose(t, q)
		before := free.Error // with Q as it came of itself
		for range free.Bands {
			before += math.Pow((1-1/1.2)/0.05, 2)
		}
		if !(a.Error <= before) {
			t.Errorf("the error is %g, it was %g without looking at Q", a.Error, before)
		}
		for i, b := range a.Bands {
			off := math.Abs(b.Q.At/b.Q.Wanted - 1)
			t.Logf("Q %.3f of wanted %.3f, %.3f when left free", b.Q.At, b.Q.Wanted, free.Bands[i].Q.At)
			if (off > 0.05) != named(a.Findings, b.Band, "Q") {
				t.Errorf("band %s: Q off by %.3f; %v", b.Band, off, a.Findings)
			}
		}
	}
}

// Both capacitors of a leg fixed by hand are both there, alone in their leg.
func TestChooseTwoFixedCapacitors(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260412), 1))
	q := someBoard(t, rng, []float64{400, 1000}, 60, 40, 20)
	coil := choose(t, q).Bands[0].Coil.Value
	var two []string // of a sum that the coil about calls for
	nearest := math.Inf(1)
	for i, a := range q.Parts {
		for _, b := range q.Parts[:i] {
			if a.Kind != Capacitor || b.Kind != Capacitor {
				continue
			}
			if off := math.Abs(math.Log((a.Marked + b.Marked) / ResonantFarads(coil, 400))); off < nearest {
				nearest, two = off, []string{a.ID, b.ID}
			}
		}
	}
	q.Bands[0].Fixed = two
	a := choose(t, q)
	counted(t, q, a)
	have := a.Bands[0].Capacitors
	if len(have) != 2 || !slices.Contains(two, have[0].ID) || !slices.Contains(two, have[1].ID) || have[0].ID == have[1].ID {
		t.Errorf("%v are fixed, %+v are there", two, have)
	}
}

// Two of one bag may go into a leg, but never three of a bag of two.
func TestChooseTwoOfOneBag(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260413), 1))
	q := someBoard(t, rng, []float64{400, 1000}, 60, 0, 20)
	coil := choose(t, withBag(q, ResonantFarads(0.36, 400), 1, ResonantFarads(0.14, 1000), 1)).Bands[0].Coil
	for _, count := range []int{1, 2} {
		// Half of what the coil calls for, so that two in parallel are right.
		q := withBag(q, ResonantFarads(coil.Value, 400)/2, count, ResonantFarads(0.14, 1000), 1)
		q.Bands[0].Fixed, q.Bands[0].Barred = []string{coil.ID}, []string{"other"}
		a := choose(t, q)
		counted(t, q, a)
		both := len(a.Bands[0].Capacitors) == 2 && a.Bands[0].Capacitors[0].ID == a.Bands[0].Capacitors[1].ID
		if both != (count == 2) {
			t.Errorf("of %d in the bag: %+v", count, a.Bands[0].Capacitors)
		}
		if i := slices.IndexFunc(a.Picks, func(p Pick) bool { return p.Part == "bag" }); count == 2 && (i < 0 || a.Picks[i].Count != 2) {
			t.Errorf("picked %+v", a.Picks)
		}
	}
}

// withBag gives a board whose drawer has two bags of capacitors besides.
func withBag(q Board, farads float64, count int, other float64, others int) Board {
	q.Bands = slices.Clone(q.Bands)
	q.Parts = append(slices.Clone(q.Parts), Part{ID: "bag", Kind: Capacitor, Marked: farads, Count: count},
		Part{ID: "other", Kind: Capacitor, Marked: other, Count: others})
	return q
}

// A part both fixed and barred, and a coil without copper: named and said.
func TestChooseContradictions(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260414), 1))
	whole := someBoard(t, rng, []float64{400, 1000}, 60, 40, 20)
	whole.Parts = append(whole.Parts, Part{ID: "bare", Kind: Coil, Marked: 0.36, Count: 1})
	for _, everywhere := range []bool{true, false} {
		q := whole
		q.Bands = slices.Clone(whole.Bands)
		q.Bands[0].Fixed = []string{"L1"}
		if everywhere {
			q.Barred = []string{"L1"}
		} else {
			q.Bands[0].Barred = []string{"L1"}
		}
		_, err := Choose(context.Background(), q)
		list, _ := finding.From(err)
		if len(list) != 1 || list[0].ID != IDChooseBarred || list[0].Args["id"] != "L1" || list[0].Place.Band != q.Bands[0].Band {
			t.Errorf("fixed and barred: %v", err)
		}
	}
	aside := func(a *Chosen) bool {
		return slices.ContainsFunc(a.Findings, func(f finding.Finding) bool { return f.ID == IDChooseAside })
	}
	if a := choose(t, whole); !aside(a) || slices.ContainsFunc(a.Bands, func(b ChosenBand) bool { return b.Coil.ID == "bare" }) {
		t.Errorf("a coil without copper is not said to be left aside: %v", a.Findings)
	}
}
