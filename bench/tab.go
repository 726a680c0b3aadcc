package bench

import (
	"cmp"
	"context"

	"bandwright/artwork"
	"bandwright/draw"
	"bandwright/finding"
)

// TabQuestion asks for the flat pattern of the job's tab.
type TabQuestion struct {
	Right, Left int // how many of each hand; none at all: a right hand for every band
	Print       PrintQuestion
}

// TabAnswer is the flat pattern, mm, and how it meets the chassis.
type TabAnswer struct {
	Metal     string            `json:"metal"`
	Thickness float64           `json:"thickness"`
	Radius    float64           `json:"radius"`
	K         float64           `json:"k"`
	Length    float64           `json:"length"`
	Height    float64           `json:"height"` // of the band
	Overlap   float64           `json:"overlap"`
	Area      float64           `json:"area"` // of the sheet, mm²
	Outline   []artwork.Point   `json:"outline"`
	Bends     []TabBend         `json:"bends"`
	Folds     []float64         `json:"folds"` // of the tongues; none: they are twisted
	Gap       float64           `json:"gap"`   // between housing and band
	Outside   float64           `json:"outside"`
	Pitch     float64           `json:"pitch"` // of the tongues
	Shift     float64           `json:"shift"` // of the row of sliders, to where its slots fit best
	Slots     []artwork.SlotFit `json:"slots"`
	Right     int               `json:"right"`
	Left      int               `json:"left"`
	Print     PrintAnswer       `json:"print"`
	Heat      string            `json:"heat"`
	Written   []string          `json:"written"` // files, by the door

	pattern *artwork.Pattern
	print   artwork.Print
}

// TabBend is one bend line, from the left end of the flat sheet.
type TabBend struct {
	At        float64 `json:"at"`
	Degrees   float64 `json:"degrees"`
	Allowance float64 `json:"allowance"`
}

// Pages are the patterns on paper.
func (a *TabAnswer) Pages() draw.Pages { return a.pattern.Sheet(a.print, a.Right, a.Left) }

// Whole is one drawing of them for machines.
func (a *TabAnswer) Whole() *draw.Drawing { return a.pattern.Whole(a.Right, a.Left) }

// mostTabs is how many are drawn at once.
const mostTabs = 500

// Tab gives the flat pattern of the tab and holds it against the slots.
func (c *Case) Tab(ctx context.Context, q TabQuestion) (*TabAnswer, finding.List, error) {
	if c.job.Tab == nil {
		return nil, nil, finding.New(IDNoTab, finding.Error, finding.Place{File: c.name}, nil)
	}
	print, err := c.print(q.Print)
	if err != nil {
		return nil, nil, err
	}
	if all := q.Right + q.Left; q.Right < 0 || q.Left < 0 || all > mostTabs {
		return nil, nil, finding.New(IDTabCount, finding.Error, finding.Place{}, finding.Args{"read": all, "most": mostTabs})
	}
	if q.Right+q.Left == 0 {
		q.Right = len(c.job.Bands)
	}
	tab := tabOf(c.job.Tab)
	pattern, found, err := tab.Unfold()
	if err != nil {
		return nil, nil, c.inTab(findingsOf(err))
	}
	slots, shift, more := tab.Fit(c.tabRow())
	if found = c.inTab(append(found, more...)); found.Err() != nil {
		return nil, found, found.Err()
	}
	metal, _ := artwork.MetalNamed(tab.Metal)
	a := &TabAnswer{
		Metal: tab.Metal, Thickness: tab.Thickness, Radius: cmp.Or(tab.Radius, tab.Thickness), K: cmp.Or(tab.K, metal.K),
		Length: pattern.Length, Height: pattern.Height, Overlap: tab.Overlap, Area: pattern.Area(), Outline: pattern.Outline, Folds: append([]float64{}, pattern.Folds...),
		Gap: tab.Gap(), Outside: tab.Outside(), Pitch: tab.Pitch(), Shift: shift, Slots: slots,
		Right: q.Right, Left: q.Left, Print: printAnswer(print), Heat: artwork.HeatNote, Written: []string{}, pattern: pattern, print: print,
	}
	for _, b := range pattern.Bends {
		a.Bends = append(a.Bends, TabBend{At: b.X, Degrees: b.Degrees(), Allowance: b.Allowance})
	}
	return a, found, ctx.Err()
}

// tabRow is where the tabs stand: with a panel every slider at its place, and
// the slots that were measured.
func (c *Case) tabRow() (row []artwork.Pair) {
	at := map[string]int{}
	if c.job.Panel != nil {
		for _, s := range c.sliderPlaces() {
			at[s.Band] = len(row)
			row = append(row, artwork.Pair{Band: s.Band, At: s.X, Placed: true})
		}
	}
	for _, s := range c.job.Tab.Slots {
		i, there := at[s.Band]
		if !there {
			i = len(row)
			row = append(row, artwork.Pair{Band: s.Band})
		}
		p := &row[i]
		p.Measured, p.One, p.Two = true, s.One.Millimetres(), s.Two.Millimetres()
		p.Width, p.Length = lengthOf(s.Width), lengthOf(s.Length)
	}
	return row
}
