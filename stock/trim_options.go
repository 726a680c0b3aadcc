package stock

import (
	"math"

	"bandwright/quantity"
)

// How far a trim may go: common practice, no source. A capacitor that changes a
// leg's by less is lost in its strays and its own tolerance, by more is another
// capacitor; so with a resistor.
const (
	leastTrim    = 0.05 * percent // of the leg's farads
	mostTrim     = 60 * percent
	widestOhms   = 3.0 // factor
	widestCoil   = 2.0 // factor
	leastBought  = 10e-12
	lossOfBought = 0.005 // tan δ of a film capacitor that is not looked at yet
)

// optionsOf lists what may be done to a band: nothing, one change, two of different
// kinds.
func (t *trimmer) optionsOf(band int) []option {
	b := &t.Bands[band]
	list := []option{{leg: b.Leg, parts: [2]int{-1, -1}}}
	kinds := [][]option{t.capacitors(band), t.resistors(band), t.coils(band)}
	var first [3]int
	for i, singles := range kinds {
		first[i] = len(list)
		list = append(list, singles...)
	}
	if t.Most < 2 {
		return list
	}
	for i, one := range kinds {
		for j := i + 1; j < len(kinds); j++ {
			for a := range one {
				for c := range kinds[j] {
					if pair, ok := t.pair(&one[a], &kinds[j][c]); ok {
						pair.parts = [2]int{first[i] + a, first[j] + c}
						list = append(list, pair)
					}
				}
			}
		}
	}
	return list
}

// pair joins two changes of different kinds.
func (t *trimmer) pair(a, b *option) (option, bool) {
	p := option{leg: a.leg}
	p.changes = append(append(p.changes, a.changes...), b.changes...)
	p.uses = append(append(p.uses, a.uses...), b.uses...)
	if len(p.uses) == 2 && p.uses[0] == p.uses[1] {
		return p, false
	}
	switch b.changes[0].Kind {
	case Resistor:
		p.leg.Ohms = b.leg.Ohms
	case Coil:
		p.leg.Henries, p.leg.DCR, p.leg.CoreOhms, p.leg.SelfFarads = b.leg.Henries, b.leg.DCR, b.leg.CoreOhms, b.leg.SelfFarads
	}
	return p, true
}

// single makes an option of one change.
func single(leg Model, c Change, part int) option {
	o := option{leg: leg, changes: []Change{c}, parts: [2]int{-1, -1}}
	if part >= 0 {
		o.uses = []int{part}
	}
	return o
}

// inDrawer visits the parts of a kind that lie there, as they are at the band.
func (t *trimmer) inDrawer(band int, kind Kind, visit func(part int, m Model)) {
	for i, p := range t.Parts {
		if p.Kind == kind && p.Count > 0 {
			visit(i, p.SeriesAt(t.want[band].hertz, t.Celsius, t.Meter).Model)
		}
	}
}

// capacitors lists those that may go across or behind the leg's own.
func (t *trimmer) capacitors(band int) (list []option) {
	b := &t.Bands[band]
	own := Model{Farads: b.Leg.Farads, Loss: b.Leg.Loss}
	add := func(part int, m Model) {
		for _, how := range [...]string{Across, Behind} {
			share := m.Farads / own.Farads
			if how == Behind {
				share = 1 / share
			}
			if !(share >= leastTrim && share <= mostTrim) {
				continue
			}
			leg := legOf(b.Leg, own, m, how == Behind, b.Leg.Ohms)
			list = append(list, single(leg, t.change(band, part, b.Capacitor, how, Capacitor, m.Farads), part))
		}
	}
	if t.Capacitors != 0 {
		for _, low := range [...]float64{own.Farads * leastTrim, own.Farads / mostTrim} {
			high := low * mostTrim / leastTrim
			for _, f := range quantity.Within(t.Capacitors, max(low, leastBought), high) {
				add(-1, Model{Farads: f, Loss: lossOfBought})
			}
		}
	}
	t.inDrawer(band, Capacitor, add)
	return list
}

// resistors lists those that may stand in place of the leg's own.
func (t *trimmer) resistors(band int) (list []option) {
	b := &t.Bands[band]
	add := func(part int, m Model) {
		if ratio := m.Ohms / b.Leg.Ohms; m.Ohms < leastOhms || ratio > widestOhms || ratio < 1/widestOhms || ratio == 1 {
			return
		}
		leg := b.Leg
		leg.Ohms = m.Ohms
		list = append(list, single(leg, t.change(band, part, b.Resistor, Instead, Resistor, m.Ohms), part))
	}
	if t.Resistors != 0 {
		for _, r := range quantity.Within(t.Resistors, max(b.Leg.Ohms/widestOhms, leastOhms), b.Leg.Ohms*widestOhms) {
			add(-1, Model{Ohms: r})
		}
	}
	t.inDrawer(band, Resistor, add)
	return list
}

// coils lists those of the drawer that may stand in place of the leg's own. One
// without copper is not known well enough.
func (t *trimmer) coils(band int) (list []option) {
	b := &t.Bands[band]
	t.inDrawer(band, Coil, func(part int, m Model) {
		if ratio := m.Henries / b.Leg.Henries; m.DCR <= 0 || ratio > widestCoil || ratio < 1/widestCoil {
			return
		}
		leg := b.Leg
		leg.Henries, leg.DCR, leg.CoreOhms, leg.SelfFarads = m.Henries, m.DCR, m.CoreOhms, m.SelfFarads
		list = append(list, single(leg, t.change(band, part, b.Coil, Instead, Coil, m.Henries), part))
	})
	return list
}

func (t *trimmer) change(_, part int, of, how string, kind Kind, value float64) Change {
	c := Change{Part: of, How: how, Kind: kind, Value: value}
	if part >= 0 {
		c.ID, c.Place = t.Parts[part].ID, t.Parts[part].Place
	}
	return c
}

// moved is what two single changes do together, from what each does alone: hertz and
// Q multiply, decibels add.
func moved(base, a, b [3]float64) [3]float64 {
	return [3]float64{a[0] * b[0] / base[0], a[1] + b[1] - base[1], product(base[2], a[2], b[2])}
}

func product(base, a, b float64) float64 {
	if base == 0 || math.IsNaN(base) { // Q that is not asked for
		return 0
	}
	return a * b / base
}
