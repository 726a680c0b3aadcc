package report

import (
	"bytes"
	"strings"
	"testing"

	"bandwright/bench"
	"bandwright/quantity"
	"bandwright/stock"
)

func somePicks() *bench.PickAnswer {
	return &bench.PickAnswer{
		Drawer: "drawer.csv",
		Legs: []bench.FittedLeg{
			{Band: "63", Coil: "L <1>", Capacitors: []string{"C1", "C2"}, InSeries: true, Resistor: "R1"},
			{Band: "1k", Coil: "L2", Capacitors: []string{"C3", "C4"}},
		},
		List: []bench.PickLine{
			{Place: "A1", ID: "L <1>", Kind: stock.Coil, Marked: 2.7, Tolerance: &quantity.Tolerance{Minus: 0.1, Plus: 0.1}, Count: 1, Bands: []string{"63"}},
			{Place: "A2", ID: "L2", Kind: stock.Coil, Count: 1, Bands: []string{"1k"}},
			{Place: "B, 2", ID: "R1", Kind: stock.Resistor, Marked: 470, Count: 2, Bands: []string{"63", "1k"}, Left: 48},
			{Kind: stock.Resistor, Marked: 330, Count: 1, Bands: []string{"1k"}},
		},
		Left: []stock.Part{{ID: "R1", Kind: stock.Resistor, Count: 48}, {ID: "L3", Kind: stock.Coil, Count: 1}},
	}
}

func TestPicksCSV(t *testing.T) {
	var got strings.Builder
	if err := PicksCSV(&got, somePicks()); err != nil {
		t.Fatal(err)
	}
	want := `place,id,kind,marked,unit,tolerance,take,bands,left
A1,L <1>,coil,2.7,henry,10 %,1,63,0
A2,L2,coil,,henry,,1,1k,0
"B, 2",R1,resistor,470,ohm,,2,63 1k,48
,,resistor,330,ohm,,1,1k,
`
	if got.String() != want {
		t.Errorf("got\n%s\nwant\n%s", &got, want)
	}
}

// The sheet has legs and pick list where a drawer was looked into, and nothing
// of them where none was; names with markup stay names.
func TestPicksOnTheSheet(t *testing.T) {
	c := composer{answer: &bench.SheetAnswer{}}
	if s := c.picks(); len(s.Blocks) > 0 {
		t.Errorf("a list of no drawer: %+v", s)
	}
	c.answer.Picked = somePicks()
	s := c.picks()
	if len(s.Blocks) != 3 {
		t.Fatalf("%d blocks", len(s.Blocks))
	}
	var html bytes.Buffer
	if err := (&Sheet{Title: "Picks", Sections: []Section{s}}).HTML(&html); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"L &lt;1&gt;", "C1 in series with C2", "C3 &#43; C4", "2.7 H ±10 %", "63, 1k", "1 coil, 0 capacitors and 48 resistors"} {
		if !strings.Contains(strings.ReplaceAll(html.String(), "\u00a0", " "), want) {
			t.Errorf("the sheet has no %q", want)
		}
	}
	rows := s.Blocks[1].Table.Groups[0].Rows
	if last := rows[len(rows)-1].Cells; last[0].Text != dash || last[1].Text != dash || last[6].Text != dash {
		t.Errorf("what is in no drawer stands as %+v", last)
	}
}
