package job

import (
	"testing"

	"bandwright/finding"
)

// TestNamedLaw: a law by its name has a share between 0 and 100 %; anything
// that does not begin with a shape is left to the rows.
func TestNamedLaw(t *testing.T) {
	for text, want := range map[string]struct {
		shape string
		share float64
		named bool
		good  bool
	}{
		"S 80 %": {LawS, 0.8, true, true}, "audio 15%": {LawAudio, 0.15, true, true},
		" reverse-audio  20 % ": {LawReverseAudio, 0.2, true, true},
		"audio":                 {LawAudio, 0, true, false}, "audio 15": {LawAudio, 0, true, false},
		"S 0 %": {LawS, 0, true, false}, "S 100 %": {LawS, 0, true, false}, "S NaN %": {LawS, 0, true, false},
		"S 8 0 x %": {LawS, 0, true, false},
		"0 0, 1 1":  {"", 0, false, true}, "": {"", 0, false, true}, "W 80 %": {"", 0, false, true},
	} {
		shape, share, named, err := ReadNamedLaw(text)
		if shape != want.shape || share != want.share || named != want.named || (err == nil) != want.good {
			t.Errorf("%q: %q %g %t %v", text, shape, share, named, err)
		}
		if list, _ := finding.From(err); err != nil && (len(list) != 1 || list[0].ID != IDBadLaw) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestCouplingAndLawInAJob: what the document's own check says of a named law
// and of a coupling's coils, with the line.
func TestCouplingAndLawInAJob(t *testing.T) {
	const head = `format = 1
title = "one band"
[[band]]
name = "63"
centre = "63 Hz"
slider = { value = "10k" }
coil = { value = "2.2 H", dcr = "210 ohm" }
capacitor = { value = "2u2" }
[[part]]
`
	for _, c := range []struct {
		text string
		want finding.ID // "" is sound
	}{
		{"name = \"63\"\nset = { law = \"S 80 %\" }\n", ""},
		{"name = \"63\"\nset = { law = \"S 800 %\" }\n", IDBadLaw},
		{"name = \"M\"\nkind = \"coupling\"\nvalue = \"-0.1\"\nset = { first = \"63.coil\", second = \"63.coil\" }\n", ""}, // the circuit's to say
		{"name = \"M\"\nkind = \"coupling\"\nvalue = \"0.1\"\nset = { first = \"63.coil\", second = \"64.coil\" }\n", IDUnknownName},
		{"name = \"M\"\nkind = \"coupling\"\nset = { first = \"63.coil\", second = \"63.coil\" }\n", IDMissing},
		{"name = \"M\"\nkind = \"coupling\"\nvalue = \"0.1\"\nset = { first = \"63.coil\" }\n", IDMissing},
	} {
		j, list := Decode("job.toml", []byte(head+c.text))
		switch {
		case c.want == "" && j == nil:
			t.Errorf("%q: %v", c.text, list)
		case c.want != "" && (len(list) == 0 || list[0].ID != c.want || list[0].Place.Line < 9):
			t.Errorf("%q: %v, want %s", c.text, list, c.want)
		}
	}
}
