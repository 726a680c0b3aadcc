package report

import (
	"strings"
	"unicode/utf8"

	"bandwright/draw"
)

// wrapped breaks a text into lines no wider than so many millimetres, at
// spaces, and inside a word only where the word alone is wider.
func (l *layout) wrapped(text string, width float64, font draw.Font) []string {
	draw.SetFont(l.pdf, font)
	var lines []string
	line := ""
	// Fields would also part at the no-break spaces that hold units.
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if l.pdf.GetStringWidth(longer) <= width {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for l.pdf.GetStringWidth(word) > width && utf8.RuneCountInString(word) > 1 {
			n := l.fits(word, width)
			lines = append(lines, word[:n])
			word = word[n:]
		}
		line = word
	}
	return append(lines, line)
}

// fits says how many bytes of a word go into a width, one letter at least.
func (l *layout) fits(word string, width float64) int {
	_, last := utf8.DecodeRuneInString(word)
	for i, r := range word {
		end := i + utf8.RuneLen(r)
		if l.pdf.GetStringWidth(word[:end]) > width {
			break
		}
		last = max(last, end)
	}
	return last
}

// fitted cuts a text to one line.
func (l *layout) fitted(text string, width float64, font draw.Font) string {
	draw.SetFont(l.pdf, font)
	if l.pdf.GetStringWidth(text) <= width {
		return text
	}
	return strings.TrimSpace(text[:l.fits(text, width-3)]) + "…"
}

// lines sets lines of text from the present place on.
func (l *layout) lines(lines []string, x float64, font draw.Font) {
	for _, words := range lines {
		l.end.Text(draw.Point{X: x, Y: l.y + font.Size*1.08}, words, font)
		l.y += font.Size * lead
	}
}

// toneFont is the type of a tone.
func toneFont(t Tone) draw.Font {
	f := draw.Font{Size: bodySize, Colour: ink}
	switch t {
	case Lead:
		f.Size, f.Bold = 3.6, true
	case Look:
		f.Bold, f.Colour = true, look
	case Danger:
		f.Bold, f.Colour = true, look
	case Small:
		f.Size, f.Colour = 2.7, soft
	}
	return f
}

// paragraph sets a text on one page where it fits on one.
func (l *layout) paragraph(p Paragraph) {
	font := toneFont(p.Tone)
	boxed := p.Tone == Look || p.Tone == Danger
	inset := 0.0
	if boxed {
		inset = 2.6
	}
	lines := l.wrapped(p.Text, textWidth-2*inset, font)
	height := float64(len(lines)) * font.Size * lead
	l.room(height + 2*inset)
	if boxed {
		l.y += 0.6
		box := draw.Rect{Min: draw.Point{X: marginSide, Y: l.y}, Max: draw.Point{X: pageWidth - marginSide, Y: l.y + height + 2.4}}
		l.end.Fill(draw.Box(box), lookFill)
		if p.Tone == Danger {
			l.end.Stroke(draw.Box(box), draw.Pen{Width: 0.4, Colour: look})
		} else {
			l.end.Fill(draw.Box(draw.Rect{Min: box.Min, Max: draw.Point{X: box.Min.X + 0.9, Y: box.Max.Y}}), look)
		}
		l.y += 1
	}
	l.lines(lines, marginSide+inset, font)
	l.y += 1.6
	if boxed {
		l.y += 1.6
	}
}

// list sets its items, each kept together, with their terms in a column of
// their own to the left; an item with a term is kept with the next one where
// that has none.
func (l *layout) list(list List) {
	indent := l.indent(list)
	for i, item := range list.Items {
		height := l.itemHeight(item, indent)
		if item.Term != "" && i+1 < len(list.Items) && list.Items[i+1].Term == "" {
			height += l.itemHeight(list.Items[i+1], indent)
		}
		l.room(height)
		l.item(item, indent)
	}
	l.y += 1.6
}

const noteSize = 2.8

// indent is the room the terms take, or a bullet where there are none.
func (l *layout) indent(list List) float64 {
	widest := 2.0
	font := draw.Font{Size: bodySize, Bold: true}
	draw.SetFont(l.pdf, font)
	for _, item := range list.Items {
		widest = max(widest, l.pdf.GetStringWidth(item.Term))
	}
	return min(widest+3, 40)
}

func itemFont(item Item) draw.Font {
	if item.Tone == Look {
		return toneFont(Look)
	}
	return toneFont(Plain)
}

func (l *layout) itemLines(item Item, indent float64) (words, note []string) {
	words = l.wrapped(item.Text, textWidth-indent, itemFont(item))
	if item.Note != "" {
		note = l.wrapped(item.Note, textWidth-indent, draw.Font{Size: noteSize})
	}
	return words, note
}

func (l *layout) itemHeight(item Item, indent float64) float64 {
	words, note := l.itemLines(item, indent)
	return float64(len(words))*bodySize*lead + float64(len(note))*noteSize*lead + 0.8
}

func (l *layout) item(item Item, indent float64) {
	words, note := l.itemLines(item, indent)
	font := itemFont(item)
	mark := draw.Point{X: marginSide, Y: l.y + font.Size*1.08}
	switch {
	case item.Term != "":
		l.end.Text(mark, item.Term, draw.Font{Size: bodySize, Bold: true, Colour: font.Colour})
	default:
		l.end.Fill(draw.Circle(draw.Point{X: marginSide + indent - 2.2, Y: mark.Y - 1.1}, 0.4), font.Colour)
	}
	l.lines(words, marginSide+indent, font)
	l.lines(note, marginSide+indent, draw.Font{Size: noteSize, Colour: soft})
	l.y += 0.8
}
