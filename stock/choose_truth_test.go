package stock

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/trials"
)

// tally counts printed chances against boards that truly held.
type tally struct {
	n, held     int
	sum, square float64 // of the chances, and their variance
}

func (s *tally) add(chance float64, draws int, held bool) {
	s.n++
	s.sum += chance
	s.square += chance * (1 - chance) * (1 + 1/float64(draws))
	if held {
		s.held++
	}
}

// apart gives how far the share that held lies above the mean chance, and the
// standard error of that.
func (s *tally) apart() (off, se float64) {
	return (float64(s.held) - s.sum) / float64(s.n), math.Sqrt(s.square) / float64(s.n)
}

// holding builds the board with the parts as they truly are and says which
// bands hold. Of a bag every piece is drawn by itself, as every new resistor.
func holding(t *testing.T, rng *rand.Rand, q Board, a *Chosen, truths []truth) (bands []bool) {
	t.Helper()
	c := q.begin()
	if err := c.check().Err(); err != nil {
		t.Fatal(err)
	}
	is := map[string]Model{}
	for _, one := range truths {
		is[one.id] = one.model
	}
	model := func(p Taken) Model {
		if p.ID == "" || is[p.ID].Ohms > 0 {
			return Model{Ohms: within(rng, p.Value, 0.05)}
		}
		return is[p.ID]
	}
	c.room.take(c.want, 1, func(_, band int) Model {
		b := a.Bands[band]
		var second Model
		if len(b.Capacitors) > 1 {
			second = model(b.Capacitors[1])
		}
		return legOf(model(b.Coil), model(b.Capacitors[0]), second, b.InSeries, model(b.Resistor).Ohms)
	}, func(_ int, figures [][3]float64) {
		for band, f := range figures {
			bands = append(bands, math.Abs(f[0]/q.Bands[band].CentreHz-1) <= c.Limits.Centre &&
				math.Abs(f[1]-q.Bands[band].BoostDB) <= c.Limits.Boost)
		}
	})
	return bands
}

// Truth first: drawers are made, their parts measured, a board chosen by the
// readings alone and then built of the parts as they truly are. No test of the
// law itself is freer of it: what Choose makes of many readings, of which it
// takes those that look best, is in the outcome. Within 3 points, and 2.6
// standard errors of so many boards, the share that holds is the mean chance.
// Boards of six bands take longer, so there are fewer; their limits are wider,
// where about half of them hold.
func TestChanceOverTruths(t *testing.T) {
	two, few, many := []float64{400, 2500}, [3]int{30, 40, 10}, [3]int{40, 150, 30}
	narrow, wide := [2]Limits{{}, {Centre: 0.015, Boost: 0.3}}, [2]Limits{{Centre: 0.02, Boost: 0.4}, {Centre: 0.03, Boost: 0.5}}
	for kind, c := range []struct {
		name   string
		by     making
		alike  bool // must agree; else it is only said how far off it is
		hertz  []float64
		cases  int
		limits [2]Limits
		parts  [3]int // coils, capacitors, resistors
	}{
		{"as believed", byLaw, true, two, 40, narrow, few},
		{"bags to one side", byBags, true, two, 40, narrow, few},
		{"all bags +3 to +5 %", allUp, false, two, 40, narrow, few},
		{"six bands, as believed", byLaw, true, sixBands, 4, wide, many},
		{"six bands, bags to one side", byBags, true, sixBands, 4, wide, many},
	} {
		// Each kind draws its own: else all lean to where the first happens to.
		rng := rand.New(rand.NewPCG(trials.Seed(t, 20260408), uint64(kind)+1))
		var boards, bands tally
		m, e, wanted := boardDesign(t, c.hertz)
		for n := range trials.Count(c.cases) {
			q := Board{Bands: wanted, Ensemble: e, Measure: m, Celsius: 20, Meter: HandMeter(), NewOhms: quantity.E24, Doubt: float64(n % 2),
				Draws: 256, Random: rng, Limits: c.limits[n/2%2]}
			var truths []truth
			q.Parts, truths = made(rng, c.parts[0], c.parts[1], c.parts[2], q.Meter, c.by)
			a, err := Choose(context.Background(), q)
			if list, ok := finding.From(err); ok && list[0].ID == IDChooseShort {
				continue // no coil of a size
			} else if err != nil {
				t.Fatal(err)
			}
			all := true
			for band, holds := range holding(t, rng, q, a, truths) {
				bands.add(a.Bands[band].Chance, q.Draws, holds)
				all = all && holds
			}
			boards.add(a.Chance.Share, q.Draws, all)
		}
		for _, s := range []struct {
			what  string
			tally *tally
		}{{"boards", &boards}, {"bands", &bands}} {
			off, se := s.tally.apart()
			t.Logf("%s: %d %s, mean chance %.1f %%, held %.1f %%: %+.1f ± %.1f points", c.name, s.tally.n, s.what,
				100*s.tally.sum/float64(s.tally.n), 100*float64(s.tally.held)/float64(s.tally.n), 100*off, 100*se)
			if c.alike && math.Abs(off) > 0.03+2.6*se {
				t.Errorf("%s: %s are %.3f off, standard error %.3f", c.name, s.what, off, se)
			}
		}
	}
}
