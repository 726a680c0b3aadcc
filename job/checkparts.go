package job

import (
	"slices"
	"strings"
	"unicode"

	"bandwright/equaliser"
	"bandwright/finding"
)

// fixedNames are the parts that every equaliser has beside its bands and its
// driver's drawing, and what makes them. No band may have such a name, nor a
// word that means a setting.
var fixedNames = map[string]string{
	"source": "the tap-in", "source.ohms": "the tap-in",
	"load": "the tap-in", "load.capacitance": "the tap-in",
	"feed": "the driver", "feedback": "the driver", "rail": "the driver",
	"lift": "the lift contact", "footswitch": "the lift contact", "lead": "the lift contact",
	"panel": "the bypass", "panel.in": "the bypass", "panel.out": "the bypass",
	"panel.by": "the bypass", "panel.ground": "the bypass",
}

// settingWords are settings by themselves.
var settingWords = []string{"flat", "lift", "lifted", "bypass", "bypassed"}

// bandParts are what a band makes beside its slider, by the end of their
// names, with their kinds.
var bandParts = []struct{ end, kind string }{
	{"", "slider"}, {".resistor", "resistor"}, {".coil", "inductor"}, {".capacitor", "capacitor"},
}

func (c *checker) bands() {
	first := map[string]int{}
	made := map[string]string{}
	for i := range c.job.Bands {
		b := &c.job.Bands[i]
		place := c.of([]any{"band", i}, c.at("band", i, "name"))
		switch before, twice := first[b.Name]; {
		case blank(b.Name):
			c.missing("band", i, "name")
		case twice:
			line := c.at("band", before, "name").Line
			c.report(IDNamedTwice, place, finding.Args{"what": "band", "name": clip(b.Name), "first": line})
		default:
			first[b.Name] = i
			c.bandName(b.Name, place, made)
		}
		c.band(i, b)
	}
}

func (c *checker) bandName(name string, place finding.Place, made map[string]string) {
	if !c.name("band", name, place) {
		return
	}
	if slices.Contains(settingWords, name) {
		c.report(IDBadName, place, finding.Args{"what": "band", "name": name, "why": "word"})
		return
	}
	for _, p := range bandParts {
		with, taken := made[name+p.end]
		if fixed, ok := fixedNames[name+p.end]; ok {
			with, taken = fixed, true
		}
		if taken {
			c.report(IDNameClash, place, finding.Args{"what": "band", "name": clip(name), "with": with})
			return
		}
	}
	for _, p := range bandParts {
		made[name+p.end] = "band " + clip(name)
	}
}

// name checks what can be told apart in settings, lists and on paper.
func (c *checker) name(what, name string, place finding.Place) bool {
	why := ""
	switch {
	case strings.ContainsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }):
		why = "space"
	case strings.ContainsAny(name, ",=:"):
		why = "sign"
	}
	if why != "" {
		c.report(IDBadName, place, finding.Args{"what": what, "name": clip(name), "why": why})
	}
	return why == ""
}

// band checks that the values a leg cannot be without are there.
func (c *checker) band(i int, b *Band) {
	for _, need := range [...]struct {
		blank bool
		path  []any
	}{
		{b.Centre == 0, []any{"band", i, "centre"}},
		{b.Slider.Value == 0, []any{"band", i, "slider", "value"}},
		{b.Coil.Value == 0, []any{"band", i, "coil", "value"}},
		{b.Capacitor.Value == 0, []any{"band", i, "capacitor", "value"}},
	} {
		if need.blank {
			c.missing(need.path...)
			c.zero(need.path)
		}
	}
	if b.Coil.DCR == nil && b.Coil.Value != 0 {
		place := c.of([]any{"band", i}, c.at("band", i, "coil"))
		c.list = append(c.list, finding.New(IDCoilResistanceBlank, finding.Warning, place, nil))
	}
	c.law(b.Slider.Law, "band", i, "slider", "law")
	c.shape(i, b.Slider)
	if b.Coil.MeasuredQ != nil && b.Coil.Measured.Frequency == nil {
		c.missing("band", i, "coil", "measured", "frequency")
	}
}

// shape checks a law by its name, which stands instead of rows.
func (c *checker) shape(i int, s Slider) {
	if blank(s.Shape) {
		return
	}
	path := []any{"band", i, "slider", "shape"}
	place := c.of(path, c.at(path...))
	if len(s.Law) > 0 {
		c.report(IDTwoWays, place, finding.Args{"key": "band.slider", "one": "law", "other": "shape"})
	}
	_, _, named, err := ReadNamedLaw(s.Shape)
	if err == nil && !named {
		err = finding.New(IDBadLaw, finding.Error, finding.Place{}, finding.Args{"row": 0, "why": "share"})
	}
	if err != nil {
		c.list = append(c.list, placed(err, place, "band.slider.shape", s.Shape)...)
	}
}

// batches checks that every batch has a name of its own.
func (c *checker) batches() {
	first := map[string]int{}
	for i, b := range c.job.Batches {
		switch before, twice := first[b.Name]; {
		case blank(b.Name):
			c.missing("batch", i, "name")
		case twice:
			c.report(IDNamedTwice, c.at("batch", i, "name"), finding.Args{
				"what": "batch", "name": clip(b.Name), "first": c.at("batch", before, "name").Line})
		default:
			first[b.Name] = i
		}
	}
}

// zero tells a needed value that is there and is nothing.
func (c *checker) zero(path []any) {
	if c.tree == nil {
		return
	}
	_, n, whole := c.walk(path)
	if !whole || n.kind != kindText || !readsZero(n.text) {
		return
	}
	c.lacks(example(keysOf(path)), path)
}

// readsZero says whether a text is a value that is 0 and not one that could
// not be read.
func readsZero(text string) bool {
	for _, u := range []Unit{UnitOhm, UnitFarad, UnitHenry, UnitHertz} {
		if v, err := u.Read(text); err == nil && v == 0 {
			return true
		}
	}
	return false
}

// law checks a slider's table: travel rises from 0 to 1, the share of track
// never falls.
func (c *checker) law(rows [][2]float64, path ...any) {
	if len(rows) == 0 {
		return
	}
	place := c.of(path, c.at(path...))
	last := len(rows) - 1
	if last < 1 || rows[0] != [2]float64{0, 0} || rows[last] != [2]float64{1, 1} {
		c.report(IDBadLaw, place, finding.Args{"row": 0, "why": "ends"})
		return
	}
	for i := 1; i <= last; i++ {
		if !(rows[i][0] > rows[i-1][0]) || !(rows[i][1] >= rows[i-1][1]) {
			c.report(IDBadLaw, place, finding.Args{"row": i + 1, "why": "order"})
			return
		}
	}
}

func (c *checker) parts() {
	first := map[string]int{}
	for i := range c.job.Parts {
		p := &c.job.Parts[i]
		place := c.of([]any{"part", i}, c.at("part", i, "name"))
		before, twice := first[p.Name]
		switch {
		case blank(p.Name):
			c.missing("part", i, "name")
		case twice:
			line := c.at("part", before, "name").Line
			c.report(IDNamedTwice, place, finding.Args{"what": "part", "name": clip(p.Name), "first": line})
		default:
			first[p.Name] = i
			c.name("part", p.Name, place)
		}
		c.part(i, p)
	}
}

// part checks one part against its kind. A part without a kind changes one
// that a band or a drawing makes; a drawing's parts are not known here.
func (c *checker) part(i int, p *Part) {
	kind, known := c.bandKind(p.Name)
	if p.Kind != "" {
		if known {
			c.report(IDNameClash, c.of([]any{"part", i}, c.at("part", i, "name")),
				finding.Args{"what": "part", "name": clip(p.Name), "with": "band " + clip(strings.TrimSuffix(p.Name, bandEnd(p.Name)))})
		}
		if kind, known = KindNamed(p.Kind); !known {
			c.unknownKind(i, p.Kind)
			return
		}
		c.points(i, p, kind)
		c.required(i, p, kind)
	}
	for k, point := range p.Points {
		place := c.of([]any{"part", i}, c.at("part", i, "points", k))
		if blank(point) {
			c.report(IDBadName, place, finding.Args{"what": "point", "name": "", "why": "space"})
			continue
		}
		c.name("point", point, place)
	}
	if known {
		c.worth(i, p.Value, kind, "value")
		c.worth(i, p.Measured, kind, "measured")
	}
	for _, name := range sorted(p.Set) {
		c.property(i, p, kind, known, name)
	}
}

// bandKind gives the kind of a part that a band makes.
func (c *checker) bandKind(name string) (Kind, bool) {
	for _, p := range bandParts {
		band, ok := strings.CutSuffix(name, p.end)
		if ok && slices.ContainsFunc(c.job.Bands, func(b Band) bool { return b.Name == band && band != "" }) {
			return KindNamed(p.kind)
		}
	}
	return Kind{}, false
}

// bandEnd gives the part of a band part's name after the band's.
func bandEnd(name string) string {
	for _, p := range bandParts[1:] {
		if strings.HasSuffix(name, p.end) {
			return p.end
		}
	}
	return ""
}

func (c *checker) unknownKind(i int, read string) {
	var names []string
	for _, k := range Kinds() {
		names = append(names, k.Name)
	}
	c.report(IDUnknownKind, c.of([]any{"part", i}, c.at("part", i, "kind")), finding.Args{
		"read": clip(read), "nearest": nearest(read, names), "known": strings.Join(names, ", ")})
}

func (c *checker) points(i int, p *Part, kind Kind) {
	if len(p.Points) != len(kind.Points) {
		c.report(IDPoints, c.of([]any{"part", i}, c.at("part", i, "points")), finding.Args{
			"kind": kind.Name, "have": len(p.Points), "want": len(kind.Points), "points": strings.Join(kind.Points, ", ")})
	}
}

// required checks that a new part has its value and the properties that have
// no default. A contact of 0 ohm is so common that its value may be left out.
func (c *checker) required(i int, p *Part, kind Kind) {
	if kind.Value != UnitNone && kind.Name != "contact" && blank(p.Value) {
		c.missingLike(partExamples[kind.Value], []any{"part", i, "value"})
	}
	for _, want := range kind.Set {
		if want.Default == "" && blank(p.Set[want.Name]) {
			c.missing("part", i, "set", want.Name)
		}
	}
}

// worth checks a value whose unit the kind gives.
func (c *checker) worth(i int, text string, kind Kind, key string) {
	if blank(text) {
		return
	}
	place := c.of([]any{"part", i}, c.at("part", i, key))
	if kind.Value == UnitNone {
		c.report(IDNoValue, place, finding.Args{"kind": kind.Name})
		return
	}
	c.readable(kind.Value, kind.Signed, text, "part."+key, place)
}

// readable reads a number for the sake of its errors alone.
func (c *checker) readable(u Unit, signed bool, text, key string, place finding.Place) {
	v, err := u.Read(text)
	switch {
	case err != nil:
		c.list = append(c.list, placed(err, place, key, text)...)
	case v < 0 && !signed:
		c.report(IDOutOfRange, place, finding.Args{"key": key, "read": v, "low": 0.0})
	}
}

// property checks one property of a part. Of a drawing's part, whose kind is
// not known here, it checks that some kind has such a property.
func (c *checker) property(i int, p *Part, kind Kind, known bool, name string) {
	place := c.of([]any{"part", i}, c.at("part", i, "set", name))
	want, ok := kind.Property(name)
	if !known {
		want, ok = anyProperty(name)
	}
	if !ok {
		var names []string
		for _, s := range kind.Set {
			names = append(names, s.Name)
		}
		c.report(IDUnknownProperty, place, finding.Args{"kind": kind.Name, "key": clip(name),
			"nearest": nearest(name, names), "known": strings.Join(names, ", ")})
		return
	}
	text, key := p.Set[name], "part.set."+name
	switch {
	case blank(text) && want.Default == "" && known && p.Kind != "": // told as missing
	case want.Unit == UnitTruth:
		c.word(text, []string{"true", "false"}, key, place)
	case want.Unit == UnitWord:
		c.word(text, want.Words, key, place)
	case want.Unit == UnitName, want.Unit == UnitNames:
		c.switching(p, want, text, key, place)
	case want.Unit == UnitCoil:
		if coils := c.coils(); !slices.Contains(coils, text) {
			c.unknownName("coil", text, coils, place)
		}
	case want.Unit == UnitRows:
		_, _, named, err := ReadNamedLaw(text)
		if err != nil {
			c.list = append(c.list, placed(err, place, key, text)...)
		}
		if named {
			return
		}
		rows, err := ReadRows(text)
		if err != nil {
			c.list = append(c.list, placed(err, place, key, text)...)
			return
		}
		c.law(rows, "part", i, "set", name)
	default:
		c.readable(want.Unit, want.Signed, text, key, place)
	}
}

// coils gives the names of the bands' coils and of the job's own.
func (c *checker) coils() []string {
	var names []string
	for _, b := range c.job.Bands {
		names = append(names, b.Name+".coil")
	}
	for _, p := range c.job.Parts {
		if p.Kind == "inductor" {
			names = append(names, p.Name)
		}
	}
	return names
}

func anyProperty(name string) (Property, bool) {
	for _, k := range Kinds() {
		if p, ok := k.Property(name); ok {
			return p, true
		}
	}
	return Property{}, false
}

// switching checks the names that tie a contact to its switch.
func (c *checker) switching(p *Part, want Property, text, key string, place finding.Place) {
	switches := c.switches()
	if want.Unit == UnitName {
		if _, ok := switches[text]; !ok {
			c.unknownName("switch", text, sorted(switches), place)
		}
		return
	}
	known, tied := switches[p.Set["switch"]]
	for _, position := range ReadNames(text) {
		switch {
		case position == "":
			c.report(IDBadName, place, finding.Args{"what": "switch position", "name": "", "why": "space"})
		case !c.name("switch position", position, place):
		case want.Name == "closed" && tied && !slices.Contains(known, position):
			c.unknownName("switch position", position, known, place)
		}
	}
}

func (c *checker) unknownName(what, read string, known []string, place finding.Place) {
	c.report(IDUnknownName, place, finding.Args{"what": what, "read": clip(read),
		"nearest": nearest(read, known), "known": strings.Join(known, ", ")})
}

// switches gives every switch of the job with its positions.
func (c *checker) switches() map[string][]string {
	all := map[string][]string{}
	if c.job.Lift != nil {
		all[equaliser.FootSwitch] = []string{"in", "lifted"}
	}
	if c.job.Bypass != nil {
		all[equaliser.PanelSwitch] = []string{"in", "out"}
	}
	for _, p := range c.job.Parts {
		if p.Kind == "switch" {
			all[p.Name] = ReadNames(p.Set["positions"])
		}
	}
	for _, s := range c.job.Switches {
		all[s.Name] = s.Positions
	}
	for _, j := range c.job.Jacks {
		all[j.Name] = j.Plugs()
	}
	return all
}
