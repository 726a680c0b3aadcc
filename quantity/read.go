package quantity

import (
	"math"
	"strings"
	"unicode/utf8"
)

// parse reads text as a value of the unit.
func parse(text string, u *unit) (float64, error) {
	if u == &level {
		return parseLevel(text)
	}
	n, end, err := split(text, u)
	if err != nil {
		return 0, err
	}
	return settle(text, n, end, u)
}

// split takes text into its number and what follows it, spaces taken out. Of
// a number in letter code nothing is left to follow: its value is complete.
func split(text string, u *unit) (number, string, error) {
	s := clean(text)
	if s == "" {
		return number{}, "", refuse(IDEmpty, text, u)
	}
	if len(text) > longest {
		return number{}, "", refuse(IDNotNumber, text, u)
	}
	negative, s := scanSign(s)
	n, end, ok := scanNumber(s)
	if !ok {
		return number{}, "", refuse(IDNotNumber, text, u)
	}
	if n.plain {
		n, end = decode(n, end, u)
	}
	if n.value.digits == "" {
		return number{}, "", refuse(IDNotNumber, text, u)
	}
	n.negate(negative)
	return n, strings.TrimSuffix(strings.ReplaceAll(end, " ", ""), "."), nil
}

// negate gives every reading of n the sign.
func (n *number) negate(negative bool) {
	n.value.negative = negative
	for _, d := range [...]*decimal{n.other, n.code} {
		if d != nil {
			d.negative = negative
		}
	}
}

// decode reads a code letter in the place of the decimal mark: of 4k7 n holds
// 4 and end is "k7". Without one, n and end come back as they were.
func decode(n number, end string, u *unit) (number, string) {
	letter, size := utf8.DecodeRuneInString(end)
	r, known := u.codes[letter]
	if !known {
		return n, end
	}
	after := strings.TrimLeft(end[size:], "0123456789")
	digits := end[size : len(end)-len(after)]
	if digits == "" || !u.after[strings.TrimSpace(after)] {
		return n, end
	}
	point := decimal{digits: n.value.digits + digits, exp: -len(digits)}
	n = number{value: point.times(r.exp), coded: true}
	if r.doubt {
		other := point.times(r.other)
		n.other = &other
	}
	return n, ""
}

// settle puts number and end together, refusing what has two readings.
func settle(text string, n number, end string, u *unit) (float64, error) {
	r, known := u.ends[end]
	switch {
	case n.coded:
		r = reading{}
	case !known:
		return 0, refuse(IDUnknownUnit, text, u, "suffix", cut(end))
	case end == "" && (n.exp || n.value.zero()):
		r = reading{} // 0 and 1e-6 are the base unit whatever the habit is
	}
	meanings := meant(n, r, u)
	v, err := check(text, meanings[0], u)
	if err != nil {
		return 0, err
	}
	// A second meaning that the unit cannot have is no doubt.
	for _, d := range meanings[1:] {
		if w, err := check(text, d, u); err == nil && w != v {
			return 0, refuse(IDAmbiguous, text, u, "one", v, "other", w)
		}
	}
	return v, nil
}

// meant lists what n with the ending r may stand for, the likeliest first.
func meant(n number, r reading, u *unit) []decimal {
	numbers := []decimal{n.value}
	if n.code != nil && u == &ohm {
		numbers = []decimal{*n.code, n.value}
	}
	if n.other != nil {
		numbers = append(numbers, *n.other)
	}
	var all []decimal
	for _, d := range numbers {
		all = append(all, d.times(r.exp))
	}
	for _, d := range numbers {
		if r.doubt {
			all = append(all, d.times(r.other))
		}
	}
	return all
}

// check turns d to binary if it is a value the unit can have.
func check(text string, d decimal, u *unit) (float64, error) {
	v := d.float()
	switch {
	case v < 0 && !u.signed:
		return 0, refuse(IDNegative, text, u)
	case !inRange(v, u) || v == 0 && !d.zero():
		return 0, refuse(IDOutOfRange, text, u, "low", lowest(u), "high", u.high)
	}
	return v, nil
}

// inRange reports whether v can be written and read: finite, and nought or of
// a size within the unit's bounds.
func inRange(v float64, u *unit) bool {
	return v == 0 || v >= u.low && v <= u.high && math.Abs(v) >= smallest(u)
}

// smallest is the least magnitude above nought that the unit takes.
func smallest(u *unit) float64 {
	if u.small > 0 {
		return u.small
	}
	return tiny
}

// lowest is the bound a finding names: of a signed unit the most negative
// value, else the smallest that is not nought.
func lowest(u *unit) float64 {
	if u.signed {
		return u.low
	}
	return smallest(u)
}
