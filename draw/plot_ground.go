package draw

import "slices"

// grid draws the graph paper and its numbers: fine lines first, so that bold
// ones stay whole, and the line of no change boldest.
func (p Plot) grid(d *Drawing, f Frame, levels []Tick) {
	label := Font{Size: bodySize, Colour: ink}
	frequencies := FrequencyTicks(f.LowHz, f.HighHz)
	for _, major := range [...]bool{false, true} {
		pen := Pen{Width: 0.1, Colour: gridFine}
		if major {
			pen = Pen{Width: 0.14, Colour: gridBold}
		}
		for _, t := range frequencies {
			if x := f.X(t.Value); t.Major == major && x > f.Min.X && x < f.Max.X {
				d.Stroke(Line(Point{x, f.Min.Y}, Point{x, f.Max.Y}), pen)
			}
		}
		for _, t := range levels {
			if y := f.Y(t.Value); t.Major == major && y > f.Min.Y && y < f.Max.Y {
				d.Stroke(Line(Point{f.Min.X, y}, Point{f.Max.X, y}), pen)
			}
		}
	}
	if f.LowDB < 0 && f.HighDB > 0 {
		d.Stroke(Line(Point{f.Min.X, f.Y(0)}, Point{f.Max.X, f.Y(0)}), Pen{Width: 0.25, Colour: markLine})
	}
	label.Anchor = Finish
	for _, t := range levels {
		d.Text(Point{f.Min.X - 1.2, f.Y(t.Value) + 0.36*bodySize}, t.Label, label)
	}
	// The units stand once, at the head of one axis and the foot of the other.
	d.Text(Point{f.Min.X - 1.2, f.Min.Y - 2.2}, "dB", label)
	label.Anchor = Middle
	for _, t := range frequencies {
		d.Text(Point{f.X(t.Value), f.Max.Y + 3.4}, t.Label, label)
	}
	label.Anchor = Finish
	d.Text(Point{f.Min.X - 3.4, f.Max.Y + 3.4}, "Hz", label)
}

// marks draws the stated frequencies, their labels on as many rows over the
// frame as they need to stay apart.
func (p Plot) marks(d *Drawing, f Frame) {
	font := Font{Size: bodySize, Bold: true, Colour: ink, Anchor: Middle}
	rows := p.rowOfMarks((f.Max.X - f.Min.X) / decades(f.LowHz, f.HighHz))
	for i, m := range p.Marks {
		if m.Hz < f.LowHz || m.Hz > f.HighHz {
			continue
		}
		x := f.X(m.Hz)
		y := f.Min.Y - 2.2 - markRow*float64(rows[i])
		d.Stroke(Line(Point{x, f.Min.Y}, Point{x, f.Max.Y}), Pen{Width: 0.15, Colour: markLine, Pattern: Dotted})
		d.Fill(Polygon(Point{x - 0.8, f.Min.Y - 1.5}, Point{x + 0.8, f.Min.Y - 1.5}, Point{x, f.Min.Y - 0.2}), ink)
		d.Text(Point{x, y}, m.Label, font)
	}
}

// markRows says how many rows of labels the marks need above the first.
func (p Plot) markRows(decade float64) int {
	most := 0
	for _, row := range p.rowOfMarks(decade) {
		most = max(most, row)
	}
	return most
}

// rowOfMarks puts each label on the lowest row where it is clear of the one
// before it.
func (p Plot) rowOfMarks(decade float64) []int {
	font := Font{Size: bodySize, Bold: true}
	rows := make([]int, len(p.Marks))
	var ends []float64 // of the last label on each row, mm from the axis' start
	for i, m := range p.Marks {
		if !(m.Hz > 0) {
			panic("draw: a mark needs a frequency")
		}
		half := font.Width(m.Label)*0.55 + 0.8
		at := decades(p.LowHz, m.Hz) * decade
		row := 0
		for row < len(ends) && at-half < ends[row] {
			row++
		}
		if row == len(ends) {
			ends = append(ends, 0)
		}
		ends[row], rows[i] = at+half, row
	}
	return rows
}

// notes writes the direct labels, each on a slip of white so that a line
// behind it does not cross the letters, and moved off those before it.
func (p Plot) notes(d *Drawing, f Frame) {
	font := Font{Size: bodySize, Colour: ink, Anchor: Middle}
	var taken []Rect
	for _, n := range p.Notes {
		half := font.Width(n.Text)*0.55 + 0.5
		x := min(max(f.X(n.Hz), f.Min.X+half), f.Max.X-half)
		slip := freeSlip(Point{x, f.Y(n.DB) - 1.2}, half, f.Rect, taken)
		taken = append(taken, slip)
		d.Fill(Box(slip), white)
		d.Text(Point{x, slip.Max.Y - 0.25*bodySize}, n.Text, font)
	}
}

// freeSlip gives the place for a label nearest the one wished for, inside the
// frame and clear of those taken; where all is full, the one wished for.
func freeSlip(at Point, half float64, frame Rect, taken []Rect) Rect {
	within := func(y float64) float64 {
		return min(max(y, frame.Min.Y+0.9*bodySize), frame.Max.Y-0.35*bodySize)
	}
	at.Y = within(at.Y)
	slip := func(y float64) Rect {
		y = within(y)
		return Rect{Point{at.X - half, y - 0.8*bodySize}, Point{at.X + half, y + 0.25*bodySize}}
	}
	for step := range 24 {
		for _, side := range [...]float64{-1, 1} {
			r := slip(at.Y + side*float64(step)*0.55*bodySize)
			if !slices.ContainsFunc(taken, r.overlaps) {
				return r
			}
		}
	}
	return slip(at.Y)
}

func (r Rect) overlaps(o Rect) bool {
	return r.Min.X < o.Max.X && o.Min.X < r.Max.X && r.Min.Y < o.Max.Y && o.Min.Y < r.Max.Y
}

// legend shows each named line and range once under the frame, as many to a
// row as fit, and gives the height the whole drawing came to.
func (p Plot) legend(d *Drawing, f Frame) float64 {
	const sample, gap = 10.0, 1.4
	font := Font{Size: bodySize, Colour: ink}
	x, y := f.Min.X, f.Max.Y+4.6
	shown := map[string]bool{"": true}
	place := func(name string) (Point, bool) {
		if shown[name] {
			return Point{}, false
		}
		shown[name] = true
		width := sample + gap + font.Width(name)*1.2 + 3
		if x == f.Min.X || x+width > p.Width {
			x, y = f.Min.X, y+legendRow
		}
		at := Point{x, y}
		d.Text(Point{x + sample + gap, y}, name, font)
		x += width
		return at, true
	}
	for _, c := range p.Curves {
		if at, ok := place(c.Name); ok {
			level := at.Y - 0.34*bodySize
			d.Stroke(Line(Point{at.X, level}, Point{at.X + sample, level}), c.Pen)
		}
	}
	for _, s := range p.Shades {
		if at, ok := place(s.Name); ok {
			box := Box(Rect{Point{at.X, at.Y - 0.8*bodySize}, Point{at.X + sample, at.Y + 0.1*bodySize}})
			d.Fill(box, s.Colour)
			d.Stroke(box, Pen{Width: 0.1, Colour: markLine})
		}
	}
	return y + 1.6
}
