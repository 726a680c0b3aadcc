package bench

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/artwork"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// What can be wrong with a question about the metalwork, and what its answers
// warn of.
const (
	// IDNoTab (error): the job says nothing of a tab. No args.
	IDNoTab finding.ID = "bench.no-tab"
	// IDNoPanel (error): the job says nothing of a panel. No args.
	IDNoPanel finding.ID = "bench.no-panel"
	// IDPaper (error): no such paper. read, known.
	IDPaper finding.ID = "bench.paper"
	// IDCheckBar (error): no check bar measures so much. which ("across",
	// "down"); read: mm.
	IDCheckBar finding.ID = "bench.check-bar"
	// IDTabCount (error): so many tabs are not drawn. read, most.
	IDTabCount finding.ID = "bench.tab-count"
	// IDNoTravel (error): nobody has told how far a slider travels. Place: the band.
	IDNoTravel finding.ID = "bench.no-travel"
	// IDNoCentre (warning): the band has no centre, and its slider no scale.
	// Place: the band.
	IDNoCentre finding.ID = "bench.no-centre"
	// IDNotMeasured (warning): no curve shows a band's centre; its stated
	// frequency is lettered. Place: the band. unit.
	IDNotMeasured finding.ID = "bench.not-measured"
	// IDNoNewHole (warning): a part is moved and the panel has no new hole for it.
	// Place: the part.
	IDNoNewHole finding.ID = "bench.no-new-hole"
)

// PrintQuestion says how templates are printed; what is left out, the job says.
type PrintQuestion struct {
	Paper     string
	BarAcross float64 // measured of 100 mm, mm; 0: as in the job
	BarDown   float64
}

// PrintAnswer is the paper and what makes up for the printer.
type PrintAnswer struct {
	Paper  string  `json:"paper"`
	Across float64 `json:"factor_across"`
	Down   float64 `json:"factor_down"`
}

// print says the paper in artwork's terms.
func (c *Case) print(q PrintQuestion) (artwork.Print, error) {
	p := c.job.Print
	papers := artwork.Papers()
	name := cmp.Or(q.Paper, p.Paper, papers[0].Name)
	i := slices.IndexFunc(papers, func(p artwork.Paper) bool { return p.Name == name })
	var found finding.List
	if i < 0 {
		found = append(found, finding.New(IDPaper, finding.Error, finding.Place{}, finding.Args{"read": name, "known": papersKnown(papers)}))
	}
	for _, bar := range [...]struct {
		which string
		read  float64
	}{{"across", q.BarAcross}, {"down", q.BarDown}} {
		if bar.read != 0 && !(bar.read >= leastBar && bar.read <= mostBar) {
			found = append(found, finding.New(IDCheckBar, finding.Error, finding.Place{}, finding.Args{"which": bar.which, "read": bar.read}))
		}
	}
	if err := found.Err(); err != nil {
		return artwork.Print{}, err
	}
	return artwork.Print{Paper: papers[i], Of: c.titled(),
		Across: artwork.FactorOf(cmp.Or(q.BarAcross, lengthOf(p.BarAcross))),
		Down:   artwork.FactorOf(cmp.Or(q.BarDown, lengthOf(p.BarDown)))}, nil
}

// mostTitle is how much of a title a page has room for, letters.
const mostTitle = 60

// titled is the job's title as a page has it: an invented job says so.
func (c *Case) titled() string {
	title := []rune(c.job.Title)
	if len(title) > mostTitle {
		title = append(title[:mostTitle-1:mostTitle-1], '…')
	}
	if c.job.Invented && !strings.Contains(string(title), "invented") {
		return string(title) + " (invented)"
	}
	return string(title)
}

// A bar that measures less or more is no printer's error. As job has them.
const leastBar, mostBar = 90, 110

func papersKnown(papers []artwork.Paper) string {
	var names []string
	for _, p := range papers {
		names = append(names, p.Name)
	}
	return strings.Join(names, ", ")
}

func printAnswer(p artwork.Print) PrintAnswer {
	return PrintAnswer{Paper: p.Paper.Name, Across: p.Across, Down: p.Down}
}

// lengthOf gives an optional length in millimetres; nil: 0.
func lengthOf(v *quantity.Metres) float64 { return given(v).Millimetres() }

// Metalwork that is left blank. Common practice, no source.
const (
	usualOverlap   = 5.0
	usualMargin    = 1.0
	usualScrewHole = 3.2
	usualAir       = 3.0
	usualScaleStep = 2.0
)

// or gives an optional length in millimetres, or what is usual.
func or(v *quantity.Metres, usual float64) float64 {
	if v == nil {
		return usual
	}
	return v.Millimetres()
}

// inPanel gives findings about the panel their line: of the hole, the slider
// or the pile that is named, else of the table.
func (c *Case) inPanel(list finding.List) finding.List {
	p := c.job.Panel
	list = slices.Clone(list)
	for i := range list {
		at := &list[i].Place
		at.File, at.Line = c.name, p.Line
		for _, h := range p.Holes {
			if h.Name == at.Part {
				at.Line = h.Line
			}
		}
		for _, b := range p.Behind {
			if b.Name == at.Part {
				at.Line = b.Line
			}
		}
		for _, s := range p.Sliders {
			if sliderOf(at.Part) == s.Band || at.Band == s.Band {
				at.Line = s.Line
			}
		}
	}
	return list
}

// sliderOf gives the band of a cut that artwork names "slot 63", "screw 63.1"
// or "slider 63"; "": it is of none.
func sliderOf(part string) string {
	kind, rest, _ := strings.Cut(part, " ")
	switch kind {
	case "slot", "slider":
		return rest
	case "screw":
		return rest[:max(0, strings.LastIndex(rest, "."))]
	}
	return ""
}

// inTab is inPanel of the tab.
func (c *Case) inTab(list finding.List) finding.List {
	t := c.job.Tab
	list = slices.Clone(list)
	for i := range list {
		at := &list[i].Place
		at.File, at.Line = c.name, t.Line
		for _, s := range t.Slots {
			if at.Band == s.Band || strings.HasPrefix(at.Part, "slot "+s.Band+".") {
				at.Line = s.Line
			}
		}
	}
	return list
}

// tabOf says the job's tab in artwork's terms.
func tabOf(t *job.Tab) artwork.Tab {
	k := 0.0
	if t.K != nil {
		k = *t.K
	}
	return artwork.Tab{
		Metal: t.Metal, Thickness: t.Thickness.Millimetres(), Radius: lengthOf(t.Radius), K: k,
		Housing: artwork.Housing{Width: t.Housing.Width.Millimetres(), Depth: t.Housing.Depth.Millimetres(), Corner: lengthOf(t.Housing.Corner)},
		Height:  t.Height.Millimetres(), Overlap: or(t.Overlap, usualOverlap),
		Tongue: artwork.Tongue{Width: t.Tongue.Width.Millimetres(), Beyond: t.Tongue.Beyond.Millimetres(), Fold: t.Tongue.Held == "fold"},
		Slots: artwork.Slots{Chassis: t.Chassis.Millimetres(), Width: lengthOf(t.SlotWidth), Length: lengthOf(t.SlotLength),
			Pitch: lengthOf(t.SlotPitch)},
	}
}
