package report

import (
	"encoding/csv"
	"io"

	"bandwright/bench"
	"bandwright/job"
	"bandwright/quantity"
)

// PowerUpCSV writes the list of a stage as comma-separated text with a header
// row, to be filled in under "reading" and given back. Volts and decibels keep
// every digit; where no meter shows a number, or no bound is asked for, the cell
// is left empty.
func PowerUpCSV(w io.Writer, a *bench.FirstVoltsAnswer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"kind", "red", "black", "setting", "hz", "reading", "low", "expected", "high", "must_rise_to", "must_not_exceed", "stage", "verdict", "date", "meter", "note"}}
	for _, r := range a.Rows {
		low, nominal, high, read := "", "", "", ""
		if r.Shown != nil {
			low, nominal, high = exact(&r.Shown.Worst.Low), exact(&r.Shown.Worst.Nominal), exact(&r.Shown.Worst.High)
		}
		switch {
		case r.Open:
			read = job.ReadOpen
		case r.Read != nil:
			read = quantity.Volts(*r.Read).String()
		}
		rows = append(rows, []string{job.ReadVolts, r.Point, r.Black, r.Setting, "", read, low, nominal, high,
			exact(r.Rises), exact(r.Most), a.Stage, VerdictWord(r.Verdict), "", "", ""})
	}
	for _, b := range a.Bands {
		read := ""
		if b.Read != nil {
			read = quantity.Decibels(*b.Read).String()
		}
		rows = append(rows, []string{job.ReadGain, "", "", b.UpAt, exact(&b.Hz), read, "", exact(b.Up), "", "", "", a.Stage, VerdictWord(b.Verdict), "", "", ""})
	}
	return out.WriteAll(rows)
}
