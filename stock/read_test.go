package stock

import (
	"strings"
	"testing"

	"bandwright/finding"
)

// read takes a file that must be readable as a whole.
func read(t *testing.T, text string, m Mapping) Drawer {
	t.Helper()
	d, err := Read(strings.NewReader(text), m)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	accounted(t, d, text)
	return d
}

// accounted holds the counts of a drawer to its parts and findings: every row
// went somewhere, and every bad one is named.
func accounted(t *testing.T, d Drawer, text string) {
	t.Helper()
	c := d.Counts
	if c.Rows != c.Parts+c.Further+c.Repeated+c.Bad+c.Blank+c.Comments || c.Parts != len(d.Parts) {
		t.Errorf("%+v with %d parts\n%s", c, len(d.Parts), text)
	}
	lines := map[int]bool{}
	for _, f := range d.Findings {
		if f.Level == finding.Error {
			lines[f.Place.Line] = true
			if f.Place.Line < 1 {
				t.Errorf("%v has no line", f)
			}
		}
	}
	// A quoted field may run on, so that two lines of one row are named.
	if len(lines) < c.Bad {
		t.Errorf("%d bad rows, %d lines named: %v\n%s", c.Bad, len(lines), d.Findings, text)
	}
}

// ids gives the findings' IDs without the room, with their lines.
func ids(list finding.List) string {
	var all []string
	for _, f := range list {
		all = append(all, strings.TrimPrefix(string(f.ID), "stock."))
	}
	return strings.Join(all, " ")
}

func TestSmoke(t *testing.T) {
	d := read(t, "Nr;Art;Wert;Tol (%);Ls @ 1 kHz (mH);Güte;DCR (Ω);Fach;Bemerkung\r\nL1;Spule;680 mH;20;701,3;12,5;210;A3;\"groß; Topfkern\"\r\nL2;Drossel;1,5 H;10;1,52 H;9,8;390;A3;\r\n\r\nC1;Kondensator;100n;5;;;;B1;x\r\n", Mapping{})
	t.Logf("%+v", d)
	for _, p := range d.Parts {
		t.Logf("%+v", p)
	}
	t.Logf("%v", d.Findings)
	t.Logf("%+v", d.Parts[0].SeriesAt(400, 20, HandMeter()))
}
