package quantity

import (
	"testing"

	"bandwright/finding"
)

func TestToleranceTexts(t *testing.T) {
	even := func(v float64) Tolerance { return Tolerance{v, v} }
	for text, want := range map[string]Tolerance{
		// Letters as quoted by second texts (makers' codes after IEC 60062).
		"F": even(0.01), "G": even(0.02), "J": even(0.05), "K": even(0.1), "M": even(0.2), "Z": {0.2, 0.8},
		// Letters from memory.
		"B": even(0.001), "C": even(0.0025), "D": even(0.005), "W": even(0.0005), "A": even(0.0005), "L": even(0.0001),
		// Written out: common practice, no source.
		"5 %": even(0.05), "5%": even(0.05), "±5 %": even(0.05), "± 5%": even(0.05), "+/-5%": even(0.05), "+- 5 %": even(0.05),
		"+/\u22125 %": even(0.05), "0,5 %": even(0.005), "±0.25\u202f%": even(0.0025), "5 percent": even(0.05), "0 %": {},
		"-20/+80 %": {0.2, 0.8}, "\u221220/+80 %": {0.2, 0.8}, "\u221220/+80\u2009%": {0.2, 0.8}, "+80/-20 %": {0.2, 0.8}, "+80-20%": {0.2, 0.8},
		"-20 % +80 %": {0.2, 0.8}, "-20 % / +80 %": {0.2, 0.8}, "-0/+100 %": {0, 1}, "-2,5/+7,5 %": {0.025, 0.075}, "K\u00a0": even(0.1),
	} {
		got, err := ParseTolerance(text)
		if err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", text, got, err, want)
		}
	}
}

func TestToleranceRefused(t *testing.T) {
	for text, id := range map[string]finding.ID{
		"": IDEmpty, "5": IDUnknownUnit, "0.05": IDUnknownUnit, "-20/+80": IDUnknownUnit, "5 kΩ": IDUnknownUnit, "±0.5 pF": IDUnknownUnit,
		"j": IDNotTolerance, "Q": IDNotTolerance, "%": IDNotTolerance, "±": IDNotTolerance, "+5 %": IDNotTolerance, "-5 %": IDNotTolerance,
		"-20/-80 %": IDNotTolerance, "+5/+5 %": IDNotTolerance, "five %": IDNotTolerance, "±-5 %": IDNotTolerance, "NaN %": IDNotTolerance,
		"-/+ %": IDNotTolerance, "±100 %": IDOutOfRange, "-100/+50 %": IDOutOfRange, "-20/+5000 %": IDOutOfRange, "1e400 %": IDOutOfRange,
		"1e-9 %": IDOutOfRange,
	} {
		_, err := ParseTolerance(text)
		want(t, text, err, id, finding.Args{"read": text, "unit": "tolerance"})
	}
}

func TestRange(t *testing.T) {
	low, high := Range(Farads(100e-9), Tolerance{0.2, 0.8})
	if float64(low) < 79.99999e-9 || float64(low) > 80.00001e-9 || float64(high) < 179.99999e-9 || float64(high) > 180.00001e-9 {
		t.Error(low, high)
	}
}
