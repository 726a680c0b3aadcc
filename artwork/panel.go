package artwork

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"bandwright/finding"
)

// Findings of a panel.
const (
	// IDOffPanel, an error: a slot or hole reaches over the panel's edge. Place:
	// the part. over: mm.
	IDOffPanel finding.ID = "artwork.off-panel"
	// IDCutsMeet, an error: two cuts meet or leave less than the least bridge of
	// metal. Place: the part. other; between, least: mm (below 0: they overlap).
	IDCutsMeet finding.ID = "artwork.cuts-meet"
	// IDHeight, an error: something behind the panel stands in the way. Place:
	// the part. other; needs, has: mm; highest: the layer that takes most, height.
	IDHeight finding.ID = "artwork.height"
	// IDLever, an error: too little of the lever stands out for its knob. out,
	// knob, thickness: mm.
	IDLever finding.ID = "artwork.lever"
	// IDWordOff, a warning: lettering reaches over the panel's edge. text; over: mm.
	IDWordOff finding.ID = "artwork.word-off"
	// IDWordOver, a warning: lettering lies over a cut or other lettering. text,
	// other.
	IDWordOver finding.ID = "artwork.word-over"
	// IDNoBit, a warning: no bit owned is near the size. size, nearest: mm (0:
	// none owned).
	IDNoBit finding.ID = "artwork.no-bit"
)

// Panel is the sheet that sliders, lamp, switch and jack go through, seen from
// the front. The origin is its upper left corner.
type Panel struct {
	Width, Height float64
	Thickness     float64
	Sliders       []Slider
	Holes         []Hole
	Texts         []Text
	Bridge        float64 // least metal between two cuts; 0: 1.5 mm
}

// usualBridge is the least metal between two cuts, mm. Common practice, no
// source.
const usualBridge = 1.5

// Text is lettering of its own, its middle and foot at a place.
type Text struct {
	Text string
	X, Y float64
	Size float64 // 0: 3
}

// Slider is one slider's place: its travel is upright, boost above.
type Slider struct {
	Band      string
	X, Y      float64 // of the middle of the travel
	Travel    float64
	Lever     float64 // the lever's length along the travel
	Margin    float64 // at each end of the slot, for filing and for the eye
	SlotWidth float64
	Screws    float64 // distance between its two screw holes, upright; 0: none
	ScrewSize float64 // of their holes
	Marks     []Mark  // of the dB scale
	Label     string  // below it, the frequency as stated or as measured
}

// Mark is a line of the scale.
type Mark struct {
	Travel float64 // −1 cut … +1 boost
	DB     float64
}

// Hole is a round hole.
type Hole struct {
	Name string
	X, Y float64
	Size float64 // diameter
	// Old is there already: it is drawn dashed and not drilled.
	Old   bool
	Label string
}

// SlotLength is travel, lever and a margin at each end.
func (s Slider) SlotLength() float64 { return s.Travel + s.Lever + 2*s.Margin }

// At gives where on the panel the lever's middle stands at a travel.
func (s Slider) At(travel float64) Point { return Point{s.X, s.Y - travel*s.Travel/2} }

// cut is a slot or hole as a stretch with a radius: a hole has no length.
type cut struct {
	name   string
	a, b   Point
	radius float64
	old    bool
	screw  bool
}

func (p Panel) cuts() (list []cut) {
	for _, s := range p.Sliders {
		half := s.SlotLength()/2 - s.SlotWidth/2
		list = append(list, cut{name: "slot " + s.Band, a: Point{s.X, s.Y - half}, b: Point{s.X, s.Y + half}, radius: s.SlotWidth / 2})
		if s.Screws > 0 {
			for i, y := range [...]float64{s.Y - s.Screws/2, s.Y + s.Screws/2} {
				list = append(list, cut{name: "screw " + s.Band + "." + strconv.Itoa(i+1), a: Point{s.X, y}, b: Point{s.X, y}, radius: s.ScrewSize / 2, screw: true})
			}
		}
	}
	for _, h := range p.Holes {
		list = append(list, cut{name: h.Name, a: Point{h.X, h.Y}, b: Point{h.X, h.Y}, radius: h.Size / 2, old: h.Old})
	}
	return list
}

// Check names what cannot be cut, with the size at fault.
func (p Panel) Check() (found finding.List) {
	found = p.checkSizes()
	if found != nil {
		return found
	}
	least := cmp.Or(p.Bridge, usualBridge)
	cuts := p.cuts()
	for i, c := range cuts {
		at := finding.Place{Part: c.name}
		if over := c.over(p.Width, p.Height); over > 0 {
			found = append(found, finding.New(IDOffPanel, finding.Error, at, finding.Args{"over": over}))
		}
		for _, d := range cuts[:i] {
			if between := distance(c, d) - c.radius - d.radius; between < least && !(c.old && d.old) {
				found = append(found, finding.New(IDCutsMeet, finding.Error, at,
					finding.Args{"other": d.name, "between": between, "least": least}))
			}
		}
	}
	return found
}

func (p Panel) checkSizes() (found finding.List) {
	size := func(part, what string, value, least, most float64) {
		if !(value >= least && value <= most) {
			found = append(found, finding.New(IDSize, finding.Error, finding.Place{Part: part},
				finding.Args{"what": what, "value": strconv.FormatFloat(value, 'g', 4, 64), "least": least, "most": most}))
		}
	}
	const largest = 2000
	size("panel", "width", p.Width, 5, largest)
	size("panel", "height", p.Height, 5, largest)
	for _, s := range p.Sliders {
		part := "slider " + s.Band
		size(part, "place across", s.X, 0, largest)
		size(part, "place down", s.Y, 0, largest)
		size(part, "travel", s.Travel, 5, 150)
		size(part, "lever", s.Lever, 0, 30)
		size(part, "margin", s.Margin, 0, 10)
		size(part, "slot's width", s.SlotWidth, 0.5, 10)
		size(part, "screws' distance", s.Screws, 0, 250)
		if s.Screws > 0 {
			size(part, "screw hole", s.ScrewSize, 0.5, 10)
		}
	}
	for _, h := range p.Holes {
		size(h.Name, "place across", h.X, 0, largest)
		size(h.Name, "place down", h.Y, 0, largest)
		size(h.Name, "hole", h.Size, 0.3, 100)
	}
	return found
}

// over is how far a cut reaches beyond the sheet.
func (c cut) over(width, height float64) float64 {
	low := math.Min(math.Min(c.a.X, c.b.X), math.Min(c.a.Y, c.b.Y)) - c.radius
	right := math.Max(c.a.X, c.b.X) + c.radius - width
	down := math.Max(c.a.Y, c.b.Y) + c.radius - height
	return math.Max(-low, math.Max(right, down))
}

// distance of the middle lines of two cuts, all of which stand upright.
func distance(c, d cut) float64 {
	across := math.Abs(c.a.X - d.a.X)
	down := math.Max(0, math.Max(math.Min(c.a.Y, c.b.Y)-math.Max(d.a.Y, d.b.Y), math.Min(d.a.Y, d.b.Y)-math.Max(c.a.Y, c.b.Y)))
	return math.Hypot(across, down)
}

// Stand is something behind the panel: how far it reaches back, and the room
// there is.
type Stand struct {
	Name   string
	Layers []Layer // on each other, from the panel's back
	Has    float64 // from the panel's back to what stands there
	What   string  // stands there
	Gap    float64 // least air between; more beside high tension
}

// Layer is one height of what stands behind a panel.
type Layer struct {
	Name   string  `json:"name"`
	Height float64 `json:"height"`
}

// Needs is the depth that all layers take.
func (s Stand) Needs() (sum float64) {
	for _, l := range s.Layers {
		sum += l.Height
	}
	return sum
}

// Heights holds every pile against the room behind it.
func Heights(list []Stand) (found finding.List) {
	for _, s := range list {
		if needs := s.Needs() + s.Gap; needs > s.Has {
			highest := slices.MaxFunc(append([]Layer{{}}, s.Layers...), func(a, b Layer) int { return cmp.Compare(a.Height, b.Height) })
			found = append(found, finding.New(IDHeight, finding.Error, finding.Place{Part: s.Name},
				finding.Args{"other": s.What, "needs": needs, "has": s.Has, "highest": highest.Name, "height": highest.Height}))
		}
	}
	return found
}

// Lever is what stands out of the front of a lever: stands is its length from
// the face that the slider lies against, knob what a knob takes of it.
func (p Panel) Lever(stands, knob float64) (out float64, found finding.List) {
	out = stands - p.Thickness
	if out < knob {
		found = finding.List{finding.New(IDLever, finding.Error, finding.Place{},
			finding.Args{"out": out, "knob": knob, "thickness": p.Thickness})}
	}
	return out, found
}
