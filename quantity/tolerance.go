package quantity

import (
	"strconv"
	"strings"

	"bandwright/finding"
)

// Tolerance is how far a part may lie from its marked value, as fractions of
// it, both zero or positive: ±5 % is {0.05, 0.05}, −20/+80 % is {0.2, 0.8}.
type Tolerance struct{ Minus, Plus float64 }

// UnmarshalText reads "5 %".
func (t *Tolerance) UnmarshalText(text []byte) error {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(string(text), "%"))+"e-2", 64)
	if err != nil {
		return finding.New("quantity.not-a-tolerance", finding.Error, finding.Place{}, finding.Args{"read": string(text)})
	}
	*t = Tolerance{v, v}
	return nil
}

// MarshalText writes the shortest text that reads back to t.
func (t Tolerance) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// String gives the text of MarshalText.
func (t Tolerance) String() string { return strconv.FormatFloat(t.Plus*100, 'g', -1, 64) + " %" }
