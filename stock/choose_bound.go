package stock

import (
	"context"
	"math"
	"slices"
)

// provings is how often a better board that the leg model knows of is gone on
// from.
const provings = 3

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
	c.aimFrom(c.best)
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
// band and in limits: what its own leg does otherwise on the circuit, and what
// every other leg pulls at it, each at most and added up. Legs are tried one at
// a time in place of the chosen board's, of every coil the best and the last
// that are on the list.
func (c *chooser) compare() {
	c.differs = make([]float64, len(c.lists))
	for band := range c.lists {
		legs := ends(c.lists[band])
		most := make([]float64, len(c.lists))
		c.room.take(c.want, len(legs), func(i, at int) Model {
			if at == band {
				return legs[i].leg
			}
			return c.best.legs[at].leg
		}, func(i int, figures [][3]float64) {
			k := &legs[i]
			for at := range figures {
				model := c.best.figures[at]
				if at == band {
					model = c.aimed[band].figures(c.want[band], k.resonance, k.ohms, k.reactance)
				}
				if d := c.apart(at, figures[at], model); d < math.Inf(1) { // without a peak it is no near one
					most[at] = max(most[at], d)
				}
			}
		})
		for at := range most {
			c.differs[at] += most[at]
		}
	}
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
