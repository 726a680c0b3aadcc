package sweep

import (
	"math"
	"slices"

	"bandwright/finding"
)

// EngagedMinusLifted gives what the bands do by themselves: the rest of the amp
// is in both takes and falls out of the difference.
func EngagedMinusLifted(engaged, lifted Result) (Result, error) { return Minus(engaged, lifted) }

// LiftedMinusBypassed gives what it costs to have the driver in the chain.
func LiftedMinusBypassed(lifted, bypassed Result) (Result, error) { return Minus(lifted, bypassed) }

// Minus gives a − b in dB and degrees, with the noise of both, at the setting
// of a. Both are of one signal and so stand at the same frequencies; where
// only one reaches, the result does not. The error is a finding when they share
// none. Harmonics, silence and clocks belong to a take and are not carried over.
func Minus(a, b Result) (Result, error) {
	r := Result{Setting: a.Setting, Number: a.Number, LevelDBFS: a.LevelDBFS, LevelDBu: a.LevelDBu,
		PhaseTo: min(a.PhaseTo, b.PhaseTo), Corrected: a.Corrected && b.Corrected}
	phase := a.Degrees != nil && b.Degrees != nil
	for i, f := range a.Hz {
		j, there := slices.BinarySearch(b.Hz, f)
		if !there {
			continue
		}
		r.Hz = append(r.Hz, f)
		r.DB = append(r.DB, a.DB[i]-b.DB[j])
		r.Noise = append(r.Noise, math.Hypot(a.Noise[i], b.Noise[j]))
		// The floor of a ratio: both floors over the gain that divides.
		power := math.Pow(10, (a.Floor[i]-b.DB[j])/10) + math.Pow(10, (b.Floor[j]+a.DB[i]-2*b.DB[j])/10)
		r.Floor = append(r.Floor, 10*math.Log10(max(power, 1e-24)))
		if phase {
			r.Degrees = append(r.Degrees, a.Degrees[i]-b.Degrees[j])
		}
	}
	if len(r.Hz) < 2 {
		return Result{}, finding.New(IDGrids, finding.Error, finding.Place{}, nil)
	}
	r.Findings = append(slices.Clone(a.Findings), b.Findings...)
	if s := a.Setting.String(); s == b.Setting.String() {
		r.Findings = append(r.Findings, finding.New(IDSameSetting, finding.Warning, finding.Place{Setting: s}, nil))
	}
	if a.LevelDBFS != b.LevelDBFS {
		r.Findings = append(r.Findings, finding.New(IDLevels, finding.Warning, finding.Place{}, finding.Args{"first": a.LevelDBFS, "second": b.LevelDBFS}))
	}
	return r, nil
}
