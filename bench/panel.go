package bench

import (
	"cmp"
	"context"

	"bandwright/artwork"
	"bandwright/curve"
	"bandwright/draw"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// PanelQuestion asks for the panel's template and lettering.
type PanelQuestion struct{ Print PrintQuestion }

// PanelAnswer is the panel, mm from its left and upper edge.
type PanelAnswer struct {
	Width     float64       `json:"width"`
	Height    float64       `json:"height"`
	Thickness float64       `json:"thickness"`
	Sliders   []PanelSlider `json:"sliders"`
	Holes     []PanelHole   `json:"holes"`
	Lever     *PanelLever   `json:"lever"` // null: its length is not told
	Behind    []PanelBehind `json:"behind"`
	Print     PrintAnswer   `json:"print"`
	Written   []string      `json:"written"` // files, by the door

	panel artwork.Panel
	print artwork.Print
}

// PanelSlider is a slider's slot and its scale.
type PanelSlider struct {
	Band   string      `json:"band"`
	Across float64     `json:"across"`
	Down   float64     `json:"down"` // of the middle of the travel
	Travel float64     `json:"travel"`
	Slot   float64     `json:"slot"` // its length
	Label  string      `json:"label"`
	From   string      `json:"from"` // "stated", "predicted", "measured" or "own"
	AtHz   float64     `json:"at_hz"`
	Marks  []PanelMark `json:"marks"`
}

// PanelMark is one line of a dB scale: the lever stands there when the band
// curve at AtHz is so many dB, all others centred.
type PanelMark struct {
	DB     float64 `json:"db"`
	Travel float64 `json:"travel"` // −1 cut … +1 boost
	Above  float64 `json:"above"`  // mm over the middle of the travel
}

// PanelHole is a round hole.
type PanelHole struct {
	Name   string  `json:"name"`
	Across float64 `json:"across"`
	Down   float64 `json:"down"`
	Size   float64 `json:"size"`
	Old    bool    `json:"old"`
	Moved  string  `json:"moved"`
}

// PanelLever is what of the lever stands out in front.
type PanelLever struct {
	Out  float64 `json:"out"`
	Knob float64 `json:"knob"`
}

// PanelBehind is one pile behind the panel.
type PanelBehind struct {
	Name   string          `json:"name"`
	Layers []artwork.Layer `json:"layers"`
	Needs  float64         `json:"needs"`
	Air    float64         `json:"air"`
	Room   float64         `json:"room"`
	Left   float64         `json:"left"` // beyond needs and air
	To     string          `json:"to"`
}

// Template is the template on paper, WholeTemplate one drawing for machines.
func (a *PanelAnswer) Template() draw.Pages { return a.panel.Template(a.print) }

// WholeTemplate is the template as one drawing for machines.
func (a *PanelAnswer) WholeTemplate() *draw.Drawing { return a.panel.Whole() }

// Face is the lettering on paper.
func (a *PanelAnswer) Face() draw.Pages { return a.panel.Face(a.print) }

// WholeFace is the lettering as one drawing for machines.
func (a *PanelAnswer) WholeFace() *draw.Drawing { return a.panel.WholeFace() }

// Panel lays the panel out, checks it, and finds where every mark of every dB
// scale lies in this very circuit.
func (c *Case) Panel(ctx context.Context, q PanelQuestion) (*PanelAnswer, finding.List, error) {
	panel, found, err := c.cutPanel()
	if err != nil {
		return nil, found, err
	}
	print, err := c.print(q.Print)
	if err != nil {
		return nil, found, err
	}
	a := &PanelAnswer{Width: panel.Width, Height: panel.Height, Thickness: panel.Thickness,
		Print: printAnswer(print), Written: []string{}, print: print, Behind: []PanelBehind{}}
	more, err := c.scalePanel(ctx, &panel, a)
	if err != nil {
		return nil, nil, err
	}
	found = append(append(found, more...), c.inPanel(panel.CheckLetters())...)
	a.panel = panel
	found = append(found, c.inPanel(append(c.behindPanel(panel, a), c.movedParts()...))...)
	for _, h := range c.job.Panel.Holes {
		a.Holes = append(a.Holes, PanelHole{Name: h.Name, Across: h.Across.Millimetres(), Down: h.Down.Millimetres(),
			Size: h.Size.Millimetres(), Old: h.Old, Moved: h.Moved})
	}
	return a, once(found), found.Err()
}

// cutPanel says the job's panel in artwork's terms, and that it can be cut.
func (c *Case) cutPanel() (artwork.Panel, finding.List, error) {
	p := c.job.Panel
	if p == nil {
		return artwork.Panel{}, nil, finding.New(IDNoPanel, finding.Error, finding.Place{File: c.name}, nil)
	}
	panel := artwork.Panel{Width: p.Width.Millimetres(), Height: p.Height.Millimetres(), Thickness: p.Thickness.Millimetres(),
		Bridge: lengthOf(p.Bridge), Sliders: c.sliderPlaces()}
	var found finding.List
	for _, s := range panel.Sliders {
		if s.Travel == 0 {
			found = append(found, finding.New(IDNoTravel, finding.Error, finding.Place{Band: s.Band}, nil))
		}
	}
	for _, h := range p.Holes {
		panel.Holes = append(panel.Holes, artwork.Hole{Name: h.Name, X: h.Across.Millimetres(), Y: h.Down.Millimetres(),
			Size: h.Size.Millimetres(), Old: h.Old, Label: h.Label})
	}
	for _, t := range p.Texts {
		panel.Texts = append(panel.Texts, artwork.Text{Text: t.Text, X: t.Across.Millimetres(), Y: t.Down.Millimetres(), Size: lengthOf(t.Size)})
	}
	if found == nil {
		found = panel.Check()
	}
	found = c.inPanel(found)
	return panel, found, found.Err()
}

// sliderPlaces lays the sliders out in the order of the bands.
func (c *Case) sliderPlaces() (list []artwork.Slider) {
	p := c.job.Panel
	for i, b := range c.job.Bands {
		s := artwork.Slider{Band: b.Name, X: p.First.Millimetres() + float64(i)*lengthOf(p.Pitch), Y: p.Down.Millimetres(),
			Travel: lengthOf(b.Slider.Travel), Lever: p.Lever.Millimetres(), Margin: or(p.Margin, usualMargin),
			SlotWidth: p.SlotWidth.Millimetres(), Screws: lengthOf(p.Screws), ScrewSize: or(p.ScrewHole, usualScrewHole)}
		if own := c.ownSlider(b.Name); own != nil {
			s.X, s.Y, s.Travel = or(own.Across, s.X), or(own.Down, s.Y), or(own.Travel, s.Travel)
		}
		list = append(list, s)
	}
	return list
}

func (c *Case) ownSlider(band string) *job.PanelSlider {
	for i, s := range c.job.Panel.Sliders {
		if s.Band == band {
			return &c.job.Panel.Sliders[i]
		}
	}
	return nil
}

// scalePanel finds the marks and the lettering of every slider.
func (c *Case) scalePanel(ctx context.Context, panel *artwork.Panel, a *PanelAnswer) (finding.List, error) {
	features, found, err := c.equaliser.Features(ctx, c.solve, curve.Setting{})
	if err != nil {
		return nil, err
	}
	found = located(found, c.job, c.name)
	measured, err := c.measuredCentres(ctx)
	if err != nil {
		return nil, err
	}
	step := usualScaleStep
	if s := c.job.Panel.ScaleStep; s != nil {
		step = float64(*s)
	}
	for i := range panel.Sliders {
		s := &panel.Sliders[i]
		line := PanelSlider{Band: s.Band, Across: s.X, Down: s.Y, Travel: s.Travel, Slot: s.SlotLength(), Marks: []PanelMark{}}
		f := features[i]
		scale, err := c.equaliser.ScaleBy(ctx, c.solve, f, curve.Setting{}, step)
		if err != nil {
			return nil, err
		}
		if !f.Found {
			found = append(found, finding.New(IDNoCentre, finding.Warning, finding.Place{Band: s.Band}, nil))
		} else {
			line.AtHz = scale.Hz
			s.Marks = marksOf(scale)
		}
		for _, m := range s.Marks {
			line.Marks = append(line.Marks, PanelMark{DB: m.DB, Travel: m.Travel, Above: s.Y - s.At(m.Travel).Y})
		}
		more := c.label(s, &line, f, measured)
		found = append(found, c.inPanel(more)...)
		a.Sliders = append(a.Sliders, line)
	}
	return found, nil
}

// marksOf gives the marks from cut to boost, the nought among them: it lies in
// the middle of the travel, whatever the taper.
func marksOf(scale equaliser.Scale) (marks []artwork.Mark) {
	zero := false
	for _, m := range scale.Marks {
		if m.Position > 0 && !zero {
			marks, zero = append(marks, artwork.Mark{}), true
		}
		marks = append(marks, artwork.Mark{Travel: m.Position, DB: m.DB})
	}
	if !zero {
		marks = append(marks, artwork.Mark{})
	}
	return marks
}

// label letters a slider: its own words, or a frequency.
func (c *Case) label(s *artwork.Slider, line *PanelSlider, f equaliser.Feature, measured map[string]float64) (found finding.List) {
	if own := c.ownSlider(s.Band); own != nil && own.Label != "" {
		s.Label, line.Label, line.From = own.Label, own.Label, "own"
		return nil
	}
	hz, digits := f.StatedHz, 4
	line.From = cmp.Or(c.job.Panel.Letters, "stated")
	switch {
	case line.From == "predicted" && f.Found:
		hz, digits = f.CentreHz, 3
	case line.From == "measured" && measured[s.Band] > 0:
		hz, digits = measured[s.Band], 3
	case line.From == "measured":
		found = append(found, finding.New(IDNotMeasured, finding.Warning, finding.Place{Band: s.Band}, finding.Args{"unit": c.job.Panel.Unit}))
		line.From = "stated"
	default:
		line.From = "stated"
	}
	s.Label = quantity.Hertz(hz).Display(digits)
	line.Label = s.Label
	return found
}

// measuredCentres gives the centres that a unit's curves show, by band. What
// else they show is for Compare to say.
func (c *Case) measuredCentres(ctx context.Context) (map[string]float64, error) {
	centres := map[string]float64{}
	if c.job.Panel.Letters != "measured" {
		return centres, nil
	}
	compared, _, err := c.Compare(ctx)
	if err != nil {
		return nil, err
	}
	for _, u := range compared.Units {
		if c.job.Panel.Unit != "" && u.Unit != c.job.Panel.Unit || u.Role != "measured" {
			continue
		}
		for _, b := range u.Bands {
			centres[b.Band] = given(b.MeasuredHz)
		}
		break
	}
	return centres, nil
}

// behindPanel fills in what stands in front and behind, and names what has no
// room.
func (c *Case) behindPanel(panel artwork.Panel, a *PanelAnswer) (found finding.List) {
	p := c.job.Panel
	if p.LeverStands != nil {
		knob := lengthOf(p.Knob)
		out, more := panel.Lever(p.LeverStands.Millimetres(), knob)
		a.Lever, found = &PanelLever{Out: out, Knob: knob}, append(found, more...)
	}
	var stands []artwork.Stand
	for _, b := range p.Behind {
		s := artwork.Stand{Name: b.Name, Has: b.Room.Millimetres(), What: b.To, Gap: or(b.Air, usualAir)}
		for _, l := range b.Layers {
			s.Layers = append(s.Layers, artwork.Layer{Name: l.Name, Height: l.Height.Millimetres()})
		}
		stands = append(stands, s)
		a.Behind = append(a.Behind, PanelBehind{Name: s.Name, Layers: s.Layers, Needs: s.Needs(), Air: s.Gap,
			Room: s.Has, Left: s.Has - s.Needs() - s.Gap, To: s.What})
	}
	return append(found, artwork.Heights(stands)...)
}

// movedParts names those that get a new hole, of which the panel has none.
func (c *Case) movedParts() (found finding.List) {
	for _, m := range c.job.Moved {
		there := false
		for _, h := range c.job.Panel.Holes {
			there = there || h.Moved == m.Name && !h.Old
		}
		if m.NewHole != "" && !there {
			found = append(found, finding.New(IDNoNewHole, finding.Warning, finding.Place{Part: m.Name}, nil))
		}
	}
	return found
}
