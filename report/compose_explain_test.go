package report

import (
	"strings"
	"testing"

	"bandwright/bench"
	"bandwright/equaliser"
	"bandwright/fit"
	"bandwright/job"
)

// Why a unit is off stands first on the sheet, in sentences and then in figures; a
// job without accounts has no such section.
func TestWhyStandsFirst(t *testing.T) {
	a := &bench.SheetAnswer{Bands: bench.BandsAnswer{Bands: []equaliser.Feature{{Band: "400", StatedHz: 400}}}}
	if s := New(a, &job.Job{}, nil, "test"); len(s.Sections) > 0 && s.Sections[0].ID == "why" {
		t.Error("nothing to explain, and it is explained")
	}
	figure := figureOf(-0.05, []fit.Share{{Part: "400.coil", Field: "Henries", Share: -0.05, Low: -0.051, High: -0.049}}, 0, 0)
	a.Explain = &bench.ExplainAnswer{Accounts: []bench.Account{{From: bench.SidePredicted, To: "B", HumFound: "-64 dBu",
		Bands: []bench.AccountBand{{Band: "400", Centre: figure, Reversed: true}}}}}
	s := New(a, &job.Job{}, nil, "test").Sections[0]
	var words []string
	for _, b := range s.Blocks {
		switch {
		case b.Text != nil:
			words = append(words, b.Text.Text)
		case b.List != nil:
			words = append(words, b.List.Items[0].Text)
		case b.Table != nil:
			for _, cell := range b.Table.Groups[0].Rows[0].Cells {
				words = append(words, cell.Text)
			}
		}
	}
	all := strings.ReplaceAll(strings.Join(words, " "), "\u00a0", " ")
	for _, want := range []string{"Why unit B differs from what is predicted:", "400 its slider stands the wrong way round; sits 5.0 % low: 5.0 from the coil.",
		"centre, % −5.00 −5.00 ±0.10", "Hiss, flat, by its parts: none and none.", "as found “-64 dBu”; as left NOT DONE"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is missing in %s", want, all)
		}
	}
}
