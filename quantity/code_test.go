package quantity

import (
	"testing"

	"bandwright/finding"
)

func TestOhmsCode(t *testing.T) {
	for code, want := range map[string]struct {
		value     Ohms
		tolerance string
	}{
		// IEC 60062 letter code, as quoted by a second text.
		"R47": {0.47, ""}, "4R7": {4.7, ""}, "470R": {470, ""}, "4K7": {4700, ""}, "47K": {47e3, ""}, "47K3": {47300, ""}, "470K": {470e3, ""},
		"4M7": {4.7e6, ""}, "8K2": {8200, ""}, "15M0": {15e6, ""},
		// Digits and zeros, and the E96 number, as quoted by a second text.
		"472": {4700, ""}, "104": {100e3, ""}, "01C": {10e3, ""},
		// With tolerance letters: worked out from the two tables.
		"472J": {4700, "5 %"}, "4K7K": {4700, "10 %"}, "470RG": {470, "2 %"}, "4R7F": {4.7, "1 %"}, "R47M": {0.47, "20 %"}, "1M0J": {1e6, "5 %"},
		// From memory.
		"4701": {4700, ""}, "0": {0, ""}, "000": {0, ""}, "47A": {301, ""}, "96X": {97.6, ""}, "10F": {12.4e6, ""}, "01Z": {0.1, ""}, "25Y": {1.78, ""},
		"01D": {100e3, ""}, "01B": {1000, ""}, "01E": {1e6, ""},
	} {
		v, tol, err := ParseOhmsCode(code)
		if err != nil || v != want.value || marked(tol) != want.tolerance {
			t.Errorf("%s: %v %q %v, want %v %q", code, float64(v), marked(tol), err, float64(want.value), want.tolerance)
		}
	}
	for code, id := range map[string]finding.ID{
		"": IDEmpty, "47": IDNotCode, "4k7k": IDNotCode, "R": IDNotCode, "K": IDNotCode, "012": IDNotCode, "97A": IDNotCode, "00A": IDNotCode,
		"4.7k": IDNotCode, "47201": IDNotCode, "472j": IDNotCode, "4n7": IDNotCode, "-472": IDNotCode, "999999999G9": IDNotCode, "00000": IDNotCode,
	} {
		_, _, err := ParseOhmsCode(code)
		want0(t, code, err, id)
	}
}

func want0(t *testing.T, code string, err error, id finding.ID) {
	t.Helper()
	want(t, code, err, id, finding.Args{"read": code})
}

func marked(t *Tolerance) string {
	if t == nil {
		return ""
	}
	return t.String()
}

func TestFaradsCode(t *testing.T) {
	for code, want := range map[string]struct {
		value     Farads
		tolerance string
	}{
		// As quoted by a second text.
		"104": {100e-9, ""}, "472": {4.7e-9, ""}, "4R7": {4.7e-12, ""}, "4n7": {4.7e-9, ""}, "2u2": {2.2e-6, ""},
		// With tolerance letters: worked out from the two tables.
		"104K": {100e-9, "10 %"}, "104M": {100e-9, "20 %"}, "104Z": {100e-9, "-20/+80 %"}, "472J": {4.7e-9, "5 %"}, "2u2K": {2.2e-6, "10 %"},
		"4n7F": {4.7e-9, "1 %"}, "4R7K": {4.7e-12, "10 %"}, "2\u00b52J": {2.2e-6, "5 %"},
		// From memory.
		"47": {47e-12, ""}, "5": {5e-12, ""}, "p33": {0.33e-12, ""}, "479": {4.7e-12, ""}, "508": {0.5e-12, ""}, "2m2": {2.2e-3, ""}, "220J": {22e-12, "5 %"},
		"1003": {100e-9, ""},
	} {
		v, tol, err := ParseFaradsCode(code)
		if err != nil || v != want.value || marked(tol) != want.tolerance {
			t.Errorf("%s: %v %q %v, want %v %q", code, float64(v), marked(tol), err, float64(want.value), want.tolerance)
		}
	}
	for code, id := range map[string]finding.ID{
		"": IDEmpty, "K": IDNotCode, "012": IDNotCode, "4k7": IDNotCode, "104KK": IDNotCode, "104k": IDNotCode, "0.1": IDNotCode, "47F": "", "4R7C": IDSmallLetter,
		"5D": IDSmallLetter, "479B": IDSmallLetter, "12345": IDNotCode,
	} {
		if _, tol, err := ParseFaradsCode(code); id == "" {
			if err != nil || marked(tol) != "1 %" {
				t.Errorf("%s: %q %v", code, marked(tol), err)
			}
		} else {
			want0(t, code, err, id)
		}
	}
	_, _, err := ParseFaradsCode("4R7C")
	want(t, "4R7C", err, IDSmallLetter, finding.Args{"letter": "C", "value": 4.7e-12, "tolerance": 0.0025})
}

// Lessons in Electric Circuits volume V chapter 2, worked codes (from the
// work); the last as quoted by a second text. That three of the values are in
// no series shows that reading does not round to one.
func TestColours(t *testing.T) {
	for _, c := range []struct {
		bands     string
		value     Ohms
		tolerance float64
		preferred bool
	}{
		{"yellow violet orange gold", 47e3, 0.05, true},
		{"green red gold silver", 5.2, 0.1, false},
		{"white violet black", 97, 0.2, false},
		{"white violet black (none)", 97, 0.2, false},
		{"orange orange black brown violet", 3300, 0.001, false},
		{"brown green grey silver red", 1.58, 0.02, true},
		{"blue brown green silver blue", 6.15, 0.0025, false},
		{"yellow violet black brown brown", 4700, 0.01, true},
		{"Yellow, VIOLET, black, brown, brown", 4700, 0.01, true},
		{"brown-green-gray-silver-red", 1.58, 0.02, true},
	} {
		v, tol, err := ParseColours(c.bands)
		if err != nil || v != c.value || tol != (Tolerance{c.tolerance, c.tolerance}) {
			t.Errorf("%s: %v %v %v", c.bands, float64(v), tol, err)
		}
		if in := Contains(E24, v) || Contains(E96, v); in != c.preferred && v != 3300 {
			t.Errorf("%s: in a series %v", c.bands, in)
		}
	}
}

func TestColoursRefused(t *testing.T) {
	for bands, c := range map[string]struct {
		id   finding.ID
		args finding.Args
	}{
		"":                                 {IDEmpty, nil},
		"red red":                          {IDBandCount, finding.Args{"bands": 2}},
		"red red red red red brown":        {IDBandCount, finding.Args{"bands": 6}},
		"gold red red red":                 {IDNotColour, finding.Args{"colour": "gold", "band": 1}},
		"red mauve red gold":               {IDNotColour, finding.Args{"colour": "mauve", "band": 2}},
		"red red none gold":                {IDNotColour, finding.Args{"colour": "none", "band": 3}},
		"red red red black":                {IDNotColour, finding.Args{"colour": "black", "band": 4}},
		"orange orange black brown yellow": {IDNotColour, finding.Args{"colour": "yellow", "band": 5}},
	} {
		_, _, err := ParseColours(bands)
		want(t, bands, err, c.id, c.args)
	}
}

// Every digit, multiplier and tolerance colour, against arithmetic.
func TestColoursThroughout(t *testing.T) {
	digits := []string{"black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"}
	power := 1.0
	for m, multiplier := range digits {
		for a, first := range digits {
			for b, second := range digits {
				v, _, err := ParseColours(first + " " + second + " " + multiplier)
				if err != nil || float64(v) != float64(10*a+b)*power {
					t.Fatalf("%s %s %s: %v %v (10^%d)", first, second, multiplier, float64(v), err, m)
				}
			}
		}
		power *= 10
	}
	for name, percent := range map[string]string{
		"brown": "1 %", "red": "2 %", "green": "0.5 %", "blue": "0.25 %", "violet": "0.1 %", "gold": "5 %", "silver": "10 %", "none": "20 %",
	} {
		if _, tol, err := ParseColours("red red red " + name); err != nil || tol.String() != percent {
			t.Errorf("%s: %v %v", name, tol, err)
		}
	}
}
