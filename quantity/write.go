package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

func unmarshal(v *float64, text []byte, u *unit) error {
	x, err := parse(string(text), u)
	if err == nil {
		*v = x
	}
	return err
}

// marshal writes only what reads back; anything else is a misuse that must
// not reach a file.
func marshal(v float64, u *unit) ([]byte, error) {
	if !inRange(v, u) || v < 0 && !u.signed {
		return nil, fmt.Errorf("quantity: %v %s cannot be written", v, u.name)
	}
	return []byte(shortest(v, u)), nil
}

// shortest writes v with a prefix, in the fewest digits that read back to it,
// with a keyboard's minus.
func shortest(v float64, u *unit) string {
	return signed(v, "-", u.symbol, func(size float64) string {
		digits, exp := scientific(size, -1)
		return prefixed(digits, exp, u)
	})
}

// display writes v for people: rounded to so many significant digits, closing
// zeros dropped, with the true minus.
func display(v float64, digits int, u *unit) string {
	if digits < 1 {
		panic("quantity: display with " + strconv.Itoa(digits) + " digits")
	}
	if u.log {
		return trimmed(fixed(v, digits)) + " " + u.symbol
	}
	return signed(v, "−", u.symbol, func(size float64) string {
		rounded, exp := scientific(size, digits)
		return prefixed(rounded, exp, u)
	})
}

// signed puts sign and the special values around text of a positive size.
func signed(v float64, minus, symbol string, text func(size float64) string) string {
	if math.IsNaN(v) {
		panic("quantity: NaN " + symbol)
	}
	sign := ""
	if v < 0 {
		sign = minus
	}
	switch {
	case v == 0:
		return "0 " + symbol
	case math.IsInf(v, 0):
		return sign + "∞ " + symbol
	}
	return sign + text(math.Abs(v))
}

// prefixed writes digits × 10^exp (exp of the first digit) with the unit's
// prefix for it, or with an exponent where no prefix comes near.
func prefixed(digits string, exp int, u *unit) string {
	p := pick(exp, u)
	before := exp - p.exp + 1
	if before < -5 || before > 9 {
		number := place(digits, 1, ".")
		return number + "e" + strconv.Itoa(exp-base(u)) + " " + u.symbol
	}
	return place(digits, before, ".") + " " + p.prefix + u.symbol
}

// pick gives the prefix step for a first digit worth 10^exp.
func pick(exp int, u *unit) step {
	if len(u.steps) == 0 {
		return step{exp: base(u)}
	}
	for _, s := range u.steps {
		if exp >= s.from {
			return s
		}
	}
	return u.steps[len(u.steps)-1]
}

// base is the power of ten of the bare symbol: −2 for per cent, else 0.
func base(u *unit) int { return u.ends[u.symbol].exp }

// bench writes v in letter code, rounded to so many significant digits: the
// prefix, or letter where there is none, stands for the decimal mark.
func bench(v float64, digits int, u *unit, letter string) string {
	if digits < 1 || !inRange(v, u) || v < 0 {
		panic(fmt.Sprintf("quantity: no letter code of %v %s in %d digits", v, u.name, digits))
	}
	if v == 0 {
		return "0" + letter
	}
	rounded, exp := scientific(v, digits)
	p := pick(exp, u)
	mark := p.prefix
	switch mark {
	case "":
		mark = letter
	case "µ":
		mark = "u"
	}
	before := exp - p.exp + 1
	if before >= len(rounded) {
		return place(rounded, before, "") + mark
	}
	return strings.TrimPrefix(place(rounded, before, mark), "0")
}

// Bench gives the letter code of at most so many digits: 4k7, 470R, R47.
func (v Ohms) Bench(digits int) string { return bench(float64(v), digits, &ohmCode, "R") }

// Bench gives the letter code of at most so many digits: 2u2, 100n, p47. It
// keeps to letters every keyboard and every file name has.
func (v Farads) Bench(digits int) string { return bench(float64(v), digits, &farad, "F") }

// Bench gives 1H5 and 2H2 from a henry up and, as coils are spoken of, 680mH
// and 4.7mH below.
func (v Henries) Bench(digits int) string {
	if v >= 1 {
		return bench(float64(v), digits, &henry, "H")
	}
	text := strings.ReplaceAll(display(float64(v), digits, &henry), " ", "")
	return strings.Replace(text, "µ", "u", 1)
}

// fixed writes v with so many decimals and the true minus; what rounds to
// nought has no sign.
func fixed(v float64, decimals int) string {
	switch {
	case math.IsNaN(v):
		panic("quantity: NaN")
	case math.IsInf(v, -1):
		return "−∞"
	case math.IsInf(v, 1):
		return "∞"
	}
	text := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if v < 0 && strings.Trim(text, "0.") != "" {
		return "−" + text
	}
	return text
}

// trimmed takes closing zeros after a decimal point away.
func trimmed(text string) string {
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
