package draw_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"bandwright/draw"
	"bandwright/golden"
)

// sampler has one of everything an end must know.
func sampler() *draw.Drawing {
	d := &draw.Drawing{Width: 80, Height: 50, ID: "sampler", Title: "Lines & <fills>", Desc: `One of "everything"`}
	for i := range 6 {
		y := 5 + 4*float64(i)
		d.Stroke(draw.Line(draw.Point{X: 5, Y: y}, draw.Point{X: 45, Y: y}),
			draw.Pen{Width: 0.4, Colour: draw.Ink(i), Pattern: draw.PatternOf(i)})
	}
	d.Fill(draw.Polygon(draw.Point{X: 50, Y: 5}, draw.Point{X: 60, Y: 5}, draw.Point{X: 55, Y: 14}), draw.Grey(0x80))
	d.Stroke(draw.Circle(draw.Point{X: 70, Y: 10}, 5), draw.Pen{Width: 0.3})
	// Three quarters of a circle: tan(270°/4).
	d.Stroke(draw.Path{Points: []draw.Point{{X: 70, Y: 20}, {X: 65, Y: 25}}, Bulges: []float64{2.414213562373095, 0}}, draw.Pen{Width: 0.3})
	d.Text(draw.Point{X: 5, Y: 35}, "4k7 Ω, 2.2 µF, −3 dB ± 5 % ≤ 1 & <b>", draw.Font{Size: 3})
	d.Text(draw.Point{X: 40, Y: 40}, "centred, bold", draw.Font{Size: 3, Bold: true, Anchor: draw.Middle})
	d.Text(draw.Point{X: 75, Y: 45}, "to the right, slanted", draw.Font{Size: 3, Italic: true, Anchor: draw.Finish})
	d.Text(draw.Point{X: 5, Y: 45}, "even pitch", draw.Font{Size: 3, Mono: true})
	d.Text(draw.Point{X: 78, Y: 35}, "upwards", draw.Font{Size: 3, Degrees: 90})
	return d
}

func svg(t *testing.T, d *draw.Drawing) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.SVG(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pdf(t *testing.T, d *draw.Drawing) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.PDF(&b, "test"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSVGOfOneOfEverything(t *testing.T) {
	got := svg(t, sampler())
	golden.CheckNumbers(t, "sampler.svg", got, golden.Tolerance{Abs: 0.011})
	decoder := xml.NewDecoder(bytes.NewReader(got))
	words := ""
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("the SVG is not well-formed: %v", err)
		}
		if text, ok := token.(xml.CharData); ok {
			words += string(text)
		}
	}
	for _, want := range []string{"4k7 Ω, 2.2 µF, −3 dB ± 5 % ≤ 1 & <b>", "Lines & <fills>", "upwards"} {
		if !strings.Contains(words, want) {
			t.Errorf("the SVG's text lacks %q", want)
		}
	}
}

func TestPDFTextReadsBack(t *testing.T) {
	text := string(pdfTool(t, "pdftotext", pdf(t, sampler())))
	for _, want := range []string{"4k7 Ω, 2.2 µF, −3 dB ± 5 % ≤ 1 & <b>", "centred, bold", "to the right, slanted", "even pitch", "upwards"} {
		if !strings.Contains(text, want) {
			t.Errorf("pdftotext does not find %q in:\n%s", want, text)
		}
	}
}

func TestSameDrawingSameBytes(t *testing.T) {
	if !bytes.Equal(pdf(t, sampler()), pdf(t, sampler())) {
		t.Error("two PDFs of one drawing differ")
	}
	if !bytes.Equal(svg(t, sampler()), svg(t, sampler())) {
		t.Error("two SVGs of one drawing differ")
	}
}

// A drawing is an end itself: played onto another it is the same drawing.
func TestDrawingOntoDrawing(t *testing.T) {
	first := sampler()
	second := &draw.Drawing{Width: first.Width, Height: first.Height, ID: first.ID, Title: first.Title, Desc: first.Desc}
	first.Onto(second)
	if !bytes.Equal(svg(t, first), svg(t, second)) {
		t.Error("a drawing played onto another differs")
	}
}

// picture reads a PDF back as a picture, one grey byte a pixel, 10 pixels a mm.
func picture(t *testing.T, document []byte) (width, height int, grey []byte) {
	t.Helper()
	pgm := pdfTool(t, "pdftoppm", document, "-r", "254", "-gray", "-singlefile")
	var w, h, depth int
	fields := bytes.Fields(pgm[:min(len(pgm), 64)])
	if string(fields[0]) != "P5" {
		t.Fatalf("pdftoppm wrote %q", fields[0])
	}
	for i, into := range []*int{&w, &h, &depth} {
		for _, digit := range fields[i+1] {
			*into = *into*10 + int(digit-'0')
		}
	}
	return w, h, pgm[len(pgm)-w*h:]
}

func TestPDFInkLiesWhereItWasPut(t *testing.T) {
	width, height, grey := picture(t, pdf(t, sampler()))
	if width != 800 || height != 500 {
		t.Fatalf("80 by 50 mm came out as %d by %d tenths", width, height)
	}
	dark := func(x, y float64) bool { return grey[int(y*10)*width+int(x*10)] < 0xc0 }
	for _, c := range []struct {
		what string
		x, y float64
		ink  bool
	}{
		{"first line", 25, 5, true}, {"between the lines", 25, 7, false},
		{"middle of the triangle", 55, 7, true}, {"beside the triangle", 51, 13, false},
		{"circle, left", 65, 10, true}, {"circle, top", 70, 5, true}, {"circle, lowest", 70, 15, true},
		{"circle's middle", 70, 10, false},
		// Turning clockwise from (70,20), a three-quarter circle to (65,25) goes
		// round (70,25): right, bottom, left.
		{"arc, right", 75, 25, true}, {"arc, bottom", 70, 30, true}, {"arc, the quarter left out", 66.46, 21.46, false},
	} {
		if dark(c.x, c.y) != c.ink {
			t.Errorf("%s at %g, %g mm: ink %v, want %v", c.what, c.x, c.y, !c.ink, c.ink)
		}
	}
}

func TestMisusePanics(t *testing.T) {
	d := &draw.Drawing{Width: 10, Height: 10}
	for name, misuse := range map[string]func(){
		"one point":   func() { d.Stroke(draw.Polygon(draw.Point{}), draw.Pen{}) },
		"bulge count": func() { d.Fill(draw.Path{Points: make([]draw.Point, 3), Bulges: []float64{1}}, draw.Colour{}) },
		"no width":    func() { draw.Plot{}.Draw() },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			misuse()
		}()
	}
}

// The widths a layout is made from are those the page shows.
func TestWidthIsThatOfThePage(t *testing.T) {
	document := draw.NewPDF("", "")
	document.AddPage()
	for _, font := range []draw.Font{{Size: 3}, {Size: 2.6, Bold: true}, {Size: 4, Italic: true}, {Size: 3, Mono: true}} {
		for _, text := range []string{"63", "one slider at full boost", "2.2 µF ≤ 4k7 Ω", ""} {
			draw.SetFont(document, font)
			page, own := document.GetStringWidth(text), font.Width(text)
			if d := own - page; d > 0.02*font.Size || d < -0.02*font.Size {
				t.Errorf("%+v %q: %g mm, the page says %g", font, text, own, page)
			}
		}
	}
}
