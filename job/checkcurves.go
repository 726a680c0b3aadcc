package job

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
)

func (c *checker) curves() {
	first := map[string]int{}
	for i := range c.job.Curves {
		v := &c.job.Curves[i]
		place := c.of([]any{"curve", i}, c.at("curve", i, "name"))
		before, twice := first[v.Name]
		switch {
		case blank(v.Name):
			c.missing("curve", i, "name")
		case twice:
			line := c.at("curve", before, "name").Line
			c.report(IDNamedTwice, place, finding.Args{"what": "curve", "name": clip(v.Name), "first": line})
		default:
			first[v.Name] = i
		}
		c.curve(i, v)
	}
}

func (c *checker) curve(i int, v *Curve) {
	for _, need := range [...]struct{ key, text string }{{"role", v.Role}, {"file", v.File}, {"setting", v.Setting}} {
		if blank(need.text) {
			c.missing("curve", i, need.key)
		}
	}
	c.path(v.File, "curve", i, "file")
	if v.SHA256 != "" && (len(v.SHA256) != 64 || strings.Trim(v.SHA256, "0123456789abcdef") != "") {
		c.report(IDBadCheckSum, c.of([]any{"curve", i}, c.at("curve", i, "sha256")),
			finding.Args{"read": clip(v.SHA256), "have": len(v.SHA256)})
	}
	if !blank(v.Setting) {
		c.setting(v.Setting, c.of([]any{"curve", i}, c.at("curve", i, "setting")))
	}
}

// path checks that a file's name leads from the job's folder down, on every
// system alike: names are written with /, whatever the system writes.
func (c *checker) path(name string, where ...any) {
	why := ""
	switch {
	case name == "":
		return
	case strings.ContainsFunc(name, unicode.IsControl):
		why = "control"
	case len(name) > 1 && name[1] == ':' && isLetter(name[0]):
		why = "drive"
	case strings.Contains(name, `\`):
		why = "backslash"
	case strings.HasPrefix(name, "/"), strings.HasPrefix(name, "~"):
		why = "absolute"
	case slices.Contains(strings.Split(name, "/"), ".."):
		why = "climbs"
	}
	if why != "" {
		c.report(IDBadPath, c.of(where, c.at(where...)), finding.Args{
			"key": strings.Join(keysOf(where), "."), "read": clip(name), "why": why})
	}
}

// setting checks a setting word by word: that it reads, and that the job has
// the sliders, switches and positions it names.
func (c *checker) setting(text string, place finding.Place) {
	switches := c.switches()
	for _, word := range strings.Split(text, ",") {
		word = strings.TrimSpace(word)
		switch word {
		case "flat":
			continue
		case "lift", "lifted":
			c.thrown(equaliser.FootSwitch, "lifted", switches, place)
			continue
		case "bypass", "bypassed":
			c.thrown(equaliser.PanelSwitch, "out", switches, place)
			continue
		}
		one, err := curve.ParseSetting(word)
		if err != nil || word == "" {
			c.report(IDBadSetting, place, finding.Args{"read": clip(word), "setting": clip(text)})
			continue
		}
		if name, _, ok := strings.Cut(word, "="); ok {
			c.slid(strings.TrimSpace(name), place)
		}
		for name, position := range one.Switches {
			c.thrown(name, position, switches, place)
		}
	}
}

func (c *checker) slid(name string, place finding.Place) {
	var known []string
	for _, b := range c.job.Bands {
		known = append(known, b.Name)
	}
	for _, p := range c.job.Parts {
		if p.Kind == "slider" {
			known = append(known, p.Name)
		}
	}
	if !slices.Contains(known, name) {
		c.unknownName("slider", name, known, place)
	}
}

func (c *checker) thrown(name, position string, switches map[string][]string, place finding.Place) {
	known, ok := switches[name]
	switch {
	case !ok:
		c.unknownName("switch", name, sorted(switches), place)
	case !slices.Contains(known, position):
		c.unknownName("switch position", position, known, place)
	}
}

func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
