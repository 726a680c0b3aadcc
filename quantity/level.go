package quantity

import (
	"math"
	"strconv"
	"strings"
)

// The reference of dBu is the voltage that puts 1 mW into 600 ohm, sqrt(0.6)
// = 0.7745967 V rms, whatever the load; of dBV it is 1 V rms. (Common
// definitions; 0 dBu = -2.218487 dBV is worked out from them.)
var dBuVolts = math.Sqrt(0.6)

// LevelDBu gives the level of x dB over sqrt(0.6) V rms.
func LevelDBu(x float64) Level { return Level(dBuVolts * Decibels(x).Ratio()) }

// LevelDBV gives the level of x dB over 1 V rms.
func LevelDBV(x float64) Level { return Level(Decibels(x).Ratio()) }

// DBu gives the level in dB over sqrt(0.6) V rms; −Inf for nought.
func (v Level) DBu() float64 { return float64(RatioDecibels(float64(v) / dBuVolts)) }

// DBV gives the level in dB over 1 V rms; −Inf for nought.
func (v Level) DBV() float64 { return float64(RatioDecibels(float64(v))) }

// Volts gives the level as volts rms.
func (v Level) Volts() Volts { return Volts(v) }

// Ratio gives the ratio of voltages 10^(d/20).
func (v Decibels) Ratio() float64 { return math.Pow(10, float64(v)/20) }

// RatioDecibels gives 20 log10 |ratio|; −Inf for nought.
func RatioDecibels(ratio float64) Decibels { return Decibels(20 * math.Log10(math.Abs(ratio))) }

// ParseLevel reads a signal level: volts rms ("0.775 V", "100 mV") or decibels
// ("-20 dBu", "-10 dBV"). "dBv" is refused, since it has been written for
// both, and so is a bare number.
func ParseLevel(text string) (Level, error) {
	v, err := parse(text, &level)
	return Level(v), err
}

func parseLevel(text string) (float64, error) {
	n, end, err := split(text, &level)
	if err != nil {
		return 0, err
	}
	switch lower := strings.ToLower(end); {
	case n.coded: // 1V5
	case lower == "dbu":
		return scaled(text, n, LevelDBu)
	case end == "dBV":
		return scaled(text, n, LevelDBV)
	case lower == "dbv":
		return scaled(text, n, LevelDBu, LevelDBV)
	case end == "":
		return bare(text, n)
	}
	return settle(text, n, end, &level)
}

// bare refuses a level without a unit: it may be volts or dBu.
func bare(text string, n number) (float64, error) {
	one, other := n.value.float(), float64(LevelDBu(n.value.float()))
	if one < 0 || !inRange(one, &level) || !inRange(other, &level) {
		return 0, refuse(IDUnknownUnit, text, &level, "suffix", "")
	}
	return 0, refuse(IDAmbiguous, text, &level, "one", one, "other", other)
}

// scaled reads n, which is in decibels, on the scales it may be meant on, and
// refuses it if they or a comma's readings differ.
func scaled(text string, n number, scales ...func(float64) Level) (float64, error) {
	v := float64(scales[0](n.value.float()))
	if v == 0 || !inRange(v, &level) {
		return 0, refuse(IDOutOfRange, text, &level, "low", tiny, "high", level.high)
	}
	for _, d := range [...]*decimal{&n.value, n.other} {
		for _, scale := range scales {
			if d == nil {
				continue
			}
			if w := float64(scale(d.float())); w != v && inRange(w, &level) {
				return 0, refuse(IDAmbiguous, text, &level, "one", v, "other", w)
			}
		}
	}
	return v, nil
}

// UnmarshalText reads what ParseLevel reads.
func (v *Level) UnmarshalText(text []byte) error { return unmarshal((*float64)(v), text, &level) }

// MarshalText writes the shortest text that reads back to v: dBu or dBV where
// they come out even to two decimals, else volts.
func (v Level) MarshalText() ([]byte, error) {
	if _, err := marshal(float64(v), &level); err != nil {
		return nil, err
	}
	return []byte(v.String()), nil
}

// String gives the text of MarshalText.
func (v Level) String() string {
	best := shortest(float64(v), &level)
	if v <= 0 || math.IsInf(float64(v), 1) {
		return best
	}
	for _, scale := range [...]struct {
		name string
		of   float64
		back func(float64) Level
	}{{" dBu", v.DBu(), LevelDBu}, {" dBV", v.DBV(), LevelDBV}} {
		x := math.Round(scale.of*100)/100 + 0 // + 0 takes the sign off −0
		if text := strconv.FormatFloat(x, 'f', -1, 64) + scale.name; scale.back(x) == v && len(text) < len(best) {
			best = text
		}
	}
	return best
}

// Display gives v in dBu with at most the given number of decimals, since the
// significant digits of a logarithm say nothing; nought is "0 V".
func (v Level) Display(decimals int) string {
	if v == 0 {
		return display(0, 1, &level)
	}
	return trimmed(fixed(v.DBu(), decimals)) + " dBu"
}

func (Level) unit() *unit { return &level }
