package job

import (
	"strings"
	"testing"

	"bandwright/finding"
)

const wish = smallest + `
[[wanted]]
band = "63"
`

// What is wrong with a wish is told with its line and its band.
func TestWantedIsChecked(t *testing.T) {
	for text, want := range map[string]finding.ID{
		`centre = "0 Hz"`: IDOutOfRange, `boost = "0 dB"`: IDOutOfRange, `boost = "61 dB"`: IDOutOfRange,
		`cut = "0.05 dB"`: IDOutOfRange, `cut = "-61 dB"`: IDOutOfRange, `q = 0`: IDOutOfRange, `q = 101.0`: IDOutOfRange,
		`q = "1"`: IDWrongType, `q = inf`: IDNotFinite, `boost = 9`: IDWrongType, ``: IDMissing,
		"q = 1\ncoil = { keep = true, owned = [{ value = \"1 H\", dcr = \"1 ohm\" }] }": IDWantedTwoWays,
		"q = 1\ncapacitor = { series = \"E12\", owned = [{ value = \"1u\" }] }":         IDWantedTwoWays,
		"q = 1\nresistor = { series = \"E12\", keep = true }":                           IDWantedTwoWays,
		"q = 1\ncoil = { owned = [{ id = \"L\", dcr = \"1 ohm\" }] }":                   IDMissing,
		"q = 1\ncapacitor = { owned = [{ value = \"0 nF\" }] }":                         IDMissing,
		"q = 1\nresistor = { owned = [{ value = \"\" }] }":                              IDMissing,
		"q = 1\ncapacitor = { dcr_per_henry = \"1 ohm\" }":                              IDUnknownKey,
	} {
		j, list := Decode("job", []byte(wish+text+"\n"))
		if j != nil || len(list) != 1 || list[0].ID != want || list[0].Place.Line < strings.Count(smallest, "\n")+2 {
			t.Errorf("%q: %v, want %s", text, list, want)
		}
	}
	for _, text := range []string{`cut = "9 dB"`, `cut = "-9 dB"`, "q = 1\nresistor = { owned = [{ value = \"0 ohm\" }] }",
		"centre = \"66 Hz\"\ncoil = { keep = true }"} {
		if j, list := Decode("job", []byte(wish+text+"\n")); j == nil || len(list) > 0 {
			t.Errorf("%q: %v", text, list)
		}
	}
}

// A band is wished for once, and an owned coil without its copper is warned of.
func TestWantedTwiceAndWithoutCopper(t *testing.T) {
	_, list := Decode("job", []byte(wish+"q = 1\n[[wanted]]\nband = \"63\"\nq = 2\n"))
	if len(list) != 1 || list[0].ID != IDNamedTwice || list[0].Place.Band != "63" {
		t.Error(list)
	}
	j, list := Decode("job", []byte(wish+"q = 1\n[wanted.coil]\nowned = [\n  { value = \"1 H\" }, # no dcr\n]\n"))
	if j == nil || len(list) != 1 || list[0].ID != IDCoilResistanceBlank || list[0].Level != finding.Warning || list[0].Place.Line != strings.Count(wish, "\n")+4 {
		t.Error(list)
	}
}

// A wish added to a job, changed and taken out leaves the rest as it was.
func TestWantedIsUpdated(t *testing.T) {
	j := deepCopy(t, []byte(wish+"q = 1 # wide\n"))
	q := 2.5
	j.Wanted[0].Q = &q
	j.Wanted[0].Resistor.Keep = true
	text, err := Update([]byte(wish+"q = 1 # wide\n"), j)
	if err != nil || !strings.Contains(string(text), "q = 2.5 # wide\n") || !deepCopy(t, text).Wanted[0].Resistor.Keep {
		t.Errorf("%v\n%s", err, text)
	}
	j.Wanted = nil
	text, err = Update(text, j)
	if err != nil || strings.Contains(string(text), "wanted") || strings.TrimSpace(string(text)) != strings.TrimSpace(smallest)+"\n\n# wide" {
		t.Errorf("%v\n%s", err, text)
	}
}
