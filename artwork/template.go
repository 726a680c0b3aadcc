package artwork

import (
	"fmt"
	"math"

	"bandwright/draw"
)

// Paper is a sheet that a template is printed on, upright or lying.
type Paper struct {
	Name          string
	Width, Height float64
	Margin        float64 // that the printer leaves white
}

// Papers are the two of offices, lying: ISO 216 A4 and the 8½ × 11 in of North
// America.
func Papers() []Paper {
	return []Paper{{"A4", 297, 210, 8}, {"Letter", 279.4, 215.9, 8}}
}

// Bar is the length of the check bars, mm.
const Bar = 100.0

// Print says how a template is put on paper. Factor makes up for a printer that
// is not true: 100 over what the bar of a first print measures.
type Print struct {
	Paper  Paper
	Factor float64 // 0: 1
}

func (p Print) factor() float64 {
	if p.Factor == 0 {
		return 1
	}
	return p.Factor
}

// sheet places what is drawn on one page: a window of the panel.
type sheet struct {
	*draw.Drawing
	factor float64
	at     Point // of the panel's mm, in the window's upper left
	window draw.Rect
}

var (
	cutPen  = draw.Pen{Width: 0.15}
	oldPen  = draw.Pen{Width: 0.15, Pattern: draw.Dashed}
	thinPen = draw.Pen{Width: 0.1}
)

// foot is the strip at the page's lower and right edge that bars and words
// stand in, mm.
const foot = 16.0

// Template gives the pages of the panel at true size: outlines of the cuts with
// crosses at their middles, each page with a check bar each way. A panel wider
// or higher than the paper comes in parts that lap by 10 mm.
func (p Panel) Template(print Print) []*draw.Drawing {
	f, paper := print.factor(), print.Paper
	wide := (paper.Width - 2*paper.Margin - foot) / f
	high := (paper.Height - 2*paper.Margin - foot) / f
	const lap = 10.0
	columns, rows := parts(p.Width, wide, lap), parts(p.Height, high, lap)
	var pages []*draw.Drawing
	for row := range rows {
		for column := range columns {
			at := Point{float64(column) * (wide - lap), float64(row) * (high - lap)}
			d := &draw.Drawing{Width: paper.Width, Height: paper.Height, ID: fmt.Sprintf("template-%d", len(pages)+1),
				Title: "Drill template, true size", Desc: "Outlines of slots and holes with a cross at each middle"}
			s := &sheet{Drawing: d, factor: f, at: at, window: draw.Rect{
				Min: draw.Point{X: paper.Margin, Y: paper.Margin},
				Max: draw.Point{X: paper.Margin + wide*f, Y: paper.Margin + high*f}}}
			p.onto(s)
			s.bars(paper, len(pages)+1, columns*rows)
			pages = append(pages, d)
		}
	}
	return pages
}

func parts(length, each, lap float64) int {
	if length <= each {
		return 1
	}
	return int(math.Ceil((length - lap) / (each - lap)))
}

// place gives a place of the panel on the page.
func (s *sheet) place(p Point) draw.Point {
	return draw.Point{X: s.window.Min.X + (p.X-s.at.X)*s.factor, Y: s.window.Min.Y + (p.Y-s.at.Y)*s.factor}
}

// line draws what of a run lies in the window.
func (s *sheet) line(pen draw.Pen, points ...Point) {
	var run []draw.Point
	for _, p := range points {
		run = append(run, s.place(p))
	}
	for _, piece := range draw.Clip(run, s.window) {
		s.Stroke(piece, pen)
	}
}

// word writes where it lies whole in the window.
func (s *sheet) word(p Point, text string, size float64) {
	at, font := s.place(p), draw.Font{Size: size, Anchor: draw.Middle}
	half := font.Width(text) / 2
	if at.X-half >= s.window.Min.X && at.X+half <= s.window.Max.X && at.Y-size >= s.window.Min.Y && at.Y <= s.window.Max.Y {
		s.Text(at, text, font)
	}
}

// name writes what a cut is: along a slot, or to the right of a hole.
func (s *sheet) name(c cut) {
	const size = 2.0
	text := fmt.Sprintf("ø %.4g", 2*c.radius)
	if !c.screw { // there are many, and the slot beside them has a name
		text = c.name + ", " + text
	}
	font := draw.Font{Size: size}
	at := s.place(Point{c.a.X + c.radius + 1, c.a.Y - 0.8})
	right, top := at.X+font.Width(text), at.Y-size
	if c.a != c.b {
		font.Degrees = 90
		at = s.place(Point{c.a.X + c.radius + 1 + size, c.b.Y})
		right, top = at.X, at.Y-font.Width(text)
	}
	if at.X >= s.window.Min.X && right <= s.window.Max.X && top >= s.window.Min.Y && at.Y <= s.window.Max.Y {
		s.Text(at, text, font)
	}
}

// onto draws the panel's edge and cuts.
func (p Panel) onto(s *sheet) {
	s.line(thinPen, Point{0, 0}, Point{p.Width, 0}, Point{p.Width, p.Height}, Point{0, p.Height}, Point{0, 0})
	for _, c := range p.cuts() {
		pen := cutPen
		if c.old {
			pen = oldPen
		}
		s.line(pen, c.outline()...)
		for _, end := range [...]Point{c.a, c.b} {
			const arm = 3.0
			s.line(thinPen, Point{end.X - c.radius - arm, end.Y}, Point{end.X + c.radius + arm, end.Y})
			s.line(thinPen, Point{end.X, end.Y - c.radius - arm}, Point{end.X, end.Y + c.radius + arm})
			if c.a == c.b {
				break
			}
		}
		s.name(c)
	}
}

// chord is how far the outline of a round end may lie beside its circle, mm.
const chord = 0.002

// outline goes round a slot with its half circles, or round a hole.
func (c cut) outline() (list []Point) {
	steps := max(8, int(math.Ceil(math.Pi/math.Acos(1-chord/math.Max(c.radius, 2*chord)))))
	top, low := c.a, c.b
	for i := range steps + 1 { // over the top, from left to right
		sin, cos := math.Sincos(math.Pi * (1 + float64(i)/float64(steps)))
		list = append(list, Point{top.X + c.radius*cos, top.Y + c.radius*sin})
	}
	for i := range steps + 1 {
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(steps))
		list = append(list, Point{low.X + c.radius*cos, low.Y + c.radius*sin})
	}
	return append(list, list[0])
}

// bars draws the two check bars and what to do with them.
func (s *sheet) bars(paper Paper, page, pages int) {
	f := s.factor
	x, y := paper.Margin, paper.Height-paper.Margin-5
	s.bar(draw.Point{X: x, Y: y}, draw.Point{X: x + Bar*f, Y: y})
	right := paper.Width - paper.Margin - 5
	s.bar(draw.Point{X: right, Y: paper.Margin}, draw.Point{X: right, Y: paper.Margin + Bar*f})
	s.Text(draw.Point{X: x + Bar*f + 4, Y: y + 1},
		fmt.Sprintf("Both bars are 100 mm. Measure them before use; factor in force %.4g. Page %d of %d.", f, page, pages), draw.Font{Size: 3})
}

func (s *sheet) bar(a, b draw.Point) {
	const half = 2.0
	s.Stroke(draw.Line(a, b), cutPen)
	for _, end := range [...]draw.Point{a, b} {
		if a.Y == b.Y {
			s.Stroke(draw.Line(draw.Point{X: end.X, Y: end.Y - half}, draw.Point{X: end.X, Y: end.Y + half}), cutPen)
		} else {
			s.Stroke(draw.Line(draw.Point{X: end.X - half, Y: end.Y}, draw.Point{X: end.X + half, Y: end.Y}), cutPen)
		}
	}
}

// Face is the panel's artwork at true size: every slider's dB scale from its own
// taper, its label, and the holes' words.
func (p Panel) Face() *draw.Drawing {
	d := &draw.Drawing{Width: p.Width, Height: p.Height, ID: "panel-face", Title: "Panel artwork, true size",
		Desc: "Each slider with its scale in decibels and its frequency"}
	s := &sheet{Drawing: d, factor: 1, window: draw.Rect{Max: draw.Point{X: p.Width, Y: p.Height}}}
	for _, c := range p.cuts() {
		if !c.old {
			s.line(thinPen, c.outline()...)
		}
	}
	for _, slider := range p.Sliders {
		slider.face(s)
	}
	for _, h := range p.Holes {
		if !h.Old {
			s.word(Point{h.X, h.Y + h.Size/2 + 4}, h.Label, 3)
		}
	}
	return d
}

// face draws a slider's scale at the left of its slot, the nought longest.
func (s Slider) face(to *sheet) {
	const near, short, long = 1.0, 2.0, 3.5
	left := s.X - s.SlotWidth/2 - near
	for _, m := range s.Marks {
		length := short
		if m.DB == 0 {
			length = long
		}
		y := s.At(m.Travel).Y
		to.line(cutPen, Point{left - length, y}, Point{left, y})
		at := to.place(Point{left - length - 0.6, y + 0.7})
		to.Text(at, draw.Signed(m.DB, 0), draw.Font{Size: 2, Anchor: draw.Finish})
	}
	low := math.Max(s.SlotLength(), s.Screws+s.ScrewSize) / 2
	to.word(Point{s.X, s.Y + low + 5}, s.Label, 3.2)
}
