package job

import (
	"bytes"
	"reflect"
	"slices"
	"strings"
)

// list compares a list of tables with what it should hold. Items are told
// apart by their first key: a name, a place, a thing to do.
func (e *editor) list(n *node, m *member, key *entry, base reflect.Value) {
	want := base.FieldByIndex(key.field)
	if m.value.look == lookInline {
		e.inlineList(n, m, key, base)
		return
	}
	was, now := oldNames(m.value, key), newNames(want, key)
	for i := range max(len(was), len(now)) {
		switch {
		case e.built:
			return
		case i >= len(now):
			e.build(e.cut(ownedBy(m.value.items[i], span{}))...)
		case i >= len(was):
			e.appendBlock(m.value, key, want.Index(i))
		case was[i] == now[i] || !slices.Contains(was[i:], now[i]) && !slices.Contains(now[i:], was[i]):
			e.table(m.value.items[i], key.table, want.Index(i)) // the same one, or renamed
		case !slices.Contains(now[i:], was[i]):
			e.build(e.cut(ownedBy(m.value.items[i], span{}))...)
		case !slices.Contains(was[i:], now[i]):
			at := e.blockOf(m.value.items[i]).start
			e.build(edit{span{at, at}, e.blockText(m.value, key, want.Index(i)) + e.line})
		default:
			e.move(m.value.items[i+slices.Index(was[i:], now[i])], m.value.items[i])
		}
	}
}

func oldNames(list *node, key *entry) []string {
	names := make([]string, len(list.items))
	for i, item := range list.items {
		if m := item.find(key.table.entries[0].key); m != nil {
			names[i] = m.value.text
		}
	}
	return names
}

func newNames(want reflect.Value, key *entry) []string {
	names := make([]string, want.Len())
	for i := range names {
		names[i] = want.Index(i).FieldByIndex(key.table.entries[0].field).String()
	}
	return names
}

// inlineList goes through a list in [ … ]. When its length changes it is
// written anew, the comments inside it above it.
func (e *editor) inlineList(n *node, m *member, key *entry, base reflect.Value) {
	want := base.FieldByIndex(key.field)
	if len(m.value.items) == want.Len() {
		for i, item := range m.value.items {
			if !e.built {
				e.table(item, key.table, want.Index(i))
			}
		}
		return
	}
	text := inline(key, base)
	if text == "" {
		text = "[]"
	}
	e.build(e.before(n, m, e.commented(m.value.at)), edit{m.value.at, text})
}

// blockText writes an item under its header.
func (e *editor) blockText(list *node, key *entry, item reflect.Value) string {
	return strings.ReplaceAll(block("[["+pathText(list.path)+"]]", key.table, item), "\n", e.line)
}

// blockOf gives the lines of an item: the comments right above its header, to
// its last key, and the blank lines after it.
func (e *editor) blockOf(item *node) span {
	s := span{item.at.start, item.at.end}
	for _, o := range ownedBy(item, span{}) {
		s.end = max(s.end, lineEnd(e.text, max(o.start, o.end-1)))
	}
	for s.start > 0 {
		above := lineStart(e.text, s.start-1)
		if !bytes.HasPrefix(bytes.TrimLeft(e.text[above:s.start], " \t"), []byte("#")) {
			break
		}
		if _, ok := e.commentAt(above + bytes.IndexByte(e.text[above:], '#')); !ok {
			break
		}
		s.start = above
	}
	for s.end < len(e.text) {
		next := lineEnd(e.text, s.end)
		if len(bytes.TrimSpace(e.text[s.end:next])) > 0 {
			break
		}
		s.end = next
	}
	return s
}

// appendBlock writes a new item after the last one.
func (e *editor) appendBlock(list *node, key *entry, item reflect.Value) {
	last := list.items[len(list.items)-1]
	at := last.at.end
	for _, o := range ownedBy(last, span{}) {
		at = max(at, lineEnd(e.text, max(o.start, o.end-1)))
	}
	e.build(edit{span{at, at}, e.broken(at) + e.line + e.blockText(list, key, item)})
}

// move puts an item's lines, comments and all, before another item. When
// something else stands among them it is written anew instead, and the next
// round sees it as missing.
func (e *editor) move(item, before *node) {
	from, to := e.blockOf(item), e.blockOf(before).start
	mine := ownedBy(item, span{})
	inside := 0
	for _, start := range e.starts {
		if start >= from.start && start < from.end {
			inside++
		}
	}
	if inside != len(mine) {
		e.build(e.cut(mine)...)
		return
	}
	text := string(e.text[from.start:from.end])
	if !strings.HasSuffix(text, "\n") {
		text += e.line
	}
	e.build(edit{span{to, to}, text}, edit{from, ""})
}

// addBlocks writes a table or list that the text has not yet, after the one
// that the reference has before it, else at the end.
func (e *editor) addBlocks(key *entry, base reflect.Value) {
	at := len(e.text)
	for _, before := range schema().entries {
		if before == key {
			break
		}
		m := e.root.find(before.key)
		if m == nil || m.value.look != lookHeader && m.value.look != lookImplied {
			continue
		}
		at = 0
		for _, o := range owned(m) {
			at = max(at, lineEnd(e.text, max(o.start, o.end-1)))
		}
	}
	text := strings.Join(blocks(key, base), "\n")
	e.build(edit{span{at, at}, e.broken(at) + e.line + strings.ReplaceAll(text, "\n", e.line)})
}
