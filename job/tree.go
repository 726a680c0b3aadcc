package job

import (
	"bytes"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// span is a range of bytes of the text.
type span struct{ start, end int }

// kind is what a value is in TOML.
type kind uint8

const (
	kindText kind = iota
	kindTruth
	kindWhole
	kindNumber
	kindDate
	kindTable
	kindList
)

// String names the kind in a finding.
func (k kind) String() string {
	return [...]string{"text", "true or false", "a whole number", "a number", "a date", "a table", "a list"}[k]
}

// look is how a table or list is written, which decides how it is edited.
type look uint8

const (
	lookRoot    look = iota
	lookHeader       // [table] or [[table]]
	lookImplied      // only tables below it have headers
	lookDotted       // keys like coil.value
	lookInline       // { … } or [ … ]
)

// node is one value of the tree with its place in the text.
type node struct {
	kind    kind
	look    look
	at      span   // the value's bytes; the header's line for a header
	text    string // a text without its quotes, else the bytes as written
	path    []string
	dots    string    // lookDotted: the key's part before this table's own keys,
	in      *node     // and the table that those keys are written in
	members []*member // of a table, in the file's order
	index   map[string]*member
	items   []*node // of a list
}

// member is one key of a table.
type member struct {
	key   string
	name  span // the key
	whole span // key to the end of the value; the header's line for a header
	value *node
}

func (n *node) find(key string) *member { return n.index[key] }

// tree is a text with its values and what was wrong with its grammar.
type tree struct {
	text     []byte
	root     *node
	comments []span // in the file's order
	starts   []int  // of the expressions: headers and keys on lines of their own
	lines    []int  // byte at which each line starts
	faults   []fault
}

// fault is a mistake of grammar at a byte of the text.
type fault struct {
	at     int
	began  int    // where the expression starts that it is in
	detail string // the reader's own words
	twice  string // the key, when it stands twice
	first  int    // and where it stood first
}

// place gives line and column of a byte, both from 1. Columns count bytes.
func (t *tree) place(at int) (line, column int) {
	low, high := 0, len(t.lines)
	for high-low > 1 {
		if mid := (low + high) / 2; t.lines[mid] <= at {
			low = mid
		} else {
			high = mid
		}
	}
	return low + 1, at - t.lines[low] + 1
}

// plant reads a text into a tree. A text with mistakes gives the tree of what
// could be read.
func plant(text []byte) *tree {
	t := &tree{text: text, root: &node{kind: kindTable, look: lookRoot}, lines: []int{0}}
	for i, c := range text {
		if c == '\n' {
			t.lines = append(t.lines, i+1)
		}
	}
	p := &planter{tree: t, table: t.root}
	for from := 0; from >= 0 && len(t.faults) < maxFaults; {
		from = p.run(from)
	}
	slices.SortFunc(t.comments, func(a, b span) int { return a.start - b.start })
	return t
}

// maxFaults bounds how many mistakes of grammar are told of one text.
const maxFaults = 20

// planter walks the expressions of one text.
type planter struct {
	*tree
	parser unstable.Parser
	base   int   // where the parser's slice starts in the text
	table  *node // the table that key-values go to
}

// run reads from a byte on, to the end or the next mistake. It gives where to
// go on, or −1 at the end.
func (p *planter) run(from int) int {
	p.base = from
	p.parser.KeepComments = true
	p.parser.Reset(p.text[from:])
	last := from
	for p.parser.NextExpression() {
		e := p.parser.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			last = p.header(e)
			p.starts = append(p.starts, lineStart(p.text, last))
		case unstable.KeyValue:
			p.starts = append(p.starts, p.at(e.Raw).start)
			keys := p.keys(e)
			p.keyValue(p.table, e, keys)
			last = p.at(e.Raw).end
		case unstable.Comment:
			last = p.at(e.Raw).end
		}
		p.gather(e)
	}
	err, ok := p.parser.Error().(*unstable.ParserError)
	if !ok {
		return -1
	}
	at := len(p.text)
	if n := p.base + cap(p.parser.Data()) - cap(err.Highlight); err.Highlight != nil && n <= len(p.text) {
		at = n
	}
	began := last
	for began < at && strings.IndexByte(" \t\r\n", p.text[began]) >= 0 {
		began++
	}
	p.faults = append(p.faults, fault{at: at, began: began, detail: err.Message})
	if began < len(p.text) && p.text[began] == '[' {
		p.table = detached()
	}
	return p.resume(began, at)
}

// resume finds where reading may go on after a mistake: the next line when
// the mistake cannot have left anything open, else the next header.
func (p *planter) resume(start, at int) int {
	next := lineEnd(p.text, at)
	open := bytes.IndexByte(p.text[start:min(at, len(p.text))], '\n') >= 0 ||
		bytes.ContainsAny(p.text[start:next], "{[") && !bytes.HasPrefix(p.text[start:], []byte("[")) ||
		bytes.Contains(p.text[start:next], []byte(`"""`)) || bytes.Contains(p.text[start:next], []byte("'''"))
	for next < len(p.text) {
		line := bytes.TrimLeft(p.text[next:lineEnd(p.text, next)], " \t")
		if !open || bytes.HasPrefix(line, []byte("[[")) || len(line) > 1 && line[0] == '[' && isLetter(line[1]) {
			return next
		}
		next = lineEnd(p.text, next)
	}
	return -1
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

// lineEnd gives the start of the line after the one that byte at is in.
func lineEnd(text []byte, at int) int {
	if n := bytes.IndexByte(text[min(at, len(text)):], '\n'); n >= 0 {
		return at + n + 1
	}
	return len(text)
}

func lineStart(text []byte, at int) int { return bytes.LastIndexByte(text[:at], '\n') + 1 }

func (p *planter) at(r unstable.Range) span {
	start := p.base + int(r.Offset)
	return span{start, start + int(r.Length)}
}

// name is one part of a key.
type name struct {
	text string
	at   span
}

func (p *planter) keys(e *unstable.Node) []name {
	var names []name
	for it := e.Key(); it.Next(); {
		if k := it.Node(); k.Kind == unstable.Key {
			names = append(names, name{string(k.Data), p.at(k.Raw)})
		}
	}
	return names
}

// gather notes where the comments of an expression stand.
func (p *planter) gather(n *unstable.Node) {
	for ; n.Valid(); n = n.Next() {
		if n.Kind == unstable.Comment {
			p.comments = append(p.comments, p.at(n.Raw))
		}
		p.gather(n.Child())
	}
}

// detached is where keys go that follow a header which may not stand there.
func detached() *node { return &node{kind: kindTable, look: lookHeader} }

func (p *planter) clash(n name, first *member) {
	p.faults = append(p.faults, fault{at: n.at.start, twice: n.text, first: first.name.start})
}

// header opens a table and gives the end of the header.
func (p *planter) header(e *unstable.Node) int {
	names := p.keys(e)
	end := names[len(names)-1].at.end
	line := span{lineStart(p.text, names[0].at.start), lineEnd(p.text, end)}
	up, last := p.root, names[len(names)-1]
	p.table = detached()
	for _, n := range names[:len(names)-1] {
		m := up.find(n.text)
		if m == nil {
			m = up.add(n, line, &node{kind: kindTable, look: lookImplied, at: line})
		}
		v := m.value
		if v.kind == kindList && len(v.items) > 0 && v.look == lookHeader {
			v = v.items[len(v.items)-1]
		}
		if v.kind != kindTable || v.look == lookInline {
			p.clash(n, m)
			return end
		}
		up = v
	}
	opened := &node{kind: kindTable, look: lookHeader, at: line}
	m := up.find(last.text)
	switch {
	case e.Kind == unstable.ArrayTable && m == nil:
		list := &node{kind: kindList, look: lookHeader, at: line, items: []*node{opened}}
		opened.path = up.add(last, line, list).value.path
	case e.Kind == unstable.ArrayTable && m.value.kind == kindList && m.value.look == lookHeader:
		m.value.items = append(m.value.items, opened)
		opened.path = m.value.path
	case e.Kind == unstable.Table && m == nil:
		up.add(last, line, opened)
	case e.Kind == unstable.Table && m.value.kind == kindTable && m.value.look == lookImplied:
		opened = m.value
		opened.look, opened.at, m.name, m.whole = lookHeader, line, last.at, line
	default:
		p.clash(last, m)
		return end
	}
	p.table = opened
	return end
}

// add puts a new key into a table.
func (n *node) add(key name, whole span, value *node) *member {
	value.path = append(append([]string{}, n.path...), key.text)
	m := &member{key: key.text, name: key.at, whole: whole, value: value}
	n.members = append(n.members, m)
	if n.index == nil {
		n.index = map[string]*member{}
	}
	n.index[key.text] = m
	return m
}

// keyValue puts one key = value into a table, through the dots of its key.
func (p *planter) keyValue(up *node, e *unstable.Node, names []name) {
	whole, in := p.at(e.Raw), up
	for _, n := range names[:len(names)-1] {
		m := up.find(n.text)
		if m == nil {
			dots := string(p.text[whole.start:n.at.end]) + "."
			m = up.add(n, whole, &node{kind: kindTable, look: lookDotted, at: n.at, dots: dots, in: in})
		}
		if m.value.kind != kindTable || m.value.look != lookDotted {
			p.clash(n, m)
			return
		}
		up = m.value
	}
	last := names[len(names)-1]
	if m := up.find(last.text); m != nil {
		p.clash(last, m)
		return
	}
	start := last.at.end
	for p.text[start] == ' ' || p.text[start] == '\t' || p.text[start] == '=' {
		start++
	}
	path := append(append([]string{}, up.path...), last.text)
	up.add(last, whole, p.value(e.Value(), span{start, whole.end}, path))
}

// value builds the node of a value. Lists carry no range of their own in the
// syntax tree, so the caller says where the value stands.
func (p *planter) value(v *unstable.Node, at span, path []string) *node {
	n := &node{at: at, look: lookInline, path: path, text: string(v.Data)}
	switch v.Kind {
	case unstable.String:
		n.kind = kindText
	case unstable.Bool:
		n.kind = kindTruth
	case unstable.Integer:
		n.kind = kindWhole
	case unstable.Float:
		n.kind = kindNumber
	case unstable.Array:
		n.kind, n.items = kindList, p.elements(v, at, path)
	case unstable.InlineTable:
		n.kind = kindTable
		for it := v.Children(); it.Next(); {
			if c := it.Node(); c.Kind == unstable.KeyValue {
				p.keyValue(n, c, p.keys(c))
			}
		}
	default:
		n.kind = kindDate
	}
	return n
}

func (p *planter) elements(list *unstable.Node, at span, path []string) []*node {
	var items []*node
	for it := list.Children(); it.Next(); {
		c := it.Node()
		if c.Kind == unstable.Comment {
			continue
		}
		where := at
		if c.Raw.Length > 0 {
			where = p.at(c.Raw)
		}
		items = append(items, p.value(c, where, path))
	}
	return items
}
