package curve

import (
	"math"

	"bandwright/finding"
)

// The bounds of what is taken for a response. They are far outside audio and
// only keep a wrong column from passing for a curve.
const (
	MinHz      = 1e-6
	MaxHz      = 1e12
	MaxDB      = 1000.0 // on either side of 0 dB
	MaxDegrees = 1e9    // on either side of 0
)

// Validate checks a curve against its own rules: as many gains as frequencies,
// frequencies strictly rising inside MinHz–MaxHz, everything finite and
// inside its bounds. An empty curve is valid. The error is a finding.Finding.
func Validate(c Curve) error {
	if len(c.Hz) != len(c.DB) || (c.Degrees != nil && len(c.Degrees) != len(c.Hz)) {
		return broken(IDLengths, finding.Args{
			"hz": len(c.Hz), "db": len(c.DB), "degrees": len(c.Degrees)})
	}
	before := 0.0
	for i, hz := range c.Hz {
		if err := validPoint(c, i); err != nil {
			return err
		}
		if hz <= before {
			return broken(IDNotRising, finding.Args{"point": i + 1, "hz": hz, "before": before})
		}
		before = hz
	}
	return nil
}

func validPoint(c Curve, i int) error {
	if !finite(c.Hz[i]) {
		return broken(IDNotFinite, finding.Args{"point": i + 1, "what": "frequency"})
	}
	if !finite(c.DB[i]) {
		return broken(IDNotFinite, finding.Args{"point": i + 1, "what": "gain"})
	}
	if c.Degrees != nil && !finite(c.Degrees[i]) {
		return broken(IDNotFinite, finding.Args{"point": i + 1, "what": "phase"})
	}
	id, args := bounds(c.Hz[i], c.DB[i], phaseAt(c, i))
	if id != "" {
		return broken(id, args)
	}
	return nil
}

// bounds names the first of the three values that lies outside its bounds.
func bounds(hz, db, degrees float64) (finding.ID, finding.Args) {
	switch {
	case hz < MinHz || hz > MaxHz:
		return IDFrequencyRange, finding.Args{"hz": hz, "low": MinHz, "high": MaxHz}
	case math.Abs(db) > MaxDB:
		return IDGainRange, finding.Args{"db": db, "limit": MaxDB}
	case math.Abs(degrees) > MaxDegrees:
		return IDPhaseRange, finding.Args{"degrees": degrees, "limit": MaxDegrees}
	}
	return "", nil
}

func phaseAt(c Curve, i int) float64 {
	if c.Degrees == nil {
		return 0
	}
	return c.Degrees[i]
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func broken(id finding.ID, args finding.Args) finding.Finding {
	return finding.New(id, finding.Error, finding.Place{}, args)
}
