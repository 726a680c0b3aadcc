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
		if f, ok := b.outside(figure, d.Believable); ok {
			return f, nil
		}
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
			return finding.New(d.limit(ctx, band, figure, args), finding.Warning, place, args), nil
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
	args["parts"] = b.fixedParts()
	return finding.New(IDDesignFixed, finding.Warning, place, args), nil
}

// outside says that the partner of a fixed coil or capacitor would have to be
// what no part is, so that the leg has no peak there at all.
func (b *designBand) outside(figure int, limits Believable) (finding.Finding, bool) {
	if figure != figureCentre || b.fixed[partCoil] == b.fixed[partCapacitor] {
		return finding.Finding{}, false
	}
	omega := 2 * math.Pi * b.CentreHz
	part, need := partCapacitor, 1/(omega*omega*b.leg.henries)
	if b.fixed[partCapacitor] {
		part, need = partCoil, 1/(omega*omega*b.leg.farads)
	}
	ends := limits.ends(part)
	if need >= ends[0] && need <= ends[1] {
		return finding.Finding{}, false
	}
	args := finding.Args{"figure": figureWords[figure], "unit": figureUnits[figure], "wanted": b.wanted[figure],
		"limit": ends[1], "limit_unit": partUnits[part], "beyond": "above"}
	if need < ends[0] {
		args["limit"], args["beyond"] = ends[0], "below"
	}
	place := finding.Place{Band: b.Band, Part: b.Band + "." + partWords[part]}
	return finding.New(IDDesignBound, finding.Warning, place, args), true
}

// fixedParts lists the parts of the leg that are not to be moved.
func (b *designBand) fixedParts() string {
	var parts []string
	for part, fixed := range b.fixed {
		if fixed {
			parts = append(parts, b.Band+"."+partWords[part])
		}
	}
	return strings.Join(parts, ", ")
}

// beside are the facts of a figure wanted and reached.
func (b *designBand) beside(figure int, at float64) finding.Args {
	return finding.Args{"figure": figureWords[figure], "unit": figureUnits[figure],
		"wanted": b.wanted[figure], "reached": at}
}
