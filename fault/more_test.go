package fault_test

import (
	"context"
	"math"
	"reflect"
	"testing"

	"bandwright/curve"
	"bandwright/fault"
	"bandwright/reading"
)

// TestWithIsNew: a table to which readings were added is the table of all of them,
// in every number, in what it ranks, names hidden, and asks next.
func TestWithIsNew(t *testing.T) {
	ctx, plan := context.Background(), studioPlan(t, 2)
	file := reading.Reading{Kind: reading.Gain, Red: "return", Source: "source", Hz: []float64{63, 160, 2500}, Setting: curve.Setting{}.WithSlider("63", 0.5),
		Interface: reading.Interface{Name: "curve file", LevelDB: 40, PointDB: 0.05}}
	less := file
	less.Interface, less.Less = reading.LineInput(), &curve.Setting{}
	more := allowed(ohms("q1.base", "out"), volts("63.wiper"), file, less)
	made, err := tabled(t, plan).With(ctx, more, nil)
	if err != nil {
		t.Fatal(err)
	}
	plan.Readings = append(plan.Readings, more...)
	whole := tabled(t, plan)
	numbers := 0
	for h := range whole.Hypotheses {
		got := made.Predicted(h)
		for i, want := range whole.Predicted(h) {
			if got[i].Lacks != want.Lacks || got[i].Unknown != want.Unknown || got[i].Reading != want.Reading ||
				!(math.Abs(got[i].Value-want.Value) <= 1e-9*(10+math.Abs(want.Value))) || !(math.Abs(got[i].SD-want.SD) <= 1e-6*want.SD) {
				t.Errorf("%s: %+v, all at once %+v", whole.Hypotheses[h].Name, got[i], want)
			}
			numbers++
		}
	}
	if numbers < 25000 {
		t.Errorf("only %d numbers", numbers)
	}
	if !reflect.DeepEqual(made.Hidden(), whole.Hidden()) {
		t.Errorf("hidden %v, all at once %v", made.Hidden(), whole.Hidden())
	}
	taken := []fault.Taken{reads(file, -1, 2, 0.1), reads(volts("63.wiper"), 0.001), reads(volts("out"), 12.9)}
	a, b := ranked(t, made, taken...), ranked(t, whole, taken...)
	for i, k := range a.Ranked[:5] {
		if k.Name != b.Ranked[i].Name || math.Abs(k.Probability-b.Ranked[i].Probability) > 1e-6 {
			t.Errorf("%d: %s %.6f, all at once %s %.6f", i, k.Name, k.Probability, b.Ranked[i].Name, b.Ranked[i].Probability)
		}
	}
	next, err := a.Next(ctx, 3)
	if err != nil {
		t.Fatal(err)
	}
	want, err := b.Next(ctx, 3)
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if next[i].Reading != want[i].Reading || math.Abs(next[i].Bits-want[i].Bits) > 1e-6 {
			t.Errorf("next %+v, all at once %+v", next[i], want[i])
		}
	}
	if _, err := made.With(ctx, allowed(ohms("nowhere", "out")), nil); err == nil {
		t.Error("a reading at no point was added")
	}
}
