package equaliser

import (
	"context"
	"math"
	"strings"

	"bandwright/finding"
)

// What is off by less than these is reached: a thousandth of centre and Q, a
// hundredth of a dB.
const (
	reachedShare = 1e-3
	reachedDB    = 0.01
)

// reached says whether a figure is where it is wanted.
func (b *designBand) reached(figure int, at float64) bool {
	if figure == figureBoost || figure == figureCut {
		return math.Abs(at-b.wanted[figure]) <= reachedDB
	}
	return math.Abs(math.Log(at/b.wanted[figure])) <= reachedShare
}

// unreached says what the values of any size do not reach, and why.
func (d *design) unreached(ctx context.Context, at proved) (finding.List, error) {
	var found finding.List
	for i := range d.bands {
		b := &d.bands[i]
		for figure, want := range b.wanted {
			if want == 0 || b.reached(figure, at.figures[i][figure]) {
				continue
			}
			f, err := d.because(ctx, i, figure, at.figures[i][figure])
			if err != nil {
				return nil, err
			}
			found = append(found, f)
		}
	}
	return found, nil
}

// because finds what stands in a figure's way.
func (d *design) because(ctx context.Context, band, figure int, at float64) (finding.Finding, error) {
	b := &d.bands[band]
	place := finding.Place{Band: b.Band}
	args := finding.Args{"figure": figureWords[figure]}
	if b.lost[figure] || math.IsNaN(at) {
		return finding.New(IDDesignNoPeak, finding.Warning, place, args), nil
	}
	args = b.beside(figure, at)
	if serves(partResistor, figure) && b.ended[partResistor] < 0 {
		ceiling, err := d.ceiling(ctx, band, figure)
		if err != nil {
			return finding.Finding{}, err
		}
		if math.Abs(ceiling) < math.Abs(b.wanted[figure]) {
			args["ceiling"] = ceiling
			return finding.New(IDDesignCeiling, finding.Warning, place, args), nil
		}
		args["dcr"] = b.leg.dcr
		return finding.New(IDDesignCopper, finding.Warning, place, args), nil
	}
	for part, side := range b.ended {
		if side == 0 || !serves(part, figure) {
			continue
		}
		place.Part = b.Band + "." + partWords[part]
		args["limit"], args["limit_unit"], args["beyond"] = b.value(part), partUnits[part], "above"
		if side < 0 {
			args["beyond"] = "below"
		}
		return finding.New(IDDesignBound, finding.Warning, place, args), nil
	}
	if b.active[figure] {
		return finding.New(IDDesignShort, finding.Warning, place, args), nil
	}
	var parts []string
	for part, fixed := range b.fixed {
		if fixed {
			parts = append(parts, b.Band+"."+partWords[part])
		}
	}
	args["parts"] = strings.Join(parts, ", ")
	return finding.New(IDDesignFixed, finding.Warning, place, args), nil
}

// beside are the facts of a figure wanted and reached.
func (b *designBand) beside(figure int, at float64) finding.Args {
	return finding.Args{"figure": figureWords[figure], "unit": figureUnits[figure],
		"wanted": b.wanted[figure], "reached": at}
}

// ceiling is what a band would do with neither resistor nor copper.
func (d *design) ceiling(ctx context.Context, band, figure int) (float64, error) {
	bare := d.clone()
	bare.bands[band].leg.ohms, bare.bands[band].leg.dcr = 0, 0
	e, err := bare.equaliser(0)
	if err != nil {
		return 0, err
	}
	f, _, err := e.Feature(ctx, nil, d.bands[band].Band, e.Flat())
	return figuresOf(f)[figure], err
}

// offChosen says what the allowed values leave off by more than counts as
// one, where values of any size did better.
func (d *design) offChosen(at, free proved) finding.List {
	var found finding.List
	for i := range d.bands {
		b := &d.bands[i]
		for figure, want := range b.wanted {
			if want == 0 || math.IsNaN(free.figures[i][figure]) {
				continue
			}
			off := math.Abs(b.off(figure, at.figures[i][figure], d.Counts))
			if math.IsNaN(off) {
				found = append(found, finding.New(IDDesignNoPeak, finding.Warning, finding.Place{Band: b.Band},
					finding.Args{"figure": figureWords[figure]}))
			} else if off > 1 && off > math.Abs(b.off(figure, free.figures[i][figure], d.Counts)) {
				found = append(found, finding.New(IDDesignChosen, finding.Warning, finding.Place{Band: b.Band},
					b.beside(figure, at.figures[i][figure])))
			}
		}
	}
	return found
}
