package job

import (
	"bytes"
	"slices"
)

// remove takes a key out and leaves its comments.
func (e *editor) remove(n *node, m *member) {
	switch {
	case m.value.look != lookHeader && m.value.look != lookImplied && e.within(n).look == lookInline && m.value.look != lookDotted:
		e.removeInline(n, m)
	default:
		e.removeLines(m)
	}
}

// removeInline takes a key out of { … } with one comma.
func (e *editor) removeInline(n *node, m *member) {
	out := edit{m.whole, e.kept(m)}
	if after := e.comma(m.whole.end, 1); after >= 0 {
		spaces := len(e.text[after+1:]) - len(bytes.TrimLeft(e.text[after+1:], " \t"))
		e.build(out, edit{span{after, after + 1 + spaces}, ""})
		return
	}
	if before := e.comma(m.whole.start-1, -1); before >= 0 {
		e.build(edit{span{before, before + 1}, ""}, out)
		return
	}
	e.build(out)
}

// kept gives the comments inside a key that is taken out of { … }.
func (e *editor) kept(m *member) string {
	if lines := e.commented(m.whole); lines != "" {
		return e.line + lines
	}
	return ""
}

// comma finds the comma that is next from a place on, forward or back, over
// comments and line ends; −1 when a brace comes first.
func (e *editor) comma(at, step int) int {
	for at >= 0 && at < len(e.text) {
		if c, ok := e.commentAt(at); ok {
			at = c.start - 1
			if step > 0 {
				at = c.end
			}
			continue
		}
		switch e.text[at] {
		case ',':
			return at
		case ' ', '\t', '\r', '\n':
			at += step
		default:
			return -1
		}
	}
	return -1
}

func (e *editor) commentAt(at int) (span, bool) {
	i, _ := slices.BinarySearchFunc(e.comments, at, func(c span, at int) int { return c.end - 1 - at })
	if i < len(e.comments) && e.comments[i].start <= at && at < e.comments[i].end {
		return e.comments[i], true
	}
	return span{}, false
}

// removeLines takes out every expression of a key and of all below it.
func (e *editor) removeLines(m *member) {
	e.build(e.cut(owned(m))...)
}

// cut takes whole lines out and leaves their comments.
func (e *editor) cut(spans []span) []edit {
	var out []edit
	for _, s := range spans {
		lines := span{lineStart(e.text, s.start), lineEnd(e.text, max(s.start, s.end-1))}
		out = append(out, edit{lines, e.commented(lines)})
	}
	return out
}

// owned gives the expressions that a key and all below it are written in.
func owned(m *member) []span {
	return ownedBy(m.value, m.whole)
}

func ownedBy(n *node, whole span) []span {
	var all []span
	switch {
	case n.look == lookHeader && n.kind == kindList:
		for _, item := range n.items {
			all = append(all, ownedBy(item, item.at)...)
		}
		return all
	case n.look == lookHeader:
		all = append(all, n.at)
	case n.look == lookInline:
		return []span{whole}
	}
	for _, m := range n.members {
		all = append(all, ownedBy(m.value, m.whole)...)
	}
	return all
}
