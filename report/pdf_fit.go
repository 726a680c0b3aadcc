package report

import (
	"strings"

	"bandwright/draw"
)

// fit gives each column what its widest cell needs; where that is too much,
// first the type shrinks, then the columns of words are narrowed and wrapped.
func (l *layout) fit(t Table) grid {
	g := grid{Table: t, size: tableSize}
	if t.Bare {
		g.widths = []float64{bareLeft, textWidth - bareLeft}
		return g
	}
	for {
		natural, least := l.widths(g)
		if total(natural) <= textWidth {
			g.widths = loosened(natural)
			return g
		}
		// Columns of words may take several lines, as long as no word breaks
		// and those columns keep room to be read in.
		if total(least) <= textWidth*0.9 || g.size <= smallest {
			g.widths = shared(natural, least)
			return g
		}
		g.size -= 0.15
	}
}

// widths gives of each column the width that needs no line break, and the
// least that breaks no word.
func (l *layout) widths(g grid) (natural, least []float64) {
	for i, c := range g.Columns {
		widest, word := l.headWidth(g, c), 0.0
		for _, group := range g.Groups {
			for _, row := range group.Rows {
				draw.SetFont(l.pdf, g.font(c, row, row.Cells[i]))
				cell := row.Cells[i].Text
				widest = max(widest, l.pdf.GetStringWidth(cell))
				if c.Number || c.Keep {
					word = widest // numbers stay with their units
					continue
				}
				for _, w := range strings.Fields(cell) {
					word = max(word, l.pdf.GetStringWidth(w))
				}
			}
		}
		natural = append(natural, widest+2*cellPad+g.lead(i))
		least = append(least, max(word, l.headWidth(g, c))+2*cellPad+g.lead(i))
	}
	return natural, least
}

// lead is the extra space before a column of words that follows one of
// numbers, which would else touch it.
func (g grid) lead(i int) float64 {
	if i > 0 && g.Columns[i-1].Number && !g.Columns[i].Number {
		return 2.4
	}
	return 0
}

// headWidth is that of a head's longest word: heads may take several lines.
func (l *layout) headWidth(g grid, c Column) float64 {
	if g.Bare {
		return 0
	}
	draw.SetFont(l.pdf, draw.Font{Size: g.size, Bold: true})
	widest := 0.0
	for _, word := range strings.Fields(c.Head + " " + c.Unit) {
		widest = max(widest, l.pdf.GetStringWidth(word))
	}
	return widest
}

// loosened lets columns breathe where there is room, without driving a small
// table's columns apart.
func loosened(natural []float64) []float64 {
	extra := min(5, (textWidth-total(natural))/float64(len(natural)))
	for i := range natural {
		natural[i] += extra
	}
	return natural
}

// shared gives every column its least and deals out the rest by need.
func shared(natural, least []float64) []float64 {
	spare, need := textWidth-total(least), total(natural)-total(least)
	widths := make([]float64, len(least))
	for i := range widths {
		widths[i] = least[i]
		if need > 0 && spare > 0 {
			widths[i] += spare * (natural[i] - least[i]) / need
		}
		if spare < 0 {
			widths[i] *= textWidth / total(least)
		}
	}
	return widths
}

func total(widths []float64) float64 {
	sum := 0.0
	for _, w := range widths {
		sum += w
	}
	return sum
}
