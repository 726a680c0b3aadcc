package stock

import (
	"context"
	"math"

	"bandwright/circuit"
)

// laws of one leg: coil, capacitors, resistor.
type legLaws struct {
	parts  [4]*law
	series bool
	ohms   float64 // of a new resistor
	within float64 // what it is made to
}

func (l *legLaws) draw(random Random) Model {
	coil, first, second, resistor := l.parts[0].draw(), l.parts[1].draw(), l.parts[2].draw(), l.parts[3].draw()
	ohms := resistor.Ohms
	if l.parts[3] == nil {
		ohms = l.ohms * (1 + (2*random.Float64()-1)*l.within)
	}
	return legOf(coil, first, second, l.series, ohms)
}

// chance draws boards with the parts chosen and counts those that hold, all
// bands together and each alone.
func (c *chooser) chance(ctx context.Context) (*Chance, []float64, error) {
	var laws []legLaws
	for band := range c.best.legs {
		k := &c.best.legs[band]
		l := legLaws{series: k.series, ohms: k.leg.Ohms, within: c.newTolerance()}
		for i, part := range k.parts() {
			l.parts[i] = c.lawOf(part, c.want[band].hertz)
		}
		laws = append(laws, l)
	}
	holding, alone := 0, make([]float64, len(laws))
	for first := 0; first < c.Draws; first += circuit.BuildCount {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		count := min(circuit.BuildCount, c.Draws-first)
		c.room.take(c.want, count, func(_, band int) Model { return laws[band].draw(c.Random) },
			func(_ int, figures [][3]float64) {
				all := true
				for band := range figures {
					holds := c.holds(band, figures[band])
					all = all && holds
					if holds {
						alone[band]++
					}
				}
				if all {
					holding++
				}
			})
	}
	n := float64(c.Draws)
	for band := range alone {
		alone[band] /= n
	}
	share := float64(holding) / n
	// An estimate of exactly 0 or 1 has a standard error too: Laplace's
	// (k+1)/(n+2) in the binomial's √(p(1−p)/n), from memory.
	p := (float64(holding) + 1) / (n + 2)
	return &Chance{share, math.Sqrt(p * (1 - p) / n), c.Draws}, alone, nil
}

// holds says whether a band is within its limits.
func (c *chooser) holds(band int, figures [3]float64) bool {
	for _, v := range c.off(band, figures) {
		if !(math.Abs(v) <= 1) {
			return false
		}
	}
	return true
}
