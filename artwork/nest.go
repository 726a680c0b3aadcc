package artwork

import (
	"fmt"
	"math"

	"bandwright/draw"
)

// between keeps room for the snips round each pattern, mm.
const between = 4.0

// Sheet lays so many of a pattern and of its other hand on one drawing at true
// size: outlines whole, bend lines dashed from edge to edge, rows as long as
// the paper lets them, a check bar each way. Patterns stand over the bars. More
// than fit come on further sheets.
func (p *Pattern) Sheet(print Print, right, left int) []*draw.Drawing {
	f, paper := print.factor(), print.Paper
	wide := (paper.Width - 2*paper.Margin - foot) / f
	high := (paper.Height - 2*paper.Margin - foot) / f
	cellWide, cellHigh := p.Length+between, p.lowest()+between
	columns, rows := int(wide/cellWide), int(high/cellHigh)
	if columns < 1 || rows < 1 {
		columns, rows = 1, 1 // longer than the paper: it is cut where the window ends, and the bars say so
	}
	each := columns * rows
	all := right + left
	var pages []*draw.Drawing
	for first := 0; first < all; first += each {
		d := &draw.Drawing{Width: paper.Width, Height: paper.Height, ID: fmt.Sprintf("tabs-%d", len(pages)+1),
			Title: "Tabs, true size", Desc: fmt.Sprintf("Flat patterns of %d tabs, bend lines dashed", min(each, all-first))}
		s := &sheet{Drawing: d, factor: f, window: draw.Rect{
			Min: draw.Point{X: paper.Margin, Y: paper.Margin},
			Max: draw.Point{X: paper.Margin + wide*f, Y: paper.Margin + high*f}}}
		for n := first; n < min(first+each, all); n++ {
			q, hand := p, "right hand"
			if n >= right {
				q, hand = p.Mirrored(), "left hand"
			}
			k := n - first
			q.onto(s, Point{float64(k%columns) * cellWide, float64(k/columns) * cellHigh}, hand)
		}
		s.bars(paper, len(pages)+1, (all+each-1)/each)
		pages = append(pages, d)
	}
	return pages
}

// lowest is how far the tongues hang down.
func (p *Pattern) lowest() (y float64) {
	for _, at := range p.Outline {
		y = math.Max(y, at.Y)
	}
	return y
}

func (p *Pattern) onto(s *sheet, at Point, hand string) {
	var outline []Point
	for _, c := range p.Outline {
		outline = append(outline, Point{c.X + at.X, c.Y + at.Y})
	}
	s.line(cutPen, append(outline, outline[0])...)
	for _, b := range p.Bends {
		s.line(draw.Pen{Width: 0.1, Pattern: draw.Dashed}, Point{at.X + b.X, at.Y}, Point{at.X + b.X, at.Y + p.Height})
	}
	s.word(Point{at.X + p.Length/2, at.Y + p.Height/2 + 1}, hand, 2)
}

// HeatNote is what to mind when the ends are soldered: the slider's track is of
// plastic and carbon.
const HeatNote = "Wiper at mid-travel; a hot iron for a short time, cool between joints; then measure the track end to end and feel the travel."
