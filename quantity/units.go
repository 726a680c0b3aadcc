package quantity

import "maps"

// unit is how one unit is read and written. The tables below are never
// changed.
type unit struct {
	name   string             // as findings name it
	symbol string             // as Display writes it
	like   string             // a text that is read
	ends   map[string]reading // what may follow a number, spaces taken out
	codes  map[rune]reading   // letters that may stand for the decimal mark
	after  map[string]bool    // what may follow the digits of a code
	steps  []step             // prefixes to write, from the largest down
	signed bool               // negative values make sense
	log    bool               // a logarithm: people ask for decimals of it, not digits
	small  float64            // least magnitude above nought, tiny when 0
	low    float64            // bounds of what is believed
	high   float64
}

// reading is the power of ten that a prefix, unit or code letter stands for;
// with doubt, other is the second power it may have been written for.
type reading struct {
	exp   int
	doubt bool
	other int
}

// step says: from 10^from up, write with the prefix for 10^exp.
type step struct {
	from, exp int
	prefix    string
}

// prefix powers by their letter; K beside k because bench hands write it.
var (
	kilo  = map[string]int{"k": 3, "K": 3}
	mega  = map[string]int{"M": 6}
	giga  = map[string]int{"G": 9, "T": 12}
	milli = map[string]int{"m": -3}
	micro = map[string]int{"u": -6}
	nano  = map[string]int{"n": -9}
	pico  = map[string]int{"p": -12}
	shout = map[string]int{"U": -6, "N": -9, "P": -12} // from typewriters and old printers
	none  = map[string]int{"": 0}
)

// wide bounds every part's value: far beyond any bench, yet safe to square.
const (
	tiny = 1e-30 // magnitudes below are slips of the exponent
	wide = 1e18
)

var ohm = unit{
	name: "ohm", symbol: "Ω", like: "4k7", high: wide,
	ends: overlay(
		spell([]string{"", "Ω", "R", "r"}, none, kilo, mega, giga),
		spell([]string{"Ω", "ohm", "ohms", "Ohm", "Ohms", "OHM", "OHMS"}, none, kilo, mega, giga, milli, micro,
			map[string]int{"meg": 6, "Meg": 6, "MEG": 6}),
		spell([]string{"", "Ω", "R"}, map[string]int{"meg": 6, "Meg": 6, "MEG": 6}),
		spell([]string{"ohm", "ohms"}, map[string]int{"kil": 3, "kilo": 3, "mega": 6, "giga": 9, "milli": -3, "micro": -6}),
		map[string]reading{"m": {-3, true, 6}, "mR": {-3, true, 6}},
	),
	codes: map[rune]reading{
		'R': {}, 'r': {}, 'Ω': {}, 'k': {exp: 3}, 'K': {exp: 3}, 'M': {exp: 6}, 'G': {exp: 9}, 'T': {exp: 12},
		'm': {-3, true, 6},
	},
	after: words("", "Ω", "ohm", "ohms", "Ohm", "Ohms"),
	// Contacts and coils are given as 0.05 Ω, so m waits for 0.01.
	steps: []step{{12, 12, "T"}, {9, 9, "G"}, {6, 6, "M"}, {3, 3, "k"}, {-2, 0, ""}, {-5, -3, "m"}, {-6, -6, "µ"}},
}

// ohmCode writes the letter code of ohms, which has no milli: R is the last.
var ohmCode = unit{
	name: "ohm", symbol: "Ω", high: wide,
	steps: []step{{12, 12, "T"}, {9, 9, "G"}, {6, 6, "M"}, {3, 3, "k"}, {-30, 0, ""}},
}

var farad = unit{
	name: "farad", symbol: "F", like: "2u2", high: wide,
	ends: overlay(
		spell([]string{"F", "f", "fd", "Fd", "FD", "farad", "farads"}, micro, nano, pico, shout),
		spell([]string{""}, micro, nano, pico, shout),
		spell([]string{"F", "farad", "farads", "Farad", "Farads"}, none),
		spell([]string{"farad", "farads"}, map[string]int{"milli": -3, "micro": -6, "nano": -9, "pico": -12}),
		// Old drawings: m for micro, mm and µµ for micro-micro.
		spell([]string{"fd", "Fd", "FD", "fds", "FDS"}, map[string]int{"m": -6, "M": -6, "mm": -12, "MM": -12, "uu": -12, "UU": -12}),
		spell([]string{"f", "F"}, map[string]int{"mm": -12, "MM": -12, "uu": -12, "UU": -12}),
		map[string]reading{
			"mF": {-3, true, -6}, "m": {-3, true, -6},
			"mf": {-6, true, -3}, "MF": {-6, true, -3}, "Mf": {-6, true, -3}, "M": {-6, true, -3},
			"": {-12, true, -6},
		},
	),
	codes: map[rune]reading{
		'p': {exp: -12}, 'n': {exp: -9}, 'u': {exp: -6}, 'P': {exp: -12}, 'N': {exp: -9}, 'U': {exp: -6}, 'F': {},
		'm': {-3, true, -6}, 'M': {-6, true, -3},
	},
	after: words("", "F", "f"),
	// No milli: it is what mF and MF are confused about. 4700 µF it is.
	steps: []step{{0, 0, ""}, {-6, -6, "µ"}, {-9, -9, "n"}, {-12, -12, "p"}},
}

var henry = unit{
	name: "henry", symbol: "H", like: "680 mH", high: wide,
	ends: overlay(
		spell([]string{"H", "h", "Hy", "hy", "HY"}, none, milli, micro, nano, map[string]int{"U": -6}),
		spell([]string{""}, milli, micro, nano, map[string]int{"U": -6}),
		spell([]string{"henry", "henries", "henrys", "Henry", "Henries"}, none),
		spell([]string{"henry", "henries", "henrys"}, map[string]int{"milli": -3, "micro": -6, "nano": -9}),
		map[string]reading{"M": {-3, true, -6}, "MH": {-3, true, -6}, "Mh": {-3, true, -6}, "": {0, true, -3}},
	),
	codes: map[rune]reading{
		'H': {}, 'h': {}, 'm': {exp: -3}, 'u': {exp: -6}, 'U': {exp: -6}, 'n': {exp: -9}, 'M': {-3, true, -6},
	},
	after: words("", "H", "h"),
	steps: []step{{0, 0, ""}, {-3, -3, "m"}, {-6, -6, "µ"}, {-9, -9, "n"}},
}

var hertz = unit{
	name: "hertz", symbol: "Hz", like: "1.25 kHz", high: wide,
	ends: overlay(
		spell([]string{"Hz", "HZ"}, none, kilo, mega, giga, milli),
		spell([]string{"hz"}, none, kilo, map[string]int{"M": 6, "G": 9}),
		spell([]string{"", "c", "c/s"}, none, kilo, mega), // cycles, of old drawings
		spell([]string{"hertz", "Hertz", "cps"}, none),
		spell([]string{"hertz"}, map[string]int{"kilo": 3, "mega": 6}),
		map[string]reading{"m": {-3, true, 6}, "mhz": {-3, true, 6}, "mc": {-3, true, 6}, "mc/s": {-3, true, 6}},
	),
	codes: map[rune]reading{'k': {exp: 3}, 'K': {exp: 3}, 'M': {exp: 6}, 'm': {-3, true, 6}},
	after: words("", "Hz", "hz", "HZ"),
	steps: []step{{9, 9, "G"}, {6, 6, "M"}, {3, 3, "k"}, {0, 0, ""}},
}

var volt = unit{
	name: "volt", symbol: "V", like: "24 V", signed: true, low: -wide, high: wide,
	ends:  overlay(voltEnds(), spell([]string{"VDC", "Vdc", "VAC", "Vac"}, none, milli), none0()),
	codes: map[rune]reading{'V': {}, 'v': {}, 'k': {exp: 3}},
	after: words("", "V"),
	steps: voltSteps,
}

// level is read as volts here; its decibel scales are in level.go.
var level = unit{
	name: "level", symbol: "V", like: "-20 dBu", high: wide,
	ends:  voltEnds(),
	codes: map[rune]reading{'V': {}},
	after: words(""),
	steps: voltSteps,
}

var voltSteps = []step{{3, 3, "k"}, {0, 0, ""}, {-3, -3, "m"}, {-6, -6, "µ"}, {-9, -9, "n"}}

func voltEnds() map[string]reading {
	return overlay(
		spell([]string{"V", "v", "volt", "volts", "Volt", "Volts", "Vrms", "VRMS"}, none, kilo, milli, micro, nano),
		map[string]reading{"MV": {-3, true, 6}, "Mv": {-3, true, 6}},
	)
}

// none0 lets a bare number stand for the base unit.
func none0() map[string]reading { return map[string]reading{"": {}} }

var ampere = unit{
	name: "ampere", symbol: "A", like: "20 mA", signed: true, low: -wide, high: wide,
	ends: overlay(
		spell([]string{"A", "a", "amp", "amps", "ampere", "amperes"}, none, milli, micro, nano, pico, map[string]int{"k": 3}),
		map[string]reading{"MA": {-3, true, 6}, "Ma": {-3, true, 6}},
		none0(),
	),
	codes: map[rune]reading{'A': {}},
	after: words(""),
	steps: []step{{0, 0, ""}, {-3, -3, "m"}, {-6, -6, "µ"}, {-9, -9, "n"}, {-12, -12, "p"}},
}

var watt = unit{
	name: "watt", symbol: "W", like: "0.25 W", high: wide,
	ends: overlay(
		spell([]string{"W", "w", "watt", "watts", "Watt", "Watts"}, none, kilo, milli, micro, nano),
		map[string]reading{"MW": {-3, true, 6}, "Mw": {-3, true, 6}},
		none0(),
	),
	codes: map[rune]reading{'W': {}},
	after: words(""),
	// Ratings are given as 0.25 W, so m waits for 0.01.
	steps: []step{{3, 3, "k"}, {-2, 0, ""}, {-5, -3, "m"}, {-6, -6, "µ"}, {-9, -9, "n"}},
}

var second = unit{
	name: "second", symbol: "s", like: "250 ms", signed: true, low: -wide, high: wide,
	ends:  overlay(spell([]string{"s", "sec", "second", "seconds"}, none, milli, micro, nano), none0()),
	after: words(""),
	steps: []step{{0, 0, ""}, {-3, -3, "m"}, {-6, -6, "µ"}, {-9, -9, "n"}},
}

var metre = unit{
	name: "metre", symbol: "m", like: "30 mm", signed: true, low: -wide, high: wide,
	ends: overlay(
		spell([]string{"m"}, none, milli, micro, nano, map[string]int{"c": -2, "k": 3}),
		spell([]string{"metre", "metres", "meter", "meters"}, none),
		map[string]reading{"MM": {exp: -3}, "CM": {exp: -2}, "": {-3, true, 0}},
	),
	after: words(""),
	// The shop's length is the millimetre; 0.5 mm is not 500 µm.
	steps: []step{{0, 0, ""}, {-4, -3, "m"}, {-6, -6, "µ"}, {-9, -9, "n"}},
}

var celsius = unit{
	name: "celsius", symbol: "°C", like: "35 °C", signed: true, low: -273.15, high: 1e5,
	ends:  overlay(spell([]string{"°C", "°c", "C", "c", "°", "degC", "deg", "Celsius", "celsius"}, none), none0()),
	after: words(""),
	steps: []step{{0, 0, ""}},
}

var decibel = unit{
	name: "decibel", symbol: "dB", like: "12 dB", signed: true, log: true, low: -1000, high: 1000,
	ends:  overlay(spell([]string{"dB", "db", "DB", "Db"}, none), none0()),
	after: words(""),
	steps: []step{{0, 0, ""}},
}

// percent carries the numbers of tolerances: its base unit is the fraction.
var percent = unit{
	name: "tolerance", symbol: "%", like: "±5 %", small: 1e-6, high: 10,
	ends: map[string]reading{"%": {exp: -2}, "percent": {exp: -2}, "pct": {exp: -2}, "pc": {exp: -2}},
}

// series names the texts of preferred-value series in findings.
var series = unit{name: "series", like: "E24"}

// spell makes the table of every prefix before every name.
func spell(names []string, prefixes ...map[string]int) map[string]reading {
	all := map[string]reading{}
	for _, table := range prefixes {
		for prefix, exp := range table {
			for _, name := range names {
				all[prefix+name] = reading{exp: exp}
			}
		}
	}
	return all
}

// overlay lays tables over each other; the last wins.
func overlay(tables ...map[string]reading) map[string]reading {
	all := map[string]reading{}
	for _, t := range tables {
		maps.Copy(all, t)
	}
	return all
}

func words(list ...string) map[string]bool {
	all := map[string]bool{}
	for _, w := range list {
		all[w] = true
	}
	return all
}
