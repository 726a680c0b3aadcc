package bench

import (
	"bandwright/equaliser"
	"bandwright/job"
	"bandwright/quantity"
)

// wantedInJob reads the job's [[wanted]] tables, which its check has found
// sound. A part to be kept is the job's own.
func (c *Case) wantedInJob() []equaliser.Wanted {
	var list []equaliser.Wanted
	for _, w := range c.job.Wanted {
		e := equaliser.Wanted{Band: w.Band, CentreHz: float64(given(w.Centre)), BoostDB: float64(given(w.Boost)), Q: given(w.Q),
			OhmsPerHenry: float64(given(w.Coil.PerHenry)),
			Coil:         pickOf(w.Coil.Series, w.Coil.Tolerance), Capacitor: pickOf(w.Capacitor.Series, w.Capacitor.Tolerance),
			Resistor: pickOf(w.Resistor.Series, w.Resistor.Tolerance)}
		down := float64(given(w.Cut))
		e.CutDB = min(down, -down) // with or without its minus
		ownedIn(&e, w)
		for i, keep := range [...]bool{w.Coil.Keep, w.Capacitor.Keep, w.Resistor.Keep} {
			if keep {
				c.keep(&e, legParts()[i])
			}
		}
		list = append(list, e)
	}
	return list
}

func pickOf(series *quantity.Series, tolerance *quantity.Tolerance) equaliser.Pick {
	p := equaliser.Pick{Tolerance: tolerance}
	if series != nil {
		p.Series = *series
	}
	return p
}

// ownedIn adds the parts at hand.
func ownedIn(e *equaliser.Wanted, w job.Wanted) {
	for _, o := range w.Coil.Owned {
		coil := ownedPart(o.ID, o.Value, o.Measured, o.Tolerance)
		coil.DCR = float64(given(o.DCR))
		e.Coil.Owned = append(e.Coil.Owned, coil)
	}
	for _, o := range w.Capacitor.Owned {
		e.Capacitor.Owned = append(e.Capacitor.Owned, ownedPart(o.ID, o.Value, o.Measured, o.Tolerance))
	}
	for _, o := range w.Resistor.Owned {
		e.Resistor.Owned = append(e.Resistor.Owned, ownedPart(o.ID, o.Value, o.Measured, o.Tolerance))
	}
}

func ownedPart[T ~float64](id string, marked T, measured *T, tolerance *quantity.Tolerance) equaliser.Owned {
	o := equaliser.Owned{Name: id, Value: best(marked, measured), Tolerance: tolerance}
	if measured != nil {
		o.Marked = float64(marked)
	}
	return o
}
