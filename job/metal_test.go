package job

import (
	"strings"
	"testing"

	"bandwright/finding"
)

// metalSmall is the smallest job with all its metalwork.
const metalSmall = smallest + `
[tab]
metal = "tinplate"
thickness = "0.4 mm"
housing = { width = "9.2 mm", depth = "7 mm" }
height = "8 mm"
tongue = { width = "2.5 mm", beyond = "2 mm" }
chassis = "1.2 mm"

[panel]
width = "200 mm"
height = "80 mm"
thickness = "1.5 mm"
first = "40 mm"
down = "36 mm"
lever = "4 mm"
slot_width = "2 mm"
`

// What is wrong with metalwork is told with its line; what is sound is not.
func TestMetalIsChecked(t *testing.T) {
	for text, want := range map[string]finding.ID{
		"bits = [\"2 mm\", \"nought\"]\n": "quantity.not-a-number",
		"hole = [{ name = \"a\", across = \"1 mm\", down = \"1 mm\", size = \"1 mm\" }, { name = \"a\", across = \"1 mm\", down = \"1 mm\", size = \"1 mm\" }]\n": IDNamedTwice,
		"hole = [{ name = \"a\", across = \"1 mm\", down = \"1 mm\", size = \"1 mm\", moved = \"lamp\" }]\n":                                                      IDUnknownName,
		"hole = [{ name = \"a\", across = \"1 mm\", down = \"1 mm\" }]\n":                                                                                         IDMissing,
		"slider = [{ band = \"63\" }, { band = \"63\" }]\n":                                                                                                       IDNamedTwice,
		"slider = [{ label = \"low\" }]\n":                                                                                                                        IDMissing,
		"text = [{ text = \"\", across = \"1 mm\", down = \"1 mm\" }]\n":                                                                                          IDMissing,
		"behind = [{ name = \"coil\", room = \"30 mm\", to = \"cap\" }]\n":                                                                                        IDMissing,
		"behind = [{ name = \"coil\", room = \"30 mm\", to = \"cap\", layer = [{ name = \"coil\" }] }]\n":                                                         IDMissing,
		"scale_step = \"0 dB\"\n":             IDOutOfRange,
		"letters = \"guessed\"\n":             IDUnknownWord,
		"[print]\nbar_across = \"3.94 mm\"\n": IDOutOfRange,
		"[print]\npaper = \"Foolscap\"\n":     IDUnknownWord,
		"[[band]]\nname = \"160\"\ncentre = \"160 Hz\"\nslider = { value = \"10k\" }\ncoil = { value = \"1 H\", dcr = \"9 ohm\" }\ncapacitor = { value = \"1u\" }\n": IDMissing, // no pitch
	} {
		j, list := Decode("job", []byte(metalSmall+text))
		if j != nil || len(list) != 1 || list[0].ID != want {
			t.Errorf("%q: %v, want %s", text, list, want)
		}
	}
	j, list := Decode("job", []byte(metalSmall+"hole = [\n{ name = \"a\", across = \"1 mm\", down = \"1 mm\", size = \"1 mm\" },\n]\n"))
	if j == nil || len(list) > 0 {
		t.Fatalf("%v", list)
	}
	if lines := strings.Count(metalSmall, "\n"); j.Panel.Holes[0].Line != lines+2 || j.Tab.Line >= j.Panel.Line || j.Panel.Line >= lines {
		t.Errorf("the hole in line %d, the tab in %d, the panel in %d of %d", j.Panel.Holes[0].Line, j.Tab.Line, j.Panel.Line, lines)
	}
}

// Every key of the metalwork survives a change somewhere else, comments too.
func TestMetalIsKept(t *testing.T) {
	text := read(t, "testdata/wired.toml")
	j := deepCopy(t, text)
	j.Panel.Holes[1].Size = 0.0095
	got, err := Update(text, j)
	want := strings.Replace(string(text), `down = "20 mm", size = "8 mm", old = false`, `down = "20 mm", size = "9.5 mm", old = false`, 1)
	if err != nil || string(got) != want {
		t.Errorf("%v\n%s", err, got)
	}
}
