package artwork

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bandwright/draw"
	"bandwright/finding"
)

// Drill is one line of the drill table, in the order of work.
type Drill struct {
	Size    float64  `json:"size"`            // mm
	Count   int      `json:"count"`           // of holes
	Bit     float64  `json:"bit"`             // owned, nearest to it and not above; 0: none
	Pilot   bool     `json:"pilot"`           // first with a smaller bit
	First   float64  `json:"pilot_bit"`       // owned, about half the size; 0: none
	For     []string `json:"for"`             // what the holes are
	Filing  float64  `json:"filing"`          // left to file or ream, on the diameter
	OfSlots bool     `json:"slots,omitempty"` // a row of holes that the slot is filed out of
}

// pilotFrom is the size above which a hole is begun with a smaller bit.
// Common practice, no source.
const pilotFrom = 4.0

// farOff is how much may be left to file before a bit is not near.
const farOff = 0.5

// DrillTable lists what to drill: small sizes first, since a large hole moves
// the sheet under the small one. A slot is drilled at its two ends with a bit
// of its width and sawn or filed between. Old holes are left out.
func (p Panel) DrillTable(owned []float64) ([]Drill, finding.List) {
	bySize := map[float64]*Drill{}
	var sizes []float64
	for _, c := range p.cuts() {
		if c.old {
			continue
		}
		size := 2 * c.radius
		d := bySize[size]
		if d == nil {
			d = &Drill{Size: size, Pilot: size > pilotFrom}
			bySize[size], sizes = d, append(sizes, size)
		}
		d.Count++
		if c.a != c.b {
			d.Count++
			d.OfSlots = true
		}
		d.For = append(d.For, c.name)
	}
	slices.Sort(sizes)
	var list []Drill
	var found finding.List
	for _, size := range sizes {
		d := bySize[size]
		d.Bit = nearestBelow(owned, size)
		d.Filing = size - d.Bit
		if d.Pilot {
			d.First = nearestBelow(owned, size/2)
		}
		if d.Bit == 0 || d.Filing > farOff {
			found = append(found, finding.New(IDNoBit, finding.Warning, finding.Place{}, finding.Args{"size": size, "nearest": d.Bit}))
		}
		list = append(list, *d)
	}
	return list, found
}

func nearestBelow(owned []float64, size float64) (bit float64) {
	for _, o := range owned {
		if o <= size+1e-9 {
			bit = math.Max(bit, o)
		}
	}
	return bit
}

// Spot is a place to set the bit on, in the order of work.
type Spot struct {
	Number int     `json:"number"`
	Name   string  `json:"name"`
	Across float64 `json:"across"`
	Down   float64 `json:"down"`
	Size   float64 `json:"size"`
	Bit    float64 `json:"bit"`
}

// Spots lists every place to drill: by size, as the table has them, and within
// a size from left to right in rows from the top.
func (p Panel) Spots(owned []float64) (list []Spot) {
	for _, c := range p.cuts() {
		if c.old {
			continue
		}
		ends := []Point{c.a, c.b}
		if c.a == c.b {
			ends = ends[:1]
		}
		for _, end := range ends {
			list = append(list, Spot{Name: c.name, Across: end.X, Down: end.Y, Size: 2 * c.radius, Bit: nearestBelow(owned, 2*c.radius)})
		}
	}
	slices.SortStableFunc(list, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(a.Size, b.Size), cmp.Compare(a.Down, b.Down), cmp.Compare(a.Across, b.Across))
	})
	for i := range list {
		list[i].Number = i + 1
	}
	return list
}

// SwarfNote is what to mind when metal is drilled near an amplifier.
const SwarfNote = "Drill with the amplifier unplugged and out of reach, or covered to the last joint; punch every middle first; vacuum, inspect, and drill nothing over an open chassis: no swarf may stay. Dress every edge."

// swarfShort is SwarfNote for the foot of a page.
const swarfShort = "Drill unplugged, with the chassis covered; punch every middle; vacuum and inspect: no swarf may stay. Dress every edge."

// DrillPages gives the pages to drill from at true size: every middle with a
// cross, its number in the order of work and its size.
func (p Panel) DrillPages(print Print, owned []float64) draw.Pages {
	return p.drilling(owned).pages(print)
}

// WholeDrill gives them as one drawing at true size, for machines.
func (p Panel) WholeDrill(owned []float64) *draw.Drawing { return p.drilling(owned).whole() }

func (p Panel) drilling(owned []float64) picture {
	return picture{"drill", "Holes in the order of work, true size", "A circle and a cross at each place to drill, numbered",
		p.Width, p.Height, func(s *sheet) {
			s.ring(thinPen, Point{0, 0}, Point{p.Width, 0}, Point{p.Width, p.Height}, Point{0, p.Height})
			for _, spot := range p.Spots(owned) {
				at := Point{spot.Across, spot.Down}
				c := cut{a: at, b: at, radius: spot.Size / 2}
				s.cut(cutPen, c)
				s.crosses(c)
				s.letter(letter{text: fmt.Sprintf("%d", spot.Number), at: Point{at.X + c.radius + 0.6, at.Y - 0.6}, size: scaleSize})
			}
		}, swarfShort}
}
