package feed

import (
	"cmp"
	"context"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/quantity"
)

// IDNoDropper, an error: no preferred value keeps every limit. why: "current"
// (the zener lets go at low mains whatever the value) or "watts" (none of the
// values that feed it enough stays within its watts, or the zener's).
const IDNoDropper finding.ID = "feed.no-dropper"

// IDStarved, a warning: the dropper leaves the zener too little. Place: the
// zener, and the setting where it is not at rest. case; keeps, needs: amperes.
const IDStarved finding.ID = "feed.starved"

// DropperQuestion asks for the dropper of a supply.
type DropperQuestion struct {
	Supply     Supply
	Series     quantity.Series // preferred values to choose from
	ZenerLeast float64         // amperes it and any across it need to regulate, in the worst case but ZenerOpen
	ZenerWatts float64         // its rating; 0: not looked at
	Sizes      []float64       // watts that droppers are made in, ascending
	EachVolts  float64         // that one dropper is rated for; 0: not looked at
	Limits     Limits
}

// Dropper is a choice.
type Dropper struct {
	Each       float64  `json:"each"`      // ohms of one
	InSeries   int      `json:"in_series"` // one or two
	Watts      float64  `json:"watts"`     // size of each
	Worst      float64  `json:"worst"`     // watts in each in the worst case
	WorstCase  CaseName `json:"worst_case"`
	Volts      float64  `json:"volts"`       // across each in the worst case
	ZenerLeast float64  `json:"zener_least"` // amperes left for it at low mains
	ZenerWatts float64  `json:"zener_watts"` // in it in the worst case
}

// ChooseDropper gives the largest preferred value (the least heat) that keeps
// the zener regulating at low mains and every limit in every case, one resistor
// if that will do, else two in series. Supply.Dropper names resistors of the
// circuit that are in series; their values there are of no account.
func ChooseDropper(ctx context.Context, whole *circuit.Circuit, q DropperQuestion, cond circuit.Conditions) (Dropper, error) {
	if len(q.Supply.Dropper) == 0 || q.Supply.Zener == "" || len(q.Sizes) == 0 {
		panic("feed: a dropper is chosen for a resistor and a zener, from sizes that there are")
	}
	why := "current"
	for _, count := range []int{1, 2} {
		for ohms := 1e6; ohms > 10; ohms = below(q.Series, ohms) {
			d, fits, err := q.try(ctx, whole, ohms, count, cond)
			if err != nil {
				return Dropper{}, err
			}
			if d.ZenerLeast < q.ZenerLeast {
				continue
			}
			if fits {
				return d, nil
			}
			if why = "watts"; d.ZenerLeast > 3*q.ZenerLeast+1e-3 {
				break // lower values are hotter still
			}
		}
	}
	return Dropper{}, finding.New(IDNoDropper, finding.Error, finding.Place{Part: q.Supply.Dropper[0]}, finding.Args{"why": why})
}

// Kept is what a zener is left with where it is left with least.
type Kept struct {
	Amperes float64
	Case    CaseName
	Setting string // "": at rest
}

// ZenerKeeps gives the least that the zener, with any across it, carries in a
// case in which it is whole: below what it needs it lets go, and the rail sags
// and hums. A case without an operating point is passed over: Loads says so.
func ZenerKeeps(ctx context.Context, whole *circuit.Circuit, s Supply, cond circuit.Conditions) (Kept, error) {
	k := Kept{Amperes: math.Inf(1)}
	for _, c := range s.Cases() {
		if c.Name == ZenerOpen || c.Name == ZenerGone {
			continue
		}
		st, err := c.solve(ctx, whole, s.Rail, cond)
		if ctx.Err() != nil {
			return k, ctx.Err()
		}
		if err != nil {
			continue
		}
		if z := held(st, s.Zener); z < k.Amperes {
			k = Kept{z, c.Name, c.setting()}
		}
	}
	return k, nil
}

// held gives the current of a zener, with that of those across it.
func held(st *circuit.State, name string) float64 {
	p, _ := st.Circuit().Part(name)
	z := p.(circuit.Zener)
	sum := 0.0
	for _, p := range st.Circuit().Parts() {
		if other, is := p.(circuit.Zener); is && other.Cathode == z.Cathode && other.Anode == z.Anode {
			amperes, _ := st.Current(other.Name)
			sum += math.Abs(amperes)
		}
	}
	return sum
}

// below gives the preferred value next below.
func below(s quantity.Series, ohms float64) float64 {
	low := 10.0
	for k := 0; s.At(k) < ohms*(1-1e-6); k++ {
		low = s.At(k)
	}
	return low
}

// try solves every case with one value.
func (q DropperQuestion) try(ctx context.Context, whole *circuit.Circuit, ohms float64, count int, cond circuit.Conditions) (Dropper, bool, error) {
	part := q.Supply.Dropper[0]
	edits := []circuit.Edit{circuit.Set(part, "Ohms", ohms*float64(count))}
	for _, other := range q.Supply.Dropper[1:] {
		edits = append(edits, circuit.Set(other, "Ohms", 0)) // the first stands for all of them
	}
	fitted, err := whole.Edited(edits...)
	if err != nil {
		return Dropper{}, false, err
	}
	d := Dropper{Each: ohms, InSeries: count, ZenerLeast: math.Inf(1)}
	for _, c := range q.hardestFirst() {
		st, err := c.solve(ctx, fitted, q.Supply.Rail, cond)
		if err != nil {
			return Dropper{}, false, err
		}
		l, _ := loadOf(st, part)
		if each := l.Watts / float64(count); each > d.Worst {
			d.Worst, d.WorstCase = each, c.Name
		}
		d.Volts = math.Max(d.Volts, l.Volts/float64(count))
		if c.Name == ZenerOpen || c.Name == ZenerGone {
			continue
		}
		z, _ := loadOf(st, q.Supply.Zener)
		d.ZenerLeast, d.ZenerWatts = math.Min(d.ZenerLeast, held(st, q.Supply.Zener)), math.Max(d.ZenerWatts, z.Watts)
		if d.ZenerLeast < q.ZenerLeast {
			return d, false, nil // no other case matters any more
		}
	}
	return d, q.fits(&d), nil
}

// hardestFirst puts low mains first: there a zener lets go.
func (q DropperQuestion) hardestFirst() []Case {
	list := q.Supply.Cases()
	slices.SortStableFunc(list, func(a, b Case) int { return cmp.Compare(a.Rail, b.Rail) })
	return list
}

// DropperWatts are the sizes that droppers are commonly made in, watts. Common
// practice, no source.
func DropperWatts() []float64 { return []float64{0.6, 1, 2, 3, 5, 7, 10, 15, 20} }

// fits finds the size, and holds the limits.
func (q DropperQuestion) fits(d *Dropper) bool {
	limits := q.Limits.Filled()
	for _, size := range q.Sizes {
		if d.Worst <= limits.Watts*size {
			d.Watts = size
			break
		}
	}
	return d.Watts > 0 &&
		(q.EachVolts == 0 || d.Volts <= limits.Volts*q.EachVolts) &&
		(q.ZenerWatts == 0 || d.ZenerWatts <= limits.Watts*q.ZenerWatts)
}
