package report

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"bandwright/bench"
)

// RunsCSV writes the run list as comma-separated text with a header row, one row
// a run, then one a link. Lengths are metres, resistance ohms, with every digit.
func RunsCSV(w io.Writer, a *bench.RunsAnswer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"what", "name", "from", "to", "kind", "metres", "ohms", "colour", "original_colour", "screen", "screen_at", "mains", "last", "state"}}
	for _, r := range a.Runs {
		rows = append(rows, []string{"run", r.Name, r.From, r.To, string(r.Kind), exact(r.Metres), exact(&r.Ohms), r.Colour, r.Original,
			string(r.Screen), strings.Join(r.ScreenAt, " "), strconv.FormatBool(r.Mains), strconv.FormatBool(r.Last), string(r.State)})
	}
	for _, l := range a.Links {
		rows = append(rows, []string{"link", l.Name, l.From, l.To, "", "", "", l.Colour, "", "", "", "", "", string(l.State)})
	}
	return out.WriteAll(rows)
}
