package stock

import (
	"context"
	"math"
	"slices"
)

const (
	provings      = 3   // how often a better board that the leg model knows of is gone on from
	comparedWhole = 256 // boards that the leg model is held against
)

// prove takes the leg model from the chosen board and searches it to the end;
// a board that turns out better on the whole circuit takes its place. What is
// then least by the model, eased by how far it was seen to be off, is the bound.
func (c *chooser) prove(ctx context.Context) error {
	for range provings {
		c.aimFrom(c.best)
		c.list()
		b, ok := c.assign()
		if !ok {
			break
		}
		c.room.solve(&b)
		if !c.better(b) {
			break
		}
		c.settled = false
		if err := c.polish(ctx); err != nil {
			return err
		}
	}
	c.aimBy(allTheWay, c.best)
	c.list()
	c.compare()
	c.bound = c.least()
	for band := range c.lists {
		c.beyond = append(c.beyond, eased(c.nearest[band], c.differs[band]) > c.within(band))
	}
	return ctx.Err()
}

// within is the most error a band can have whose every figure is within its
// limit.
func (c *chooser) within(band int) float64 {
	if c.want[band].q >= 0 {
		return 3
	}
	return 2
}

// eased is the least that an error by the leg model may be on the whole
// circuit, whose figures lie no further from the model's than so many limits.
// A band's error is the square of a distance, to which what is not known of
// its parts is one more side, so the inequality of the triangle holds.
func eased(e, by float64) float64 { return square(max(math.Sqrt(e)-by, 0)) }

// compare measures how far a board's figures lie from the leg model's, band by
// band and in limits. First legs are tried one at a time in place of the chosen
// board's, of every coil the best and the last that are on the list: what a
// band's own leg does otherwise on the circuit, and what every other leg pulls
// at it, each at most and added up. Then boards are tried of other legs
// throughout. The greater counts.
func (c *chooser) compare() {
	c.differs = make([]float64, len(c.lists))
	for band := range c.lists {
		legs := ends(c.lists[band])
		for at, d := range c.farthest(len(legs), func(i, at int) *candidate {
			if at == band {
				return &legs[i]
			}
			return &c.best.legs[at]
		}) {
			c.differs[at] += d
		}
	}
	for at, d := range c.farthest(comparedWhole, func(i, at int) *candidate {
		// Strides by the golden section, another multiple for every band: no two
		// bands go through their lists in step.
		_, share := math.Modf(float64(i+1) * math.Phi * float64(at+1))
		return &c.lists[at][int(share*float64(len(c.lists[at])))]
	}) {
		c.differs[at] = max(c.differs[at], d)
	}
}

// farthest solves n boards and gives for each band how far its figures lie at
// most from the leg model's.
func (c *chooser) farthest(n int, leg func(i, band int) *candidate) []float64 {
	most := make([]float64, len(c.lists))
	c.room.take(c.want, n, func(i, band int) Model { return leg(i, band).leg }, func(i int, figures [][3]float64) {
		for band := range figures {
			k := leg(i, band)
			model := c.aimed[band].figures(c.want[band], k.resonance, k.ohms, k.reactance)
			if d := c.apart(band, figures[band], model); d < math.Inf(1) { // without a peak it is no near one
				most[band] = max(most[band], d)
			}
		}
	})
	return most
}

// ends gives the first and the last candidate of every coil on a list.
func ends(list []candidate) (legs []candidate) {
	seen := map[int]bool{}
	once := func(k candidate) {
		if !seen[k.coil] {
			seen[k.coil] = true
			legs = append(legs, k)
		}
	}
	for _, k := range list {
		once(k)
	}
	clear(seen)
	for _, k := range slices.Backward(list) {
		once(k)
	}
	return legs
}

// apart gives how far two sets of figures of a band lie from each other, in
// limits.
func (c *chooser) apart(band int, a, b [3]float64) float64 {
	var sum float64
	p, q := c.off(band, a), c.off(band, b)
	for i := range p {
		sum += square(p[i] - q[i])
	}
	return math.Sqrt(sum)
}
