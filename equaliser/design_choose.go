package equaliser

import (
	"context"
	"math"
	"slices"

	"bandwright/quantity"
)

// choice is one value a part may have.
type choice struct {
	value, dcr float64
	name       string
}

// choosing says whether any part is to be chosen.
func (d *design) choosing() bool {
	for i := range d.bands {
		for part := range partsPerLeg {
			if d.bands[i].chooses(part) {
				return true
			}
		}
	}
	return false
}

// chooses says whether a part has several values to choose from.
func (b *designBand) chooses(part int) bool {
	pick := b.picks()[part]
	return len(pick.Owned) > 1 || len(pick.Owned) == 0 && pick.Series != 0
}

// put gives a part a value.
func (b *designBand) put(part int, c choice) {
	b.taken[part] = c.name
	switch part {
	case partResistor:
		b.leg.ohms = c.value
	case partCoil:
		b.leg.henries, b.leg.dcr = c.value, c.dcr
	case partCapacitor:
		b.leg.farads = c.value
	}
}

const (
	// seriesReach is how far from where it stands, as a ratio, a part of a
	// series is tried: a factor of 2 moves a centre by 1.4 and a boost by dBs.
	seriesReach = 2
	// leastOhms is the least resistor of a series; below it there is a wire.
	leastOhms = 1
)

// choices lists the values a part may have about where it stands, by size:
// every owned one, or those of the series within reach.
func (b *designBand) choices(part int, limits Believable) []choice {
	pick := b.picks()[part]
	var list []choice
	if len(pick.Owned) > 0 {
		for _, o := range pick.Owned {
			list = append(list, choice{o.Value, o.DCR, o.Name})
		}
		slices.SortStableFunc(list, func(a, b choice) int { return compare(a.value, b.value) })
		return list
	}
	low, high := b.value(part)/seriesReach, b.value(part)*seriesReach
	ends := limits.ends(part)
	if part == partResistor {
		ends[0] = leastOhms
		list = append(list, choice{})
		high = max(high, 20*leastOhms)
	}
	low = min(max(low, ends[0]), ends[1])
	high = max(min(high, ends[1]), low)
	values := quantity.Within(pick.Series, low, high)
	if len(values) == 0 {
		values = append(values, quantity.Nearest(pick.Series, low))
	}
	for _, v := range values {
		list = append(list, choice{value: v, dcr: b.perHenry * v})
	}
	return list
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// choose gives a design with allowed values, the better of those reached from
// two beginnings.
func (d *design) choose(ctx context.Context) (*design, error) {
	nearest := d.clone()
	nearest.nearest(partResistor, partCoil, partCapacitor)
	settled, err := d.settleByKind(ctx)
	if err != nil {
		return nil, err
	}
	var best *design
	least := math.Inf(1)
	for _, from := range [...]*design{nearest, settled} {
		if err := from.descend(ctx); err != nil {
			return nil, err
		}
		at, err := from.prove(ctx)
		if err != nil {
			return nil, err
		}
		if sum := from.total(at); best == nil || sum < least*(1-1e-6) {
			best, least = from, sum
		}
	}
	return best, nil
}

// nearest gives every part of some kinds that is to be chosen the allowed
// value nearest by ratio.
func (d *design) nearest(kinds ...int) {
	for i := range d.bands {
		b := &d.bands[i]
		for _, part := range kinds {
			if b.chooses(part) {
				b.put(part, b.nearestOf(part, d.Believable))
			}
		}
	}
}

func (b *designBand) nearestOf(part int, limits Believable) choice {
	list := b.choices(part, limits)
	x := b.coordinate(part, b.value(part))
	if part == partResistor { // a wire or the least resistor, by difference
		x = b.value(part)
	}
	return slices.MinFunc(list, func(p, q choice) int {
		away := func(c choice) float64 {
			if part == partResistor {
				return math.Abs(c.value - x)
			}
			return math.Abs(math.Log(c.value) - x)
		}
		return compare(away(p), away(q))
	})
}

// settleByKind chooses coils first, leads the rest to what is wanted, then
// capacitors, leads what is left, then resistors.
func (d *design) settleByKind(ctx context.Context) (*design, error) {
	c := d.clone()
	for _, kind := range [...]int{partCoil, partCapacitor, partResistor} {
		any := false
		for i := range c.bands {
			b := &c.bands[i]
			if b.chooses(kind) {
				any = true
				b.put(kind, b.nearestOf(kind, d.Believable))
				b.fixed[kind] = true
				b.defect = [figuresPerBand]float64{}
				b.assign()
			}
		}
		if !any {
			continue
		}
		if err := c.solve(ctx); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// descend changes one part at a time to the best of all its allowed values
// until none helps, then two parts of a band at a time to values near by, and
// begins again while that helps. Parts of any value are led anew between.
func (d *design) descend(ctx context.Context) error {
	for range designRounds {
		sc, err := d.scope(ctx)
		if err != nil {
			return err
		}
		changed, err := sc.singly(ctx)
		if err != nil {
			return err
		}
		if !changed {
			if changed, err = sc.inPairs(ctx); err != nil {
				return err
			}
		}
		if changed {
			continue
		}
		if changed, err = d.trim(ctx); err != nil || !changed {
			return err
		}
	}
	return nil
}

// trim leads parts that may have any value to the least error beside those
// chosen.
func (d *design) trim(ctx context.Context) (bool, error) {
	c := d.clone()
	any := false
	for i := range c.bands {
		b := &c.bands[i]
		for part := range partsPerLeg {
			b.fixed[part] = b.fixed[part] || b.chooses(part)
		}
		b.defect = [figuresPerBand]float64{}
		b.assign()
		any = any || b.vary != [partsPerLeg]bool{}
	}
	if !any {
		return false, nil
	}
	if err := c.solve(ctx); err != nil {
		return false, err
	}
	before, err := d.prove(ctx)
	if err != nil {
		return false, err
	}
	after, err := c.prove(ctx)
	if err != nil {
		return false, err
	}
	if !(c.total(after) < d.total(before)*(1-1e-3)-1e-6) {
		return false, nil
	}
	for i := range d.bands {
		d.bands[i].leg = c.bands[i].leg
	}
	return true, nil
}
