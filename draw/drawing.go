package draw

// End takes a drawing: a page, a file, another drawing. What it is handed is
// already clipped and in order, the first lowest. Paths have at least two
// points, all finite.
type End interface {
	Stroke(path Path, pen Pen)
	Fill(path Path, colour Colour)
	Text(at Point, text string, font Font)
}

// Drawing is a recorded drawing of a given size. It is itself an End, so one
// drawing can be played onto another.
type Drawing struct {
	Width, Height float64 // mm
	ID            string  // unique in the document it goes into; letters, digits, hyphens
	Title         string  // what it shows, in a few words
	Desc          string  // what a person who cannot see it should be told
	items         []item
}

// item is one call to be played again; which of the three is told by what is
// set.
type item struct {
	path Path
	pen  *Pen
	fill *Colour
	at   Point
	text string
	font Font
}

var _ End = (*Drawing)(nil)

// Stroke draws a path with a pen.
func (d *Drawing) Stroke(path Path, pen Pen) {
	path.check()
	d.items = append(d.items, item{path: path, pen: &pen})
}

// Fill fills the area inside a path, closing it. Where a path crosses itself
// the non-zero rule holds.
func (d *Drawing) Fill(path Path, colour Colour) {
	path.check()
	d.items = append(d.items, item{path: path, fill: &colour})
}

// Text writes one line of text.
func (d *Drawing) Text(at Point, text string, font Font) {
	if text == "" {
		return
	}
	d.items = append(d.items, item{at: at, text: text, font: font})
}

// Onto plays the drawing onto an end, in the order it was drawn.
func (d *Drawing) Onto(end End) {
	for _, it := range d.items {
		switch {
		case it.pen != nil:
			end.Stroke(it.path, *it.pen)
		case it.fill != nil:
			end.Fill(it.path, *it.fill)
		default:
			end.Text(it.at, it.text, it.font)
		}
	}
}
