package quantity

import (
	"strconv"
	"strings"
)

// decimal is digits × 10^exp, as read. It stays decimal while prefixes move
// the point, and is turned to binary once: 4k7 is "47" × 10^2, exactly 4700,
// where 4.7 × 1000 in floating point need not be.
type decimal struct {
	negative bool
	digits   string // '0'…'9', at least one
	exp      int
}

// times gives d × 10^n.
func (d decimal) times(n int) decimal {
	d.exp += n
	return d
}

// zero reports whether d is nought.
func (d decimal) zero() bool { return strings.Trim(d.digits, "0") == "" }

// float gives the nearest float64, ±Inf when there is none that large. Nought
// has no sign: a bench knows no −0.
func (d decimal) float() float64 {
	if d.zero() {
		return 0
	}
	// The error can only be ErrRange, for which the value says ±Inf.
	v, _ := strconv.ParseFloat(d.digits+"e"+strconv.Itoa(d.exp), 64)
	if d.negative {
		return -v
	}
	return v
}

// scientific splits a positive, finite v into its decimal digits, without
// closing zeros, and the power of ten of the first one: 4700 is "47", 3. With
// digits < 0 they are the fewest that give v back, else v is rounded (half to
// even on the exact binary value) to that many.
func scientific(v float64, digits int) (string, int) {
	if digits > 0 {
		digits--
	}
	text := strconv.FormatFloat(v, 'e', digits, 64)
	mantissa, power, _ := strings.Cut(text, "e")
	exp, err := strconv.Atoi(power)
	if err != nil {
		panic("quantity: exponent of " + text)
	}
	mantissa = strings.TrimRight(strings.Replace(mantissa, ".", "", 1), "0")
	if mantissa == "" {
		mantissa = "0"
	}
	return mantissa, exp
}

// place writes digits with the decimal mark after the first before ones,
// filling with zeros on either side: place("47", 3, ".") is "470",
// place("47", 0, ".") is "0.47", place("47", 1, "k") is "4k7".
func place(digits string, before int, mark string) string {
	switch {
	case before <= 0:
		return "0" + mark + strings.Repeat("0", -before) + digits
	case before >= len(digits):
		return digits + strings.Repeat("0", before-len(digits))
	}
	return digits[:before] + mark + digits[before:]
}
