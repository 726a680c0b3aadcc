package artwork

import (
	"cmp"
	"math"
	"slices"

	"bandwright/finding"
)

// Pair is the place of one band's tab in the chassis: where the slider is to
// stand, and the two slots as measured from the same edge, if they are there.
type Pair struct {
	Band     string
	At       float64 // of the slider's middle
	Placed   bool    // At is given, and all that are move as one row
	Measured bool    // One and Two are
	One, Two float64 // middles
	Width    float64 // of both, across the tongue's sheet; 0: as the tab's
	Length   float64
}

// SlotFit is a tongue and its slot, mm.
type SlotFit struct {
	Band   string  `json:"band"`
	Slot   int     `json:"slot"` // 1 or 2, from the edge that is measured from
	Tongue float64 `json:"tongue"`
	Middle float64 `json:"at"`    // the slot's middle, as measured or as it is to be cut
	Cut    bool    `json:"cut"`   // it is not there yet
	Off    float64 `json:"off"`   // the slot from the tongue, the whole row moved by Shift
	Alone  float64 `json:"alone"` // the same, this tab moved by itself to where both its slots are alike
	Play   float64 `json:"play"`  // either way
	Fits   bool    `json:"fits"`  // where the row stands
	FitsBy bool    `json:"fits_alone"`
	Width  float64 `json:"width"`
	Length float64 `json:"length"`
}

// Clearances of a slot that is cut for a tongue, on its whole width and length.
// Common practice, no source.
const (
	looseAcross = 0.3
	looseAlong  = 0.5
)

// Fit holds the tongues of a row of tabs against the slots. Those that have a
// place stand on one board: the row is shifted as a whole by what makes the
// largest misfit least. Findings name slots that do not fit, tongues that do
// not go in, cuts and tabs that meet.
func (t Tab) Fit(row []Pair) (list []SlotFit, shift float64, found finding.List) {
	row = slices.Clone(row)
	slices.SortStableFunc(row, func(a, b Pair) int { return cmp.Compare(a.middle(), b.middle()) })
	shift = t.shift(row)
	for _, p := range row {
		at := finding.Place{Band: p.Band}
		width, length := cmp.Or(p.Width, t.Slots.Width), cmp.Or(p.Length, t.Slots.Length)
		found = append(found, t.into(p.Width, p.Length, at)...)
		if !p.Measured {
			width, length = cmp.Or(width, t.Thickness+looseAcross), cmp.Or(length, t.Tongue.Width+looseAlong)
		}
		for slot, side := range [2]float64{-1, 1} {
			f := t.slot(p, side, shift, width)
			f.Slot, f.Width, f.Length = slot+1, width, length
			if f.Play < math.Abs(f.Off) {
				found = append(found, finding.New(IDMisfit, finding.Warning, at,
					finding.Args{"slot": f.Slot, "off": math.Abs(f.Off), "play": f.Play}))
			}
			list = append(list, f)
		}
	}
	return list, shift, append(found, t.meet(row, list)...)
}

// middle is where a tab stands.
func (p Pair) middle() float64 {
	if p.Placed {
		return p.At
	}
	return (p.One + p.Two) / 2
}

// ends gives the measured middles, the nearer one first.
func (p Pair) ends() [2]float64 { return [2]float64{math.Min(p.One, p.Two), math.Max(p.One, p.Two)} }

// shift is the middle of the outermost misfits of all tabs that stand in a row.
func (t Tab) shift(row []Pair) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range row {
		if !p.Placed || !p.Measured {
			continue
		}
		ends := p.ends()
		for i, side := range [2]float64{-1, 1} {
			d := ends[i] - (p.At + side*t.Pitch()/2)
			low, high = math.Min(low, d), math.Max(high, d)
		}
	}
	if low > high {
		return 0
	}
	return (low + high) / 2
}

func (t Tab) slot(p Pair, side, shift, width float64) SlotFit {
	f := SlotFit{Band: p.Band, Tongue: p.middle() + side*t.Pitch()/2, Play: math.Max(0, (width-t.Thickness)/2)}
	if p.Placed {
		f.Tongue += shift
	}
	f.Middle, f.Cut = f.Tongue, true
	if p.Measured {
		ends := p.ends()
		f.Cut, f.Middle = false, ends[0]
		if side > 0 {
			f.Middle = ends[1]
		}
		f.Alone = side * (ends[1] - ends[0] - t.Pitch()) / 2
		f.Off = f.Middle - f.Tongue
	}
	f.Fits, f.FitsBy = math.Abs(f.Off) <= f.Play, math.Abs(f.Alone) <= f.Play
	return f
}

// Outside is the width of the bent band over all.
func (t Tab) Outside() float64 { return t.Housing.Width + 2*t.Gap() + 2*t.Thickness }

// meet names neighbours that touch: tabs, and slots with too little between.
func (t Tab) meet(row []Pair, list []SlotFit) (found finding.List) {
	for i := 1; i < len(row); i++ {
		if between := row[i].middle() - row[i-1].middle() - t.Outside(); between < 0 {
			found = append(found, finding.New(IDTabsMeet, finding.Error, finding.Place{Band: row[i].Band},
				finding.Args{"other": row[i-1].Band, "between": between}))
		}
	}
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		if between := b.Middle - a.Middle - (a.Width+b.Width)/2; between < usualBridge {
			found = append(found, finding.New(IDCutsMeet, finding.Error, finding.Place{Part: slotName(b)},
				finding.Args{"other": slotName(a), "between": between, "least": usualBridge}))
		}
	}
	return found
}

func slotName(f SlotFit) string { return "slot " + f.Band + "." + string(rune('0'+f.Slot)) }
