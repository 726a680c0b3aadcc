package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/draw"
	"bandwright/quantity"
)

// The one place where a sheet's numbers become text. Nothing is computed
// here; a nil pointer is a dash, which the tables explain as "none".

const (
	dash    = "–"
	notDone = "NOT DONE"
)

// plain writes at most so many significant digits without an exponent.
func plain(x float64, digits int) string {
	text := strconv.FormatFloat(x, 'g', digits, 64)
	if strings.ContainsRune(text, 'e') {
		if x, err := strconv.ParseFloat(text, 64); err == nil {
			text = strconv.FormatFloat(x, 'f', -1, 64)
		}
	}
	return strings.Replace(text, "-", "−", 1)
}

// hertz writes a frequency as bands are spoken of, in hertz throughout, to a
// tenth below 1 kHz.
func hertz(x float64) string {
	if x < 1000 {
		return strconv.FormatFloat(x, 'f', 1, 64)
	}
	return strconv.FormatFloat(x, 'f', 0, 64)
}

// stated writes a frequency as it was stated: 31.5, 63, 6300.
func stated(x float64) string { return plain(x, 6) }

func hertzOr(x *float64) string {
	if x == nil {
		return dash
	}
	return hertz(*x)
}

// db2 is for tables, db1 for sentences.
func db2(x float64) string { return draw.Signed(x, 2) }
func db1(x float64) string { return draw.Signed(x, 1) + " dB" }

func db2Or(x *float64) string {
	if x == nil {
		return dash
	}
	return db2(*x)
}

func percentOr(x *float64) string {
	if x == nil {
		return dash
	}
	return draw.Signed(*x, 1)
}

func fixedOr(x *float64, places int) string {
	if x == nil {
		return dash
	}
	text := strconv.FormatFloat(*x, 'f', places, 64)
	if size, negative := strings.CutPrefix(text, "-"); negative {
		if strings.Trim(size, "0.") == "" {
			return size // what rounds to nought has no sign
		}
		return "−" + size
	}
	return text
}

func voltsOr(x *float64, digits int) string {
	if x == nil {
		return dash
	}
	return quantity.Volts(*x).Display(digits)
}

// orNotDone prints a blank as what it is.
func orNotDone(text string) string {
	if strings.TrimSpace(text) == "" {
		return notDone
	}
	return text
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// listed joins names as a sentence does.
func listed(names []string) string {
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// rangeText writes a range "393–406", or "−0.2 to 0.1" where a minus would
// stand beside the dash.
func rangeText(r *bench.Range, places int) string {
	if r == nil {
		return ""
	}
	between := "–"
	if r.Low < 0 || r.High < 0 {
		between = " to "
	}
	return fixedOr(&r.Low, places) + between + fixedOr(&r.High, places)
}

// tied joins a number to the unit after it, so that no line ends between
// them, with a no-break space.
func tied(text string) string {
	words := strings.Split(text, " ")
	var b strings.Builder
	for i, word := range words {
		if i > 0 {
			if endsInDigit(words[i-1]) && isUnit(word) {
				b.WriteString("\u00a0")
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(word)
	}
	return b.String()
}

func endsInDigit(word string) bool {
	return word != "" && word[len(word)-1] >= '0' && word[len(word)-1] <= '9'
}

func isUnit(word string) bool {
	switch strings.TrimRight(word, ".,;:)") {
	case "dB", "dBu", "dBV", "Hz", "kHz", "%", "V", "mV", "µV", "Ω", "kΩ", "MΩ", "ohm", "mm", "°C", "H", "mH", "µF", "nF", "pF", "W":
		return true
	}
	return false
}
