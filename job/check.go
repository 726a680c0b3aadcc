package job

import (
	"fmt"
	"reflect"
	"strings"
	"unicode/utf8"

	"bandwright/finding"
	"bandwright/quantity"
)

// Check tells what is wrong with a job's form, names and references, and
// warns of what is likely forgotten. It computes nothing: whether every point
// has a path to ground is the circuit's to say. Decode has told all this
// already of a job that came from a text, with its lines.
func Check(j *Job) finding.List {
	c := checker{job: j}
	c.run()
	return c.list
}

// checker goes over one job. tree and file are known when it came from a text.
type checker struct {
	job  *Job
	tree *tree
	file string
	list finding.List
}

func (c *checker) run() {
	c.heading()
	c.values()
	c.least()
	c.bands()
	c.batches()
	c.wanted()
	c.parts()
	c.wiring()
	c.curves()
	c.readings()
	c.feed()
	c.powerUp()
	c.metal()
	for i, p := range c.job.Found.Photos {
		c.path(p, "found", "photos", i)
	}
	for i, p := range c.job.Record.Photos {
		if blank(p.File) {
			c.missing("record", "photo", i, "file")
			continue
		}
		c.path(p.File, "record", "photo", i, "file")
	}
	c.chart("found", c.job.Found.Volts)
	c.chart("left", c.job.Left.Volts)
	for i, s := range c.job.Fitting {
		if blank(s.Do) {
			c.missing("fitting", i, "do")
		}
	}
}

// chart looks at the volts that were read at one time.
func (c *checker) chart(when string, list []FoundVolt) {
	for i, v := range list {
		if blank(v.Where) {
			c.missing(when, "volts", i, "where")
		}
		if v.Reading == 0 && c.tree != nil { // 0 V is a reading; blank is none
			c.missing(when, "volts", i, "reading")
		}
	}
}

// at gives the place of a key in the text, or of the nearest table above it
// that is there.
func (c *checker) at(path ...any) finding.Place {
	place := finding.Place{File: c.file}
	if c.tree == nil {
		return place
	}
	at, _, _ := c.walk(path)
	place.Line, place.Column = c.tree.place(at)
	return place
}

// walk follows a path as far as the text has it and gives where that is and
// whether it is the whole path.
func (c *checker) walk(path []any) (at int, last *node, whole bool) {
	n := c.tree.root
	for _, step := range path {
		switch step := step.(type) {
		case string:
			m := n.find(step)
			if m == nil {
				return at, n, false
			}
			n = m.value
			at = m.name.start
		case int:
			items := n.items
			if n.kind == kindList && len(items) > 0 && n.look == lookHeader {
				items = tablesOf(n)
			}
			if step >= len(items) {
				return at, n, false
			}
			n = items[step]
			at = n.at.start
		}
	}
	return at, n, true
}

func (c *checker) report(id finding.ID, place finding.Place, args finding.Args) {
	c.list = append(c.list, finding.New(id, finding.Error, place, args))
}

// missing tells a required key that is blank. A text whose grammar is broken
// may hold it where it could not be read, and a value that could not be read
// has been told.
func (c *checker) missing(path ...any) { c.missingLike(example(keysOf(path)), path) }

// missingLike is missing with the example that the hint shows.
func (c *checker) missingLike(like string, path []any) {
	if c.tree != nil {
		_, n, whole := c.walk(path)
		wrong := !whole && n.kind != kindTable
		if len(c.tree.faults) > 0 || wrong || whole && !(n.kind == kindText && blank(n.text)) {
			return
		}
	}
	c.lacks(like, path)
}

// lacks tells a needed key that holds nothing.
func (c *checker) lacks(like string, path []any) {
	names := keysOf(path)
	key := names[len(names)-1]
	c.report(IDMissing, c.of(path, c.at(path...)), finding.Args{
		"key": key, "table": strings.Join(names[:len(names)-1], "."), "example": key + " = " + like})
}

// keysOf leaves the list numbers out of a path.
func keysOf(path []any) []string {
	var names []string
	for _, step := range path {
		if s, ok := step.(string); ok {
			names = append(names, s)
		}
	}
	return names
}

// of adds to a place which band, part or setting the path leads into.
func (c *checker) of(path []any, place finding.Place) finding.Place {
	if len(path) < 2 {
		return place
	}
	i, numbered := path[1].(int)
	switch {
	case path[0] == "band" && numbered:
		place.Band = c.job.Bands[i].Name
	case path[0] == "wanted" && numbered:
		place.Band = c.job.Wanted[i].Band
	case path[0] == "part" && numbered:
		place.Part = c.job.Parts[i].Name
	case path[0] == "run" && numbered:
		place.Part = "run." + c.job.Runs[i].Name
	case path[0] == "link" && numbered:
		place.Part = "link." + c.job.Links[i].Name
	case path[0] == "intent" && numbered:
		place.Setting = c.job.Intents[i].Setting
	case path[0] == "curve" && numbered:
		place.Setting = c.job.Curves[i].Setting
	case path[0] == "reading" && numbered:
		place.Point, place.Setting = c.job.Readings[i].Red, c.job.Readings[i].Setting
	}
	return place
}

func blank(text string) bool { return strings.TrimSpace(text) == "" }

func (c *checker) heading() {
	switch {
	case c.job.Format > Format:
		c.report(IDFormatNewer, c.at("format"), finding.Args{"read": fmt.Sprint(c.job.Format), "known": Format})
	case c.job.Format < 0:
		c.report(IDOutOfRange, c.at("format"), finding.Args{"key": "format", "read": c.job.Format, "low": 1, "high": Format})
	case c.job.Format == 0 && (c.tree == nil || c.tree.root.find("format") == nil):
		c.report(IDFormatMissing, finding.Place{File: c.file, Line: c.first()}, finding.Args{"known": Format})
	case c.job.Format == 0 && c.tree.root.find("format").value.text == "0":
		c.report(IDOutOfRange, c.at("format"), finding.Args{"key": "format", "read": 0, "low": 1, "high": Format})
	}
	if blank(c.job.Title) {
		c.missing("title")
	}
	if len(c.job.Bands) == 0 && (c.tree == nil || len(c.tree.faults) == 0 && c.tree.root.find("band") == nil) {
		c.report(IDNoBand, finding.Place{File: c.file, Line: c.first()}, nil)
	}
}

// first is the line of what concerns the whole file.
func (c *checker) first() int {
	if c.tree == nil {
		return 0
	}
	return 1
}

// values checks every value for what its type and tag tell.
func (c *checker) values() {
	schema().visit(reflect.ValueOf(c.job).Elem(), nil, func(e *entry, v reflect.Value, path []any) {
		switch {
		case e.form == formText:
			c.text(e, v.String(), path)
		case e.form == formWhole && len(path) > 1 && v.Int() < 0:
			c.report(IDOutOfRange, c.of(path, c.at(path...)), finding.Args{
				"key": strings.Join(keysOf(path), "."), "read": v.Int(), "low": 0})
		case e.optional && v.IsNil():
		case e.optional:
			c.number(v.Elem().Interface(), path)
		case e.form == formQuantity:
			c.number(v.Interface(), path)
		}
	})
}

func (c *checker) text(e *entry, text string, path []any) {
	key := strings.Join(keysOf(path), ".")
	if !utf8.ValidString(text) {
		c.report(IDNotUTF8, c.of(path, c.at(path...)), finding.Args{"read": key, "encoding": ""})
		return
	}
	if text != "" && len(e.words) > 0 {
		c.word(text, e.words, key, c.of(path, c.at(path...)))
	}
}

func (c *checker) word(text string, words []string, key string, place finding.Place) {
	for _, w := range words {
		if w == text {
			return
		}
	}
	c.report(IDUnknownWord, place, finding.Args{
		"key": key, "read": clip(text), "nearest": nearest(text, words), "known": strings.Join(words, ", ")})
}

// least: of these a nought would be read as "not stated", and less is no value of
// theirs. A rail or a load that is there is at least 1 V or 1 ohm.
func (c *checker) least() {
	said := func(read float64, path ...any) {
		if read < 1 {
			c.report(IDOutOfRange, c.at(path...), finding.Args{
				"key": strings.Join(keysOf(path), "."), "read": read, "low": 1})
		}
	}
	if v := c.job.Driver.Rail; v != nil {
		said(float64(*v), "driver", "rail")
	}
	if v := c.job.TapIn.LoadOhms; v != nil && *v >= 0 { // below is told already
		said(float64(*v), "tap_in", "load")
	}
	if l := c.job.Lift; l != nil && l.OpenOhms != nil && *l.OpenOhms >= 0 {
		said(float64(*l.OpenOhms), "lift", "open")
	}
}

// absoluteZero in °C, by definition of the degree Celsius.
const absoluteZero = -273.15

// number checks that a number is one, and not below what its unit allows.
func (c *checker) number(x any, path []any) {
	low, high, value := 0.0, 0.0, reflect.ValueOf(x)
	switch v := x.(type) {
	case quantity.Tolerance:
		c.tolerance(v, path)
		return
	case quantity.Series:
		return // read as one, or not at all
	case quantity.Volts, quantity.Decibels:
		low = -1e6
	case quantity.Celsius:
		low = absoluteZero
	case float64:
		high = 1 // tan δ
		if path[len(path)-1] == "q" {
			low, high = leastQ, mostQ
		}
	}
	args := finding.Args{"key": strings.Join(keysOf(path), "."), "read": value.Float(), "low": low}
	if high > 0 {
		args["high"] = high
	}
	switch f := value.Float(); {
	case f-f != 0:
		c.report(IDNotFinite, c.of(path, c.at(path...)), finding.Args{"key": args["key"]})
	case f < low || high > 0 && f > high:
		c.report(IDOutOfRange, c.of(path, c.at(path...)), args)
	}
}

// tolerance: a part cannot lie below its value by more than the whole of it.
func (c *checker) tolerance(t quantity.Tolerance, path []any) {
	for _, side := range [...]struct{ read, high float64 }{{t.Minus, 1}, {t.Plus, 10}} {
		if !(side.read >= 0 && side.read <= side.high) {
			c.report(IDOutOfRange, c.of(path, c.at(path...)), finding.Args{
				"key": strings.Join(keysOf(path), "."), "read": fmt.Sprint(side.read), "low": 0, "high": side.high})
			return
		}
	}
}
