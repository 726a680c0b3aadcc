package artwork

import (
	"fmt"
	"math"

	"bandwright/draw"
)

// between keeps room for the snips round each pattern, mm.
const between = 4.0

// Sheet lays so many of a pattern and of its other hand on paper at true size:
// outlines whole, bend lines dashed from edge to edge, a check bar each way.
// More than fit come on further sheets.
func (p *Pattern) Sheet(print Print, right, left int) draw.Pages {
	across, down := print.factors()
	wide, high := print.window()
	// One longer than the paper is cut where the window ends, and the bars say so.
	columns, rows := max(1, int(wide/p.cell().X)), max(1, int(high/p.cell().Y))
	each, all := columns*rows, right+left
	var pages draw.Pages
	for first := 0; first < all; first += each {
		s := print.page(tabs(min(each, all-first)), len(pages)+1)
		p.lay(s, first, min(first+each, all), right, columns)
		s.bars(print.Paper.bars(across, down), fmt.Sprintf("factor in force %s. Page %d of %d.", factorText(across, down), len(pages)+1, (all+each-1)/each), HeatNote)
		pages = append(pages, s.Drawing)
	}
	return pages
}

// Whole lays them in rows of one drawing at true size, for machines.
func (p *Pattern) Whole(right, left int) *draw.Drawing {
	const row = 280.0
	columns := max(1, min(right+left, int(row/p.cell().X)))
	rows := (right + left + columns - 1) / columns
	of := tabs(right + left)
	of.width, of.height = float64(columns)*p.cell().X-between, float64(rows)*p.cell().Y-between
	of.onto = func(s *sheet) { p.lay(s, 0, right+left, right, columns) }
	return of.whole()
}

func tabs(count int) picture {
	return picture{id: "tabs", title: "Tabs, true size", desc: fmt.Sprintf("Flat patterns of %d tabs, bend lines dashed", count)}
}

// cell is what one pattern takes of a sheet.
func (p *Pattern) cell() Point { return Point{p.Length + between, p.lowest() + between} }

// lay draws patterns from one number to another, all right hands before the
// left.
func (p *Pattern) lay(s *sheet, from, to, right, columns int) {
	cell := p.cell()
	for n := from; n < to; n++ {
		q, hand := p, "right hand"
		if n >= right {
			q, hand = p.Mirrored(), "left hand"
		}
		k := n - from
		q.onto(s, Point{float64(k%columns) * cell.X, float64(k/columns) * cell.Y}, hand)
	}
}

// lowest is how far the tongues hang down.
func (p *Pattern) lowest() (y float64) {
	for _, at := range p.Outline {
		y = math.Max(y, at.Y)
	}
	return y
}

var bendPen = draw.Pen{Width: 0.1, Pattern: draw.Dashed}

func (p *Pattern) onto(s *sheet, at Point, hand string) {
	var outline []Point
	for _, c := range p.Outline {
		outline = append(outline, Point{c.X + at.X, c.Y + at.Y})
	}
	s.ring(cutPen, outline...)
	for _, b := range p.Bends {
		s.line(bendPen, Point{at.X + b.X, at.Y}, Point{at.X + b.X, at.Y + p.Height})
	}
	for _, x := range p.Folds {
		s.line(bendPen, Point{at.X + x, at.Y + p.Height + slit}, Point{at.X + x, at.Y + p.lowest()})
	}
	middle, size := p.Length/2, math.Min(1.7, 0.6*p.Height)
	s.letter(letter{text: hand, at: Point{at.X + middle, at.Y + p.Height/2 + size/3}, size: size, anchor: draw.Middle})
}

// HeatNote is what to mind when the ends are soldered: the slider's track is of
// plastic and carbon.
const HeatNote = "Wiper at mid-travel; a hot iron for a short time, cool between joints; then measure the track end to end and feel the travel."
