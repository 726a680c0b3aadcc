package job

import (
	"slices"

	"bandwright/finding"
)

// What a wanted figure may be at all: wide bounds, common practice, no source.
const (
	leastQ, mostQ   = 0.05, 100
	leastDB, mostDB = 0.1, 60
)

// wanted checks the wishes: each of a band that is there, once, and of some
// figure; and of each part one way of choosing it.
func (c *checker) wanted() {
	first := map[string]int{}
	var known []string
	for _, b := range c.job.Bands {
		known = append(known, b.Name)
	}
	for i := range c.job.Wanted {
		w := &c.job.Wanted[i]
		place := c.of([]any{"wanted", i}, c.at("wanted", i, "band"))
		before, twice := first[w.Band]
		switch {
		case blank(w.Band):
			c.missing("wanted", i, "band")
		case twice:
			line := c.at("wanted", before, "band").Line
			c.report(IDNamedTwice, place, finding.Args{"what": "wanted band", "name": clip(w.Band), "first": line})
		case !slices.Contains(known, w.Band) && len(known) > 0:
			c.unknownName("band", w.Band, known, place)
		}
		if !twice {
			first[w.Band] = i
		}
		c.wish(i, w)
		c.picks(i, w)
	}
}

// wish checks the figures of one wish. 0 Hz and 0 dB are no wishes: a figure
// that is free is left out.
func (c *checker) wish(i int, w *Wanted) {
	if w.Centre == nil && w.Boost == nil && w.Cut == nil && w.Q == nil && !c.unread(i) {
		c.missing("wanted", i, "centre")
	}
	outside := func(key string, read, low, high float64) {
		args := finding.Args{"key": "wanted." + key, "read": read, "low": low}
		if high > 0 {
			args["high"] = high
		}
		c.report(IDOutOfRange, c.of([]any{"wanted", i}, c.at("wanted", i, key)), args)
	}
	if w.Centre != nil && *w.Centre == 0 {
		outside("centre", 0, 1, 0)
	}
	if w.Boost != nil && !(*w.Boost >= leastDB && *w.Boost <= mostDB) {
		outside("boost", float64(*w.Boost), leastDB, mostDB)
	}
	if w.Cut != nil {
		if down := max(*w.Cut, -*w.Cut); !(down >= leastDB && down <= mostDB) {
			outside("cut", float64(*w.Cut), -mostDB, -leastDB)
		}
	}
}

// unread says whether a wish has a figure that could not be read, which is
// told where it stands.
func (c *checker) unread(i int) bool {
	for _, key := range [...]string{"boost", "cut", "q"} {
		if c.tree == nil {
			return false
		}
		if _, n, whole := c.walk([]any{"wanted", i, key}); whole && !(n.kind == kindText && blank(n.text)) {
			return true
		}
	}
	return false
}

// picks checks that each part is chosen in one way, and that what is owned has
// a value.
func (c *checker) picks(i int, w *Wanted) {
	coil, capacitor, resistor := &w.Coil, &w.Capacitor, &w.Resistor
	c.oneWay(i, "coil", coil.Keep, coil.Series != nil, len(coil.Owned) > 0)
	c.oneWay(i, "capacitor", capacitor.Keep, capacitor.Series != nil, len(capacitor.Owned) > 0)
	c.oneWay(i, "resistor", resistor.Keep, resistor.Series != nil, len(resistor.Owned) > 0)
	for n, o := range coil.Owned {
		path := []any{"wanted", i, "coil", "owned", n}
		if o.Value == 0 {
			c.ownedValue(path)
		}
		if o.DCR == nil && o.Value != 0 {
			c.list = append(c.list, finding.New(IDCoilResistanceBlank, finding.Warning, c.of(path, c.at(path...)), nil))
		}
	}
	for n, o := range capacitor.Owned {
		if o.Value == 0 {
			c.ownedValue([]any{"wanted", i, "capacitor", "owned", n})
		}
	}
	for n, o := range resistor.Owned {
		if o.Value == 0 && c.tree != nil { // 0 ohm is a wire; blank is nothing
			c.missing("wanted", i, "resistor", "owned", n, "value")
		}
	}
}

func (c *checker) ownedValue(path []any) {
	path = append(path, "value")
	c.missing(path...)
	c.zero(path)
}

// oneWay tells a part that is to be chosen in two ways at once.
func (c *checker) oneWay(i int, part string, keep, series, owned bool) {
	var said []string
	for _, way := range [...]struct {
		name string
		said bool
	}{{"keep", keep}, {"series", series}, {"owned", owned}} {
		if way.said {
			said = append(said, way.name)
		}
	}
	if len(said) > 1 {
		path := []any{"wanted", i, part, said[1]}
		c.report(IDWantedTwoWays, c.of(path, c.at(path...)), finding.Args{
			"key": "wanted." + part, "one": said[0], "other": said[1]})
	}
}
