package quantity

import (
	"math"
	"testing"
)

// Worked out from the definitions of dBu and dBV.
func TestLevelScales(t *testing.T) {
	near := func(what string, got, want, tol float64) {
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	near("0 dBu in volts", float64(LevelDBu(0)), 0.7745967, 5e-8)
	near("0 dBu, square", float64(LevelDBu(0))*float64(LevelDBu(0)), 0.6, 1e-15)
	near("0 dBu in dBV", LevelDBu(0).DBV(), -2.218487, 5e-7)
	near("+4 dBu in volts", float64(LevelDBu(4)), 1.227653, 5e-7)
	near("-10 dBV in volts", float64(LevelDBV(-10)), 0.3162278, 5e-8)
	near("0 dBV in volts", float64(LevelDBV(0)), 1, 0)
	near("20 dB", Decibels(20).Ratio(), 10, 0)
	near("ratio -10", float64(RatioDecibels(-10)), 20, 0)
	if !math.IsInf(float64(RatioDecibels(0)), -1) || !math.IsInf(Level(0).DBu(), -1) {
		t.Error("nought is not −∞ dB")
	}
	for x := -120.0; x <= 40; x += 0.125 {
		near("dBu and back", LevelDBu(x).DBu(), x, 1e-12)
		near("dBV and back", LevelDBV(x).DBV(), x, 1e-12)
	}
}

func TestLevelTexts(t *testing.T) {
	for text, want := range map[string]Level{
		"0 dBu": LevelDBu(0), "-20 dBu": LevelDBu(-20), "\u221220 dBu": LevelDBu(-20), "\u221220\u202fdBu": LevelDBu(-20), "+4dbu": LevelDBu(4),
		"-10 dBV": LevelDBV(-10), "0.775 V": 0.775, "100 mV": 0.1, "0,5 V": 0.5, "1V5": 1.5, "775 mV rms": 0.775, "0 V": 0, "1e-3 dBu": LevelDBu(0.001),
		"1,250 dBu": LevelDBu(1.25), // 1250 dBu cannot be meant
	} {
		got, err := ParseLevel(text)
		if err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", text, float64(got), err, float64(want))
		}
	}
}
