package draw

import (
	"math"
	"strconv"
	"strings"
)

// Tick is one place on an axis. Labels are short and carry no unit; a minor
// tick has none. Ticks are data, so that paper and page draw one axis.
type Tick struct {
	Value float64 `json:"value"`
	Label string  `json:"label,omitempty"`
	Major bool    `json:"major"`
}

// FrequencyTicks gives the ticks of a logarithmic axis from low to high,
// hertz, both inside: every whole multiple of each decade, labelled at one,
// two and five.
func FrequencyTicks(low, high float64) []Tick {
	if !(low > 0) || !(high > low) || !finite(high) {
		panic("draw: a frequency axis must rise from above zero")
	}
	var ticks []Tick
	for decade := int(math.Floor(math.Log10(low))); ; decade++ {
		for digit := 1; digit <= 9; digit++ {
			value := scaled(digit, decade)
			if value < low {
				continue
			}
			if value > high {
				return ticks
			}
			tick := Tick{Value: value}
			if digit == 1 || digit == 2 || digit == 5 {
				tick.Major, tick.Label = true, kilo(value)
			}
			ticks = append(ticks, tick)
		}
	}
}

// scaled gives digit·10^decade as the nearest double: read as text, because
// a product with a power below one misses it by a last place.
func scaled(digit, decade int) float64 {
	value, err := strconv.ParseFloat(strconv.Itoa(digit)+"e"+strconv.Itoa(decade), 64)
	if err != nil {
		panic("draw: " + err.Error())
	}
	return value
}

func kilo(hz float64) string {
	if hz >= 1000 {
		return strconv.FormatFloat(hz/1000, 'f', -1, 64) + "k"
	}
	return strconv.FormatFloat(hz, 'f', -1, 64)
}

// DecibelTicks gives the ticks of a level axis that shows at least low to
// high, its ends whole labelled ticks, with at most most labels, which is three
// or more (a range on both sides of nought needs them). Steps are 1, 2 or 5 and their decimal multiples; each is parted into fives, or fours
// for a step of 2.
func DecibelTicks(low, high float64, most int) []Tick {
	if !finite(low) || !finite(high) || !(high > low) || most < 3 {
		panic("draw: a level axis must rise and carry three labels")
	}
	for decade := int(math.Floor(math.Log10((high - low) / float64(most)))); ; decade++ {
		for _, digit := range [...]int{1, 2, 5} {
			step := scaled(digit, decade)
			// A hair is forgiven, so that 3 · 0.1 is no more than 0.3.
			first := int(math.Floor(low/step + 1e-9))
			last := int(math.Ceil(high/step - 1e-9))
			if last-first+1 <= most {
				return levelTicks(first, last, digit, decade)
			}
		}
	}
}

// levelTicks counts in whole parts of a step so that values come out clean.
func levelTicks(first, last, digit, decade int) []Tick {
	parts := 5
	if digit == 2 {
		parts = 4
	}
	var ticks []Tick
	for i := first * parts; i <= last*parts; i++ {
		tick := Tick{Value: float64(i*digit) * scaled(1, decade) / float64(parts)}
		if i%parts == 0 {
			tick.Value = wholeSteps(i/parts*digit, decade)
			tick.Major, tick.Label = true, Signed(tick.Value, max(0, -decade))
		}
		ticks = append(ticks, tick)
	}
	return ticks
}

func wholeSteps(count, decade int) float64 {
	if count < 0 {
		return -scaled(-count, decade)
	}
	return scaled(count, decade)
}

// Signed writes a level or a difference with its sign, "+3.0", "0.0" or
// "−3.0", the minus a true minus (U+2212).
func Signed(x float64, places int) string {
	text := strconv.FormatFloat(math.Abs(x), 'f', places, 64)
	switch {
	case strings.Trim(text, "0.") == "":
		return text
	case x < 0:
		return "−" + text
	}
	return "+" + text
}
