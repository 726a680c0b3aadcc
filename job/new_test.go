package job

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

func TestNewDecodes(t *testing.T) {
	for _, answers := range []Answers{
		nil,
		{"title": "a \"quoted\" # title", "amp": "x\ny", "bands": "10", "drawing": "ideal", "series": ""},
		{"bands": "63, 160; 400,1k", "boost": "12", "q": "2", "capacitors": "E6", "resistors": "E96", "dcr": "0 ohm"},
		{"bands": "63 160 1k2", "dcr": "2k", "source": "38k", "level": "-10 dBV", "drawing": "op-amp", "rail": "15 V"},
		{"bands": "1"}, {"bands": "21"},
	} {
		delete(answers, "series")
		text, err := New(answers)
		if err != nil {
			t.Errorf("%v: %v", answers, err)
			continue
		}
		j, list := Decode("new.toml", text)
		if j == nil || len(list) > 0 {
			t.Fatalf("%v: %v\n%s", answers, list, text)
		}
		if again, err := Update(text, j); err != nil || !bytes.Equal(again, text) {
			t.Errorf("%v: does not survive a save: %v", answers, err)
		}
	}
}

// TestNewLegs puts the values back into the question: each leg is in tune with
// its band to the third digit that is written, and its resistance makes the
// boost to half a step of E24.
func TestNewLegs(t *testing.T) {
	text, err := New(Answers{"boost": "10 dB", "q": "1", "feedback": "2k2", "dcr": "100 ohm"})
	if err != nil {
		t.Fatal(err)
	}
	j, list := Decode("new.toml", text)
	if j == nil {
		t.Fatal(list)
	}
	var names []string
	for _, b := range j.Bands {
		names = append(names, b.Name)
		// (2πf)²LC = 1: the definition of resonance.
		f, l, c := float64(b.Centre), float64(b.Coil.Value), float64(b.Capacitor.Value)
		if tuned := 4 * 9.8696044 * f * f * l * c; tuned < 0.994 || tuned > 1.006 {
			t.Errorf("band %s: (2πf)²LC = %v", b.Name, tuned)
		}
		// Gain of a band alone at resonance is 1 + feed/leg (the ideal cell: worked out from the definition).
		gain := 1 + 2200/(float64(b.Resistor.Value)+float64(*b.Coil.DCR))
		if gain < 3.162*0.95 || gain > 3.162*1.05 {
			t.Errorf("band %s: gain %v, want 3.162 (10 dB)", b.Name, gain)
		}
		if !quantity.Contains(quantity.E12, b.Capacitor.Value) || !quantity.Contains(quantity.E24, b.Resistor.Value) {
			t.Errorf("band %s: %v, %v are not preferred values", b.Name, b.Capacitor.Value, b.Resistor.Value)
		}
	}
	if want := []string{"63", "160", "400", "1000", "2500", "6300"}; !slices.Equal(names, want) {
		t.Errorf("six bands are %v", names)
	}
}

func TestNewSaysWhenTheCoilTakesTheBoost(t *testing.T) {
	text, err := New(Answers{"dcr": "5k", "bands": "1"})
	if err != nil || !strings.Contains(string(text), "# The coil's own resistance") {
		t.Errorf("%v\n%s", err, text)
	}
}

func TestNewRefuses(t *testing.T) {
	for _, c := range []struct {
		answers Answers
		want    finding.ID
	}{
		{Answers{"bands": "0"}, IDBadAnswer},
		{Answers{"bands": "-3"}, IDBadAnswer},
		{Answers{"bands": "63, 63"}, IDBadAnswer},
		{Answers{"bands": "63, low"}, quantity.IDNotNumber},
		{Answers{"boost": "0 dB"}, IDBadAnswer},
		{Answers{"boost": "high"}, quantity.IDNotNumber},
		{Answers{"q": "wide"}, IDBadValue},
		{Answers{"q": "100"}, IDBadAnswer},
		{Answers{"drawing": "three-valve"}, IDBadAnswer},
		{Answers{"slider": "0"}, IDBadAnswer},
		{Answers{"source": "1 kg"}, quantity.IDUnknownUnit},
		{Answers{"capacitors": "E13"}, quantity.IDNotSeries},
		{Answers{"sliders": "10k"}, IDUnknownQuestion},
	} {
		text, err := New(c.answers)
		list, ok := finding.From(err)
		if text != nil || !ok || list[0].ID != c.want {
			t.Errorf("%v: %v", c.answers, err)
		}
	}
	_, err := New(Answers{"boost": "high", "q": "wide", "slider": "-"})
	if list, _ := finding.From(err); len(list) != 3 {
		t.Errorf("three wrong answers give %v", err)
	}
}

func TestDrawingsAreTheEqualisers(t *testing.T) {
	mine, theirs := slices.Clone(drawings()), equaliser.Drawings()
	slices.Sort(mine)
	slices.Sort(theirs)
	if !slices.Equal(mine, theirs) {
		t.Errorf("the document knows %v, the equaliser %v", mine, theirs)
	}
	for _, word := range mine {
		if !strings.Contains(Questions()[5].Reads, word) {
			t.Errorf("question %s does not name %s", Questions()[5].Key, word)
		}
	}
}

func TestQuestions(t *testing.T) {
	seen := map[string]bool{}
	for _, q := range Questions() {
		if q.Key == "" || q.Text == "" || q.Example == "" || q.Reads == "" || seen[q.Key] {
			t.Errorf("question %+v", q)
		}
		seen[q.Key] = true
		if _, err := New(Answers{q.Key: q.Example}); err != nil {
			t.Errorf("example of %s: %v", q.Key, err)
		}
	}
}
