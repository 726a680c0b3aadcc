package draw

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
)

// DXF writes the drawing as an exchange file of release 12 (AC1009), in
// millimetres, y upwards with the drawing's lower left corner as origin. A
// straight path of two points is a LINE, any other a POLYLINE whose bulges are
// its arcs; text is TEXT in what ASCII has. Each pattern of pen is a layer with
// its line type, filled areas are outlines on a layer of their own. The same
// drawing gives the same bytes.
func (d *Drawing) DXF(w io.Writer) error {
	x := &dxf{height: d.Height}
	x.header(d)
	x.tables()
	x.code(0, "SECTION").code(2, "ENTITIES")
	d.Onto(x)
	x.code(0, "ENDSEC").code(0, "EOF")
	_, err := w.Write(x.Bytes())
	return err
}

// dxf is the end that writes the entities.
type dxf struct {
	bytes.Buffer
	height float64
}

// code writes one group: its code and its value, a line each.
func (x *dxf) code(group int, value string) *dxf {
	fmt.Fprintf(&x.Buffer, "%3d\n%s\n", group, value)
	return x
}

// number writes a length to a millionth of a millimetre.
func (x *dxf) number(group int, v float64) *dxf {
	v = math.Round(v*1e6) / 1e6
	return x.code(group, fmt.Sprintf("%.6f", v+0)) // no negative nought
}

// at writes a point.
func (x *dxf) at(group int, p Point) *dxf {
	return x.number(group, p.X).number(group+10, x.height-p.Y).number(group+20, 0)
}

// layers are the patterns' and the areas' names, line types and dashes (mm).
var layers = [...]struct {
	name, line string
	dashes     []float64
}{
	Solid:      {"SOLID", "CONTINUOUS", nil},
	Dashed:     {"DASHED", "DASHED", []float64{3, -1.5}},
	Dotted:     {"DOTTED", "DOTTED", []float64{0, -1}},
	DashDot:    {"DASHDOT", "DASHDOT", []float64{3, -1, 0, -1}},
	LongDash:   {"LONGDASH", "LONGDASH", []float64{6, -1.5}},
	DashDotDot: {"DASHDOTDOT", "DASHDOTDOT", []float64{3, -1, 0, -1, 0, -1}},
}

const (
	fillLayer = "AREA"
	textLayer = "TEXT"
)

func (x *dxf) header(d *Drawing) {
	x.code(0, "SECTION").code(2, "HEADER")
	x.code(9, "$ACADVER").code(1, "AC1009")
	x.code(9, "$INSUNITS").code(70, "4") // millimetres
	x.code(9, "$EXTMIN").number(10, 0).number(20, 0).number(30, 0)
	x.code(9, "$EXTMAX").number(10, d.Width).number(20, d.Height).number(30, 0)
	x.code(0, "ENDSEC")
}

func (x *dxf) tables() {
	x.code(0, "SECTION").code(2, "TABLES")
	x.code(0, "TABLE").code(2, "LTYPE").code(70, fmt.Sprint(len(layers)))
	for _, l := range layers {
		x.lineType(l.line, l.dashes)
	}
	x.code(0, "ENDTAB")
	x.code(0, "TABLE").code(2, "LAYER").code(70, fmt.Sprint(len(layers)+2))
	for _, l := range layers {
		x.layer(l.name, l.line)
	}
	x.layer(fillLayer, "CONTINUOUS")
	x.layer(textLayer, "CONTINUOUS")
	x.code(0, "ENDTAB").code(0, "ENDSEC")
}

func (x *dxf) lineType(name string, dashes []float64) {
	length := 0.0
	for _, d := range dashes {
		length += math.Abs(d)
	}
	x.code(0, "LTYPE").code(2, name).code(70, "0").code(3, name).code(72, "65")
	x.code(73, fmt.Sprint(len(dashes))).number(40, length)
	for _, d := range dashes {
		x.number(49, d)
	}
}

func (x *dxf) layer(name, line string) {
	x.code(0, "LAYER").code(2, name).code(70, "0").code(62, "7").code(6, line)
}

// Stroke writes a line or a polyline on the pattern's layer.
func (x *dxf) Stroke(path Path, pen Pen) { x.path(path, layers[pen.Pattern].name) }

// Fill writes an area's outline.
func (x *dxf) Fill(path Path, _ Colour) {
	path.Closed = true
	x.path(path, fillLayer)
}

func (x *dxf) path(path Path, layer string) {
	if len(path.Points) == 2 && !path.Closed && path.bulge(0) == 0 {
		x.code(0, "LINE").code(8, layer).at(10, path.Points[0]).at(11, path.Points[1])
		return
	}
	closed := "0"
	if path.Closed {
		closed = "1"
	}
	x.code(0, "POLYLINE").code(8, layer).code(66, "1").at(10, Point{0, x.height}).code(70, closed)
	for i, p := range path.Points {
		x.code(0, "VERTEX").code(8, layer).at(10, p)
		if b := path.bulge(i); b != 0 {
			x.number(42, -b) // y turned round, and with it the way of turning
		}
	}
	x.code(0, "SEQEND").code(8, layer)
}

// capHeight is how high a capital stands, as a share of the body. Of the Go
// fonts, by their own table.
const capHeight = 0.72

// Text writes a line of text.
func (x *dxf) Text(at Point, text string, font Font) {
	x.code(0, "TEXT").code(8, textLayer).at(10, at).number(40, capHeight*font.Size).code(1, ascii(text))
	if font.Degrees != 0 {
		x.number(50, font.Degrees)
	}
	if font.Anchor != Start {
		across := "1" // middle
		if font.Anchor == Finish {
			across = "2"
		}
		x.code(72, across).at(11, at)
	}
}

// spelled is how text beyond ASCII is written in release 12: by its own codes,
// or in words.
var spelled = strings.NewReplacer("°", "%%d", "±", "%%p", "⌀", "%%c", "Ω", "ohm", "µ", "u", "−", "-",
	"–", "-", "≤", "<=", "≥", ">=", "×", "x", "·", ".", "“", `"`, "”", `"`, "’", "'", "\n", " ")

func ascii(text string) string {
	var b strings.Builder
	for _, r := range spelled.Replace(text) {
		if r < ' ' || r > '~' {
			r = '?'
		}
		b.WriteRune(r)
	}
	return b.String()
}
