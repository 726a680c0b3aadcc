package job

import (
	"slices"

	"bandwright/finding"
	"bandwright/quantity"
)

// metal checks the form of the metalwork; whether it can be cut and bent, room
// artwork says.
func (c *checker) metal() {
	if c.job.Tab != nil {
		c.tab(c.job.Tab)
	}
	if c.job.Panel != nil {
		c.panel(c.job.Panel)
	}
	for _, bar := range [...]struct {
		key  string
		long *quantity.Metres
	}{{"bar_across", c.job.Print.BarAcross}, {"bar_down", c.job.Print.BarDown}} {
		// Beyond a tenth it is no printer's error but another bar, or inches.
		if bar.long != nil && !(*bar.long >= 0.09 && *bar.long <= 0.11) {
			c.report(IDOutOfRange, c.at("print", bar.key), finding.Args{
				"key": "print." + bar.key, "read": float64(*bar.long), "low": 0.09, "high": 0.11})
		}
	}
}

// lengths holds those that must be told.
func (c *checker) lengths(list ...length) {
	for _, l := range list {
		if l.value == 0 {
			c.missing(l.path...)
		}
	}
}

// length is a length and the way to its key.
type length struct {
	value quantity.Metres
	path  []any
}

func (c *checker) tab(t *Tab) {
	if blank(t.Metal) {
		c.missing("tab", "metal")
	}
	c.lengths(
		length{t.Thickness, []any{"tab", "thickness"}},
		length{t.Housing.Width, []any{"tab", "housing", "width"}},
		length{t.Housing.Depth, []any{"tab", "housing", "depth"}},
		length{t.Height, []any{"tab", "height"}},
		length{t.Tongue.Width, []any{"tab", "tongue", "width"}},
		length{t.Tongue.Beyond, []any{"tab", "tongue", "beyond"}},
		length{t.Chassis, []any{"tab", "chassis"}},
	)
	for i, s := range t.Slots {
		c.bandOf(s.Band, "tab", "slots", i)
		c.lengths(length{s.One, []any{"tab", "slots", i, "one"}}, length{s.Two, []any{"tab", "slots", i, "two"}})
		c.bandOnce(i, "tab", "slots", func(k int) string { return t.Slots[k].Band })
	}
}

// bandOf checks that a table names a band of the job.
func (c *checker) bandOf(name string, path ...any) {
	path = append(path, "band")
	if blank(name) {
		c.missing(path...)
		return
	}
	var names []string
	for _, b := range c.job.Bands {
		names = append(names, b.Name)
	}
	if !slices.Contains(names, name) {
		c.unknownName("band", name, names, c.at(path...))
	}
}

// bandOnce checks that no earlier row of a list names the same band.
func (c *checker) bandOnce(i int, table, list string, band func(int) string) {
	for k := range i {
		if band(k) == band(i) && !blank(band(i)) {
			c.report(IDNamedTwice, c.at(table, list, i, "band"), finding.Args{"what": "band of " + table + "." + list,
				"name": clip(band(i)), "first": c.at(table, list, k, "band").Line})
			return
		}
	}
}

func (c *checker) panel(p *Panel) {
	c.lengths(
		length{p.Width, []any{"panel", "width"}},
		length{p.Height, []any{"panel", "height"}},
		length{p.Thickness, []any{"panel", "thickness"}},
		length{p.First, []any{"panel", "first"}},
		length{p.Down, []any{"panel", "down"}},
		length{p.Lever, []any{"panel", "lever"}},
		length{p.SlotWidth, []any{"panel", "slot_width"}},
	)
	if p.Pitch == nil && len(c.job.Bands) > 1+len(p.Sliders) {
		c.missing("panel", "pitch")
	}
	if s := p.ScaleStep; s != nil && !(*s >= 0.1 && *s <= 20) {
		c.report(IDOutOfRange, c.at("panel", "scale_step"), finding.Args{
			"key": "panel.scale_step", "read": float64(*s), "low": 0.1, "high": 20})
	}
	for i, text := range p.Bits {
		if _, err := quantity.ParseMetres(text); err != nil {
			c.list = append(c.list, placed(err, c.at("panel", "bits", i), "panel.bits", text)...)
		}
	}
	for i, s := range p.Sliders {
		c.bandOf(s.Band, "panel", "slider", i)
		c.bandOnce(i, "panel", "slider", func(k int) string { return p.Sliders[k].Band })
	}
	c.holes(p)
	for i, t := range p.Texts {
		if blank(t.Text) {
			c.missing("panel", "text", i, "text")
		}
		c.lengths(length{t.Across, []any{"panel", "text", i, "across"}}, length{t.Down, []any{"panel", "text", i, "down"}})
	}
	for i := range p.Behind {
		c.behind(i, &p.Behind[i])
	}
}

func (c *checker) holes(p *Panel) {
	var moved []string
	for _, m := range c.job.Moved {
		moved = append(moved, m.Name)
	}
	first := map[string]int{}
	for i, h := range p.Holes {
		c.lengths(length{h.Across, []any{"panel", "hole", i, "across"}}, length{h.Down, []any{"panel", "hole", i, "down"}},
			length{h.Size, []any{"panel", "hole", i, "size"}})
		switch before, twice := first[h.Name]; {
		case blank(h.Name):
			c.missing("panel", "hole", i, "name")
		case twice:
			c.report(IDNamedTwice, c.at("panel", "hole", i, "name"), finding.Args{"what": "hole", "name": clip(h.Name),
				"first": c.at("panel", "hole", before, "name").Line})
		default:
			first[h.Name] = i
		}
		if h.Moved != "" && !slices.Contains(moved, h.Moved) {
			c.unknownName("moved part", h.Moved, moved, c.at("panel", "hole", i, "moved"))
		}
	}
}

func (c *checker) behind(i int, b *PanelBehind) {
	if blank(b.Name) {
		c.missing("panel", "behind", i, "name")
	}
	if blank(b.To) {
		c.missing("panel", "behind", i, "to")
	}
	c.lengths(length{b.Room, []any{"panel", "behind", i, "room"}})
	if len(b.Layers) == 0 {
		c.missing("panel", "behind", i, "layer")
	}
	for k, l := range b.Layers {
		if blank(l.Name) {
			c.missing("panel", "behind", i, "layer", k, "name")
		}
		c.lengths(length{l.Height, []any{"panel", "behind", i, "layer", k, "height"}})
	}
}

// metalLines notes where the tables of the metalwork stand.
func (d *decoder) metalLines() {
	at := func(m *member) (line int) {
		line, _ = d.tree.place(m.name.start)
		return line
	}
	if m := d.tree.root.find("tab"); m != nil && d.job.Tab != nil {
		d.job.Tab.Line = at(m)
		d.linesIn(m.value, "slots", func(i, line int) { d.job.Tab.Slots[i].Line = line })
	}
	if m := d.tree.root.find("panel"); m != nil && d.job.Panel != nil {
		p := d.job.Panel
		p.Line = at(m)
		d.linesIn(m.value, "slider", func(i, line int) { p.Sliders[i].Line = line })
		d.linesIn(m.value, "hole", func(i, line int) { p.Holes[i].Line = line })
		d.linesIn(m.value, "behind", func(i, line int) { p.Behind[i].Line = line })
	}
}
