package report

import (
	"io"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"bandwright/draw"
)

// The page, mm.
const (
	pageWidth    = 210.0
	pageHeight   = 297.0
	marginSide   = 18.0
	marginTop    = 20.0 // of the text; the running head stands above
	marginBottom = 20.0
	textWidth    = pageWidth - 2*marginSide
	bodySize     = 3.2 // 9 pt
	lead         = 1.42
)

var (
	ink      = draw.Colour{R: 0x2b, G: 0x27, B: 0x22}
	soft     = draw.Colour{R: 0x6b, G: 0x62, B: 0x56}
	line     = draw.Colour{R: 0xd8, G: 0xd0, B: 0xc2}
	rule     = draw.Colour{R: 0x8a, G: 0x80, B: 0x72}
	ground   = draw.Colour{R: 0xf1, G: 0xec, B: 0xe2}
	look     = draw.Colour{R: 0x8a, G: 0x32, B: 0x17}
	lookFill = draw.Colour{R: 0xf7, G: 0xe9, B: 0xe0}
)

// PDF writes the sheet on A4 pages. Its text is text; the same sheet gives the
// same bytes. A tagged PDF it is not: the HTML is the form for who cannot see.
func (s *Sheet) PDF(w io.Writer) error {
	// The number of pages stands on each of them, so it is laid out twice.
	first := &layout{sheet: s, pdf: draw.NewPDF(s.Title, s.Program)}
	first.run()
	second := &layout{sheet: s, pdf: draw.NewPDF(s.Title, s.Program), pages: first.pdf.PageCount()}
	second.run()
	return second.pdf.Output(w)
}

// layout is a pen going down the pages of one sheet.
type layout struct {
	sheet *Sheet
	pdf   *fpdf.Fpdf
	end   draw.End // of the present page, its origin the page's corner
	pages int
	y     float64 // the next free line's top
	// listen, where set, is put between the layout and each page (for tests).
	listen func(page int, end draw.End) draw.End
}

// run lays the sheet out from the first page to the last.
func (l *layout) run() {
	l.pdf.SetAutoPageBreak(false, 0)
	l.page()
	l.titleBlock()
	for i, section := range l.sheet.Sections {
		if section.Page || i > 0 && l.sheet.Sections[i-1].Page {
			l.page()
		}
		l.section(section)
	}
}

// page begins a new page with its running head and foot.
func (l *layout) page() {
	l.pdf.AddPage()
	l.end = draw.OnPage(l.pdf, 0, 0)
	if l.listen != nil {
		l.end = l.listen(l.pdf.PageNo(), l.end)
	}
	small := draw.Font{Size: 2.7, Colour: soft}
	l.y = marginTop
	first := l.pdf.PageNo() == 1
	if !first {
		l.end.Text(draw.Point{X: marginSide, Y: 12}, l.fitted(l.sheet.Title, textWidth-60, small), small)
		l.end.Stroke(draw.Line(draw.Point{X: marginSide, Y: 14}, draw.Point{X: pageWidth - marginSide, Y: 14}), draw.Pen{Width: 0.15, Colour: rule})
	}
	if l.sheet.Invented {
		l.inventedBand(first)
	}
	foot := pageHeight - 11
	l.end.Text(draw.Point{X: marginSide, Y: foot}, l.sheet.Program, small)
	small.Anchor = draw.Finish
	number := "page " + strconv.Itoa(l.pdf.PageNo())
	if l.pages > 0 {
		number += " of " + strconv.Itoa(l.pages)
	}
	l.end.Text(draw.Point{X: pageWidth - marginSide, Y: foot}, number, small)
}

// inventedBand says on every page that nothing on it is real: large on the
// first, beside the running head on the others.
func (l *layout) inventedBand(first bool) {
	const words = "INVENTED EXAMPLE DATA"
	if !first {
		font := draw.Font{Size: 2.7, Bold: true, Colour: look, Anchor: draw.Finish}
		l.end.Text(draw.Point{X: pageWidth - marginSide, Y: 12}, words, font)
		return
	}
	box := draw.Rect{Min: draw.Point{X: marginSide, Y: 12}, Max: draw.Point{X: pageWidth - marginSide, Y: 20.5}}
	l.end.Fill(draw.Box(box), ground)
	l.end.Stroke(draw.Box(box), draw.Pen{Width: 0.5, Colour: ink})
	font := draw.Font{Size: 3.9, Bold: true, Colour: ink, Anchor: draw.Middle}
	l.end.Text(draw.Point{X: pageWidth / 2, Y: 17.6}, words+" – no such amplifier, customer or reading exists", font)
	l.y = 26
}

// room begins a new page unless so much is left on this one.
func (l *layout) room(height float64) bool {
	if l.y+height <= pageHeight-marginBottom {
		return true
	}
	l.page()
	return false
}

func (l *layout) titleBlock() {
	for _, words := range l.wrapped(l.sheet.Title, textWidth, draw.Font{Size: 6.4, Bold: true}) {
		l.y += 6.4
		l.end.Text(draw.Point{X: marginSide, Y: l.y}, words, draw.Font{Size: 6.4, Bold: true, Colour: ink})
		l.y += 1.4
	}
	l.y += 2
	l.facts(l.sheet.Facts)
}

// facts sets a two-column table without heads or lines.
func (l *layout) facts(t Table) {
	const left = 30
	name, entry := draw.Font{Size: 3, Colour: soft}, draw.Font{Size: 3, Colour: ink}
	for _, g := range t.Groups {
		for _, row := range g.Rows {
			for i, words := range l.wrapped(row.Cells[1].Text, textWidth-left, entry) {
				l.room(3 * lead)
				if i == 0 {
					l.end.Text(draw.Point{X: marginSide, Y: l.y + 3}, row.Cells[0].Text, name)
				}
				l.end.Text(draw.Point{X: marginSide + left, Y: l.y + 3}, words, entry)
				l.y += 3 * lead
			}
		}
	}
	l.y += 2
}

// section sets a heading, kept together with the beginning of what follows.
func (l *layout) section(s Section) {
	const heading = 4.6
	l.room(heading*2 + 6 + l.least(s.Blocks[0], l.tail(s.Blocks[1:])))
	if l.y > marginTop {
		l.y += 5
	}
	l.end.Stroke(draw.Line(draw.Point{X: marginSide, Y: l.y}, draw.Point{X: pageWidth - marginSide, Y: l.y}), draw.Pen{Width: 0.45, Colour: ink})
	l.y += heading + 1.8
	l.end.Text(draw.Point{X: marginSide, Y: l.y}, s.Heading, draw.Font{Size: heading, Bold: true, Colour: ink})
	l.pdf.Bookmark(s.Heading, 0, l.y-heading)
	l.y += 3.4
	for i, b := range s.Blocks {
		l.block(b, l.tail(s.Blocks[i+1:]))
	}
}

// tail is the height of the small print under a block, which is kept with it.
func (l *layout) tail(next []Block) float64 {
	if len(next) == 0 || next[0].Text == nil || next[0].Text.Tone != Small {
		return 0
	}
	font := toneFont(Small)
	return 3.5 + float64(len(l.wrapped(next[0].Text.Text, textWidth, font)))*font.Size*lead
}

// least is the height below which a block should not begin on a page; after is
// the height of what must stand with its end.
func (l *layout) least(b Block, after float64) float64 {
	switch {
	case b.Figure != nil:
		return b.Figure.Drawing.Height + 8
	case b.Table != nil:
		return l.start(l.fit(*b.Table), after)
	case b.List != nil:
		return 14
	}
	return 8
}

func (l *layout) block(b Block, after float64) {
	switch {
	case b.Text != nil:
		l.paragraph(*b.Text)
	case b.List != nil:
		l.list(*b.List)
	case b.Table != nil:
		l.table(*b.Table, after)
	case b.Figure != nil:
		l.figure(*b.Figure)
	}
}

func (l *layout) figure(f Figure) {
	font := draw.Font{Size: bodySize, Bold: true, Colour: ink}
	caption := l.wrapped(f.Caption, textWidth, font)
	l.room(f.Drawing.Height + float64(len(caption))*bodySize*lead + 3)
	l.lines(caption, marginSide, font)
	f.Drawing.Onto(draw.OnPage(l.pdf, marginSide, l.y+1))
	l.y += f.Drawing.Height + 5
}
