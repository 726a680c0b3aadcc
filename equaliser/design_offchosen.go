package equaliser

import (
	"math"

	"bandwright/finding"
	"bandwright/quantity"
)

// offChosen says what the allowed values leave off by more than counts as
// one, where values of any size did better.
func (d *design) offChosen(at proved, free *design, any proved) finding.List {
	var found finding.List
	for i := range d.bands {
		b := &d.bands[i]
		for figure, want := range b.wanted {
			if want == 0 || math.IsNaN(any.figures[i][figure]) {
				continue
			}
			off := math.Abs(b.off(figure, at.figures[i][figure], d.Counts))
			if math.IsNaN(off) {
				found = append(found, finding.New(IDDesignNoPeak, finding.Warning, finding.Place{Band: b.Band},
					finding.Args{"figure": figureWords[figure]}))
			} else if off > 1 && off > math.Abs(b.off(figure, any.figures[i][figure], d.Counts)) {
				found = append(found, free.bands[i].offBecause(figure, at.figures[i][figure]))
			}
		}
	}
	return found
}

// offBecause finds why allowed values leave a figure off. b has values of any
// size.
func (b *designBand) offBecause(figure int, at float64) finding.Finding {
	place, args := finding.Place{Band: b.Band}, b.beside(figure, at)
	part, alone := b.servesAlone(figure)
	if !alone {
		return finding.New(IDDesignChosen, finding.Warning, place, args)
	}
	series, need := b.picks()[part].Series, b.value(part)
	low := 0.0 // a wire
	if part != partResistor || need >= leastOhms {
		low = quantity.Below(series, need)
	}
	args["need"], args["below"], args["above"] = need, low, quantity.Above(series, max(need, leastOhmsOf(part)))
	args["need_unit"], args["series"], args["parts"] = partUnits[part], series.String(), b.fixedParts()
	place.Part = b.Band + "." + partWords[part]
	return finding.New(IDDesignSeries, finding.Warning, place, args)
}

// leastOhmsOf is the least value of a kind in a series that is ever chosen.
func leastOhmsOf(part int) float64 {
	if part == partResistor {
		return leastOhms
	}
	return 0
}

// servesAlone finds the one part of a series that a figure hangs on: the
// resistor for boost and cut, and for the centre coil or capacitor when the
// other is fixed. A value that the series has is not what is in the way.
func (b *designBand) servesAlone(figure int) (part int, alone bool) {
	switch {
	case figure == figureBoost || figure == figureCut:
		part = partResistor
		alone = b.fixed[partCoil] // another coil would bring other copper
	case figure == figureCentre && b.fixed[partCoil]:
		part, alone = partCapacitor, true
	case figure == figureCentre && b.fixed[partCapacitor]:
		part, alone = partCoil, true
	}
	pick := b.picks()[part]
	return part, alone && !b.fixed[part] && len(pick.Owned) == 0 && pick.Series != 0 && !quantity.Contains(pick.Series, b.value(part))
}
