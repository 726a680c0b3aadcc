package quantity

import (
	"strconv"
	"strings"

	"bandwright/finding"
)

// parse reads plain numbers with the unit's symbol.
func parse(text string, u *unit) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, u.symbol)), 64)
	if err != nil {
		return 0, finding.New("quantity.not-a-number", finding.Error, finding.Place{}, finding.Args{"read": text, "unit": u.name})
	}
	return v, nil
}

func unmarshal(v *float64, text []byte, u *unit) error {
	x, err := parse(string(text), u)
	if err == nil {
		*v = x
	}
	return err
}

func marshal(v float64, u *unit) ([]byte, error) { return []byte(shortest(v, u)), nil }

func shortest(v float64, u *unit) string {
	return strconv.FormatFloat(v, 'g', -1, 64) + " " + u.symbol
}

func display(v float64, digits int, u *unit) string {
	return strconv.FormatFloat(v, 'g', digits, 64) + " " + u.symbol
}
