package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Column writes a column of values under one prefix and with one number of
// decimals, so that they can be compared down the page at a glance.
type Column[Q Quantity] struct {
	step     step
	decimals int
	u        *unit
}

// widest is how many digits before the decimal point a column may need before
// a larger prefix is taken.
const widest = 5

// NewColumn picks the prefix for values: that of the smallest but nought, so
// that none begins with zeros, unless the largest then needs more than five
// digits before the point. Decimals are the fewest that show every value to
// the given number of significant digits; of decibels, to that number of
// decimals. Infinite values are left out of the choice. An empty column is
// legal and has the bare unit.
func NewColumn[Q Quantity](values []Q, digits int) Column[Q] {
	if digits < 1 {
		panic("quantity: a column with " + strconv.Itoa(digits) + " digits")
	}
	var q Q
	c := Column[Q]{u: q.unit()}
	if c.u.log {
		c.step, c.decimals = c.u.steps[0], digits
		return c
	}
	c.step = columnStep(values, digits, c.u)
	for _, v := range values {
		if size := math.Abs(float64(v)); size > 0 && !math.IsInf(size, 0) {
			shown, exp := scientific(size, digits)
			c.decimals = max(c.decimals, len(shown)-1-(exp-c.step.exp))
		}
	}
	return c
}

// columnStep picks the prefix; see NewColumn.
func columnStep[Q Quantity](values []Q, digits int, u *unit) step {
	least, most, found := 0, 0, false
	for _, v := range values {
		size := math.Abs(float64(v))
		if size == 0 || math.IsInf(size, 0) {
			continue
		}
		_, exp := scientific(size, digits)
		if !found {
			least, most, found = exp, exp, true
		}
		least, most = min(least, exp), max(most, exp)
	}
	p := pick(least, u)
	if !found {
		p = pick(0, u)
	}
	for i := len(u.steps) - 1; i >= 0 && most-p.exp >= widest; i-- {
		if u.steps[i].exp > p.exp {
			p = u.steps[i]
		}
	}
	return p
}

// Unit gives the prefixed unit for the column's head: "kΩ".
func (c Column[Q]) Unit() string { return c.step.prefix + c.u.symbol }

// Cell gives v without its unit. NaN is a misuse and panics.
func (c Column[Q]) Cell(v Q) string {
	return fixed(scaleBy(float64(v), -c.step.exp), c.decimals)
}

// scaleBy gives v × 10^n through decimal digits, so that 4.7e-9 in nano is
// 4.7 and a half is rounded as it was written.
func scaleBy(v float64, n int) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	digits, exp := scientific(math.Abs(v), -1)
	return decimal{negative: v < 0, digits: digits, exp: exp - len(digits) + 1 + n}.float()
}

// Text gives v with the column's prefix and unit: "0.47 kΩ".
func (c Column[Q]) Text(v Q) string { return strings.TrimSpace(c.Cell(v) + " " + c.Unit()) }
