package quantity

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Tolerance is how far a part may lie from its marked value, as fractions of
// it, both zero or positive: ±5 % is {0.05, 0.05}, −20/+80 % is {0.2, 0.8}.
type Tolerance struct{ Minus, Plus float64 }

// toleranceLetters are those of IEC 60062 for values that are not tiny. F G J
// K M Z as quoted by second texts; B C D W A L from memory.
var toleranceLetters = map[rune]Tolerance{
	'F': {0.01, 0.01}, 'G': {0.02, 0.02}, 'J': {0.05, 0.05}, 'K': {0.1, 0.1}, 'M': {0.2, 0.2}, 'Z': {0.2, 0.8},
	'B': {0.001, 0.001}, 'C': {0.0025, 0.0025}, 'D': {0.005, 0.005},
	'W': {0.0005, 0.0005}, 'A': {0.0005, 0.0005}, 'L': {0.0001, 0.0001},
}

// ParseTolerance reads "5 %", "±5 %", "+/-5%", "-20/+80 %", "+80 -20 %" or a
// letter of IEC 60062. A per cent sign is needed: 0.05 alone might be either.
// The lower side must stay under 100 % and the upper under 1000 %.
func ParseTolerance(text string) (Tolerance, error) {
	s := clean(text)
	if s == "" {
		return Tolerance{}, refuse(IDEmpty, text, &percent)
	}
	if letter, size := utf8.DecodeRuneInString(s); size == len(s) && !isDigit(s[0]) {
		if t, known := toleranceLetters[letter]; known {
			return t, nil
		}
		return Tolerance{}, refuse(IDNotTolerance, text, &percent)
	}
	if len(text) > longest {
		return Tolerance{}, refuse(IDNotTolerance, text, &percent)
	}
	for _, sign := range [...]string{"±", "+/-", "+-"} {
		if after, found := strings.CutPrefix(s, sign); found {
			return symmetric(text, after)
		}
	}
	if s[0] == '+' || s[0] == '-' {
		return sided(text, s)
	}
	return symmetric(text, s)
}

// symmetric reads "5 %".
func symmetric(text, s string) (Tolerance, error) {
	v, err := fraction(text, strings.TrimSpace(s))
	if err == nil && v >= 1 {
		err = refuse(IDOutOfRange, text, &percent, "low", 0.0, "high", 1.0)
	}
	if err != nil {
		return Tolerance{}, err
	}
	return Tolerance{v, v}, nil
}

// sided reads "-20/+80 %", in either order, with or without the stroke and
// with one per cent sign or two.
func sided(text, s string) (Tolerance, error) {
	second := 1 + strings.IndexAny(s[1:], "+-")
	first, last := s[:second], s[second:]
	if second == 0 || first[0] == last[0] {
		return Tolerance{}, refuse(IDNotTolerance, text, &percent)
	}
	first = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(first), "/"))
	if !strings.HasSuffix(first, "%") {
		first += "%"
	}
	a, err := fraction(text, strings.TrimSpace(first[1:]))
	if err != nil {
		return Tolerance{}, err
	}
	b, err := fraction(text, strings.TrimSpace(last[1:]))
	if err != nil {
		return Tolerance{}, err
	}
	if first[0] == '+' {
		a, b = b, a
	}
	if a >= 1 {
		return Tolerance{}, refuse(IDOutOfRange, text, &percent, "low", 0.0, "high", 1.0)
	}
	return Tolerance{Minus: a, Plus: b}, nil
}

// fraction reads an unsigned number of per cent; text is what findings quote.
func fraction(text, s string) (float64, error) {
	n, end, ok := scanNumber(s)
	if !ok || n.value.digits == "" {
		return 0, refuse(IDNotTolerance, text, &percent)
	}
	end = strings.ReplaceAll(end, " ", "")
	if end == "" {
		return 0, refuse(IDUnknownUnit, text, &percent, "suffix", "")
	}
	return settle(text, n, end, &percent)
}

// UnmarshalText reads what ParseTolerance reads.
func (t *Tolerance) UnmarshalText(text []byte) error {
	read, err := ParseTolerance(string(text))
	if err == nil {
		*t = read
	}
	return err
}

// MarshalText writes the shortest text that reads back to t: "5 %" or
// "-20/+80 %".
func (t Tolerance) MarshalText() ([]byte, error) {
	if t.Minus < 0 || t.Minus >= 1 || t.Plus < 0 || !inRange(t.Plus, &percent) || !inRange(t.Minus, &percent) {
		return nil, fmt.Errorf("quantity: tolerance {%v, %v} cannot be written", t.Minus, t.Plus)
	}
	return []byte(t.String()), nil
}

// String gives the text of MarshalText.
func (t Tolerance) String() string {
	if t.Minus == t.Plus {
		return shortest(t.Plus, &percent)
	}
	return "-" + hundredths(t.Minus) + "/+" + shortest(t.Plus, &percent)
}

// Display gives "±5 %" or "−20/+80 %".
func (t Tolerance) Display() string {
	if t.Minus == t.Plus {
		return "±" + t.String()
	}
	return "−" + t.String()[1:]
}

// hundredths gives a fraction in per cent without the sign.
func hundredths(v float64) string { return strings.TrimSuffix(shortest(v, &percent), " %") }

// Range gives the lowest and highest value of a part marked v.
func Range[Q ~float64](v Q, t Tolerance) (low, high Q) {
	return v * Q(1-t.Minus), v * Q(1+t.Plus)
}
