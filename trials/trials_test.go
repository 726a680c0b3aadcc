package trials

import "testing"

// The ordinary run draws what the test names; make prove draws more from a
// seed of its own, and then this test holds for those.
func TestCountAndSeed(t *testing.T) {
	want := map[bool]int{true: 7, false: Count(7)}[times == "1"]
	if got := Count(7); got != want || got%7 != 0 || got < 7 {
		t.Errorf("Count(7) is %d with times %s", got, times)
	}
	if got := Seed(t, 42); seed == "" && got != 42 {
		t.Errorf("own seed 42 became %d", got)
	} else if seed != "" && got != Seed(t, 43) {
		t.Errorf("given seed %s gives %d and %d", seed, got, Seed(t, 43))
	}
}
