package quantity

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Codes printed on parts (IEC 60062 as quoted by second texts, and habits of
// the makers where marked from memory). They are read only when asked for as
// codes: "104" as a value in ohms is 104 ohm.

// capitals are what ParseOhmsCode takes for the decimal mark.
var capitals = map[rune]int{'R': 0, 'K': 3, 'k': 3, 'M': 6, 'G': 9}

// smalls are what ParseFaradsCode takes: R counts picofarads; here m is milli
// without doubt, since a code has no mF of old drawings.
var smalls = map[rune]int{
	'p': -12, 'n': -9, 'u': -6, 'm': -3, 'R': -12, 'P': -12, 'N': -9, 'U': -6,
}

// ohmMark and faradMark name the kinds in findings.
var (
	ohmMark   = unit{name: "ohm", like: "472J", high: wide}
	faradMark = unit{name: "farad", like: "104K", high: wide}
)

// ParseOhmsCode reads the marking of a resistor: letter code (4K7, R47, 47K3,
// 470RJ), two or three digits and a count of zeros (472 is 4.7 kΩ, 4701 too),
// "0", "00", "000", "0000" for a link, or the number of an E96 value with its
// multiplier letter ("01C" is 10 kΩ as quoted by a second text; multipliers
// other than C from memory: Z 0.001, Y 0.01, X 0.1, A 1, B 10, D 1 k, E 10 k,
// F 100 k). A K or M is the decimal mark and never a tolerance: 470K is 470 kΩ,
// and 4K7K is ±10 %. The tolerance is nil where none is marked.
func ParseOhmsCode(code string) (Ohms, *Tolerance, error) {
	s := clean(code)
	if s == "" {
		return 0, nil, refuse(IDEmpty, code, &ohmMark)
	}
	if d, ok := e96Code(s); ok {
		v, err := check(code, d, &ohmMark)
		return Ohms(v), nil, err
	}
	if len(s) <= 4 && strings.Trim(s, "0") == "" {
		return 0, nil, nil
	}
	value, t := s, (*Tolerance)(nil)
	d, ok := letterCode(value, capitals)
	if !ok {
		value, t = takeLetter(s)
		d, ok = letterCode(value, capitals)
	}
	if !ok {
		d, ok = zerosCode(value)
	}
	if !ok {
		return 0, nil, refuse(IDNotCode, code, &ohmMark)
	}
	v, err := check(code, d, &ohmMark)
	return Ohms(v), t, err
}

// ParseFaradsCode reads the marking of a capacitor: digits in picofarads, the
// last of three or four being a count of zeros (104 is 100 nF, 472 4.7 nF, 47
// 47 pF; 8 and 9
// as the third, from memory, are × 0.01 and × 0.1), or letter code (4n7, 2u2,
// p47; 4R7 is 4.7 pF). A tolerance letter may follow (104K ±10 %); below 10 pF
// B C D F G would mean picofarads and are refused. The tolerance is nil where
// none is marked.
func ParseFaradsCode(code string) (Farads, *Tolerance, error) {
	value, t := clean(code), (*Tolerance)(nil)
	if value == "" {
		return 0, nil, refuse(IDEmpty, code, &faradMark)
	}
	d, ok := faradsValue(value)
	if !ok {
		value, t = takeLetter(value)
		d, ok = faradsValue(value)
	}
	if !ok || len(code) > longest {
		return 0, nil, refuse(IDNotCode, code, &faradMark)
	}
	v, err := check(code, d, &faradMark)
	if err != nil {
		return 0, nil, err
	}
	if t != nil && v < 10e-12 && strings.ContainsAny(clean(code)[len(value):], "BCDFG") {
		return 0, nil, refuse(IDSmallLetter, code, &faradMark,
			"letter", clean(code)[len(value):], "value", v, "tolerance", t.Plus)
	}
	return Farads(v), t, nil
}

// faradsValue reads a capacitor's marking without its tolerance letter.
func faradsValue(s string) (decimal, bool) {
	if d, ok := letterCode(s, smalls); ok {
		return d, true
	}
	if allDigits(s) && len(s) <= 2 && s[0] != '0' {
		return decimal{digits: s, exp: -12}, true
	}
	d, ok := zerosCode(s)
	if ok && len(s) == 3 && s[2] >= '8' {
		d.exp = int(s[2]) - '0' - 10 // 8 and 9 mean × 0.01 and × 0.1
	}
	return d.times(-12), ok
}

// letterCode reads digits with one letter in the place of the decimal mark.
func letterCode(s string, letters map[rune]int) (decimal, bool) {
	at := strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' })
	if at < 0 || len(s) > 10 {
		return decimal{}, false
	}
	letter, size := utf8.DecodeRuneInString(s[at:])
	exp, known := letters[letter]
	whole, after := s[:at], s[at+size:]
	if !known || whole+after == "" || after != "" && !allDigits(after) {
		return decimal{}, false
	}
	return decimal{digits: whole + after, exp: exp - len(after)}, true
}

// zerosCode reads two or three digits, not starting with 0, and a count of
// zeros.
func zerosCode(s string) (decimal, bool) {
	if !allDigits(s) || len(s) < 3 || len(s) > 4 || s[0] == '0' {
		return decimal{}, false
	}
	last := len(s) - 1
	return decimal{digits: s[:last], exp: int(s[last] - '0')}, true
}

// e96Code reads two digits that count the values of E96 from 01 and a
// multiplier letter.
func e96Code(s string) (decimal, bool) {
	if len(s) != 3 || !allDigits(s[:2]) {
		return decimal{}, false
	}
	exp := strings.IndexByte("ZYXABCDEF", s[2]) - 3
	k := int(s[0]-'0')*10 + int(s[1]-'0') - 1
	if exp < -3 || k < 0 || k >= int(E96) {
		return decimal{}, false
	}
	value, down := E96.digits(k)
	return decimal{digits: strconv.Itoa(value), exp: down + exp + 2}, true
}

// takeLetter takes a tolerance letter off the end of a code.
func takeLetter(s string) (string, *Tolerance) {
	letter, size := utf8.DecodeLastRuneInString(s)
	if t, known := toleranceLetters[letter]; known {
		return s[:len(s)-size], &t
	}
	return s, nil
}

func allDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
