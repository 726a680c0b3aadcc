package quantity

import (
	"strconv"
	"strings"
	"unicode"
)

// longest is the length in bytes beyond which a text is no value; it bounds
// the work a hostile file can ask for.
const longest = 100

// clean maps the many ways of typing one sign to one: every Unicode space to
// a space, both micro signs to u, both ohm signs to Ω, minus and en dash to
// the hyphen, the ordinal sign to the degree it was meant as. Outer spaces go.
func clean(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch r {
		case 'µ', 'μ':
			return 'u'
		case '\u2126':
			return 'Ω'
		case '\u2212', '\u2013':
			return '-'
		case '\u212A': // the kelvin sign, which looks like a K
			return 'K'
		case 'º':
			return '°'
		}
		if unicode.IsSpace(r) { // includes no-break, thin and narrow spaces
			return ' '
		}
		return r
	}, strings.ReplaceAll(text, "℃", "°C")))
}

// number is a number at the start of a text, with its second reading where a
// comma leaves one open.
type number struct {
	value decimal
	other *decimal // nil unless the comma may also part thousands
	plain bool     // digits alone, no separator and no exponent
	exp   bool     // an exponent was written
	coded bool     // written in letter code, so that prefix and unit are in it
	code  *decimal // of 4E7 read with E as the decimal letter, else nil
}

// times moves the decimal point of every reading.
func (n number) times(exp int) number {
	n.value = n.value.times(exp)
	if n.other != nil {
		moved := n.other.times(exp)
		n.other = &moved
	}
	return n
}

// scanSign takes a sign off cleaned text.
func scanSign(text string) (negative bool, rest string) {
	switch {
	case strings.HasPrefix(text, "-"):
		return true, strings.TrimLeft(text[1:], " ")
	case strings.HasPrefix(text, "+"):
		return false, strings.TrimLeft(text[1:], " ")
	}
	return false, text
}

// scanNumber reads the unsigned number at the start of cleaned text and gives
// what follows it; ok is false when what stands there is no number. Text that
// starts with a letter gives no digits and ok: R47 has its number later.
func scanNumber(text string) (n number, rest string, ok bool) {
	end := body(text)
	n, ok = separate(text[:end])
	if !ok {
		return n, "", false
	}
	rest = text[end:]
	if exp, used := exponent(rest); used > 0 && end > 0 {
		if after := rest[1:used]; n.plain && rest[0] == 'E' && isDigit(after[0]) {
			n.code = &decimal{digits: n.value.digits + after, exp: -len(after)}
		}
		n = n.times(exp)
		n.plain, n.exp = false, true
		rest = rest[used:]
	}
	return n, rest, true
}

// body gives the length of the run of digits and separators at the start. A
// space belongs to it only between digits and before exactly three of them.
func body(text string) int {
	i := 0
	for i < len(text) {
		c := text[i]
		group := c == ' ' && i > 0 && isDigit(text[i-1]) && threeDigits(text[i+1:])
		if !isDigit(c) && c != '.' && c != ',' && !group {
			break
		}
		i++
	}
	return i
}

// exponent reads e5, E-3 …; used is 0 when there is none.
func exponent(text string) (exp, used int) {
	if text == "" || text[0] != 'e' && text[0] != 'E' {
		return 0, 0
	}
	i := 1
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	start := i
	for i < len(text) && isDigit(text[i]) {
		i++
	}
	if i == start {
		return 0, 0
	}
	// An exponent of more digits than an int has only overflows further.
	exp, err := strconv.Atoi(text[1:i])
	if err != nil || exp > 9999 || exp < -9999 {
		exp = 9999
		if text[1] == '-' {
			exp = -9999
		}
	}
	return exp, i
}

// separate decides what the separators of a run of digits mean. The last of
// two kinds is the decimal mark; one kind twice parts thousands; a single
// point is decimal; a single comma is decimal too, except that 1 to 3 digits,
// comma, 3 digits could as well be thousands: then both readings are given.
func separate(run string) (number, bool) {
	whole, spaced := run, strings.Contains(run, " ")
	points, commas := strings.Count(run, "."), strings.Count(run, ",")
	fraction, mark := "", ""
	switch {
	case points == 1 && commas != 1, points == 1 && strings.LastIndex(run, ".") > strings.LastIndex(run, ","):
		mark = "."
	case commas == 1:
		mark = ","
	}
	if mark != "" {
		whole, fraction, _ = strings.Cut(run, mark)
		if fraction == "" || strings.Trim(fraction, "0123456789") != "" {
			return number{}, false
		}
	}
	joined, ok := join(whole)
	if !ok {
		return number{}, false
	}
	n := number{
		value: decimal{digits: joined + fraction, exp: -len(fraction)},
		plain: mark == "" && joined == run,
	}
	if mark == "," && !spaced && len(fraction) == 3 && grouped(whole+","+fraction, ",") {
		n.other = &decimal{digits: joined + fraction}
	}
	return n, true
}

// join takes the thousands separators, all of one kind, out of whole.
func join(whole string) (string, bool) {
	for _, mark := range [...]string{" ", ",", "."} {
		if strings.Contains(whole, mark) {
			return strings.ReplaceAll(whole, mark, ""), grouped(whole, mark)
		}
	}
	return whole, true
}

// grouped reports whether mark parts text into 1 to 3 digits, not starting
// with 0, and then threes.
func grouped(text, mark string) bool {
	groups := strings.Split(text, mark)
	for i, g := range groups {
		if strings.Trim(g, "0123456789") != "" || len(g) > 3 || i > 0 && len(g) != 3 {
			return false
		}
	}
	return groups[0] != "" && groups[0][0] != '0'
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// threeDigits reports whether text starts with exactly three digits.
func threeDigits(text string) bool {
	n := 0
	for n < len(text) && isDigit(text[n]) {
		n++
	}
	return n == 3
}
