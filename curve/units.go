package curve

import (
	"math"

	"bandwright/finding"
)

// decideUnits settles Hz or kHz, dB or ratio, degrees or radians: by the
// person, by the titles, by a remark above the table, by the numbers; and
// asks where none of these tells, or where the numbers speak against a title.
func decideUnits(rows table, t layout, as As, u *Understood) {
	u.Frequency = frequencyUnit(rows.frequency, t, as, u)
	u.Gain = gainUnit(rows.gain, t, as, u)
	u.Phase = Choice{"none", ByForm}
	if as.Phase == "none" {
		u.Phase.By = ByPerson
	}
	if rows.phase != nil {
		u.Phase = phaseUnit(rows.phase, t, as, u)
	}
	u.setUnits()
}

// said gives what the person or the heading says of a unit.
func said(person string, t layout, column int, a, b string) (Choice, bool) {
	switch unit := t.titles[column].unit; {
	case person != "":
		return Choice{person, ByPerson}, true
	case unit == a || unit == b: // the person may read a column against its title
		return Choice{unit, ByHeader}, true
	}
	if m := mentioned(t.above, a, b); m != "" {
		return Choice{m, ByHeader}, true
	}
	return Choice{}, false
}

// No audio sweep is thought to begin below leastHz, nor to go beyond mostHz;
// a table in kHz therefore ends below mostHz/1000.
const (
	leastHz = 1.0
	mostHz  = 400e3
)

func frequencyUnit(v []float64, t layout, as As, u *Understood) Choice {
	low, high := span(v)
	c, told := said(as.Frequency, t, t.frequency, "Hz", "kHz")
	if told && (c.By == ByPerson || t.own() || c.Is == "Hz" && (low >= leastHz || high > 30) || c.Is == "kHz" && high <= mostHz/1000) {
		return c
	}
	switch {
	case told: // the title says one thing, the numbers another
	case high > mostHz/1000:
		return Choice{"Hz", ByValues}
	case low < leastHz && high <= 200:
		return Choice{"kHz", ByValues}
	}
	u.askUnit(IDAskFrequency, "Hz", "kHz", low, high, t)
	return Choice{"Hz", Open}
}

// gainUnit: a level below zero cannot be a ratio; a ratio is never all above
// 30 (30 dB of gain everywhere) nor anywhere above 100 (40 dB).
func gainUnit(v []float64, t layout, as As, u *Understood) Choice {
	low, high := span(v)
	c, told := said(as.Gain, t, t.gain, "dB", "ratio")
	switch {
	case told && (c.By == ByPerson || c.Is == "dB" || low >= 0):
		return c
	case told: // a title says ratio, a number is below zero
	case low < 0, low > 30, high > 100:
		return Choice{"dB", ByValues}
	}
	u.askUnit(IDAskGain, "dB", "ratio", low, high, t)
	return Choice{"dB", Open}
}

// phaseUnit: inside ±2π it may be either, unless a wrap shows: a jump of
// nearly a whole turn between neighbours. Beyond one turn in degrees it may
// be radians that were never wrapped.
func phaseUnit(v []float64, t layout, as As, u *Understood) Choice {
	low, high := span(v)
	if c, told := said(as.Phase, t, t.phase, "degrees", "radians"); told {
		return c
	}
	jump := 0.0
	for i := 1; i < len(v); i++ {
		jump = math.Max(jump, math.Abs(v[i]-v[i-1]))
	}
	most := math.Max(-low, high)
	switch {
	case most <= 2*math.Pi && jump > 0.8*2*math.Pi && jump < 1.01*2*math.Pi:
		return Choice{"radians", ByValues}
	case most > 7 && most <= 360:
		return Choice{"degrees", ByValues}
	}
	u.askUnit(IDAskPhase, "degrees", "radians", low, high, t)
	return Choice{"degrees", Open}
}

func (u *Understood) askUnit(id finding.ID, a, b string, low, high float64, t layout) {
	if u.quiet {
		return
	}
	u.note(id, finding.Error, t.first, finding.Args{
		"a": a, "b": b, "low": low, "high": high, "read": short(u.example)})
}

// setUnits writes the units beside the columns.
func (u *Understood) setUnits() {
	for i := range u.Columns {
		switch c := &u.Columns[i]; c.Holds {
		case holdsFrequency:
			c.Unit = u.Frequency.Is
		case holdsGain:
			c.Unit = u.Gain.Is
		case holdsPhase:
			c.Unit = u.Phase.Is
		}
	}
}

// inHz, inDB and inDegrees convert one value from the unit understood.
func (u *Understood) inHz(v float64) float64 {
	if u.Frequency.Is == "kHz" {
		return v * 1000
	}
	return v
}

// inDB gives −Inf for a ratio of zero and NaN for one below it.
func (u *Understood) inDB(v float64) float64 {
	if u.Gain.Is == "ratio" {
		return 20 * math.Log10(v)
	}
	return v
}

func (u *Understood) inDegrees(v float64) float64 {
	if u.Phase.Is == "radians" {
		return v * 180 / math.Pi
	}
	return v
}
