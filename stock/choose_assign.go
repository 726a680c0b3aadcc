package stock

import "math"

// nodesMost bounds the branches looked at.
const nodesMost = 300_000

// assigner finds the legs of least error by the leg model that need no part
// twice: depth first, cut off where the least of what is still to come cannot
// bring it below the best found.
type assigner struct {
	*chooser
	used  []int     // by part
	rest  []float64 // by band: the least that it and the bands after it add
	at    []int     // by band: place in its list
	found []int
	best  float64
	nodes int
	ease  []float64 // by band: how far the leg model is taken to be off; nil: not at all
}

// assign gives the best board by the leg model.
func (c *chooser) assign() (board, bool) {
	a, ok := c.assigner(nil)
	if !ok || a.found == nil {
		return board{}, false
	}
	var b board
	for band, i := range a.found {
		b.legs = append(b.legs, c.lists[band][i])
	}
	return b, true
}

// least gives what no board is below by the leg model, eased by how far that
// was seen to be off.
func (c *chooser) least() float64 {
	a, ok := c.assigner(c.differs)
	if !ok {
		return 0
	}
	return a.bound()
}

// assigner searches the lists; not if one is empty.
func (c *chooser) assigner(ease []float64) (*assigner, bool) {
	a := &assigner{chooser: c, used: make([]int, len(c.Parts)), rest: make([]float64, len(c.lists)+1),
		at: make([]int, len(c.lists)), best: math.Inf(1), ease: ease}
	for band := len(c.lists) - 1; band >= 0; band-- {
		if len(c.lists[band]) == 0 {
			return nil, false
		}
		a.rest[band] = c.join(a.rest[band+1], a.of(band, c.lists[band][0].error))
	}
	a.down(0, 0)
	return a, true
}

// of is an error by the leg model as it counts in this search.
func (a *assigner) of(band int, e float64) float64 {
	if a.ease == nil {
		return e
	}
	return eased(e, a.ease[band])
}

func (a *assigner) down(band int, sum float64) {
	if band == len(a.lists) {
		a.best, a.found = sum, append(a.found[:0], a.at...)
		return
	}
	for i := range a.lists[band] {
		k := &a.lists[band][i]
		with := a.join(sum, a.of(band, k.error))
		if a.join(with, a.rest[band+1]) >= a.best || a.nodes > nodesMost {
			return // the list rises, so nothing after it is better
		}
		a.nodes++
		if !a.take(k, 1) {
			continue
		}
		a.at[band] = i
		a.down(band+1, with)
		a.take(k, -1)
	}
}

// take counts a candidate's parts as used (+1) or free again (−1). False: some
// part is not there often enough, and nothing was taken.
func (a *assigner) take(k *candidate, by int) bool { return a.chooser.take(a.used, k, by) }

func (c *chooser) take(used []int, k *candidate, by int) bool {
	enough := true
	for _, p := range k.parts() {
		if p >= 0 {
			used[p] += by
			enough = enough && used[p] <= c.Parts[p].Count
		}
	}
	if by > 0 && !enough {
		c.take(used, k, -by)
	}
	return enough
}

// bound is the least error by the leg model: what the search has proven best,
// or where it was cut short the least of each band, and in either case no more
// than a board could have with a leg that was left off a list.
func (a *assigner) bound() float64 {
	bound := a.best
	if a.nodes > nodesMost || a.found == nil {
		bound = a.rest[0]
	}
	for out := range a.lists {
		least := a.of(out, a.cutoff[out])
		for band := range a.lists {
			if band != out {
				least = a.join(least, a.of(band, min(a.lists[band][0].error, a.cutoff[band])))
			}
		}
		bound = min(bound, least)
	}
	return bound
}
