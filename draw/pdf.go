package draw

import (
	"io"
	"math"
	"slices"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// The families that NewPDF embeds: a sans serif in plain, bold ("B") and
// italic ("I"), and one of even pitch. Both hold Ω, µ, −, ± and ≤.
const (
	Sans = "go"
	Mono = "gomono"
)

// NewPDF opens a document in millimetres on A4 upright, fonts embedded,
// without a page yet. The same content gives the same bytes: its objects are
// sorted and its dates stand still.
func NewPDF(title, creator string) *fpdf.Fpdf {
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.SetCatalogSort(true)
	// A paper that carries the hour of its printing would differ each time.
	// An unset date is the year 1; a date left unset would be filled in.
	still := pdf.GetCreationDate().AddDate(1999, 0, 0)
	pdf.SetCreationDate(still)
	pdf.SetModificationDate(still)
	pdf.SetTitle(title, true)
	pdf.SetCreator(creator, true)
	pdf.SetLang("en-GB")
	// The library writes into the fonts' bytes while it cuts them down: each
	// document gets its own, or the next one would differ.
	pdf.AddUTF8FontFromBytes(Sans, "", slices.Clone(goregular.TTF))
	pdf.AddUTF8FontFromBytes(Sans, "B", slices.Clone(gobold.TTF))
	pdf.AddUTF8FontFromBytes(Sans, "I", slices.Clone(goitalic.TTF))
	pdf.AddUTF8FontFromBytes(Mono, "", slices.Clone(gomono.TTF))
	return pdf
}

// PDF writes the drawing alone on a page of its own size.
func (d *Drawing) PDF(w io.Writer, creator string) error {
	return Pages{d}.PDF(w, creator)
}

// Pages are drawings that belong together, each a page of its own size.
type Pages []*Drawing

// PDF writes one document of all pages, of the first one's title.
func (p Pages) PDF(w io.Writer, creator string) error {
	if len(p) == 0 {
		panic("draw: a document without a page")
	}
	pdf := NewPDF(p[0].Title, creator)
	for _, d := range p {
		pdf.AddPageFormat("P", fpdf.SizeType{Wd: d.Width, Ht: d.Height})
		d.Onto(OnPage(pdf, 0, 0))
	}
	return pdf.Output(w)
}

// OnPage is the end that draws on the current page of a document made by
// NewPDF, the drawing's origin at (x, y) millimetres from the page's upper
// left corner. It leaves the document's pen, colours and font changed.
func OnPage(pdf *fpdf.Fpdf, x, y float64) End {
	return &page{pdf: pdf, origin: Point{x, y}}
}

type page struct {
	pdf    *fpdf.Fpdf
	origin Point
}

// Stroke draws the path and leaves the dash pattern off again.
func (p *page) Stroke(path Path, pen Pen) {
	p.pdf.SetDrawColor(int(pen.Colour.R), int(pen.Colour.G), int(pen.Colour.B))
	p.pdf.SetLineWidth(pen.Width)
	p.pdf.SetLineJoinStyle("round")
	dashes := pen.Pattern.Dashes(pen.Width)
	if dashes != nil {
		p.pdf.SetDashPattern(dashes, 0)
	}
	p.outline(path)
	p.pdf.DrawPath("D")
	if dashes != nil {
		p.pdf.SetDashPattern([]float64{}, 0)
	}
}

// Fill fills the inside of the path.
func (p *page) Fill(path Path, colour Colour) {
	path.Closed = true
	p.pdf.SetFillColor(int(colour.R), int(colour.G), int(colour.B))
	p.outline(path)
	p.pdf.DrawPath("F")
}

func (p *page) outline(path Path) {
	first := p.moved(path.Points[0])
	p.pdf.MoveTo(first.X, first.Y)
	path.pieces(func(from, to Point, bulge float64) {
		if bulge == 0 {
			to = p.moved(to)
			p.pdf.LineTo(to.X, to.Y)
			return
		}
		centre, radius, start, end := arc(p.moved(from), p.moved(to), bulge)
		// The document's angles run anticlockwise, ours clockwise.
		// It makes few segments of a long arc, so it is given short ones.
		parts := int(math.Ceil(math.Abs(end-start) / (math.Pi / 4)))
		for i := range parts {
			a := start + (end-start)*float64(i)/float64(parts)
			b := start + (end-start)*float64(i+1)/float64(parts)
			p.pdf.ArcTo(centre.X, centre.Y, radius, radius, 0, degrees(-a), degrees(-b))
		}
	})
	if path.Closed {
		p.pdf.ClosePath()
	}
}

func degrees(radian float64) float64 { return radian * 180 / math.Pi }

func (p *page) moved(at Point) Point { return Point{at.X + p.origin.X, at.Y + p.origin.Y} }

// Text writes one line; the anchor is worked out from the embedded font.
func (p *page) Text(at Point, text string, font Font) {
	at = p.moved(at)
	SetFont(p.pdf, font)
	start := at
	switch font.Anchor {
	case Middle:
		start.X -= p.pdf.GetStringWidth(text) / 2
	case Finish:
		start.X -= p.pdf.GetStringWidth(text)
	}
	if font.Degrees == 0 {
		p.pdf.Text(start.X, start.Y, text)
		return
	}
	p.pdf.TransformBegin()
	p.pdf.TransformRotate(font.Degrees, at.X, at.Y)
	p.pdf.Text(start.X, start.Y, text)
	p.pdf.TransformEnd()
}

// SetFont makes a font the document's current one.
func SetFont(pdf *fpdf.Fpdf, font Font) {
	family, style := Sans, ""
	switch {
	case font.Mono:
		family = Mono // one weight only
	case font.Bold:
		style = "B"
	case font.Italic:
		style = "I"
	}
	pdf.SetFont(family, style, 0)
	pdf.SetFontUnitSize(font.Size)
	pdf.SetTextColor(int(font.Colour.R), int(font.Colour.G), int(font.Colour.B))
}
