package job

import (
	"strings"
	"testing"

	"bandwright/finding"
)

// wiredSmall is the smallest job with a harness.
const wiredSmall = smallest + `
[[run]]
name = "return"
from = "board.0"
to = "0"
kind = "0V"
`

// What is wrong with a harness is told with its line; what is sound is not.
func TestWiringIsChecked(t *testing.T) {
	for text, want := range map[string]finding.ID{
		"[[run]]\nname = \"x\"\nfrom = \"a\"\n":                                                                    IDMissing,
		"[[run]]\nfrom = \"a\"\nto = \"b\"\n":                                                                      IDMissing,
		"[[run]]\nname = \"return\"\nfrom = \"a\"\nto = \"b\"\n":                                                   IDNamedTwice,
		"[[run]]\nname = \"x\"\nfrom = \"a, b\"\nto = \"b\"\n":                                                     IDBadName,
		"[[run]]\nname = \"x\"\nfrom = \"a\"\nto = \"b\"\nstate = \"done\"\n":                                      IDUnknownWord,
		"[[run]]\nname = \"x\"\nfrom = \"a\"\nto = \"b\"\nlength = \"-1 m\"\n":                                     "",
		"[[link]]\nname = \"x\"\nfrom = \"a\"\n":                                                                   IDMissing,
		"[[link]]\nname = \"x\"\nfrom = \"a\"\nto = \"b\"\nstate = \"not-yet\"\n":                                  IDUnknownWord,
		"[[switch]]\nname = \"s\"\n":                                                                               IDMissing,
		"[[switch]]\nname = \"s\"\npositions = [\"in\"]\ncontact = [{ a = \"x\", closed = [\"in\"] }]":             IDMissing,
		"[[switch]]\nname = \"s\"\npositions = [\"in\"]\ncontact = [{ a = \"x\", b = \"y\" }]":                     IDMissing,
		"[[switch]]\nname = \"s\"\npositions = [\"in\"]\ncontact = [{ a = \"x\", b = \"y\", closed = [\"out\"] }]": IDUnknownName,
		"[[switch]]\nname = \"s\"\npositions = [\"in\"]\npins = [\"a,,b\"]\n":                                      IDBadName,
		"[[switch]]\nname = \"s\"\npositions = [\"in\"]\n[[jack]]\nname = \"s\"\ntip = \"t\"\nsleeve = \"u\"\n":    IDNamedTwice,
		"[[jack]]\nname = \"j\"\ntip = \"t\"\n":                                                                    IDMissing,
		"[[jack]]\nname = \"j\"\ntip = \"t\"\nsleeve = \"s\"\nrest = \"two-circuit\"\n":                            IDUnknownName,
		"[[jack]]\nname = \"j\"\ntip = \"t\"\nsleeve = \"s\"\nrest = \"plug\"\n":                                   IDUnknownWord,
		"[[moved]]\nlead = \"kept\"\n":                                                                             IDMissing,
		"[[intent]]\nfrom = \"a\"\nto = \"b\"\n":                                                                   IDMissing,
		"[[intent]]\nfrom = \"a\"\nto = \"b\"\nwant = \"through\"\nsetting = \"panel:out\"\n":                      IDUnknownName,
		"[wiring]\noutput = \"retur\"\n":                                                                           IDUnknownName,
		"[wiring]\nmost_at_lug = -1\n":                                                                             IDOutOfRange,
		"[bypass]\n":                                                                                               IDBypassBesideSwitch,
	} {
		j, list := Decode("job", []byte(wiredSmall+text+"\n"))
		if j != nil || len(list) != 1 || want != "" && list[0].ID != want || list[0].Place.Line < strings.Count(wiredSmall, "\n")-6 {
			t.Errorf("%q: %v, want %s", text, list, want)
		}
	}
	for _, text := range []string{"", "[[switch]]\nname = \"panel\"\npositions = [\"in\", \"out\"]\n[[intent]]\nsetting = \"bypass\"\nfrom = \"a\"\nto = \"b\"\nwant = \"open\"\n",
		"[[jack]]\nname = \"j\"\ntip = \"t\"\nring = \"r\"\nsleeve = \"s\"\nrest = \"two-circuit\"\n[[intent]]\nsetting = \"j:mono\"\nfrom = \"t\"\nto = \"s\"\nwant = \"open\"\n"} {
		if j, list := Decode("job", []byte(wiredSmall+text)); j == nil || len(list) > 0 || !j.Wired() {
			t.Errorf("%q: %v", text, list)
		}
	}
	if j, _ := Decode("job", []byte(smallest)); j.Wired() {
		t.Error("a job without a harness is called wired")
	}
}

// A run that is made now is changed in its own place.
func TestRunIsMade(t *testing.T) {
	text := wiredSmall + "state = \"not-yet\" # tomorrow\n"
	j := deepCopy(t, []byte(text))
	j.Runs[0].State = RunMade
	got, err := Update([]byte(text), j)
	if want := strings.Replace(text, "not-yet", "made", 1); err != nil || string(got) != want {
		t.Errorf("%v\n%s", err, got)
	}
}
