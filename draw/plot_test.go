package draw_test

import (
	"math"
	"strings"
	"testing"

	"bandwright/draw"
	"bandwright/golden"
)

// bells is a family of resonance-like humps, enough to fill a plot.
func bells(centres []float64, db float64) []draw.Curve {
	var hz []float64
	for i := 0; i <= 60; i++ {
		hz = append(hz, 10*math.Pow(10, float64(i)*3.5/60))
	}
	var curves []draw.Curve
	for i, centre := range centres {
		var gain []float64
		for _, f := range hz {
			x := f/centre - centre/f
			gain = append(gain, db/(1+x*x))
		}
		curves = append(curves, draw.Curve{
			Name: "full boost", Hz: hz, DB: gain,
			Pen: draw.Pen{Width: 0.35, Colour: draw.Ink(i), Pattern: draw.PatternOf(i)},
		})
	}
	return curves
}

func plot() draw.Plot {
	curves := bells([]float64{63, 1000, 6300}, 10.4)
	return draw.Plot{
		ID: "family", Title: "Three bands", Desc: "Each at full boost", Width: 170,
		LowDB: -5, HighDB: 5, Curves: curves,
		Shades: []draw.Shade{{Name: "range", Hz: curves[1].Hz, Low: bells([]float64{1000}, 8)[0].DB, High: bells([]float64{1000}, 13)[0].DB, Colour: draw.Grey(0xe8)}},
		Marks:  []draw.Mark{{Hz: 63, Label: "63"}, {Hz: 1000, Label: "1000"}, {Hz: 1100, Label: "1100"}, {Hz: 6300, Label: "6300"}},
		Notes:  []draw.Note{{Hz: 1000, DB: 10.4, Text: "top"}},
	}
}

func TestPlotSVG(t *testing.T) {
	golden.CheckNumbers(t, "plot.svg", svg(t, plot().Draw()), golden.Tolerance{Abs: 0.011})
}

func TestPlotPDFReadsBack(t *testing.T) {
	document := pdf(t, plot().Draw())
	words := strings.Fields(string(pdfTool(t, "pdftotext", document, "-layout")))
	for _, want := range []string{"dB", "Hz", "20", "50", "100", "200", "500", "1k", "2k", "5k", "10k", "20k", "−5", "0", "+5", "+10", "+15", "63", "1100", "top"} {
		found := false
		for _, word := range words {
			found = found || word == want
		}
		if !found {
			t.Errorf("%q is not among the plot's words: %q", want, words)
		}
	}
}

// listener notes the straight strokes and texts a drawing makes.
type listener struct {
	upright, level []float64
	texts          map[string]draw.Point
	points         []draw.Point
}

func (l *listener) Stroke(path draw.Path, pen draw.Pen) {
	if len(path.Points) == 2 && pen.Pattern == draw.Solid {
		a, b := path.Points[0], path.Points[1]
		if a.X == b.X {
			l.upright = append(l.upright, a.X)
		}
		if a.Y == b.Y && b.X-a.X > 50 {
			l.level = append(l.level, a.Y)
		}
	}
	if len(path.Points) > 5 {
		l.points = append(l.points, path.Points...)
	}
}
func (l *listener) Fill(draw.Path, draw.Colour) {}
func (l *listener) Text(at draw.Point, text string, _ draw.Font) {
	if l.texts == nil {
		l.texts = map[string]draw.Point{}
	}
	l.texts[text] = at
}

// IEC 60263:1982, as quoted by a second text: 25 dB are as long as one decade.
// Measured between what was drawn: the numbers and the grid lines.
func TestProportionsOfIEC60263(t *testing.T) {
	for _, width := range []float64{80, 120, 170, 250} {
		p := plot()
		p.Width, p.LowDB, p.HighDB = width, -15, 20
		var l listener
		p.Draw().Onto(&l)
		decade := l.texts["1k"].X - l.texts["100"].X
		range20 := l.texts["−10"].Y - l.texts["+10"].Y
		if got, want := range20/20*draw.StandardDB, decade; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%g mm wide: 25 dB are %g mm, a decade is %g mm", width, got, want)
		}
		p.DecadeDB = draw.WideDB
		p.LowDB, p.HighDB = -10, 10
		p.Curves, p.Shades = nil, nil
		p.Draw().Onto(&l)
		if got := l.texts["−10"].Y - l.texts["+10"].Y; math.Abs(got-2*decade) > 1e-9*decade {
			t.Errorf("%g mm wide, stretched: 20 dB are %g mm, two decades %g mm", width, got, 2*decade)
		}
	}
}

// The same measured on the finished page: the frame's own ink in the picture.
func TestProportionsOnThePage(t *testing.T) {
	p := draw.Plot{Width: 170, LowDB: -5, HighDB: 15}
	d, frame := p.DrawFramed()
	width, _, grey := picture(t, pdf(t, d))
	dark := func(x, y int) bool { return grey[y*width+x] < 0x60 }
	middleX, middleY := int(10*frame.X(35)), int(10*frame.Y(2.5))
	edge := func(x, y, dx, dy int) int {
		for n := 0; ; n++ {
			if dark(x+n*dx, y+n*dy) && dark(x+(n+1)*dx, y+(n+1)*dy) {
				return n
			}
		}
	}
	wide := edge(middleX, middleY, 1, 0) + edge(middleX, middleY, -1, 0)
	high := edge(middleX, middleY, 0, -1) + edge(middleX, middleY, 0, 1)
	decade := float64(wide) / 3
	per25 := float64(high) / (frame.HighDB - frame.LowDB) * 25
	if math.Abs(per25-decade) > 3 { // tenths of a millimetre: the line's own width
		t.Errorf("on the page 25 dB are %.1f mm, a decade %.1f mm", per25/10, decade/10)
	}
}

func TestLinesStayInTheFrame(t *testing.T) {
	p := plot()
	p.Curves = append(p.Curves, draw.Curve{
		Hz:  []float64{1, 30, 31, 32, 40, 50, 60, 70, 90000},
		DB:  []float64{0, -300, math.Inf(-1), math.NaN(), -300, 10, 11, 12, 300},
		Pen: draw.Pen{Width: 0.3},
	})
	d, frame := p.DrawFramed()
	var l listener
	d.Onto(&l)
	if len(l.points) == 0 {
		t.Fatal("nothing was drawn")
	}
	for _, at := range l.points {
		if at.X < frame.Min.X-1e-9 || at.X > frame.Max.X+1e-9 || at.Y < frame.Min.Y-1e-9 || at.Y > frame.Max.Y+1e-9 {
			t.Errorf("%v lies outside the frame %v", at, frame.Rect)
		}
	}
	if frame.Max.Y-frame.Min.Y > 200 {
		t.Errorf("a deep notch made the plot %g mm high", frame.Max.Y-frame.Min.Y)
	}
	p.MostDB = 6
	if _, capped := p.DrawFramed(); capped.LowDB != -10 && capped.LowDB != -6 || capped.HighDB > 10 {
		t.Errorf("kept to ±6 dB the axis runs from %g to %g dB", capped.LowDB, capped.HighDB)
	}
	if frame.HighDB < 10 || frame.LowDB > -20 {
		t.Errorf("the range %g to %g dB lost the curves", frame.LowDB, frame.HighDB)
	}
}

func TestMarksDoNotOverlap(t *testing.T) {
	p := draw.Plot{Width: 120, LowDB: -10, HighDB: 10}
	for hz := 25.0; hz < 20e3; hz *= math.Pow(2, 1.0/3) {
		p.Marks = append(p.Marks, draw.Mark{Hz: hz, Label: "12.5k"})
	}
	var places []draw.Point
	font := draw.Font{Size: 2.6, Bold: true}
	p.Draw().Onto(&texts{want: "12.5k", at: &places})
	if len(places) != len(p.Marks) {
		t.Fatalf("%d of %d labels were written", len(places), len(p.Marks))
	}
	for i, a := range places {
		if a.Y < 1.9 {
			t.Errorf("label %d sticks out at the top: y = %g", i, a.Y)
		}
		for _, b := range places[i+1:] {
			if math.Abs(a.X-b.X) < font.Width("12.5k") && math.Abs(a.Y-b.Y) < 2.6 {
				t.Errorf("labels at %v and %v overlap", a, b)
			}
		}
	}
}

type texts struct {
	want string
	at   *[]draw.Point
}

func (texts) Stroke(draw.Path, draw.Pen)  {}
func (texts) Fill(draw.Path, draw.Colour) {}
func (t texts) Text(at draw.Point, text string, _ draw.Font) {
	if text == t.want {
		*t.at = append(*t.at, at)
	}
}

func TestNotesDoNotOverlap(t *testing.T) {
	p := draw.Plot{Width: 120, LowDB: -10, HighDB: 10}
	for range 6 {
		p.Notes = append(p.Notes, draw.Note{Hz: 400, DB: 9, Text: "400=+1"})
	}
	var places []draw.Point
	p.Draw().Onto(&texts{want: "400=+1", at: &places})
	if len(places) != 6 {
		t.Fatalf("%d of 6 notes were written", len(places))
	}
	for i, a := range places {
		for _, b := range places[i+1:] {
			if math.Abs(a.Y-b.Y) < 2.6 {
				t.Errorf("notes at %v and %v overlap", a, b)
			}
		}
	}
}
