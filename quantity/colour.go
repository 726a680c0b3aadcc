package quantity

import (
	"strconv"
	"strings"
)

// colour is what a band of one colour means.
type colour struct {
	digit      int     // 0 to 9, or -1: never a digit
	multiplier int     // the power of ten
	tolerance  float64 // the fraction, or 0: never a tolerance
}

// colours are those of IEC 60062 as worked in Lessons in Electric Circuits
// volume V chapter 2 (from the work). Orange, yellow and grey have no
// tolerance here, since editions of the standard differ.
var colours = map[string]colour{
	"black": {0, 0, 0}, "brown": {1, 1, 0.01}, "red": {2, 2, 0.02}, "orange": {3, 3, 0},
	"yellow": {4, 4, 0}, "green": {5, 5, 0.005}, "blue": {6, 6, 0.0025}, "violet": {7, 7, 0.001},
	"grey": {8, 8, 0}, "gray": {8, 8, 0}, "white": {9, 9, 0},
	"gold": {-1, -1, 0.05}, "silver": {-1, -2, 0.1}, "none": {-1, 0, 0.2},
}

var bandMark = unit{name: "ohm", like: "yellow violet orange gold", high: wide}

// ParseColours reads the bands of a resistor by name, parted by spaces,
// commas, hyphens or strokes: two digits and a multiplier (±20 %), the same
// and a tolerance, or three digits, multiplier and tolerance. "none" may
// stand for a missing tolerance band.
func ParseColours(text string) (Ohms, Tolerance, error) {
	if clean(text) == "" {
		return 0, Tolerance{}, refuse(IDEmpty, text, &bandMark)
	}
	bands := strings.FieldsFunc(strings.ToLower(clean(text)), func(r rune) bool {
		return strings.ContainsRune(" ,-/()", r)
	})
	n := len(bands)
	if n == 3 {
		bands = append(bands, "none")
	}
	if n < 3 || n > 5 {
		return 0, Tolerance{}, refuse(IDBandCount, text, &bandMark, "bands", n)
	}
	multiplier := len(bands) - 2
	var d decimal
	var tolerance float64
	for i, name := range bands {
		c, known := colours[name]
		switch {
		case known && i < multiplier && c.digit >= 0:
			d.digits += strconv.Itoa(c.digit)
		case known && i == multiplier && name != "none":
			d.exp = c.multiplier
		case known && i > multiplier && c.tolerance > 0:
			tolerance = c.tolerance
		default:
			return 0, Tolerance{}, refuse(IDNotColour, text, &bandMark, "colour", cut(name), "band", i+1)
		}
	}
	return Ohms(d.float()), Tolerance{tolerance, tolerance}, nil
}
