package report

import (
	"encoding/csv"
	"io"

	"bandwright/bench"
)

// fieldWords are a part's values in a person's words, and their units.
var fieldWords = map[string]struct{ word, unit string }{
	"Ohms": {"ohms", "ohm"}, "Henries": {"henries", "henry"}, "Farads": {"farads", "farad"},
	"DCR": {"copper", "ohm"}, "CoreOhms": {"core loss", "ohm"}, "Track": {"track", "ohm"},
	"BoostEnd": {"end at boost", "ohm"}, "CutEnd": {"end at cut", "ohm"},
	"Gain": {"gain", ""}, "GainBandwidth": {"gain × bandwidth", "hertz"},
}

// FieldWord names a value of a part.
func FieldWord(field string) string {
	if w, ok := fieldWords[field]; ok {
		return w.word
	}
	return field
}

// FieldValue writes a value of a part in its unit.
func FieldValue(field string, value float64) string { return written(value, fieldWords[field].unit) }

// ResidualsCSV writes every point of every curve that was fitted: what was
// measured, what the circuit makes of it, and what is left, with every digit.
func ResidualsCSV(w io.Writer, a *bench.FitAnswer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"curve", "setting", "hz", "measured_db", "fitted_db", "left_db"}}
	for i, fitted := range a.Fitted {
		left := a.Residuals[i]
		for k := range fitted.Hz {
			measured := fitted.DB[k] + left.DB[k]
			rows = append(rows, []string{a.Curves[i], fitted.Setting.String(), exact(&fitted.Hz[k]), exact(&measured), exact(&fitted.DB[k]), exact(&left.DB[k])})
		}
	}
	return out.WriteAll(rows)
}
