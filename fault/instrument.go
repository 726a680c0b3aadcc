package fault

import (
	"math"

	"bandwright/reading"
)

// rectangular is the deviation of an error of which only the limit is known.
func rectangular(limit float64) float64 { return limit / math.Sqrt(3) }

// ownSD is the deviation of the error that one reading makes alone; see
// reading.Meter and reading.Interface.
func ownSD(r reading.Reading, shown float64) float64 {
	switch r.Kind {
	case reading.Volts:
		return rectangular(r.Meter.Volts.Limit(shown))
	case reading.Ohms:
		return math.Hypot(rectangular(r.Meter.Ohms.Limit(shown)), rectangular(r.Meter.LeadOhms))
	}
	if r.Less != nil {
		return math.Sqrt2 * r.Interface.PointDB
	}
	return r.Interface.PointDB
}

// levelSD is the deviation of the error that all curves of an interface share.
func levelSD(r reading.Reading) float64 {
	if r.Kind != reading.Gain || r.Less != nil {
		return 0
	}
	return rectangular(r.Interface.LevelDB)
}

const (
	// floorDB is where a curve ends in noise, hum and what strays past the
	// circuit: nothing below it is told apart. Common practice, no source.
	floorDB = -80.0
	// floorSD is how well that level itself is known, dB. Common practice, no source.
	floorSD = 4.0
	// loose is how well a fault's effect is known, as a share of it: a short has
	// some ohms, a swapped part other losses. Common practice, no source.
	loose = 0.01
	// looseMoved is the same of a curve where the operating point is another:
	// devices do what their sheets do not say. Common practice, no source.
	looseMoved = 0.05
	// looseRow is how much of a curve's looseness is each frequency's own. Common
	// practice, no source.
	looseRow = 0.1
	// finest is the least deviation of a reading, as a share of it, that is
	// believed of any model. Common practice, no source.
	finest = 1e-4
)

// floored is what a curve shows of a level over noise of floorDB ± floorSD: the
// middle, its deviation by the noise, averaged by the three points of Gauss and
// Hermite, and how much of a change of the level still shows.
func floored(db float64) (shown, sd, share float64) {
	if db > floorDB+60 {
		return db, 0, 1
	}
	power, square := math.Pow(10, db/10), 0.0
	for _, q := range [...]struct{ at, weight float64 }{{0, 4. / 6}, {math.Sqrt(3), 1. / 6}, {-math.Sqrt(3), 1. / 6}} {
		whole := power + math.Pow(10, (floorDB+q.at*floorSD)/10)
		over := 10*math.Log10(whole) - floorDB
		shown += q.weight * over
		square += q.weight * over * over
		share += q.weight * power / whole
	}
	return floorDB + shown, math.Sqrt(square - shown*shown), share
}
