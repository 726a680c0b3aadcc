package bench

import (
	"context"
	"os"
	"testing"

	"bandwright/job"
)

// TestFaultsAddReadings: a reading that is not among the usual ones is added to the
// table there is, and taken away with the question; what it tells is what it tells
// a job just opened.
func TestFaultsAddReadings(t *testing.T) {
	ctx := context.Background()
	text, err := os.ReadFile("../demo/bass-head/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	open := func() *Case {
		c, found := Open(ctx, "job.toml", text, os.DirFS("../demo/bass-head"))
		if c == nil {
			t.Fatal(found)
		}
		return c
	}
	ask := func(c *Case, texts ...string) *FaultsAnswer {
		var q FaultsQuestion
		for _, text := range texts {
			r, err := job.ParseReading(text)
			if err != nil {
				t.Fatal(err)
			}
			q.Readings = append(q.Readings, r)
		}
		a, _, err := c.Faults(ctx, q, nil)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	c := open()
	before := ask(c, "volts out 23.9 V")
	usual := c.faults
	a := ask(c, "volts out 23.9 V", "ohms out q1.base 100k")
	if c.faults != usual || usual.more == nil {
		t.Error("the whole table was made anew")
	}
	if a.Allowed != before.Allowed+1 || len(a.Taken) != 2 {
		t.Errorf("%d readings and %d taken, before %d", a.Allowed, len(a.Taken), before.Allowed)
	}
	fresh := ask(open(), "volts out 23.9 V", "ohms out q1.base 100k")
	if len(fresh.Ranked) != len(a.Ranked) {
		t.Fatalf("%d causes, of a job just opened %d", len(a.Ranked), len(fresh.Ranked))
	}
	for i, want := range fresh.Ranked {
		if a.Ranked[i].Name != want.Name || a.Ranked[i].Probability != want.Probability {
			t.Errorf("%d: %s %g, of a job just opened %s %g", i, a.Ranked[i].Name, a.Ranked[i].Probability, want.Name, want.Probability)
		}
	}
	if again := ask(c, "volts out 23.9 V"); again.Allowed != before.Allowed || again.Ranked[0].Probability != before.Ranked[0].Probability {
		t.Errorf("without it %d readings, %g first; before %d, %g", again.Allowed, again.Ranked[0].Probability, before.Allowed, before.Ranked[0].Probability)
	}
}
