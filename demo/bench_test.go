package demo

import (
	"context"
	"io/fs"
	"slices"
	"testing"

	"bandwright/bench"
)

// The whole way from the carried folder to a verdict: the job opens without a
// finding, unit A is as predicted in every band, and of unit B exactly the
// three bands that something was hidden in are off.
func TestVerdict(t *testing.T) {
	ctx := context.Background()
	text, err := fs.ReadFile(BassHead(), "job.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, found := bench.Open(ctx, "job.toml", text, BassHead())
	for _, f := range found {
		t.Error(f)
	}
	if c == nil {
		t.Fatal("the job does not open")
	}
	answer, _, err := c.Compare(ctx)
	if err != nil {
		t.Fatal(err)
	}
	hidden := map[string][]string{"A": nil, "B": {"400", "1000", "2500"}}
	if len(answer.Units) != len(hidden) {
		t.Errorf("%d units", len(answer.Units))
	}
	for _, u := range answer.Units {
		var off []string
		for _, b := range u.Bands {
			if b.Off {
				off = append(off, b.Band)
			}
		}
		if !slices.Equal(off, hidden[u.Unit]) {
			t.Errorf("unit %s: off in %v, hidden in %v", u.Unit, off, hidden[u.Unit])
		}
	}
}
