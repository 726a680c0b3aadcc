package report

import "testing"

// The sheet holds what the job wishes of its bands against the prediction, with
// its range; a figure that nobody named has no row, and a job without wishes
// has no such section.
func TestWantedBandsOnTheSheet(t *testing.T) {
	j := decoded(t, smallJob+"[[wanted]]\nband = \"63\"\ncentre = \"66 Hz\"\ncut = \"9 dB\"\n")
	a := answerFor(j)
	a.Ranges = rangesFor(a)
	s := composer{answer: a, job: j}.wanted()
	if len(s.Blocks) != 2 {
		t.Fatalf("%+v", s)
	}
	rows := s.Blocks[0].Table.Groups[0].Rows
	b := a.Bands.Bands[0]
	if len(s.Blocks[0].Table.Groups) != 1 || len(rows) != 2 || rows[0].Cells[0].Text != "centre" || rows[1].Cells[0].Text != "cut" {
		t.Fatalf("%+v", rows)
	}
	if got := rows[0].Cells; got[1].Text != "66" && got[1].Text != "66.0" || got[2].Text != hertzOr(&b.CentreHz) || got[3].Text == "" ||
		got[4].Text != percentOr(at(100*(b.CentreHz/66-1)))+" %" {
		t.Errorf("%+v", got)
	}
	if got := rows[1].Cells; got[1].Text != db2Or(at(-9)) || got[2].Text != db2Or(&b.CutDB) {
		t.Errorf("%+v", got)
	}
	if plain := (composer{answer: a, job: decoded(t, smallJob)}).wanted(); len(plain.Blocks) != 0 {
		t.Errorf("%+v", plain)
	}
}
