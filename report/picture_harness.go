package report

import (
	"slices"
	"strings"

	"bandwright/bench"
	"bandwright/draw"
	"bandwright/wiring"
)

// The harness's lengths, mm.
const (
	lugRow    = 5.0  // of one conductor at a lug
	lugWide   = 30.0 // of a lug's box
	wordsWide = 40.0 // beside it, for a run's words
	harnessUp = 8.0
	keyHigh   = 16.0
)

// wire is one conductor of the picture: a run, or a link of the amplifier.
type wire struct {
	words    string
	ends     [2]string
	kind     wiring.Kind
	screenAt [2]bool
	link     bool
	pen      draw.Pen
	removed  bool
}

// HarnessDrawing draws every run from lug to lug, so wide: each lug once, boards
// and switches as boxes, a lane for every run so that none lies on another. What
// is not yet made is dashed, what is removed dotted and struck through; a
// screen is a sheath that ends in a bar where it is soldered. Black on white.
func HarnessDrawing(a *bench.RunsAnswer, width float64) *draw.Drawing {
	h := &harness{width: width, wires: wiresOf(a)}
	h.place()
	d := &draw.Drawing{Width: width, Height: h.height + keyHigh, ID: "harness", Title: "The harness",
		Desc: "Every run from lug to lug with its name and colour; dashed is not yet made, dotted and struck through is removed"}
	for lane, w := range h.wires {
		h.draw(d, w, lane)
	}
	h.lugs(d)
	h.key(d)
	return d
}

func wiresOf(a *bench.RunsAnswer) (list []wire) {
	for _, r := range a.Runs {
		w := wire{words: strings.TrimSpace(r.Name + " " + r.Colour), ends: [2]string{r.From, r.To}, kind: r.Kind, pen: draw.Pen{Width: 0.35}}
		if len(r.ScreenAt) > 0 {
			w.words += ", screen at " + strings.Join(r.ScreenAt, " and ")
		}
		if r.Mains {
			w.words = "MAINS " + w.words
		}
		w.screenAt = [2]bool{r.Screen == bench.ScreenFrom || r.Screen == bench.ScreenBoth, r.Screen == bench.ScreenTo || r.Screen == bench.ScreenBoth}
		if r.Kind == wiring.Strap || r.Kind == wiring.Earth {
			w.pen.Width = 0.7
		}
		list = append(list, w.in(r.State))
	}
	for _, l := range a.Links {
		w := wire{words: strings.TrimSpace("link " + l.Colour), ends: [2]string{l.From, l.To}, link: true, pen: draw.Pen{Width: 0.35}}
		list = append(list, w.in(l.State))
	}
	return list
}

// in gives a wire the line of its state.
func (w wire) in(s wiring.State) wire {
	switch s {
	case wiring.Made:
	case wiring.Removed:
		w.pen.Pattern, w.removed = draw.Dotted, true
	default:
		w.pen.Pattern = draw.Dashed
	}
	return w
}

// harness is a picture in the making.
type harness struct {
	width, height float64
	wires         []wire
	boxes         [2][]*lugBox // left and right
}

// lugBox is a board, a switch or a jack with its lugs in order.
type lugBox struct{ lugs []*lugPlace }

// lugPlace is one lug: where its conductors end, from the top, and how many
// have been drawn.
type lugPlace struct {
	name  string
	top   float64
	ends  int
	taken int
	right bool
}

// boxName is the part that a lug is of: what stands before its last point, or
// the lug itself.
func boxName(lug string) string {
	if i := strings.LastIndex(lug, "."); i > 0 {
		return lug[:i]
	}
	return lug
}

// place sorts the lugs into boxes and the boxes onto two sides, each where most
// of its runs lead across.
func (h *harness) place() {
	var boxes []*lugBox
	at := map[string]*lugBox{}
	for _, w := range h.wires {
		for _, lug := range w.ends {
			name := boxName(lug)
			b := at[name]
			if b == nil {
				b = &lugBox{}
				at[name], boxes = b, append(boxes, b)
			}
			b.end(lug)
		}
	}
	left := map[string]bool{}
	for _, b := range boxes {
		across := 0 // runs to lugs that stand at the left already, less those at the right
		for _, w := range h.wires {
			for end, lug := range w.ends {
				other, placed := left[w.ends[1-end]]
				if b.has(lug) && placed {
					across += map[bool]int{true: 1, false: -1}[other]
				}
			}
		}
		right := across > 0 || across == 0 && h.high(1) < h.high(0)
		side := 0
		if right {
			side = 1
		}
		h.boxes[side] = append(h.boxes[side], b)
		for _, l := range b.lugs {
			l.right, left[l.name] = right, !right
		}
	}
	h.stack()
}

func (b *lugBox) has(lug string) bool {
	return slices.ContainsFunc(b.lugs, func(l *lugPlace) bool { return l.name == lug })
}

// end notes one more conductor at a lug.
func (b *lugBox) end(lug string) {
	for _, l := range b.lugs {
		if l.name == lug {
			l.ends++
			return
		}
	}
	b.lugs = append(b.lugs, &lugPlace{name: lug, ends: 1})
}

func (b *lugBox) high() (rows float64) {
	for _, l := range b.lugs {
		rows += float64(l.ends)
	}
	return rows*lugRow + 3
}

func (h *harness) high(side int) (sum float64) {
	for _, b := range h.boxes[side] {
		sum += b.high()
	}
	return sum
}

// stack gives every lug its height.
func (h *harness) stack() {
	for side := range h.boxes {
		y := harnessUp
		for _, b := range h.boxes[side] {
			for _, l := range b.lugs {
				l.top = y
				y += float64(l.ends) * lugRow
			}
			y += 3
		}
		h.height = max(h.height, y)
	}
}

func (h *harness) lug(name string) *lugPlace {
	for side := range h.boxes {
		for _, b := range h.boxes[side] {
			for _, l := range b.lugs {
				if l.name == name {
					return l
				}
			}
		}
	}
	panic("report: a wire ends at no lug")
}

// take gives the place where the next conductor of a lug ends.
func (h *harness) take(name string) (at draw.Point, way float64) {
	l := h.lug(name)
	at = draw.Point{X: lugWide, Y: l.top + (float64(l.taken)+0.6)*lugRow}
	l.taken++
	if l.right {
		at.X = h.width - lugWide
		return at, -1
	}
	return at, 1
}

// draw draws one wire in its lane.
func (h *harness) draw(d *draw.Drawing, w wire, lane int) {
	room := h.width - 2*(lugWide+wordsWide)
	x := lugWide + wordsWide + room*(float64(lane)+0.5)/float64(len(h.wires))
	from, way := h.take(w.ends[0])
	to, back := h.take(w.ends[1])
	path := draw.Path{Points: []draw.Point{from, {X: x, Y: from.Y}, {X: x, Y: to.Y}, to}}
	if w.kind == wiring.Screened {
		sheath := draw.Path{Points: []draw.Point{{X: from.X + 3*way, Y: from.Y}, path.Points[1], path.Points[2], {X: to.X + 3*back, Y: to.Y}}}
		d.Stroke(sheath, draw.Pen{Width: 1.7})
		d.Stroke(sheath, draw.Pen{Width: 1.3, Colour: draw.Grey(0xff)})
		for end, at := range [...]draw.Point{sheath.Points[0], sheath.Points[3]} {
			if w.screenAt[end] { // soldered: a bar down to its lug
				d.Stroke(draw.Line(draw.Point{X: at.X, Y: at.Y + 0.8}, draw.Point{X: at.X, Y: at.Y + 2}), draw.Pen{Width: 0.35})
				d.Stroke(draw.Line(draw.Point{X: at.X - 0.9, Y: at.Y + 2}, draw.Point{X: at.X + 0.9, Y: at.Y + 2}), draw.Pen{Width: 0.35})
			}
		}
	}
	d.Stroke(path, w.pen)
	if w.removed {
		const arm = 1.2
		y := (from.Y + to.Y) / 2
		d.Stroke(draw.Line(draw.Point{X: x - arm, Y: y - arm}, draw.Point{X: x + arm, Y: y + arm}), draw.Pen{Width: 0.35})
		d.Stroke(draw.Line(draw.Point{X: x - arm, Y: y + arm}, draw.Point{X: x + arm, Y: y - arm}), draw.Pen{Width: 0.35})
	}
	font := draw.Font{Size: 2.3, Bold: w.kind == "" || strings.HasPrefix(w.words, "MAINS ")}
	at := draw.Point{X: from.X + 4.5*way, Y: from.Y - 1.1}
	if way < 0 {
		font.Anchor = draw.Finish
	}
	d.Text(at, w.words, font)
}

// lugs draws the boxes and their lugs' names over the ends of the wires.
func (h *harness) lugs(d *draw.Drawing) {
	for side := range h.boxes {
		x, edge, anchor := 0.5, lugWide, draw.Finish
		if side == 1 {
			x, edge, anchor = h.width-lugWide, h.width-lugWide, draw.Start
		}
		for _, b := range h.boxes[side] {
			low := b.lugs[len(b.lugs)-1]
			box := draw.Rect{Min: draw.Point{X: x, Y: b.lugs[0].top}, Max: draw.Point{X: x + lugWide - 0.5, Y: low.top + float64(low.ends)*lugRow}}
			d.Stroke(draw.Box(box), draw.Pen{Width: 0.25})
			for _, l := range b.lugs {
				inward := map[bool]float64{true: 1.5, false: -1.5}[l.right]
				d.Text(draw.Point{X: edge + inward, Y: l.top + 0.6*lugRow + 0.8}, l.name, draw.Font{Size: 2.6, Anchor: anchor})
				for n := range l.ends {
					d.Fill(draw.Circle(draw.Point{X: edge, Y: l.top + (float64(n)+0.6)*lugRow}, 0.7), draw.Colour{})
				}
			}
		}
	}
}

// key says what the lines are.
func (h *harness) key(d *draw.Drawing) {
	y := h.height + 5
	x := 2.0
	for _, k := range []struct {
		words string
		pen   draw.Pen
	}{{"made", draw.Pen{Width: 0.35}}, {"not yet", draw.Pen{Width: 0.35, Pattern: draw.Dashed}},
		{"removed", draw.Pen{Width: 0.35, Pattern: draw.Dotted}}, {"strap or 0 V", draw.Pen{Width: 0.7}}} {
		d.Stroke(draw.Line(draw.Point{X: x, Y: y}, draw.Point{X: x + 12, Y: y}), k.pen)
		d.Text(draw.Point{X: x + 13.5, Y: y + 0.9}, k.words, draw.Font{Size: 2.6})
		x += 17 + draw.Font{Size: 2.6}.Width(k.words)
	}
	d.Text(draw.Point{X: 2, Y: y + 6}, "A sheath is a screen; a bar at its end: soldered there, the other end cut back and sleeved. Lines join at lugs alone.", draw.Font{Size: 2.6})
}
