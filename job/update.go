package job

import (
	"bytes"
	"reflect"
	"slices"
	"strings"

	"bandwright/finding"
)

// Update writes a changed job into the text it came from. Only what differs
// is touched: a changed value is exchanged where it stands, keys and tables
// are added where they belong or taken out, and every comment, blank line and
// order stays. A value cleared stays as a blank key. Decoding the result gives
// the new job; a job that differs in nothing gives the text byte for byte.
//
// The error holds findings when the text is not a job this program can read
// whole, in which case it must not be written over, or when Check finds errors
// in the new job.
func Update(text []byte, changed *Job) ([]byte, error) {
	old, list := Decode("", text)
	if old == nil {
		return nil, list
	}
	if err := Check(changed).Err(); err != nil {
		return nil, err
	}
	mark := text[:len(text)-len(bytes.TrimPrefix(text, byteOrderMark))]
	now := slices.Clone(text[len(mark):])
	// Each round exchanges every value that can be exchanged and makes one
	// change of structure.
	for range rounds(now, changed) {
		e := &editor{tree: plant(now), line: newline(text)}
		e.table(e.tree.root, schema(), reflect.ValueOf(changed).Elem())
		if len(now) > MaxBytes {
			return nil, finding.List{tooBig("", len(now))}
		}
		if len(e.edits) == 0 {
			return slices.Concat(mark, now), nil
		}
		now = e.apply()
	}
	panic("job: Update does not settle")
}

// rounds is above the number of structural changes that can be needed: every
// key of the text taken out, every value of the job put in, and then some.
func rounds(text []byte, changed *Job) int {
	n := 1000 + 2*len(plant(text).starts) + 2*bytes.Count(text, []byte("="))
	schema().visit(reflect.ValueOf(changed).Elem(), nil, func(e *entry, v reflect.Value, path []any) { n += 2 })
	return n
}

// newline gives the line ending that a text uses.
func newline(text []byte) string {
	if n := bytes.IndexByte(text, '\n'); n > 0 && text[n-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// edit puts text in the place of a span.
type edit struct {
	span
	text string
}

// editor finds what to change in one reading of the text.
type editor struct {
	*tree
	line  string // line ending
	edits []edit
	built bool // a change of structure is among the edits: no more this round
}

// apply makes the edits, which never overlap.
func (e *editor) apply() []byte {
	slices.SortStableFunc(e.edits, func(a, b edit) int { return a.start - b.start })
	var w bytes.Buffer
	done := 0
	for _, c := range e.edits {
		w.Write(e.text[done:c.start])
		w.WriteString(c.text)
		done = c.end
	}
	w.Write(e.text[done:])
	return w.Bytes()
}

// exchange puts a value in the place of another.
func (e *editor) exchange(n *node, text string) {
	e.edits = append(e.edits, edit{n.at, text})
}

// build makes the one change of structure of a round. The values exchanged so
// far are forgotten: the next round finds them again.
func (e *editor) build(changes ...edit) {
	e.edits, e.built = changes, true
}

// table compares a table with the fields that it should hold.
func (e *editor) table(n *node, t *table, base reflect.Value) {
	for _, key := range t.entries {
		if e.built {
			return
		}
		m := n.find(key.key)
		switch {
		case m == nil:
			if !bare(key, base) {
				e.add(n, key, base)
			}
		case key.form == formTables:
			e.list(n, m, key, base)
		case key.form == formTable && key.optional && bare(key, base):
			e.remove(n, m)
		case key.form == formTable && key.optional:
			e.table(m.value, key.table, base.FieldByIndex(key.field).Elem())
		case key.form == formTable:
			e.table(m.value, key.table, base)
		case key.form == formSet:
			e.set(m.value, base.FieldByIndex(key.field).Interface().(map[string]string))
		default:
			e.leaf(n, m, key, base.FieldByIndex(key.field))
		}
	}
}

// leaf compares a value by what it would be written as, so that "4k7" and
// "4.7k" are the same.
func (e *editor) leaf(n *node, m *member, key *entry, field reflect.Value) {
	was := reflect.New(field.Type()).Elem()
	d := &decoder{tree: e.tree}
	d.leaf(m.value, key, was, nil)
	text := leafText(key, field)
	switch {
	case text == leafText(key, was):
	case text == "":
		e.remove(n, m)
	case e.commented(m.value.at) != "":
		e.build(e.before(n, m, e.commented(m.value.at)), edit{m.value.at, text})
	default:
		e.exchange(m.value, text)
	}
}

// set compares a part's other properties.
func (e *editor) set(n *node, want map[string]string) {
	for _, m := range n.members {
		text, ok := want[m.key]
		switch {
		case e.built:
			return
		case !ok:
			e.remove(n, m)
		case text != m.value.text:
			e.exchange(m.value, quote(text))
		}
	}
	for _, name := range sorted(want) {
		if e.built {
			return
		}
		if n.find(name) == nil {
			e.insert(n, bareKey(name), quote(want[name]))
		}
	}
}

// commented gives the comments inside a span, each on a line of its own.
func (e *editor) commented(s span) string {
	var w strings.Builder
	for _, c := range e.comments {
		if c.start >= s.start && c.end <= s.end {
			w.WriteString(strings.TrimRight(string(e.text[c.start:c.end]), "\r") + e.line)
		}
	}
	return w.String()
}

// before puts lines above a key, wherever the key stands.
func (e *editor) before(n *node, m *member, lines string) edit {
	at := m.whole.start
	if e.within(n).look == lookInline {
		return edit{span{at, at}, e.line + lines}
	}
	at = lineStart(e.text, at)
	return edit{span{at, at}, lines}
}

// within gives the table that a dotted table's keys are written in.
func (e *editor) within(n *node) *node {
	if n.look != lookDotted {
		return n
	}
	return n.in
}

// add writes a key that the text has not yet.
func (e *editor) add(n *node, key *entry, base reflect.Value) {
	if n.look == lookRoot && key.table != nil {
		e.addBlocks(key, base)
		return
	}
	if text := inline(key, base); text != "" {
		e.insert(n, key.key, text)
	} else if key.optional && key.form == formTable {
		e.insert(n, key.key, "{}")
	}
}

// insert puts a new key at the end of a table's own keys.
func (e *editor) insert(n *node, key, text string) {
	written := key + " = " + text
	if n.look == lookDotted {
		written = n.dots + written
	}
	switch e.within(n).look {
	case lookInline:
		e.insertInline(n, written)
	case lookImplied:
		header := "[" + pathText(n.path) + "]" + e.line + written + e.line
		e.build(edit{span{n.at.start, n.at.start}, header})
	default:
		e.insertLine(n, written)
	}
}

func pathText(path []string) string {
	keys := make([]string, len(path))
	for i, k := range path {
		keys[i] = bareKey(k)
	}
	return strings.Join(keys, ".")
}

func (e *editor) insertInline(n *node, written string) {
	last := n.last()
	if last.end == 0 {
		at := n.at.start + 1
		e.build(edit{span{at, at}, " " + written + " "})
		return
	}
	e.build(edit{span{last.end, last.end}, ", " + written})
}

// insertLine puts a line after the last key of a table that has its keys on
// lines, or after its header.
func (e *editor) insertLine(n *node, written string) {
	last := n.last()
	at := lineEnd(e.text, last.end)
	switch {
	case last.end > 0:
	case n.look == lookHeader:
		at = lineEnd(e.text, n.at.start)
	default:
		at = 0
	}
	e.build(edit{span{at, at}, e.broken(at) + written + e.line})
}

// broken gives the line ending that is missing before a place.
func (e *editor) broken(at int) string {
	if at > 0 && e.text[at-1] != '\n' {
		return e.line
	}
	return ""
}

// last gives the span of the last key written in a table itself, not below a
// header of its own.
func (n *node) last() span {
	var last span
	for _, m := range n.members {
		s := m.whole
		switch m.value.look {
		case lookHeader, lookImplied:
			continue
		case lookDotted:
			s = m.value.last()
		}
		if s.end > last.end {
			last = s
		}
	}
	return last
}
