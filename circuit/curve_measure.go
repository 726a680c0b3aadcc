package circuit

import (
	"math"
	"strconv"
)

// curveMeasure takes the curve itself.
type curveMeasure struct {
	setting int
	hz      []float64
	build   [BuildCount]int32
	at      [BuildCount]float64
	gain    [BuildCount]complex128
}

// CurveMeasure measures the total gain in dB at one setting of the ensemble (by
// its place in Settings) at every frequency: what the range of a curve is
// shaded by. Its figures are named by their hertz, shortest digits.
func (e *Ensemble) CurveMeasure(setting int, hz []float64) Measure {
	if setting < 0 || setting >= len(e.settings) {
		panic("circuit: no such setting in the ensemble")
	}
	checkHz(hz)
	m := &curveMeasure{setting: setting, hz: hz}
	for k := range m.build {
		m.build[k] = int32(k)
	}
	return m
}

// Figures names the frequencies.
func (m *curveMeasure) Figures() []string {
	names := make([]string, len(m.hz))
	for i, f := range m.hz {
		names[i] = strconv.FormatFloat(f, 'g', -1, 64)
	}
	return names
}

// Take asks for every build at one frequency after another. A gain of exactly
// zero has no decibels.
func (m *curveMeasure) Take(b *Builds, n int, figures [][BuildCount]float64) {
	for i, hz := range m.hz {
		for k := range n {
			m.at[k] = hz
		}
		answered := b.Gains(m.setting, m.build[:n], m.at[:n], m.gain[:n])
		for k := range n {
			figures[i][k] = math.NaN()
			if db, ok := Decibels(m.gain[k]); answered && ok {
				figures[i][k] = db
			}
		}
	}
}
