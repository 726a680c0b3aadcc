package report

import (
	"encoding/csv"
	"io"
	"strconv"

	"bandwright/bench"
	"bandwright/job"
)

// OhmsCSV writes a ring-out list as comma-separated text with a header row, to
// be filled in under "reading" and given back. Ohms and seconds keep every
// digit; what must be open has "open" for its nominal and no low or high.
func OhmsCSV(w io.Writer, a *bench.OhmsAnswer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"no", "kind", "black", "red", "setting", "reading", "low_ohms", "nominal_ohms", "high_ohms", "wait_seconds", "stage", "proves", "catches", "verdict", "date", "meter", "note"}}
	add := func(r bench.OhmsRow) {
		low, nominal, high, read, number := "", job.ReadOpen, "", "", ""
		if r.Ohms != nil {
			low, nominal, high = exact(&r.Ohms.Low), exact(&r.Ohms.Nominal), exact(&r.Ohms.High)
		}
		switch {
		case r.Shown && r.Read == nil:
			read = job.ReadOpen
		case r.Shown:
			read = exact(r.Read)
		}
		if r.Number > 0 {
			number = strconv.Itoa(r.Number)
		}
		rows = append(rows, []string{number, job.ReadOhms, r.Black, r.Red, r.Setting, read, low, nominal, high, exact(where(r.Settles >= settlesFrom, r.Settles)),
			a.Stage, Proves(r), numbers(r.Catches), VerdictWord(r.Verdict), "", "", r.Note})
	}
	for _, g := range a.Groups {
		for _, r := range g.Rows {
			add(r)
		}
	}
	for _, r := range a.Others {
		add(r)
	}
	return out.WriteAll(rows)
}
