package job

import (
	"bytes"
	"cmp"
	"encoding/hex"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"bandwright/finding"

	"github.com/pelletier/go-toml/v2"
)

// MaxBytes is the longest text that Decode reads.
const MaxBytes = 4 << 20

// maxFindings bounds how many findings one text gives.
const maxFindings = 100

// Decode reads a job from a text; name is the file's name, for the findings
// alone. It tells every mistake it can find, not only the first, in the order
// of the file, and everything Check tells as well, with its line. The job is
// nil exactly when the list holds an Error.
//
// The text is UTF-8 with either line ending; a byte-order mark is passed over.
func Decode(name string, text []byte) (*Job, finding.List) {
	if len(text) > MaxBytes {
		return nil, finding.List{tooBig(name, len(text))}
	}
	text = bytes.TrimPrefix(text, byteOrderMark)
	d := &decoder{name: name, tree: plant(text), job: &Job{}}
	if d.encoding(); len(d.list) > 0 || d.newer() {
		return nil, d.list
	}
	d.grammar()
	d.table(d.tree.root, schema(), reflect.ValueOf(d.job).Elem(), nil)
	d.lines("part", func(i, line int) { d.job.Parts[i].Line = line })
	if m := d.tree.root.find("feed"); m != nil && d.job.Feed != nil {
		d.job.Feed.Line, _ = d.tree.place(m.name.start)
	}
	d.lines("reading", func(i, line int) { d.job.Readings[i].Line = line })
	d.lines("run", func(i, line int) { d.job.Runs[i].Line = line })
	d.lines("link", func(i, line int) { d.job.Links[i].Line = line })
	d.lines("switch", func(i, line int) { d.job.Switches[i].Line = line })
	d.lines("jack", func(i, line int) { d.job.Jacks[i].Line = line })
	d.lines("intent", func(i, line int) { d.job.Intents[i].Line = line })
	d.metalLines()
	c := checker{job: d.job, tree: d.tree, file: name}
	c.run()
	d.list = append(d.list, c.list...)
	d.secondReading()
	list := d.list
	slices.SortStableFunc(list, func(a, b finding.Finding) int {
		return cmp.Or(a.Place.Line-b.Place.Line, a.Place.Column-b.Place.Column)
	})
	if len(list) > maxFindings {
		list = append(keepWorst(list), finding.New(IDTooMany, finding.Note, finding.Place{File: name},
			finding.Args{"shown": maxFindings}))
	}
	if list.Worst() == finding.Error {
		return nil, list
	}
	return d.job, list
}

func tooBig(name string, size int) finding.Finding {
	return finding.New(IDTooBig, finding.Error, finding.Place{File: name}, finding.Args{"bytes": size, "limit": MaxBytes})
}

// byteOrderMark may stand before UTF-8 that some editors write.
var byteOrderMark = []byte("\xef\xbb\xbf")

// keepWorst cuts a list to maxFindings and leaves an Error in it.
func keepWorst(list finding.List) finding.List {
	kept := list[:maxFindings:maxFindings]
	if kept.Worst() == list.Worst() {
		return kept
	}
	worst := slices.IndexFunc(list, func(f finding.Finding) bool { return f.Level == list.Worst() })
	return append(kept[:maxFindings-1:maxFindings-1], list[worst])
}

// decoder fills a job from a tree.
type decoder struct {
	name string
	tree *tree
	job  *Job
	list finding.List
}

func (d *decoder) place(at int) finding.Place {
	line, column := d.tree.place(at)
	return finding.Place{File: d.name, Line: line, Column: column}
}

func (d *decoder) report(id finding.ID, at int, args finding.Args) {
	d.list = append(d.list, finding.New(id, finding.Error, d.place(at), args))
}

// encoding tells the first byte that is not UTF-8.
func (d *decoder) encoding() {
	for at, rest := 0, d.tree.text; len(rest) > 0; {
		r, size := utf8.DecodeRune(rest)
		if r == utf8.RuneError && size == 1 {
			looks := ""
			if bytes.HasPrefix(d.tree.text, []byte("\xff\xfe")) || bytes.HasPrefix(d.tree.text, []byte("\xfe\xff")) {
				looks = "UTF-16"
			}
			d.report(IDNotUTF8, at, finding.Args{"read": hex.EncodeToString(rest[:1]), "encoding": looks})
			return
		}
		at, rest = at+size, rest[size:]
	}
}

// newer refuses a format that this program does not know, and says nothing
// else about the file: its keys may mean other things.
func (d *decoder) newer() bool {
	m := d.tree.root.find("format")
	if m == nil || m.value.kind != kindWhole {
		return false
	}
	n, err := strconv.ParseInt(strings.ReplaceAll(m.value.text, "_", ""), 0, 64)
	if err == nil && n <= Format || strings.HasPrefix(m.value.text, "-") {
		return false
	}
	d.report(IDFormatNewer, m.value.at.start, finding.Args{"read": clip(m.value.text), "known": Format})
	return true
}

// grammar tells what was wrong with the text as TOML.
func (d *decoder) grammar() {
	for _, f := range d.tree.faults {
		if f.twice != "" {
			first, _ := d.tree.place(f.first)
			d.report(IDKeyTwice, f.at, finding.Args{"key": clip(f.twice), "first": first})
			continue
		}
		d.syntax(f.at, f.began, f.detail)
	}
}

// secondReading lets the library read a text that seems right as a whole: the
// tree takes a few things that the language forbids, such as a table opened
// again by dots.
func (d *decoder) secondReading() {
	if d.list.Worst() == finding.Error {
		return
	}
	var all map[string]any
	if err, ok := toml.Unmarshal(d.tree.text, &all).(*toml.DecodeError); ok {
		line, column := err.Position()
		line = min(max(line, 1), len(d.tree.lines))
		at := min(d.tree.lines[line-1]+max(column, 1)-1, len(d.tree.text))
		d.syntax(at, at, strings.TrimPrefix(err.Error(), "toml: "))
	}
}

func (d *decoder) syntax(at, began int, detail string) {
	text := d.tree.text
	first, _ := d.tree.place(began)
	line := bytes.TrimSpace(text[lineStart(text, at):lineEnd(text, at)])
	d.report(IDSyntax, at, finding.Args{"read": clip(string(line)), "detail": detail, "began": first})
}

// lines notes where each table of a list stands.
func (d *decoder) lines(key string, note func(i, line int)) { d.linesIn(d.tree.root, key, note) }

// linesIn is lines of a list inside a table.
func (d *decoder) linesIn(n *node, key string, note func(i, line int)) {
	m := n.find(key)
	if m == nil || m.value.kind != kindList {
		return
	}
	for i, item := range tablesOf(m.value) {
		at := item.at.start
		if item.look == lookHeader {
			at += bytes.IndexByte(d.tree.text[at:], '[')
		}
		line, _ := d.tree.place(at)
		note(i, line)
	}
}

// tablesOf gives the items of a list that are tables; only they become parts,
// bands and curves.
func tablesOf(list *node) []*node {
	return slices.DeleteFunc(slices.Clone(list.items), func(n *node) bool { return n.kind != kindTable })
}

// table fills the fields of one table from its node.
func (d *decoder) table(n *node, t *table, base reflect.Value, path []string) {
	for _, m := range n.members {
		e := t.find(m.key)
		if e == nil {
			full := strings.Join(append(slices.Clone(path), m.key), ".")
			d.report(IDUnknownKey, m.name.start, finding.Args{
				"key": clip(full), "table": strings.Join(path, "."), "nearest": nearest(m.key, t.keys())})
			continue
		}
		d.value(m, e, base, append(path[:len(path):len(path)], m.key))
	}
}

// value fills one field.
func (d *decoder) value(m *member, e *entry, base reflect.Value, path []string) {
	field, n := base.FieldByIndex(e.field), m.value
	if e.form == formTables {
		if d.want(n, n.kind == kindList, e, path) {
			d.tables(n, e, field, path)
		}
		return
	}
	if e.form == formTable {
		if !d.want(n, n.kind == kindTable, e, path) {
			return
		}
		if e.optional {
			field.Set(reflect.New(field.Type().Elem()))
			base = field.Elem()
		}
		d.table(n, e.table, base, path)
		return
	}
	d.leaf(n, e, field, path)
}

func (d *decoder) tables(list *node, e *entry, field reflect.Value, path []string) {
	for _, item := range list.items {
		if !d.want(item, item.kind == kindTable, &entry{key: e.key, form: formTable}, path) {
			continue
		}
		one := reflect.New(field.Type().Elem()).Elem()
		d.table(item, e.table, one, path)
		field.Set(reflect.Append(field, one))
	}
}

// want tells a value of the wrong type.
func (d *decoder) want(n *node, right bool, e *entry, path []string) bool {
	if !right {
		d.report(IDWrongType, n.at.start, finding.Args{
			"key": clip(strings.Join(path, ".")), "read": clip(d.raw(n)), "is": n.kind.String(),
			"want": wanted[e.form], "example": example(path)})
	}
	return right
}

// raw gives a value as it is written.
func (d *decoder) raw(n *node) string {
	if n.look == lookInline {
		return string(d.tree.text[n.at.start:n.at.end])
	}
	return strings.TrimSpace(string(d.tree.text[n.at.start:lineEnd(d.tree.text, n.at.start)]))
}

// wanted names the forms in a finding.
var wanted = [...]string{
	formText: "text", formTexts: "a list of texts", formTruth: "true or false", formWhole: "a whole number",
	formNumber: "a number", formRows: "a list of rows of two numbers", formQuantity: "text with a number and a unit",
	formSet: "a table of texts", formTable: "a table", formTables: "a list of tables",
}

// clip shortens what was read to what a finding can show.
func clip(text string) string {
	const most = 60
	runes := 0
	for i := range text {
		if runes++; runes > most {
			return text[:i] + "…"
		}
	}
	return text
}
