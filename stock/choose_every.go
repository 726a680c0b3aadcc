package stock

import (
	"context"
	"math"
)

const (
	everyMost  = 1 << 16 // boards that are all solved,
	everyWork  = 1 << 18 // and their count times the bands' squared, as solving goes
	everyNodes = 1 << 18 // and of boards begun, since parts may be wanted twice
	everyBlock = 1 << 12 // boards between two looks at the context
)

// every solves all boards that the drawer can fill, where they are few. Its
// answer is the best there is, and proven so.
func (c *chooser) every(ctx context.Context) error {
	boards, lists := c.fillable()
	if boards == nil {
		return nil
	}
	bands := len(lists)
	least := make([]float64, bands) // by band: the worst figure, on the board where that is best
	for band := range least {
		least[band] = math.Inf(1)
	}
	start := c.best.clone()
	for ; len(boards) > 0; boards = boards[min(everyBlock*bands, len(boards)):] {
		if err := ctx.Err(); err != nil {
			return err
		}
		b := start.clone()
		c.room.take(c.want, min(everyBlock, len(boards)/bands), func(i, band int) Model {
			return lists[band][boards[i*bands+band]].leg
		}, func(i int, figures [][3]float64) {
			for band := range b.legs {
				b.legs[band] = lists[band][boards[i*bands+band]]
				off := c.off(band, figures[band])
				least[band] = min(least[band], max(math.Abs(off[0]), math.Abs(off[1]), math.Abs(off[2])))
			}
			c.judge(&b, figures)
			if b.error < c.best.error {
				c.best = b.clone()
			}
		})
	}
	c.aimBy(allTheWay, c.best)
	c.bound, c.differs, c.settled, c.proven = c.best.error, make([]float64, bands), true, true
	for band := range least {
		c.beyond[band] = least[band] > 1
	}
	return nil
}

// fillable gives every board that the drawer can fill, as places in the lists
// of all legs, band by band; nil if they are too many.
func (c *chooser) fillable() (boards []int32, lists [][]candidate) {
	most := min(everyMost, everyWork/(len(c.Bands)*len(c.Bands)))
	for band := range c.Bands {
		l := lister{chooser: c, band: band, aim: c.aimed[band], every: true}
		l.gather()
		n := len(l.capacitors)
		if !l.OneCapacitor {
			n += n * (n + 1)
		}
		if len(l.coils())*n*len(l.resistors) > most { // each leg makes a board at least, but for parts wanted twice
			return nil, nil
		}
		list, _ := l.all()
		lists = append(lists, list)
	}
	used, at := make([]int, len(c.Parts)), make([]int32, len(lists))
	nodes := 0
	var down func(band int) bool
	down = func(band int) bool {
		if nodes++; nodes > everyNodes {
			return false
		}
		if band == len(lists) {
			boards = append(boards, at...)
			return len(boards) <= most*len(lists)
		}
		for i := range lists[band] {
			if !c.take(used, &lists[band][i], 1) {
				continue
			}
			at[band] = int32(i)
			ok := down(band + 1)
			c.take(used, &lists[band][i], -1)
			if !ok {
				return false
			}
		}
		return true
	}
	if !down(0) {
		return nil, nil
	}
	return boards, lists
}
