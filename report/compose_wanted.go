package report

import (
	"bandwright/bench"
	"bandwright/equaliser"
	"bandwright/job"
)

// wanted is what the job wishes of its bands beside what its parts are
// predicted to give, with the range that 95 % of such boards lie in.
func (c composer) wanted() Section {
	s := Section{ID: "wanted", Heading: "Wanted bands"}
	if len(c.job.Wanted) == 0 {
		return s
	}
	t := &Table{Columns: []Column{
		{Head: "figure"}, {Head: "wanted", Number: true}, {Head: "predicted", Number: true}, {Head: "range", Number: true}, {Head: "off", Number: true},
	}}
	for _, w := range c.job.Wanted {
		for _, b := range c.answer.Bands.Bands {
			if b.Band == w.Band {
				c.addWanted(t, w, b)
			}
		}
	}
	s.Blocks = []Block{{Table: t}, text(Small, "Centre in Hz, boost and cut in dB, Q as centre over width at half the boost in dB, with the parts as this sheet lists them. A figure that is not named is free.")}
	return s
}

func (c composer) addWanted(t *Table, w job.Wanted, b equaliser.Feature) {
	var r bench.BandRange
	if c.answer.Ranges != nil {
		for _, of := range c.answer.Ranges.Bands {
			if of.Band == w.Band {
				r = of
			}
		}
	}
	group := bandTitle(b.Band, b.StatedHz)
	if w.Centre != nil {
		hz := float64(*w.Centre)
		t.add(group, "centre", hertzOr(&hz), hertzOr(where(b.Found, b.CentreHz)), rangeText(r.Centre, rangePlaces(r.Centre)),
			withUnit(percentOr(where(b.Found, 100*(b.CentreHz/hz-1))), "%"))
	}
	if w.Boost != nil {
		db := float64(*w.Boost)
		t.add(group, "boost", db2Or(&db), db2Or(where(b.Found, b.BoostDB)), rangeText(r.Boost, 2), withUnit(db2Or(where(b.Found, b.BoostDB-db)), "dB"))
	}
	if w.Cut != nil {
		db := min(float64(*w.Cut), -float64(*w.Cut))
		t.add(group, "cut", db2Or(&db), db2Or(where(b.CutFound, b.CutDB)), rangeText(r.Cut, 2), withUnit(db2Or(where(b.CutFound, b.CutDB-db)), "dB"))
	}
	if w.Q != nil {
		off := dash
		if b.Q != nil {
			off = withUnit(percentOr(where(true, 100*(*b.Q / *w.Q - 1))), "%")
		}
		t.add(group, "Q", fixedOr(w.Q, 2), fixedOr(b.Q, 2), rangeText(r.Q, 2), off)
	}
}

// withUnit puts a unit to a figure that is there.
func withUnit(text, unit string) string {
	if text == dash || text == "" {
		return text
	}
	return text + " " + unit
}
