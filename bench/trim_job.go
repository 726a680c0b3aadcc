package bench

import (
	"maps"
	"slices"

	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// trimmedJob is the board's job with the trims in it.
func (c *Case) trimmedJob(a *TrimAnswer, d *DrawerAnswer, q TrimQuestion) *job.Job {
	j := *c.job
	j.Bands, j.Parts = slices.Clone(j.Bands), slices.Clone(j.Parts)
	for i := range j.Parts {
		j.Parts[i].Set = maps.Clone(j.Parts[i].Set)
	}
	drawer := map[string]stock.Part{}
	for _, p := range d.Parts {
		drawer[p.ID] = p.Part
	}
	for _, b := range a.Bands {
		at := slices.IndexFunc(j.Bands, func(w job.Band) bool { return w.Name == b.Band })
		if at < 0 {
			continue
		}
		f := fill{band: &j.Bands[at], work: j.Celsius}
		chosen := ChooseBand{ChosenBand: stock.ChosenBand{Leg: b.Leg}}
		for _, change := range b.Changes {
			part := drawer[change.ID]
			switch change.Kind {
			case stock.Coil:
				f.coil(chosen, part)
			case stock.Resistor:
				chosen.Resistor = stock.Taken{ID: change.ID, Value: change.Value}
				f.resistor(chosen, drawer)
				f.bought(change, q.Resistors, &f.band.Resistor.Tolerance)
			default:
				c.added(f, b, change, part, q.Capacitors)
			}
			for i := range j.Parts {
				if j.Parts[i].Name == change.Part {
					f.written(&j.Parts[i], b.Leg)
				}
			}
		}
	}
	return &j
}

// bought gives a part from no drawer its series' usual tolerance.
func (f fill) bought(change stock.Change, series quantity.Series, tolerance **quantity.Tolerance) {
	if usual, ok := series.Tolerance(); ok && change.ID == "" {
		*tolerance = &usual
	}
}

// added writes a capacitor across or behind the leg's own, both as one. What was
// read of the own one stays, what is added counts as marked, or as read where it was.
func (c *Case) added(f fill, b TrimBand, change stock.Change, part stock.Part, series quantity.Series) {
	k := &f.band.Capacitor
	own := b.before(c)
	between := besideEachOther
	ownShare, share := own/b.Leg.Farads, change.Value/b.Leg.Farads // of the tolerances
	if change.How == stock.Behind {
		between = behindEachOther
		ownShare, share = b.Leg.Farads/own, b.Leg.Farads/change.Value
	}
	id := change.ID
	if id == "" {
		id = quantity.Farads(change.Value).Display(3)
	}
	if k.ID == "" {
		k.ID = quantity.Farads(own).Display(3)
	}
	k.ID += between + id
	together := asWritten[quantity.Farads](b.Leg.Farads)
	k.Value, k.Loss = together, unlessNone[float64](b.Leg.Loss)
	if k.MeasuredValue != nil {
		k.MeasuredValue = &together
	}
	added := part.Tolerance
	f.bought(change, series, &added)
	if k.Tolerance != nil && added != nil {
		k.Tolerance = &quantity.Tolerance{Minus: asWritten[float64](ownShare*k.Tolerance.Minus + share*added.Minus),
			Plus: asWritten[float64](ownShare*k.Tolerance.Plus + share*added.Plus)}
	}
}

// before is the leg's own capacitance.
func (b TrimBand) before(c *Case) float64 {
	_, capacitor, _, _ := legOf(c.equaliser.Circuit(), b.Band)
	return capacitor.Farads
}
