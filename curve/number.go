package curve

import (
	"math"
	"strconv"
	"strings"
)

// kind says what a field of a table is.
type kind uint8

const (
	words    kind = iota // letters, units, anything else
	number               // a finite number
	grouped              // a finite number with grouping marks removed: 20,000
	blank                // nothing there
	noValue              // NaN, n/a, --, +inf: the program had no value
	minusInf             // −inf: no gain at all
	tooBig               // digits, but beyond what a float64 holds
)

func (k kind) isNumber() bool { return k == number || k == grouped }

// words that stand for "no value" or "no gain" in exports, in lower case;
// those with # are written by one family of C libraries.
var wordKinds = map[string]kind{
	"nan": noValue, "+nan": noValue, "-nan": noValue, "n/a": noValue, "na": noValue, "#n/a": noValue,
	"-": noValue, "--": noValue, "---": noValue, "null": noValue,
	"inf": noValue, "+inf": noValue, "infinity": noValue, "+infinity": noValue, "∞": noValue, "+∞": noValue,
	"-inf": minusInf, "-infinity": minusInf, "-∞": minusInf,
	"1.#inf": noValue, "1.#qnan": noValue, "-1.#ind": noValue, "-1.#inf": minusInf,
}

// parseNumber reads a field. decimal is '.' or ','; the other mark may group
// thousands, strictly in threes, unless it also parts the fields. A zero is
// never written as the first of several groups, so 0,123 is not grouped.
func parseNumber(field string, decimal byte) (float64, kind) {
	if field == "" {
		return 0, blank
	}
	if v, ok := plainNumber(field, decimal); ok {
		return bounded(v)
	}
	field = strings.ReplaceAll(field, "−", "-") // U+2212, as typeset text has it
	if k, ok := wordKinds[strings.ToLower(field)]; ok {
		return 0, k
	}
	if v, ok := plainNumber(field, decimal); ok {
		return bounded(v)
	}
	if bare, ok := ungroup(field, decimal); ok {
		if v, ok := plainNumber(bare, decimal); ok {
			return v, grouped
		}
	}
	return 0, words
}

func bounded(v float64) (float64, kind) {
	if math.IsInf(v, 0) {
		return 0, tooBig
	}
	return v, number
}

// plainNumber reads sign, digits, decimal mark, digits, exponent. With a
// decimal comma there are digits on both sides of it: "63," is a field and a
// separator. strconv takes more (hexadecimal, underscores), so the letters
// are looked at first; an exponent D is Fortran's.
func plainNumber(field string, decimal byte) (float64, bool) {
	comma := -1
	for i := 0; i < len(field); i++ {
		switch c := field[i]; {
		case c >= '0' && c <= '9', c == '+', c == '-', c == 'e', c == 'E', c == 'd', c == 'D':
		case c == '.' && decimal == '.':
		case c == ',' && decimal == ',' && comma < 0:
			comma = i
		default:
			return 0, false
		}
	}
	if comma >= 0 {
		if comma+1 == len(field) || !isDigit(field[comma+1]) || comma == 0 || !isDigit(field[comma-1]) {
			return 0, false
		}
		field = field[:comma] + "." + field[comma+1:]
	}
	if i := strings.IndexAny(field, "dD"); i > 0 {
		field = field[:i] + "e" + field[i+1:]
	}
	v, err := strconv.ParseFloat(field, 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// ungroup removes the grouping mark from 1,234 or 12,345,678.9.
func ungroup(field string, decimal byte) (string, bool) {
	mark := otherMark(decimal)
	body := strings.TrimLeft(field, "+-")
	if len(field)-len(body) > 1 {
		return "", false
	}
	whole, _, _ := strings.Cut(body, string(decimal))
	groups := strings.Split(whole, string(mark))
	if len(groups) < 2 || len(groups[0]) < 1 || len(groups[0]) > 3 || groups[0][0] == '0' {
		return "", false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return "", false
		}
	}
	return strings.ReplaceAll(field, string(mark), ""), true
}

func otherMark(decimal byte) byte {
	if decimal == ',' {
		return '.'
	}
	return ','
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
