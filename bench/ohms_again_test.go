package bench

import (
	"bytes"
	"context"
	"testing"

	"bandwright/job"
)

// A list that is asked for again with a reading is the same list: it is not
// chosen anew, and the reading stands on it.
func TestTheListIsChosenOnce(t *testing.T) {
	c := wiredCase(t, oneBand(t))
	looked := 0
	ask := func(of *Case, readings ...job.Reading) *OhmsAnswer {
		a, _, err := of.Ohms(context.Background(), OhmsQuestion{Stage: StageComplete, List: ListFull, Readings: readings, Workers: 2},
			func(int, int) { looked++ })
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	first := ask(c)
	row := first.Groups[0].Rows[0]
	if looked == 0 {
		t.Fatal("the first list was chosen without a look")
	}
	looked = 0
	taken := job.Reading{Kind: job.ReadOhms, Red: row.Red, Black: row.Black, Setting: row.Setting, Value: "12M"}
	again := ask(c, taken)
	if looked != 0 {
		t.Errorf("%d faults were looked at again", looked)
	}
	anew := ask(wiredCase(t, oneBand(t)), taken)
	if x, y := asJSON(t, again), asJSON(t, anew); !bytes.Equal(x, y) {
		t.Errorf("kept:\n%s\nmade anew:\n%s", x, y)
	}
	if again.Stops+again.Looks == 0 {
		t.Error("12 MΩ was not judged")
	}
}
