package report

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/quantity"
)

// BandsCSV writes the band table as comma-separated text with a header row:
// one row of the prediction a band, then one a measured unit. Numbers keep
// every digit, in hertz, decibels and per cent; what is none or was not
// measured is left empty. compare may be nil.
func BandsCSV(w io.Writer, bands *bench.BandsAnswer, compare *bench.CompareAnswer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{
		"band", "stated_hz", "leg_resonance_hz", "of", "centre_hz", "centre_hz_error", "off_predicted_percent",
		"boost_db", "boost_db_error", "boost_off_db", "cut_db", "cut_off_db", "q", "q_off_percent",
	}}
	for _, b := range bands.Bands {
		rows = append(rows, []string{
			b.Band, exact(&b.StatedHz), exact(where(b.LegHz > 0, b.LegHz)), "predicted", exact(where(b.Found, b.CentreHz)), "", "",
			exact(where(b.Found, b.BoostDB)), "", "", exact(where(b.CutFound, b.CutDB)), "", exact(b.Q), "",
		})
		if compare == nil {
			continue
		}
		for _, u := range compare.Units {
			for _, m := range u.Bands {
				if m.Band == b.Band {
					rows = append(rows, []string{
						m.Band, exact(&m.StatedHz), exact(where(b.LegHz > 0, b.LegHz)), u.Unit, exact(m.MeasuredHz), exact(m.ErrorHz), exact(m.CentreOff),
						exact(m.MeasuredDB), exact(m.ErrorDB), exact(m.BoostOff), exact(m.MeasuredCut), exact(m.CutOff), exact(m.MeasuredQ), exact(m.QOff),
					})
				}
			}
		}
	}
	return out.WriteAll(rows)
}

// exact writes the shortest text that reads back to the same number.
func exact(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}

// PicksCSV writes a pick list as comma-separated text with a header row, by
// place as in the answer. Values keep every digit, in henry, farad or ohm; what
// is in no drawer has neither id nor left.
func PicksCSV(w io.Writer, picked *bench.PickAnswer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"place", "id", "kind", "marked", "unit", "tolerance", "take", "bands", "left"}}
	for _, l := range picked.List {
		left := ""
		if l.ID != "" {
			left = strconv.Itoa(l.Left)
		}
		rows = append(rows, []string{l.Place, l.ID, string(l.Kind), exact(where(l.Marked > 0, l.Marked)), l.Kind.Unit(),
			toleranceText(l.Tolerance), strconv.Itoa(l.Count), strings.Join(l.Bands, " "), left})
	}
	return out.WriteAll(rows)
}

func toleranceText(t *quantity.Tolerance) string {
	if t == nil {
		return ""
	}
	return t.String()
}
