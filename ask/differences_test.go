package ask

import "testing"

// What is shared out of a figure is known to as many digits as the figure; any
// other figure, however small, to as many of its own.
func TestDifferencesOfShares(t *testing.T) {
	share := func(v string) string {
		return `{"answer":{"boost":{"from":12.1,"to":12.3,"relative":false,"explained":{"share":0.2},"all":[{"part":"a","share":` + v + `}]}}}`
	}
	centre := func(v string) string {
		return `{"answer":{"centre":{"from":400,"to":404,"relative":true,"explained":{"share":0.01},"all":[{"part":"a","share":` + v + `}]}}}`
	}
	list := func(v string) string {
		return `{"answer":{"loads":[{"volts":572},{"volts":` + v + `}],"from":12,"to":12}}`
	}
	for _, c := range []struct {
		name, was, now string
		differ         int
	}{
		{"a share within a millionth of the boost", share("0.000027"), share("0.000030"), 0},
		{"a share beyond it", share("0.000027"), share("0.000050"), 1},
		{"a share within a millionth of a ratio", centre("0.0000270"), centre("0.0000275"), 0},
		{"a share beyond it", centre("0.000027"), centre("0.000030"), 1},
		{"a small figure beside a large one", list("0.000027"), list("0.000030"), 1},
	} {
		d, err := differences([]byte(c.was), []byte(c.now))
		if err != nil || d.count != c.differ {
			t.Errorf("%s: %d differ (%v), %v", c.name, d.count, d.first, err)
		}
	}
}
