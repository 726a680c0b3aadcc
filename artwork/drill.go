package artwork

import (
	"math"
	"slices"

	"bandwright/finding"
)

// Drill is one line of the drill table, in the order of work.
type Drill struct {
	Size    float64  `json:"size"`            // mm
	Count   int      `json:"count"`           // of holes
	Bit     float64  `json:"bit"`             // owned, nearest to it and not above; 0: none
	Pilot   bool     `json:"pilot"`           // first with the pilot bit
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
