package report

import (
	"encoding/csv"
	"io"

	"bandwright/bench"
)

// FeedCSV writes what every part carries in every case as comma-separated text
// with a header row. Figures keep every digit, in volts, amperes and watts; what
// is not rated is left empty.
func FeedCSV(w io.Writer, a *bench.FeedAnswer) error {
	rails := map[string]float64{}
	for _, k := range a.Cases {
		rails[string(k.Name)] = k.Rail
	}
	rated := map[string]bench.FeedPart{}
	for _, p := range a.Parts {
		rated[p.Part] = p
	}
	out := csv.NewWriter(w)
	rows := [][]string{{"case", "rail_volts", "part", "kind", "volts", "rated_volts", "amperes", "rated_amperes", "watts", "rated_watts"}}
	for _, l := range a.Loads {
		p, rail := rated[l.Part], rails[string(l.Case)]
		rows = append(rows, []string{string(l.Case), exact(&rail), l.Part, p.Kind, exact(&l.Volts), exact(p.Volts.Rated),
			exact(&l.Amperes), exact(p.Amperes.Rated), exact(&l.Watts), exact(p.Watts.Rated)})
	}
	return out.WriteAll(rows)
}
