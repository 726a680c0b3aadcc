package report

import (
	"bandwright/artwork"
	"bandwright/bench"
	"bandwright/draw"
	"bandwright/quantity"
)

// The strip's lengths, mm: sliders drawn larger than they are, to be read.
const (
	stripTravel = 50.0
	stripTop    = 10.0
	stripFoot   = 12.0
	stripSide   = 16.0 // at the left, for the words
)

// SliderStrip draws the sliders as a player sees them, so wide: for each its
// frequency and the decibels that every place of its travel gives, from its own
// taper in this circuit, the others centred; and where flat is. It stands on
// any sheet.
func SliderStrip(a *bench.BandsAnswer, width float64) *draw.Drawing {
	p := artwork.Panel{Width: width, Height: stripTop + stripTravel + 4 + stripFoot}
	pitch := (width - stripSide) / float64(max(1, len(a.Bands)))
	middle := stripTop + stripTravel/2
	for i, b := range a.Bands {
		s := artwork.Slider{Band: b.Band, X: stripSide + (float64(i)+0.6)*pitch, Y: middle, Travel: stripTravel,
			SlotWidth: 1.6, Lever: 2, Label: quantity.Hertz(b.StatedHz).Display(4)}
		if i < len(a.Scale) {
			s.Marks = stripMarks(a.Scale[i].Marks)
		}
		p.Sliders = append(p.Sliders, s)
	}
	d := p.Picture()
	d.ID, d.Title = "slider-strip", "The sliders and what they give"
	d.Desc = "For every slider its frequency, and the decibels of boost above and of cut below the middle of its travel; in the middle it does nothing"
	for _, s := range p.Sliders { // the lever, in the middle
		d.Fill(draw.Box(draw.Rect{Min: draw.Point{X: s.X - 3, Y: middle - 1}, Max: draw.Point{X: s.X + 3, Y: middle + 1}}), draw.Colour{})
	}
	words := func(y float64, text string, bold bool) {
		d.Text(draw.Point{X: 2, Y: y + 1}, text, draw.Font{Size: 3, Bold: bold})
	}
	words(stripTop+3, "boost", false)
	words(middle, "flat", true)
	words(stripTop+stripTravel-3, "cut", false)
	from := 9.5
	for _, s := range p.Sliders { // between the figures
		if to := s.X - 9; to > from {
			d.Stroke(draw.Line(draw.Point{X: from, Y: middle}, draw.Point{X: to, Y: middle}), draw.Pen{Width: 0.12, Pattern: draw.Dashed})
		}
		from = s.X + 4
	}
	return d
}

// stripMarks adds the flat mark to those of a scale.
func stripMarks(points []bench.ScalePoint) []artwork.Mark {
	marks := []artwork.Mark{{}}
	for _, m := range points {
		marks = append(marks, artwork.Mark{Travel: m.Position, DB: m.DB})
	}
	return marks
}
