package stock

import (
	"context"
	"slices"
)

const (
	polishRounds = 12
	polishMost   = 384 // candidates exchanged, of all bands together
	pairsTried   = 128 // pairs of exchanges solved whole
	gain         = 1e-9
	leastTried   = 16 // candidates exchanged of one band
	triedBands   = 6
)

// tried are the candidates of one band in place of the board's own, solved
// whole.
type tried struct {
	legs    []candidate
	figures [][][3]float64 // by candidate and band
}

// polish exchanges one leg at a time for the best of its candidates on the
// whole circuit until none helps, then two at a time. What a leg must be moves
// with its neighbours, so every round has lists of its own.
func (c *chooser) polish(ctx context.Context) error {
	for range polishRounds {
		c.aimFrom(c.best)
		c.list()
		all, changed, err := c.singles(ctx)
		if err != nil {
			return err
		}
		c.settled = !changed
		if !changed && !c.pairs(all) {
			return nil
		}
	}
	c.settled = false
	return nil
}

// polishList gives the candidates to exchange: half of them with the coil that
// is there, which leaves the neighbours as they are, then the best with others.
func (c *chooser) polishList(band int) (list []candidate) {
	most := max(c.tries(polishMost)/len(c.lists), leastTried)
	for _, k := range c.lists[band] {
		if k.coil == c.best.legs[band].coil && len(list) < most/2 {
			list = append(list, k)
		}
	}
	for _, k := range c.lists[band] {
		if k.coil != c.best.legs[band].coil && len(list) < most {
			list = append(list, k)
		}
	}
	return list
}

// tries is how many boards are solved at a time, given how many are of
// triedBands. Against the least worst band a leg may be poor by itself and yet
// pull the worst one to where it is wanted: then as many more are tried of fewer
// bands as take the same time.
func (c *chooser) tries(most int) int {
	if n := len(c.lists); c.Worst && n < triedBands {
		most = most * triedBands * triedBands / (n * n)
	}
	return most
}

// singles tries every candidate of every band.
func (c *chooser) singles(ctx context.Context) (all []tried, changed bool, err error) {
	for band := range c.lists {
		if err := ctx.Err(); err != nil {
			return nil, false, err
		}
		t, better := c.tryBand(band)
		all, changed = append(all, t), changed || better
	}
	return all, changed, nil
}

// tryBand solves the board with each candidate of one band and keeps the best
// for which the parts are there.
func (c *chooser) tryBand(band int) (t tried, changed bool) {
	t.legs = c.polishList(band)
	start := c.best.clone()
	c.room.take(c.want, len(t.legs), func(i, at int) Model {
		if at == band {
			return t.legs[i].leg
		}
		return start.legs[at].leg
	}, func(i int, figures [][3]float64) {
		t.figures = append(t.figures, slices.Clone(figures))
		b := start.clone()
		b.legs[band] = t.legs[i]
		c.judge(&b, figures)
		changed = c.better(b) || changed
	})
	return t, changed
}

// better keeps a board that the drawer can fill and that is better.
func (c *chooser) better(b board) bool {
	return b.error < c.best.error*(1-gain)-gain*gain && c.possible(b.legs) && c.keep(b)
}

// possible says whether the drawer holds what a board takes.
func (c *chooser) possible(legs []candidate) bool {
	used := make([]int, len(c.Parts))
	for i := range legs {
		if !c.take(used, &legs[i], 1) {
			return false
		}
	}
	return true
}

// exchange is two candidates at once, with the error that adding up what each
// does alone leads to expect.
type exchange struct {
	band, at [2]int
	error    float64
}

// pairs exchanges the legs of two bands: those expected to be best are solved
// whole.
func (c *chooser) pairs(all []tried) bool {
	var list []exchange
	for a := range all {
		for b := a + 1; b < len(all); b++ {
			list = c.expect(all, a, b, list)
		}
	}
	start := c.best.clone()
	put := func(x exchange) board {
		b := start.clone()
		for side := range x.band {
			b.legs[x.band[side]] = all[x.band[side]].legs[x.at[side]]
		}
		return b
	}
	var boards []board
	for _, x := range list {
		boards = append(boards, put(x))
	}
	changed := false
	c.room.take(c.want, len(boards), func(i, band int) Model { return boards[i].legs[band].leg },
		func(i int, figures [][3]float64) {
			c.judge(&boards[i], figures)
			changed = c.better(boards[i]) || changed
		})
	return changed
}

// expect adds the exchanges of bands a and b, and keeps the best.
func (c *chooser) expect(all []tried, a, b int, list []exchange) []exchange {
	legs := slices.Clone(c.best.legs)
	used := make([]int, len(c.Parts))
	for band := range legs {
		if band != a && band != b {
			c.take(used, &legs[band], 1)
		}
	}
	errors, most := make([]float64, len(legs)), c.tries(pairsTried)
	for i := range all[a].legs {
		if !c.take(used, &all[a].legs[i], 1) {
			continue
		}
		for j := range all[b].legs {
			x := exchange{[2]int{a, b}, [2]int{i, j}, c.added(all, a, b, i, j, errors)}
			if len(list) == most && x.error >= list[most-1].error || !c.take(used, &all[b].legs[j], 1) {
				continue
			}
			c.take(used, &all[b].legs[j], -1)
			at, _ := slices.BinarySearchFunc(list, x, func(p, q exchange) int {
				if p.error <= q.error { // equals stay in the order they came
					return -1
				}
				return 1
			})
			list = slices.Insert(list[:min(len(list), most-1)], min(at, most-1), x)
		}
		c.take(used, &all[a].legs[i], -1)
	}
	return list
}

// added is the error of a board whose figures move by what each exchange alone
// moves them.
func (c *chooser) added(all []tried, a, b, i, j int, errors []float64) float64 {
	for band := range errors {
		p, q, own := all[a].figures[i][band], all[b].figures[j][band], c.best.figures[band]
		var sum [3]float64
		for f := range sum {
			sum[f] = p[f] + q[f] - own[f]
		}
		doubt := c.best.legs[band].doubt
		switch band {
		case a:
			doubt = all[a].legs[i].doubt
		case b:
			doubt = all[b].legs[j].doubt
		}
		errors[band] = c.errorOf(band, sum) + doubt
	}
	return c.total(errors)
}
