package bench

import (
	"context"

	"bandwright/artwork"
	"bandwright/draw"
	"bandwright/finding"
	"bandwright/quantity"
)

// DrillQuestion asks what to drill, with which bit, in which order.
type DrillQuestion struct{ Print PrintQuestion }

// DrillAnswer is the drill table, in the order of work.
type DrillAnswer struct {
	Table   []artwork.Drill `json:"table"`
	Spots   []artwork.Spot  `json:"spots"`
	Old     []string        `json:"old"`   // holes that are there already
	Bits    []float64       `json:"bits"`  // owned, mm
	Swarf   string          `json:"swarf"` // what to mind
	Print   PrintAnswer     `json:"print"`
	Written []string        `json:"written"` // files, by the door

	panel artwork.Panel
	print artwork.Print
}

// Pages are the places to drill, on paper.
func (a *DrillAnswer) Pages() draw.Pages { return a.panel.DrillPages(a.print, a.Bits) }

// Whole is one drawing of them for machines.
func (a *DrillAnswer) Whole() *draw.Drawing { return a.panel.WholeDrill(a.Bits) }

// Drill lists the holes of the panel.
func (c *Case) Drill(ctx context.Context, q DrillQuestion) (*DrillAnswer, finding.List, error) {
	panel, found, err := c.cutPanel()
	if err != nil {
		return nil, found, err
	}
	print, err := c.print(q.Print)
	if err != nil {
		return nil, found, err
	}
	a := &DrillAnswer{Old: []string{}, Bits: []float64{}, Swarf: artwork.SwarfNote, Print: printAnswer(print), Written: []string{}, panel: panel, print: print}
	for _, text := range c.job.Panel.Bits {
		size, err := quantity.ParseMetres(text)
		if err != nil {
			return nil, found, err // told already when the job was read
		}
		a.Bits = append(a.Bits, size.Millimetres())
	}
	for _, h := range panel.Holes {
		if h.Old {
			a.Old = append(a.Old, h.Name)
		}
	}
	var more finding.List
	a.Table, more = panel.DrillTable(a.Bits)
	a.Spots = panel.Spots(a.Bits)
	return a, append(found, c.inPanel(more)...), ctx.Err()
}
