package artwork

import (
	"cmp"
	"math"
	"slices"

	"bandwright/draw"
	"bandwright/finding"
)

// Face gives the pages of the panel's artwork: every slider's dB scale from its
// own taper, its label, the holes' words and lettering of its own.
func (p Panel) Face(print Print) draw.Pages { return p.face().pages(print) }

// WholeFace gives the artwork as one drawing at true size, for machines.
func (p Panel) WholeFace() *draw.Drawing { return p.face().whole() }

// Picture is the artwork alone, without check bars, to stand on a sheet.
func (p Panel) Picture() *draw.Drawing {
	of := p.face()
	d := &draw.Drawing{Width: p.Width, Height: p.Height, ID: of.id, Title: of.title, Desc: of.desc}
	p.ontoFace(&sheet{Drawing: d, across: 1, down: 1, window: draw.Rect{Max: draw.Point{X: p.Width, Y: p.Height}}})
	return d
}

func (p Panel) face() picture {
	return picture{"panel-face", "Panel artwork, true size", "Each slider with its scale in decibels and its frequency",
		p.Width, p.Height, p.ontoFace, ""}
}

func (p Panel) ontoFace(s *sheet) {
	s.ring(thinPen, Point{0, 0}, Point{p.Width, 0}, Point{p.Width, p.Height}, Point{0, p.Height})
	for _, c := range p.cuts() {
		if !c.old {
			s.cut(thinPen, c)
		}
	}
	for _, slider := range p.Sliders {
		for _, m := range slider.Marks {
			from, to := slider.line(m)
			s.line(cutPen, from, to)
		}
	}
	for _, l := range p.letters() {
		s.letter(l)
	}
}

// The scale stands at the left of its slot, the nought's line longest.
const (
	nearSlot  = 1.0
	shortLine = 2.0
	longLine  = 3.5
	scaleSize = 2.0
	labelSize = 3.2
	wordSize  = 3.0
)

// line is where a mark's line begins and ends.
func (s Slider) line(m Mark) (from, to Point) {
	left, length := s.X-s.SlotWidth/2-nearSlot, shortLine
	if m.DB == 0 {
		length = longLine
	}
	y := s.At(m.Travel).Y
	return Point{left - length, y}, Point{left, y}
}

// letter is one text of the face: the place of its foot, and which end of it
// stands there.
type letter struct {
	text   string
	at     Point
	size   float64
	anchor draw.Anchor
	scale  bool // a figure of a dB scale, which was thinned out already
}

// box is what a text covers; letters stand about 0.72 of their body high.
func (l letter) box() draw.Rect {
	wide := draw.Font{Size: l.size}.Width(l.text)
	left := l.at.X
	switch l.anchor {
	case draw.Middle:
		left -= wide / 2
	case draw.Finish:
		left -= wide
	}
	return draw.Rect{Min: draw.Point{X: left, Y: l.at.Y - 0.72*l.size}, Max: draw.Point{X: left + wide, Y: l.at.Y}}
}

// letters are all texts of the face.
func (p Panel) letters() (list []letter) {
	for _, s := range p.Sliders {
		list = append(list, s.figures()...)
		if s.Label != "" {
			low := math.Max(s.SlotLength(), s.Screws+s.ScrewSize) / 2
			list = append(list, letter{text: s.Label, at: Point{s.X, s.Y + low + 5}, size: labelSize, anchor: draw.Middle})
		}
	}
	for _, h := range p.Holes {
		if h.Label != "" {
			list = append(list, letter{text: h.Label, at: Point{h.X, h.Y + h.Size/2 + 4}, size: wordSize, anchor: draw.Middle})
		}
	}
	for _, t := range p.Texts {
		list = append(list, letter{text: t.Text, at: Point{t.X, t.Y}, size: cmp.Or(t.Size, wordSize), anchor: draw.Middle})
	}
	return list
}

// figures letters the marks of a scale that have room: nought first, then from
// the ends inwards; a mark between two figures that stand close has its line
// alone.
func (s Slider) figures() (list []letter) {
	marks := slices.Clone(s.Marks)
	slices.SortStableFunc(marks, func(a, b Mark) int {
		if (a.DB == 0) != (b.DB == 0) {
			if a.DB == 0 {
				return -1
			}
			return 1
		}
		return cmp.Compare(math.Abs(b.DB), math.Abs(a.DB))
	})
	for _, m := range marks {
		from, _ := s.line(m)
		l := letter{text: draw.Signed(m.DB, places(m.DB)), at: Point{from.X - 0.6, from.Y + 0.7}, size: scaleSize, anchor: draw.Finish, scale: true}
		free := func(other letter) bool { return math.Abs(other.at.Y-l.at.Y) >= 1.05*scaleSize }
		if !slices.ContainsFunc(list, func(other letter) bool { return !free(other) }) {
			list = append(list, l)
		}
	}
	return list
}

// places is how many decimals a level needs.
func places(db float64) int {
	if db == math.Trunc(db) {
		return 0
	}
	return 1
}

// letter writes a text that begins in the window; the page that holds it whole
// shows it whole.
func (s *sheet) letter(l letter) {
	box := l.box()
	low, high := s.place(Point(box.Min)), s.place(Point(box.Max))
	if s.inside(low) && s.inside(high) {
		s.Text(s.place(l.at), l.text, draw.Font{Size: l.size, Anchor: l.anchor})
	}
}

// CheckLetters names lettering that reaches over the panel's edge, or lies over
// a cut or other lettering.
func (p Panel) CheckLetters() (found finding.List) {
	warn := func(id finding.ID, args finding.Args) {
		found = append(found, finding.New(id, finding.Warning, finding.Place{}, args))
	}
	cuts, letters := p.cuts(), p.letters()
	for i, l := range letters {
		box := l.box()
		if over := math.Max(math.Max(-box.Min.X, -box.Min.Y), math.Max(box.Max.X-p.Width, box.Max.Y-p.Height)); over > 0 {
			warn(IDWordOff, finding.Args{"text": l.text, "over": over})
		}
		for _, c := range cuts {
			if overlaps(box, c.box()) {
				warn(IDWordOver, finding.Args{"text": l.text, "other": c.name})
			}
		}
		for _, other := range letters[:i] {
			if !(l.scale && other.scale) && overlaps(box, other.box()) {
				warn(IDWordOver, finding.Args{"text": l.text, "other": other.text})
			}
		}
	}
	return found
}

// box is the upright rectangle round a cut.
func (c cut) box() draw.Rect {
	return draw.Rect{Min: draw.Point{X: c.a.X - c.radius, Y: c.a.Y - c.radius}, Max: draw.Point{X: c.b.X + c.radius, Y: c.b.Y + c.radius}}
}

func overlaps(a, b draw.Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}
