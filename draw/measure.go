package draw

import (
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Width gives the length of a line of text in millimetres in the font that a
// PDF embeds. Of a web page it is an estimate, the page's generic font being
// whatever the reader has; leave a fifth of room.
func (f Font) Width(text string) float64 {
	face, err := sfnt.Parse(f.bytes())
	if err != nil {
		panic("draw: an embedded font cannot be read: " + err.Error())
	}
	var buffer sfnt.Buffer
	em := fixed.I(int(face.UnitsPerEm()))
	total := fixed.Int26_6(0)
	for _, r := range text {
		glyph, err := face.GlyphIndex(&buffer, r)
		if err != nil {
			continue
		}
		advance, err := face.GlyphAdvance(&buffer, glyph, em, font.HintingNone)
		if err == nil {
			total += advance
		}
	}
	return f.Size * float64(total) / float64(em)
}

func (f Font) bytes() []byte {
	switch {
	case f.Mono:
		return gomono.TTF
	case f.Bold:
		return gobold.TTF
	case f.Italic:
		return goitalic.TTF
	}
	return goregular.TTF
}
