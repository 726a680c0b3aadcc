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

// FactorOf is what makes up for a printer whose bar measures so much; 0: it was
// not measured.
func FactorOf(bar float64) float64 {
	if bar == 0 {
		return 1
	}
	return Bar / bar
}

// Print says how a template is put on paper, with a factor each way for a
// printer that is not true: see FactorOf.
type Print struct {
	Paper        Paper
	Across, Down float64 // 0: 1
	Of           string  // the job, as every page names it
}

func (p Print) factors() (across, down float64) {
	or1 := func(f float64) float64 {
		if f == 0 {
			return 1
		}
		return f
	}
	return or1(p.Across), or1(p.Down)
}

// sheet places what is drawn on one page: a window of the panel.
type sheet struct {
	*draw.Drawing
	across, down float64 // factors
	at           Point   // of the panel's mm, in the window's upper left
	window       draw.Rect
}

var (
	cutPen  = draw.Pen{Width: 0.15}
	oldPen  = draw.Pen{Width: 0.15, Pattern: draw.Dashed}
	thinPen = draw.Pen{Width: 0.1}
)

// foot is the strip at the page's lower and right edge that bars and words
// stand in, mm.
const foot = 16.0

// picture is what is put on pages: its size and how it is drawn.
type picture struct {
	id, title, desc string
	width, height   float64
	onto            func(*sheet)
	note            string // what to mind, on every page
}

// pages puts a picture on paper at true size, with a check bar each way on
// each. One wider or higher than the paper comes in parts that lap by 10 mm.
func (p picture) pages(print Print) draw.Pages {
	across, down := print.factors()
	wide, high := print.window()
	const lap = 10.0
	columns, rows := parts(p.width, wide, lap), parts(p.height, high, lap)
	var pages draw.Pages
	for row := range rows {
		for column := range columns {
			s := print.page(p, len(pages)+1)
			s.at = Point{float64(column) * (wide - lap), float64(row) * (high - lap)}
			p.onto(s)
			s.bars(print.Paper.bars(across, down), fmt.Sprintf("factor in force %s. Page %d of %d.", factorText(across, down), len(pages)+1, columns*rows), p.note)
			pages = append(pages, s.Drawing)
		}
	}
	return pages
}

// window is how much of a picture goes on one page, in the picture's mm.
func (p Print) window() (wide, high float64) {
	across, down := p.factors()
	return (p.Paper.Width - 2*p.Paper.Margin - foot) / across, (p.Paper.Height - 2*p.Paper.Margin - foot) / down
}

// page is one empty page.
func (p Print) page(of picture, number int) *sheet {
	across, down := p.factors()
	wide, high := p.window()
	d := &draw.Drawing{Width: p.Paper.Width, Height: p.Paper.Height, ID: fmt.Sprintf("%s-%d", of.id, number), Title: of.title, Desc: of.desc}
	if p.Of != "" {
		d.Title += ": " + p.Of
	}
	return &sheet{Drawing: d, across: across, down: down, window: draw.Rect{
		Min: draw.Point{X: p.Paper.Margin, Y: p.Paper.Margin},
		Max: draw.Point{X: p.Paper.Margin + wide*across, Y: p.Paper.Margin + high*down}}}
}

// whole gives the picture as one drawing without a paper and without a factor,
// for machines: its upper left corner is the drawing's, the bars lie outside.
func (p picture) whole() *draw.Drawing {
	right, low := math.Max(p.width, Bar), math.Max(p.height, Bar)
	d := &draw.Drawing{Width: right + foot, Height: low + foot, ID: p.id, Title: p.title, Desc: p.desc}
	s := &sheet{Drawing: d, across: 1, down: 1, window: draw.Rect{Max: draw.Point{X: p.width, Y: p.height}}}
	p.onto(s)
	s.bars(barPlaces{draw.Point{X: 0, Y: low + foot - 5}, draw.Point{X: right + foot - 5}, Bar, Bar}, "", "")
	return d
}

// Template gives the pages of the panel: outlines of the cuts with crosses at
// their middles.
func (p Panel) Template(print Print) draw.Pages { return p.template().pages(print) }

// Whole gives the template as one drawing at true size, for machines.
func (p Panel) Whole() *draw.Drawing { return p.template().whole() }

func (p Panel) template() picture {
	return picture{"template", "Drill template, true size", "Outlines of slots and holes with a cross at each middle",
		p.Width, p.Height, p.onto, ""}
}

func parts(length, each, lap float64) int {
	if length <= each {
		return 1
	}
	return int(math.Ceil((length - lap) / (each - lap)))
}

// place gives a place of the panel on the page.
func (s *sheet) place(p Point) draw.Point {
	return draw.Point{X: s.window.Min.X + (p.X-s.at.X)*s.across, Y: s.window.Min.Y + (p.Y-s.at.Y)*s.down}
}

func (s *sheet) inside(p draw.Point) bool {
	const rounding = 1e-9 // of sums of lengths that end on the window's edge
	return p.X >= s.window.Min.X-rounding && p.X <= s.window.Max.X+rounding && p.Y >= s.window.Min.Y-rounding && p.Y <= s.window.Max.Y+rounding
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

// ring draws a closed run, in one piece where it lies in the window whole.
func (s *sheet) ring(pen draw.Pen, points ...Point) {
	whole := draw.Path{Closed: true}
	for _, p := range points {
		at := s.place(p)
		if !s.inside(at) {
			s.line(pen, append(points[:len(points):len(points)], points[0])...)
			return
		}
		whole.Points = append(whole.Points, at)
	}
	s.Stroke(whole, pen)
}

// cut draws a slot or a hole: of true arcs where it lies in the window whole
// and the factors leave circles round.
func (s *sheet) cut(pen draw.Pen, c cut) {
	low, high := s.place(Point{c.a.X - c.radius, c.a.Y - c.radius}), s.place(Point{c.b.X + c.radius, c.b.Y + c.radius})
	if s.across != s.down || !s.inside(low) || !s.inside(high) {
		s.line(pen, c.outline()...)
		return
	}
	if c.a == c.b {
		s.Stroke(draw.Circle(s.place(c.a), c.radius*s.across), pen)
		return
	}
	corner := func(end Point, side float64) draw.Point { return s.place(Point{end.X + side*c.radius, end.Y}) }
	s.Stroke(draw.Path{Closed: true, Bulges: []float64{1, 0, 1, 0},
		Points: []draw.Point{corner(c.a, -1), corner(c.a, 1), corner(c.b, 1), corner(c.b, -1)}}, pen)
}

// name writes what a cut is: along a slot, or to the right of a hole, left of it
// where it would reach over the panel's edge.
func (s *sheet) name(c cut, edge float64) {
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
	if right > math.Min(s.window.Max.X, s.place(Point{X: edge}).X) && font.Degrees == 0 { // to the left, then
		at = s.place(Point{c.a.X - c.radius - 1, c.a.Y - 0.8})
		at.X -= font.Width(text)
		right = at.X
	}
	if at.X >= s.window.Min.X && right <= s.window.Max.X && top >= s.window.Min.Y && at.Y <= s.window.Max.Y {
		s.Text(at, text, font)
	}
}

// onto draws the panel's edge and cuts.
func (p Panel) onto(s *sheet) {
	s.ring(thinPen, Point{0, 0}, Point{p.Width, 0}, Point{p.Width, p.Height}, Point{0, p.Height})
	for _, c := range p.cuts() {
		pen := cutPen
		if c.old {
			pen = oldPen
		}
		s.cut(pen, c)
		s.crosses(c)
		s.name(c, p.Width)
	}
}

// crosses marks the middles that a bit is set on.
func (s *sheet) crosses(c cut) {
	const arm = 3.0
	for _, end := range [...]Point{c.a, c.b} {
		s.line(thinPen, Point{end.X - c.radius - arm, end.Y}, Point{end.X + c.radius + arm, end.Y})
		s.line(thinPen, Point{end.X, end.Y - c.radius - arm}, Point{end.X, end.Y + c.radius + arm})
		if c.a == c.b {
			break
		}
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

// barPlaces are where the check bars begin, and how long they are drawn.
type barPlaces struct {
	across, down draw.Point
	long, high   float64
}

func (p Paper) bars(across, down float64) barPlaces {
	return barPlaces{draw.Point{X: p.Margin, Y: p.Height - p.Margin - 5}, draw.Point{X: p.Width - p.Margin - 5, Y: p.Margin},
		Bar * across, Bar * down}
}

// factorText writes the factors, as one where they are alike.
func factorText(across, down float64) string {
	if across == down {
		return fmt.Sprintf("%.4f", across)
	}
	return fmt.Sprintf("%.4f across, %.4f down", across, down)
}

// bars draws the two check bars and what to do with them.
func (s *sheet) bars(at barPlaces, more, note string) {
	s.bar(at.across, draw.Point{X: at.across.X + at.long, Y: at.across.Y})
	s.bar(at.down, draw.Point{X: at.down.X, Y: at.down.Y + at.high})
	text := "Both bars are 100 mm. Measure them before use"
	if more != "" {
		beside := at.across.X + at.long + 4
		s.Text(draw.Point{X: beside, Y: at.across.Y - 6}, s.Title, draw.Font{Size: 3, Bold: true})
		s.Text(draw.Point{X: beside, Y: at.across.Y - 2}, text+"; "+more, draw.Font{Size: 3})
		s.Text(draw.Point{X: beside, Y: at.across.Y + 2}, note, draw.Font{Size: 2.4})
		return
	}
	s.Text(draw.Point{X: at.across.X, Y: at.across.Y - 2.5}, text+".", draw.Font{Size: 3})
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
