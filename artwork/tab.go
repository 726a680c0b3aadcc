package artwork

import (
	"math"
	"strconv"

	"bandwright/finding"
)

// Findings of a tab.
const (
	// IDMetal, an error: the sheet cannot be soldered. metal; known: it is a metal
	// that the room knows.
	IDMetal finding.ID = "artwork.metal"
	// IDSize, an error: a size that cannot be. what: the dimension; value: as
	// text; least, most: mm.
	IDSize finding.ID = "artwork.size"
	// IDBendInside, an error: two bends of one side meet. side, needs, has: mm.
	IDBendInside finding.ID = "artwork.bend-inside"
	// IDTongue, an error: a tongue does not go into its slot. what: "width" or
	// "thickness"; has, slot: mm.
	IDTongue finding.ID = "artwork.tongue"
	// IDTonguesMeet, an error: on the flat sheet the two tongues would lie over
	// each other. short: mm.
	IDTonguesMeet finding.ID = "artwork.tongues-meet"
	// IDTongueSlips, an error: a tongue that is to be twisted is no wider than its
	// slot, and turns in it. has, slot: mm.
	IDTongueSlips finding.ID = "artwork.tongue-slips"
	// IDMisfit, a warning: the slots as measured lie elsewhere than the tongues.
	// Place: the band. slot: 1 or 2; off, play: mm.
	IDMisfit finding.ID = "artwork.misfit"
	// IDTabsMeet, an error: two tabs side by side touch. Place: the band. other;
	// between: mm, below 0 where they overlap.
	IDTabsMeet finding.ID = "artwork.tabs-meet"
)

// Tab is what calipers say of one slider and its place in the chassis.
type Tab struct {
	Metal     string
	Thickness float64 // of the sheet
	Radius    float64 // inside, of every bend; 0: the thickness
	K         float64 // 0: the metal's

	Housing Housing
	Height  float64 // of the band along the slider's travel
	Overlap float64 // of the two ends, for the joint

	Tongue Tongue
	Slots  Slots
}

// Housing is the slider's, across its travel.
type Housing struct {
	Width, Depth float64
	Corner       float64 // radius of its edges
}

// Tongue is what goes through the chassis: one on each of the two sides, in
// the side's own plane, beside the band and forward past its front.
type Tongue struct {
	Width  float64 // along the travel
	Beyond float64 // what stands out of the chassis, to twist or fold
	Fold   bool    // it is folded over; else twisted
}

// Slots are those of the chassis, there already or to be cut.
type Slots struct {
	Chassis       float64 // its thickness
	Width, Length float64 // of a slot; Width across the sheet of the tongue
	Pitch         float64 // between the two slots' middles, as measured; 0: to be cut as the tab wants
}

func (t Tab) radius() float64 {
	if t.Radius == 0 {
		return t.Thickness
	}
	return t.Radius
}

func (t Tab) k() float64 {
	if t.K != 0 {
		return t.K
	}
	m, _ := MetalNamed(t.Metal)
	return m.K
}

// Gap is what stays between the housing's sides and the band, so that the round
// inside of a bend clears a sharper edge of the housing: at the corner both
// touch. A bend of inside radius R round an edge of radius h touches it when
// the gap is (R − h)·(1 − 1/√2) (worked out from the definition).
func (t Tab) Gap() float64 {
	return math.Max(t.radius()-t.Housing.Corner, 0) * (1 - 1/math.Sqrt2)
}

// Pitch is the distance between the two tongues' middles when the band is
// bent: the second lies outside the first end of the band only at the back, so
// that the sides are alike.
func (t Tab) Pitch() float64 { return t.Housing.Width + 2*t.Gap() + t.Thickness }

// check refuses what cannot be bent or does not go in.
func (t Tab) check() (found finding.List) {
	if m, ok := MetalNamed(t.Metal); !ok || !m.Solderable {
		found = append(found, finding.New(IDMetal, finding.Error, finding.Place{}, finding.Args{"metal": t.Metal, "known": ok}))
	}
	size := func(what string, value, least, most float64) {
		if !(value >= least && value <= most) {
			found = append(found, finding.New(IDSize, finding.Error, finding.Place{},
				finding.Args{"what": what, "value": strconv.FormatFloat(value, 'g', 4, 64), "least": least, "most": most}))
		}
	}
	size("thickness of the sheet", t.Thickness, 0.1, 2)
	size("inside radius", t.radius(), 0.05, 10)
	size("width of the housing", t.Housing.Width, 2, 200)
	size("depth of the housing", t.Housing.Depth, 2, 200)
	size("radius of the housing's edges", t.Housing.Corner, 0, min(t.Housing.Width, t.Housing.Depth)/2)
	size("height of the band", t.Height, 1, 200)
	size("overlap", t.Overlap, 1, t.Housing.Width)
	size("tongue's width", t.Tongue.Width, 0.5, 100)
	size("tongue beyond the chassis", t.Tongue.Beyond, t.leastBeyond(), 50)
	size("K", t.k(), 0, 0.5)
	size("thickness of the chassis", t.Slots.Chassis, 0.2, 10)
	if found != nil {
		return found
	}
	for _, s := range [...]struct {
		name string
		has  float64
	}{{"width", t.Housing.Width}, {"depth", t.Housing.Depth}} {
		if needs := 2 * t.radius(); s.has+2*t.Gap() < needs {
			found = append(found, finding.New(IDBendInside, finding.Error, finding.Place{},
				finding.Args{"side": s.name, "needs": needs, "has": s.has + 2*t.Gap()}))
		}
	}
	front := t.sides()[2] + 2*Allowance(math.Pi/2, t.radius(), t.Thickness, t.k())
	if short := 2*t.forward() - front; short > 0 {
		found = append(found, finding.New(IDTonguesMeet, finding.Error, finding.Place{}, finding.Args{"short": short}))
	}
	return append(found, t.checkSlots()...)
}

// lies is what of a folded tongue must lie on the chassis. Common practice, no
// source.
const lies = 1.0

// leastBeyond is what a tongue needs outside the chassis to be held there.
func (t Tab) leastBeyond() float64 {
	if t.Tongue.Fold {
		return lies + Allowance(math.Pi/2, t.radius(), t.Thickness, t.k())
	}
	return 0.5
}

// forward is how far a tongue reaches from the end of its side's straight: to
// the inside of the front, through the front and the chassis, and beyond.
func (t Tab) forward() float64 {
	return t.radius() + t.Thickness + t.Slots.Chassis + t.Tongue.Beyond
}

func (t Tab) checkSlots() (found finding.List) {
	found = t.into(t.Slots.Width, t.Slots.Length, finding.Place{})
	if t.Slots.Pitch == 0 || found != nil {
		return found
	}
	// The band sits in the middle, and each slot is off by half.
	off, play := math.Abs(t.Slots.Pitch-t.Pitch())/2, (t.Slots.Width-t.Thickness)/2
	if off > play {
		for slot := 1; slot <= 2; slot++ {
			found = append(found, finding.New(IDMisfit, finding.Warning, finding.Place{},
				finding.Args{"slot": slot, "off": off, "play": play}))
		}
	}
	return found
}

// into checks that a tongue goes into a slot and holds there; 0: to be cut.
func (t Tab) into(width, length float64, at finding.Place) (found finding.List) {
	refuse := func(id finding.ID, args finding.Args) {
		found = append(found, finding.New(id, finding.Error, at, args))
	}
	if length > 0 && t.Tongue.Width > length {
		refuse(IDTongue, finding.Args{"what": "width", "has": t.Tongue.Width, "slot": length})
	}
	if width > 0 && t.Thickness > width {
		refuse(IDTongue, finding.Args{"what": "thickness", "has": t.Thickness, "slot": width})
	}
	if width > 0 && !t.Tongue.Fold && t.Tongue.Width <= width {
		refuse(IDTongueSlips, finding.Args{"has": t.Tongue.Width, "slot": width})
	}
	return found
}
