package stock

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/trials"
)

// The bound rests on how far the leg model was seen to be off. Other boards,
// drawn from the lists, are held against it: none is below the bound, and of no
// more than 1 band in 100 do the figures lie further from the model's. Where a
// target is far out of reach there is a board, and the target is said to be so.
func TestChooseBoundAllowsForTheModel(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260415), 1))
	drawn, beyond, widest := 0, 0, 0.0
	for n := range trials.Count(2) {
		q := someBoard(t, rng, sixBands, 60, 150, 30)
		q.Worst = n/2%2 == 1
		q.Bands[2].BoostDB = [...]float64{11, 40}[n%2] // no copper is so little
		c := searched(t, q)
		boards := make([][]candidate, 512)
		for i := range boards {
			for _, list := range c.lists {
				boards[i] = append(boards[i], list[rng.IntN(len(list))])
			}
		}
		c.room.take(c.want, len(boards), func(i, band int) Model { return boards[i][band].leg }, func(i int, figures [][3]float64) {
			b := board{legs: boards[i]}
			if c.judge(&b, figures); b.error < c.bound {
				t.Errorf("drawer %d: a board of error %g, the bound is %g", n, b.error, c.bound)
			}
			for band := range figures {
				k := boards[i][band]
				d := c.apart(band, figures[band], c.aimed[band].figures(c.want[band], k.resonance, k.ohms, k.reactance))
				if !(d < math.Inf(1)) {
					continue // without a peak: its error has no end
				}
				widest = max(widest, d/c.differs[band])
				if drawn++; d > c.differs[band] {
					beyond++
				}
			}
		})
		if !(c.bound <= c.best.error) || c.beyond[2] != (n%2 == 1) || c.beyond[1] || c.proven || !(c.best.error < math.Inf(1)) {
			t.Errorf("drawer %d: error %g, bound %g, cannot be met %v, proven %v", n, c.best.error, c.bound, c.beyond, c.proven)
		}
		t.Logf("drawer %d: error %.4g, bound %.4g, cannot be met %v, model within %.3g", n, c.best.error, c.bound, c.beyond, c.differs)
	}
	t.Logf("%d of %d bands of drawn boards lie further from the model than is allowed for, the last %.2f times as far", beyond, drawn, widest)
	if beyond*100 > drawn {
		t.Errorf("%d of %d bands lie further from the model than is allowed for", beyond, drawn)
	}
}

// What every board shows to be out of reach is named so, what some board meets
// is not; and an error eased never lies above it.
func TestChooseSaysWhatCannotBe(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260416), 1))
	m, e, bands := boardDesign(t, []float64{400, 700})
	parts := smallDrawer(rng, 3, 6, 4)
	q := Board{Parts: parts, Bands: bands, Ensemble: e, Measure: m, OneCapacitor: true, Spread: 4, Celsius: 20, Meter: exact(),
		Limits: Limits{Centre: 0.01, Boost: 0.2}}
	met := choose(t, q)
	for i, b := range met.Bands { // ask for what this very board does
		q.Bands[i].CentreHz, q.Bands[i].BoostDB = b.Centre.At, b.Boost.At
	}
	if a := choose(t, q); a.Error > 1e-6 || !a.Proven || unmeetable(a, "400") || unmeetable(a, "700") {
		t.Errorf("what a board does is asked for: error %g, %v", a.Error, a.Findings)
	}
	q.Bands[0].BoostDB = 25
	if a := choose(t, q); !a.Proven || !unmeetable(a, "400") || unmeetable(a, "700") {
		t.Errorf("25 dB: %+v", a.Findings)
	}
	for range 1000 {
		x, by := 300*rng.Float64(), 20*rng.Float64()
		if v := eased(x, by); v > x || by > math.Sqrt(x) && v != 0 || v > 0 && math.Abs(math.Sqrt(v)+by-math.Sqrt(x)) > 1e-9 {
			t.Errorf("%g eased by %g is %g", x, by, v)
		}
	}
}

// unmeetable says whether a figure of a band is said to be out of the drawer's
// reach.
func unmeetable(a *Chosen, band string) bool {
	for _, f := range a.Findings {
		if f.ID == IDChooseUnmet && f.Place.Band == band && f.Args["cannot"] == true {
			return true
		}
	}
	return false
}
