package stock

import (
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
)

// wish is what is wanted of a band, as figures of the measure.
type wish struct {
	centre, boost, q int // −1: not asked
	hertz, dB, Q     float64
}

// check resolves names and says what is wrong with the question.
func (c *chooser) check() (found finding.List) {
	number := map[string]int{}
	for i, p := range c.Parts {
		number[p.ID] = i
	}
	find := func(ids []string, band string) (parts []int) {
		for _, id := range ids {
			i, ok := number[id]
			if !ok {
				found = append(found, finding.New(IDChooseUnknown, finding.Error, finding.Place{Band: band}, finding.Args{"id": id}))
				continue
			}
			parts = append(parts, i)
		}
		return parts
	}
	everywhere := find(c.Barred, "")
	for _, b := range c.Bands {
		c.want = append(c.want, c.wish(b, &found))
		fixed, bars := find(b.Fixed, b.Band), map[int]bool{}
		for _, i := range slices.Concat(everywhere, find(b.Barred, b.Band)) {
			bars[i] = true
		}
		for _, i := range fixed {
			if bars[i] {
				found = append(found, finding.New(IDChooseBarred, finding.Error, finding.Place{Band: b.Band}, finding.Args{"id": c.Parts[i].ID}))
			}
		}
		for _, kind := range [...]Kind{Coil, Capacitor, Resistor} {
			most, have := map[Kind]int{Coil: 1, Capacitor: 2, Resistor: 1}[kind], len(c.ofKind(fixed, kind))
			if have > most {
				found = append(found, finding.New(IDChooseMany, finding.Error, finding.Place{Band: b.Band},
					finding.Args{"kind": string(kind), "have": have, "most": most}))
			}
		}
		c.fixed, c.bars = append(c.fixed, fixed), append(c.bars, bars)
	}
	return found
}

func (c *chooser) wish(b BoardBand, found *finding.List) wish {
	w := wish{c.room.figure(b.Centre), c.room.figure(b.Boost), -1, b.CentreHz, b.BoostDB, b.WantedQ}
	if b.WantedQ != 0 && c.Limits.Q > 0 {
		w.q = c.room.figure(b.Q)
	}
	for _, v := range [...]struct {
		what  string
		value float64
	}{{"centre", b.CentreHz}, {"boost", b.BoostDB}, {"Q", b.WantedQ}} {
		if !(v.value > 0 && v.value < 1e9) && !(v.what == "Q" && v.value == 0) {
			*found = append(*found, finding.New(IDChooseWanted, finding.Error, finding.Place{Band: b.Band},
				finding.Args{"what": v.what, "value": strconv.FormatFloat(v.value, 'g', -1, 64)}))
		}
	}
	return w
}

func (c *chooser) ofKind(parts []int, kind Kind) (list []int) {
	for _, i := range parts {
		if c.Parts[i].Kind == kind {
			list = append(list, i)
		}
	}
	return list
}

// look estimates every part at every band. A coil whose copper nobody knows
// cannot be predicted with and is left aside unless a hand fixed it.
func (c *chooser) look() {
	c.at = make([][]Estimate, len(c.Bands))
	for b, w := range c.want {
		for _, p := range c.Parts {
			c.at[b] = append(c.at[b], p.SeriesAt(w.hertz, c.Celsius, c.Meter))
		}
	}
	var aside []string
	for i, p := range c.Parts {
		taken := slices.ContainsFunc(c.fixed, func(fixed []int) bool { return slices.Contains(fixed, i) })
		if p.Kind == Coil && p.Count > 0 && c.at[0][i].Model.DCR <= 0 && !taken {
			aside = append(aside, p.ID)
		}
	}
	if len(aside) > 0 {
		c.notes = append(c.notes, finding.New(IDChooseAside, finding.Note, finding.Place{},
			finding.Args{"parts": strings.Join(aside, ", "), "count": len(aside)}))
	}
}

// usable says whether a band may have a part at all.
func (c *chooser) usable(band, part int) bool {
	p, e := c.Parts[part], &c.at[band][part]
	if p.Count < 1 || c.bars[band][part] {
		return false
	}
	fixed := c.ofKind(c.fixed[band], p.Kind)
	if len(fixed) > 0 && p.Kind != Capacitor {
		return slices.Contains(fixed, part)
	}
	return e.Value > 0 && (p.Kind != Coil || e.Model.DCR > 0)
}

// short says why no board can be filled.
func (c *chooser) short() error {
	for b := range c.Bands {
		for _, kind := range [...]Kind{Coil, Capacitor, Resistor} {
			have := 0
			for i, p := range c.Parts {
				if p.Kind == kind && c.usable(b, i) {
					have++
				}
			}
			if have == 0 && !(kind == Resistor && c.NewOhms != 0) {
				return c.shortOf(string(kind)+"s", c.Bands[b].Band)
			}
		}
		if len(c.lists[b]) == 0 {
			return c.shortOf("fit", c.Bands[b].Band)
		}
	}
	return c.shortOf("conflict", "")
}

func (c *chooser) shortOf(why, band string) error {
	return finding.List{finding.New(IDChooseShort, finding.Error, finding.Place{Band: band}, finding.Args{"why": why})}.Err()
}
