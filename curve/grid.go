package curve

import "math"

// Grid gives frequencies spaced evenly on a logarithmic scale from low to
// high, both included, at least perOctave an octave.
func Grid(low, high float64, perOctave int) []float64 {
	if !(low > 0) || !(high > low) || perOctave < 1 {
		panic("curve: no such grid")
	}
	steps := int(math.Ceil(math.Log2(high/low) * float64(perOctave)))
	hz := make([]float64, steps+1)
	for i := range hz {
		hz[i] = low * math.Pow(high/low, float64(i)/float64(steps))
	}
	hz[0], hz[steps] = low, high
	return hz
}

// Extent is how large a curve is: of a difference, how much is left.
type Extent struct {
	RMS      float64 // dB, each point by the stretch of log frequency it stands for
	Farthest float64 // dB, signed, the value farthest from 0
	AtHz     float64 // where that is
	Lowest   float64 // dB
	LowestHz float64
	Highest  float64 // dB
	HighHz   float64
}

// Measure gives the extent of a curve of at least one point.
func (c Curve) Measure() Extent {
	if len(c.Hz) == 0 {
		panic("curve: extent of no points")
	}
	e := Extent{Lowest: math.Inf(1), Highest: math.Inf(-1)}
	var sum, weight float64
	weights := octaves(c.Hz)
	for i, db := range c.DB {
		w := weights[i]
		sum += w * db * db
		weight += w
		if math.Abs(db) > math.Abs(e.Farthest) || i == 0 {
			e.Farthest, e.AtHz = db, c.Hz[i]
		}
		if db < e.Lowest {
			e.Lowest, e.LowestHz = db, c.Hz[i]
		}
		if db > e.Highest {
			e.Highest, e.HighHz = db, c.Hz[i]
		}
	}
	e.RMS = math.Sqrt(sum / weight)
	return e
}
