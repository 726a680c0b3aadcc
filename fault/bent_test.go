package fault_test

import (
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/fault"
	"bandwright/reading"
	"bandwright/trials"
)

// TestBentByGain: with the first transistor's emitter capacitor open the curves hang
// on its gain, known to a half, too far for a straight line: by any single curve the
// open capacitor is still the first or second class.
func TestBentByGain(t *testing.T) {
	b := bedOf(t, studioPlan(t, 2))
	var curves []reading.Reading
	for _, r := range b.plan.Readings {
		if r.Kind == reading.Gain {
			curves = append(curves, r.Reading)
		}
	}
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261130), 1))
	s := &score{}
	for range trials.Count(20) {
		c, err := b.whole.Edited(append(b.drawn(t, rng), circuit.Open("C.emitter"))...)
		if err != nil {
			t.Fatal(err)
		}
		var taken []fault.Taken
		for _, i := range rng.Perm(len(curves))[:3] {
			k, ok := takes(t, rng, c, curves[i], b.plan.Cond, 0)
			if !ok {
				t.Fatal("no curve")
			}
			taken = append(taken, k)
		}
		s.add(b, outcome{truth: truth{name: "open C.emitter"}, ranking: ranked(t, b.table, taken...)})
	}
	t.Log(s)
	if least := float64(s.hit) / float64(s.n); least < leastKind {
		t.Errorf("%v", s)
	}
}
