package job

import (
	"slices"

	"bandwright/equaliser"
	"bandwright/finding"
)

// IDBypassBesideSwitch: line (where the harness begins; 0: not known). Place: the
// bypass.
// "The job has a bypass of its own beside its wiring."
// Hint: "Leave [bypass] out: a [[switch]] called panel, positions in and out, takes its place."
const IDBypassBesideSwitch finding.ID = "job.bypass-beside-switch"

// wiring checks the form of the harness; what it does, its circuit says.
func (c *checker) wiring() {
	if !c.job.Wired() {
		return
	}
	if c.job.Bypass != nil {
		c.report(IDBypassBesideSwitch, c.at("bypass"), nil)
	}
	c.runs()
	c.links()
	for i := range c.job.Switches {
		c.panelSwitch(i, &c.job.Switches[i])
	}
	for i := range c.job.Jacks {
		c.jack(i, &c.job.Jacks[i])
	}
	for i, m := range c.job.Moved {
		if blank(m.Name) {
			c.missing("moved", i, "name")
		}
	}
	for i := range c.job.Intents {
		c.intent(i, &c.job.Intents[i])
	}
	if w := c.job.Wiring; w != nil {
		c.whole(w)
	}
}

// whole checks what is told of the harness as a whole.
func (c *checker) whole(w *Wiring) {
	c.lug(w.BoardGround, "wiring", "board_ground")
	c.lug(w.RailLug, "wiring", "rail_lug")
	for i, row := range w.Rows {
		c.lugs(row, "wiring", "rows", i)
	}
	var names []string
	for _, r := range c.job.Runs {
		names = append(names, r.Name)
	}
	for _, end := range [...]struct{ key, name string }{{"input", w.Input}, {"output", w.Output}} {
		if end.name != "" && !slices.Contains(names, end.name) {
			c.unknownName("run", end.name, names, c.at("wiring", end.key))
		}
	}
}

// lug checks the name of a point; blank is none.
func (c *checker) lug(name string, path ...any) {
	if name != "" {
		c.name("point", name, c.of(path, c.at(path...)))
	}
}

// lugs checks a text of names with commas between.
func (c *checker) lugs(text string, path ...any) {
	for _, name := range Pins(text) {
		if name == "" {
			c.report(IDBadName, c.of(path, c.at(path...)), finding.Args{"what": "point", "name": "", "why": "space"})
			continue
		}
		c.lug(name, path...)
	}
}

// ends checks a run's or a link's two lugs, which both must be told.
func (c *checker) ends(list string, i int, from, to string) {
	for _, end := range [...]struct{ key, lug string }{{"from", from}, {"to", to}} {
		if blank(end.lug) {
			c.missing(list, i, end.key)
			continue
		}
		c.lug(end.lug, list, i, end.key)
	}
}

// named checks that each of a list has a name of its own. Names of runs and
// links may have spaces: they are words on paper, and no point's.
func (c *checker) named(list string, names []string) {
	first := map[string]int{}
	for i, name := range names {
		switch before, twice := first[name]; {
		case blank(name):
			c.missing(list, i, "name")
		case twice:
			c.report(IDNamedTwice, c.of([]any{list, i}, c.at(list, i, "name")), finding.Args{
				"what": list, "name": clip(name), "first": c.at(list, before, "name").Line})
		default:
			first[name] = i
		}
	}
}

func (c *checker) runs() {
	var names []string
	for i, r := range c.job.Runs {
		names = append(names, r.Name)
		c.ends("run", i, r.From, r.To)
		c.lug(r.ScreenFrom, "run", i, "screen_from")
		c.lug(r.ScreenTo, "run", i, "screen_to")
	}
	c.named("run", names)
}

func (c *checker) links() {
	var names []string
	for i, l := range c.job.Links {
		names = append(names, l.Name)
		c.ends("link", i, l.From, l.To)
	}
	c.named("link", names)
}

// panelSwitch checks one switch of the harness.
func (c *checker) panelSwitch(i int, s *Switch) {
	c.switchName("switch", i, s.Name)
	if len(s.Positions) == 0 {
		c.missing("switch", i, "positions")
	}
	for k, p := range s.Positions {
		c.name("switch position", p, c.at("switch", i, "positions", k))
	}
	for k, contact := range s.Contacts {
		for _, end := range [...]struct{ key, lug string }{{"a", contact.A}, {"b", contact.B}} {
			if blank(end.lug) {
				c.missing("switch", i, "contact", k, end.key)
				continue
			}
			c.lug(end.lug, "switch", i, "contact", k, end.key)
		}
		if len(contact.Closed) == 0 {
			c.missing("switch", i, "contact", k, "closed")
		}
		for n, p := range contact.Closed {
			if !slices.Contains(s.Positions, p) && len(s.Positions) > 0 {
				c.unknownName("switch position", p, s.Positions, c.at("switch", i, "contact", k, "closed", n))
			}
		}
	}
	for k, column := range s.Pins {
		c.lugs(column, "switch", i, "pins", k)
	}
}

// switchName checks that a switch or a jack has a name that no other switch has.
func (c *checker) switchName(list string, i int, name string) {
	place := c.at(list, i, "name")
	if blank(name) {
		c.missing(list, i, "name")
		return
	}
	c.name("switch", name, place)
	for _, other := range c.switchNames() {
		if other.list == list && other.number == i {
			return // what comes behind tells it itself
		}
		if other.name == name {
			c.report(IDNamedTwice, place, finding.Args{"what": "switch", "name": clip(name), "first": c.at(other.path()...).Line})
			return
		}
	}
}

// namedSwitch is where a switch of the job comes from.
type namedSwitch struct {
	name, list string
	number     int
}

func (s namedSwitch) path() []any {
	if s.number < 0 {
		return []any{s.list}
	}
	return []any{s.list, s.number, "name"}
}

func (c *checker) switchNames() (list []namedSwitch) {
	if c.job.Lift != nil {
		list = append(list, namedSwitch{equaliser.FootSwitch, "lift", -1})
	}
	for i, p := range c.job.Parts {
		if p.Kind == "switch" {
			list = append(list, namedSwitch{p.Name, "part", i})
		}
	}
	for i, s := range c.job.Switches {
		list = append(list, namedSwitch{s.Name, "switch", i})
	}
	for i, s := range c.job.Jacks {
		list = append(list, namedSwitch{s.Name, "jack", i})
	}
	return list
}

func (c *checker) jack(i int, j *Jack) {
	c.switchName("jack", i, j.Name)
	for _, lug := range [...]struct {
		key, name string
		needed    bool
	}{{"tip", j.Tip, true}, {"sleeve", j.Sleeve, true}, {"ring", j.Ring, false}, {"tip_rest", j.TipRest, false},
		{"ring_rest", j.RingRest, false}, {"cord", j.Cord, false}} {
		if lug.needed && blank(lug.name) {
			c.missing("jack", i, lug.key)
			continue
		}
		c.lug(lug.name, "jack", i, lug.key)
	}
	if j.Rest == plugTwo && j.Ring == "" {
		c.unknownName("plug", j.Rest, j.Plugs(), c.at("jack", i, "rest"))
	}
}

func (c *checker) intent(i int, in *Intent) {
	c.ends("intent", i, in.From, in.To)
	if blank(in.Want) {
		c.missing("intent", i, "want")
	}
	if !blank(in.Setting) {
		c.setting(in.Setting, c.of([]any{"intent", i}, c.at("intent", i, "setting")))
	}
}
