package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
)

// SVG writes the drawing as one svg element, fit to stand in an HTML page or,
// it being well-formed XML with its name space, alone in a file. Coordinates
// are millimetres; text stays text in a generic family, so it can be searched
// and read aloud. The same drawing gives the same bytes.
func (d *Drawing) SVG(w io.Writer) error {
	var s svg
	s.put(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img"`,
		decimal(d.Width), decimal(d.Height), decimal(d.Width), decimal(d.Height))
	if d.ID != "" {
		s.put(` aria-labelledby="%s-title %s-desc"`, escaped(d.ID), escaped(d.ID))
	}
	s.put(">\n")
	s.put("<title%s>%s</title>\n", s.id(d.ID, "title"), escaped(d.Title))
	s.put("<desc%s>%s</desc>\n", s.id(d.ID, "desc"), escaped(d.Desc))
	d.Onto(&s)
	s.put("</svg>\n")
	_, err := w.Write(s.Bytes())
	return err
}

// svg is the end that writes SVG elements.
type svg struct{ bytes.Buffer }

func (s *svg) put(format string, args ...any) { fmt.Fprintf(&s.Buffer, format, args...) }

func (s *svg) id(drawing, of string) string {
	if drawing == "" {
		return ""
	}
	return ` id="` + escaped(drawing) + "-" + of + `"`
}

// Stroke writes a path element without fill.
func (s *svg) Stroke(path Path, pen Pen) {
	s.put(`<path d="%s" fill="none" stroke="%s" stroke-width="%s" stroke-linejoin="round"`,
		pathData(path), pen.Colour.hex(), decimal(pen.Width))
	if dashes := pen.Pattern.Dashes(pen.Width); dashes != nil {
		s.put(` stroke-dasharray="`)
		for i, length := range dashes {
			if i > 0 {
				s.put(" ")
			}
			s.put("%s", decimal(length))
		}
		s.put(`"`)
	}
	s.put("/>\n")
}

// Fill writes a path element without stroke.
func (s *svg) Fill(path Path, colour Colour) {
	path.Closed = true
	s.put(`<path d="%s" fill="%s"/>`+"\n", pathData(path), colour.hex())
}

// Text writes a text element.
func (s *svg) Text(at Point, text string, font Font) {
	s.put(`<text x="%s" y="%s" font-family="%s" font-size="%s" fill="%s"`,
		decimal(at.X), decimal(at.Y), font.generic(), decimal(font.Size), font.Colour.hex())
	if font.Bold {
		s.put(` font-weight="bold"`)
	}
	if font.Italic {
		s.put(` font-style="italic"`)
	}
	switch font.Anchor {
	case Middle:
		s.put(` text-anchor="middle"`)
	case Finish:
		s.put(` text-anchor="end"`)
	}
	if font.Degrees != 0 {
		// SVG turns clockwise, its y running down.
		s.put(` transform="rotate(%s %s %s)"`, decimal(-font.Degrees), decimal(at.X), decimal(at.Y))
	}
	s.put(">%s</text>\n", escaped(text))
}

func (f Font) generic() string {
	if f.Mono {
		return "monospace"
	}
	return "sans-serif"
}

func (c Colour) hex() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// pathData writes the d attribute. The first point is a move; further points
// of a straight run need no letter, which halves a long curve.
func pathData(p Path) string {
	var b bytes.Buffer
	pair := func(at Point) { b.WriteString(decimal(at.X) + " " + decimal(at.Y)) }
	b.WriteString("M")
	pair(p.Points[0])
	straight := false
	p.pieces(func(from, to Point, bulge float64) {
		switch {
		case bulge != 0:
			_, radius, _, _ := arc(from, to, bulge)
			fmt.Fprintf(&b, "A%s %s 0 %s %s ", decimal(radius), decimal(radius),
				flag(math.Abs(bulge) > 1), flag(bulge > 0))
			straight = false
		case straight:
			b.WriteString(" ")
		default:
			b.WriteString("L")
			straight = true
		}
		pair(to)
	})
	if p.Closed {
		b.WriteString("Z")
	}
	return b.String()
}

func flag(on bool) string {
	if on {
		return "1"
	}
	return "0"
}

// decimal writes hundredths of a millimetre, the shortest way, never "-0".
func decimal(x float64) string {
	text := strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

func escaped(text string) string {
	var b bytes.Buffer
	// Writing to memory cannot fail.
	_ = xml.EscapeText(&b, []byte(text))
	return b.String()
}
