package report

import "bandwright/draw"

// A table's measures, mm.
const (
	cellPad   = 1.1 // either side
	cellGap   = 0.7 // over and under
	tableSize = 2.75
	bareLeft  = 32  // the first column of a table without heads
	smallest  = 2.2 // type is made smaller before words are broken
)

// grid is a table fitted to the page: its type size and column widths.
type grid struct {
	Table
	size   float64
	widths []float64
}

// table sets a table, its heads again on every page it reaches. A short table
// and a short group are not parted, a group's name stays with its first row,
// and the last row is not left alone. after is what must follow on the page
// where the table ends.
func (l *layout) table(t Table, after float64) {
	g := l.fit(t)
	l.room(l.start(g, after))
	l.caption(g)
	l.heads(g)
	for n, group := range g.Groups {
		for i, row := range group.Rows {
			last := n+1 == len(g.Groups) && i+2 >= len(group.Rows)
			if !l.room(l.needed(g, group, i, last, after)) {
				l.heads(g)
				if i > 0 && group.Name != "" {
					l.groupName(g, group.Name+" (continued)")
				}
			}
			if i == 0 && group.Name != "" {
				l.groupName(g, group.Name)
			}
			l.row(g, row)
		}
	}
	l.y += 3.5
}

const (
	keptTable = 75.0 // a table up to this height stays on one page
	keptGroup = 45.0 // and a group of rows
)

// start is the room a table needs to begin: all of it when it is short, else
// its heads and first group.
func (l *layout) start(g grid, after float64) float64 {
	heads := float64(len(l.captionLines(g)))*bodySize*lead + 0.6 + l.headHeight(g)
	whole := heads + after
	for _, group := range g.Groups {
		whole += l.groupHeight(g, group)
	}
	if whole <= keptTable || len(g.Groups) == 0 {
		return whole
	}
	return heads + l.needed(g, g.Groups[0], 0, false, 0)
}

func (l *layout) groupHeight(g grid, group Group) float64 {
	height := 0.0
	if group.Name != "" {
		height += g.size*1.3 + 2*cellGap + 1
	}
	for _, row := range group.Rows {
		height += l.rowHeight(g, row)
	}
	return height
}

// needed is the room row i of a group must find on the page it begins on.
func (l *layout) needed(g grid, group Group, i int, last bool, after float64) float64 {
	if whole := l.groupHeight(g, group); i == 0 && whole <= keptGroup {
		if last {
			whole += after
		}
		return whole
	}
	need := l.rowHeight(g, group.Rows[i])
	if i == 0 && group.Name != "" {
		need += g.size*1.3 + 2*cellGap + 1
	}
	if i == 0 || i+2 == len(group.Rows) {
		for _, row := range group.Rows[i+1 : min(i+2, len(group.Rows))] {
			need += l.rowHeight(g, row)
		}
	}
	if last {
		need += after
	}
	return need
}

func (l *layout) captionLines(g grid) []string {
	if g.Caption == "" {
		return nil
	}
	return l.wrapped(g.Caption, textWidth, captionFont())
}

func captionFont() draw.Font { return draw.Font{Size: bodySize, Bold: true, Colour: ink} }

func (l *layout) caption(g grid) {
	l.lines(l.captionLines(g), marginSide, captionFont())
	l.y += 0.6
}

func (g grid) font(c Column, row Row, cell Cell) draw.Font {
	f := draw.Font{Size: g.size, Colour: ink}
	if c.Mono {
		f.Mono, f.Size = true, g.size*0.88
	}
	if g.Bare && cell.Text == row.Cells[0].Text {
		f.Colour = soft
	}
	if row.Tone == Look || cell.Tone == Look {
		f.Bold, f.Colour = true, look
	}
	return f
}

// cells breaks a row's cells into lines.
func (l *layout) cells(g grid, row Row) (lines [][]string, most int) {
	for i, cell := range row.Cells {
		words := l.wrapped(cell.Text, g.widths[i]-2*cellPad-g.lead(i)+0.05, g.font(g.Columns[i], row, cell))
		lines = append(lines, words)
		most = max(most, len(words))
	}
	return lines, most
}

func (l *layout) rowHeight(g grid, row Row) float64 {
	_, most := l.cells(g, row)
	return float64(most)*g.size*1.3 + 2*cellGap
}

func (l *layout) row(g grid, row Row) {
	lines, most := l.cells(g, row)
	height := float64(most)*g.size*1.3 + 2*cellGap
	x := marginSide
	if row.Tone == Look {
		l.end.Fill(draw.Box(draw.Rect{Min: draw.Point{X: x, Y: l.y}, Max: draw.Point{X: x + total(g.widths), Y: l.y + height}}), lookFill)
	}
	for i, words := range lines {
		font := g.font(g.Columns[i], row, row.Cells[i])
		at := draw.Point{X: x + cellPad + g.lead(i), Y: l.y + cellGap + g.size*1.02}
		if g.Columns[i].Number {
			font.Anchor, at.X = draw.Finish, x+g.widths[i]-cellPad
		}
		for _, text := range words {
			l.end.Text(at, text, font)
			at.Y += g.size * 1.3
		}
		x += g.widths[i]
	}
	l.y += height
	l.ruled(g, draw.Pen{Width: 0.1, Colour: line})
}

func (l *layout) ruled(g grid, pen draw.Pen) {
	l.end.Stroke(draw.Line(draw.Point{X: marginSide, Y: l.y}, draw.Point{X: marginSide + total(g.widths), Y: l.y}), pen)
}

func (l *layout) groupName(g grid, name string) {
	l.y += 1
	font := draw.Font{Size: g.size, Bold: true, Colour: ink}
	l.end.Text(draw.Point{X: marginSide + cellPad, Y: l.y + cellGap + g.size*1.02}, name, font)
	l.y += g.size*1.3 + 2*cellGap
	l.ruled(g, draw.Pen{Width: 0.1, Colour: rule})
}

// headLines breaks a head at words; its unit stands on a line of its own.
func (l *layout) headLines(g grid, i int) []string {
	c := g.Columns[i]
	font := draw.Font{Size: g.size, Bold: true}
	var lines []string
	if c.Head != "" {
		lines = l.wrapped(c.Head, g.widths[i]-2*cellPad-g.lead(i)+0.05, font)
	}
	if c.Unit != "" {
		lines = append(lines, c.Unit)
	}
	return lines
}

func (l *layout) headHeight(g grid) float64 {
	if g.Bare {
		return 0
	}
	most := 0
	for i := range g.Columns {
		most = max(most, len(l.headLines(g, i)))
	}
	return float64(most)*g.size*1.25 + 2*cellGap
}

// heads sets the columns' heads down to one line, units in lighter type.
func (l *layout) heads(g grid) {
	if g.Bare {
		l.ruled(g, draw.Pen{Width: 0.3, Colour: rule})
		return
	}
	height := l.headHeight(g)
	x := marginSide
	for i, c := range g.Columns {
		lines := l.headLines(g, i)
		at := draw.Point{X: x + cellPad + g.lead(i), Y: l.y + height - cellGap - 0.3*g.size - g.size*1.25*float64(len(lines)-1)}
		font := draw.Font{Size: g.size, Bold: true, Colour: ink}
		if c.Number {
			font.Anchor, at.X = draw.Finish, x+g.widths[i]-cellPad
		}
		for n, text := range lines {
			if c.Unit != "" && n == len(lines)-1 {
				font.Bold, font.Colour = false, soft
			}
			l.end.Text(at, text, font)
			at.Y += g.size * 1.25
		}
		x += g.widths[i]
	}
	l.y += height
	l.ruled(g, draw.Pen{Width: 0.3, Colour: rule})
}
