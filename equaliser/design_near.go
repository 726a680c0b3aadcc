package equaliser

import (
	"context"
	"math"
)

// worthwhile is the share by which a change must lower the error: what builds
// and circuit differ by is less.
const worthwhile = 1e-6

// change is new values for one or two parts of a band.
type change struct {
	band  int
	parts [2]int
	to    [2]choice
	count int
}

func (c *change) apply(b *designBand) {
	for k := range c.count {
		b.put(c.parts[k], c.to[k])
	}
}

// best measures all changes and takes the one of least error, if that is
// lower than without any.
func (sc *designScope) best(ctx context.Context, changes []change) (bool, error) {
	d := sc.of
	least, at, now := math.Inf(1), -1, math.Inf(1)
	err := sc.take(ctx, 1+len(changes), func(i int, to []designLeg) {
		if i > 0 {
			c := &changes[i-1]
			b := d.bands[c.band]
			c.apply(&b)
			to[c.band] = b.leg
		}
	}, func(i int, figures [][figuresPerBand]float64) {
		sum := 0.0
		for k := range d.bands {
			sum += d.bands[k].error(figures[k], d.Counts)
		}
		switch {
		case i == 0:
			now = sum
		case sum < least:
			least, at = sum, i-1
		}
	})
	if err != nil || !(least < now*(1-worthwhile)) {
		return false, err
	}
	changes[at].apply(&d.bands[changes[at].band])
	return true, nil
}

// singly goes once through all parts.
func (sc *designScope) singly(ctx context.Context) (changed bool, err error) {
	for i := range sc.of.bands {
		for _, part := range [...]int{partCoil, partCapacitor, partResistor} {
			b := &sc.of.bands[i]
			if !b.chooses(part) {
				continue
			}
			var changes []change
			for _, c := range b.choices(part, sc.of.Believable) {
				changes = append(changes, change{i, [2]int{part}, [2]choice{c}, 1})
			}
			better, err := sc.best(ctx, changes)
			if err != nil {
				return changed, err
			}
			changed = changed || better
		}
	}
	return changed, nil
}

// pairReach is how many allowed values to each side two parts are moved
// together.
const pairReach = 3

// inPairs goes once through all pairs of parts of a band.
func (sc *designScope) inPairs(ctx context.Context) (changed bool, err error) {
	for i := range sc.of.bands {
		for _, pair := range [...][2]int{{partCoil, partCapacitor}, {partCoil, partResistor}, {partCapacitor, partResistor}} {
			b := &sc.of.bands[i]
			if !b.chooses(pair[0]) || !b.chooses(pair[1]) {
				continue
			}
			var changes []change
			for _, p := range b.about(pair[0], sc.of.Believable) {
				for _, q := range b.about(pair[1], sc.of.Believable) {
					changes = append(changes, change{i, pair, [2]choice{p, q}, 2})
				}
			}
			better, err := sc.best(ctx, changes)
			if err != nil {
				return changed, err
			}
			changed = changed || better
		}
	}
	return changed, nil
}

// about lists the allowed values next to where a part stands.
func (b *designBand) about(part int, limits Believable) []choice {
	list := b.choices(part, limits)
	at := 0
	for i, c := range list {
		if math.Abs(c.value-b.value(part)) < math.Abs(list[at].value-b.value(part)) {
			at = i
		}
	}
	return list[max(at-pairReach, 0):min(at+pairReach+1, len(list))]
}
