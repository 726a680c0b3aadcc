package job

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"bandwright/finding"
)

func demoText(t *testing.T) []byte {
	t.Helper()
	text, err := os.ReadFile("../demo/bass-head/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// at follows keys and list numbers through a view.
func at(t *testing.T, view any, path ...any) any {
	t.Helper()
	for _, key := range path {
		switch k := key.(type) {
		case string:
			view = view.(map[string]any)[k]
		case int:
			view = view.([]any)[k]
		}
	}
	return view
}

// What was put in is what the view of the new text says, and everything else
// of the text stays byte for byte: the edit put back gives the old text.
func TestChangeAndView(t *testing.T) {
	text := demoText(t)
	for _, c := range []struct {
		path  string
		value string
		at    []any
		want  any
	}{
		{"title", "Another", []any{"title"}, "Another"},
		{"band/400/coil/value", "1 H", []any{"band", 2, "coil", "value"}, "1 H"},
		{"band/2/coil/value", "1,5H", []any{"band", 2, "coil", "value"}, "1.5 H"},
		{"band/400/capacitor/measured/value", "101n", []any{"band", 2, "capacitor", "measured", "value"}, "101 nF"},
		{"agreed/notes", "red \"one\"", []any{"agreed", "notes"}, "red \"one\""},
		{"lift/contact", "0.2 ohm", []any{"lift", "contact"}, "0.2 Ω"},
		{"band/63/coil/measured/q", "4.5", []any{"band", 0, "coil", "measured", "q"}, 4.5},
		{"invented", "false", []any{"invented"}, nil},
	} {
		changed, err := Change("job.toml", text, []Edit{{Path: strings.Split(c.path, "/"), Value: c.value}})
		if err != nil {
			t.Errorf("%s: %v", c.path, err)
			continue
		}
		j, found := Decode("job.toml", changed)
		if found.Err() != nil {
			t.Errorf("%s: %v", c.path, found)
			continue
		}
		if got := at(t, View(j), c.at...); got != c.want {
			t.Errorf("%s = %v, want %v", c.path, got, c.want)
		}
	}
}

func TestChangeOfLists(t *testing.T) {
	text := demoText(t)
	before, _ := Decode("job.toml", text)
	steps := len(before.Fitting)
	last := []string{"fitting", strconv.Itoa(steps), "do"}
	changed, err := Change("job.toml", text, []Edit{{Path: last, Value: "Look at it"}})
	if err != nil {
		t.Fatal(err)
	}
	j, _ := Decode("job.toml", changed)
	if len(j.Fitting) != steps+1 || j.Fitting[steps].Do != "Look at it" {
		t.Errorf("%d steps, the last %v", len(j.Fitting), j.Fitting[len(j.Fitting)-1])
	}
	back, err := Change("job.toml", changed, []Edit{{Path: last[:2], Remove: true}})
	if err != nil {
		t.Fatal(err)
	}
	if j, _ = Decode("job.toml", back); len(j.Fitting) != steps {
		t.Errorf("%d steps after taking one out", len(j.Fitting))
	}
	if same, err := Change("job.toml", text, nil); err != nil || string(same) != string(text) {
		t.Errorf("no edit changes the text (%v)", err)
	}
}

func TestChangeRefuses(t *testing.T) {
	text := demoText(t)
	for path, want := range map[string]finding.ID{
		"":                        IDEditPath,
		"band":                    IDEditPath,
		"band/7000/coil/value":    IDEditPath,
		"band/-1/coil/value":      IDEditPath,
		"band/400/coil":           IDEditPath,
		"band/400/coil/value/x":   IDEditPath,
		"nowhere":                 IDEditPath,
		"fitting/99/do":           IDEditPath,
		"driver/drawing":          IDUnknownWord,
		"invented":                IDWrongType,
		"band/63/coil/measured/q": IDWrongType,
	} {
		_, err := Change("job.toml", text, []Edit{{Path: strings.Split(path, "/"), Value: "perhaps"}})
		found, ok := finding.From(err)
		if !ok || found[0].ID != want {
			t.Errorf("%q: %v, want %s", path, err, want)
		}
	}
	if _, err := Change("job.toml", []byte("format ="), nil); err == nil {
		t.Error("a text that is no job is changed")
	}
}

// No path and no value, however odd, breaks anything: an error, or a job that
// decodes.
func FuzzChange(f *testing.F) {
	text, err := os.ReadFile("../demo/bass-head/job.toml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add("band/400/coil/value", "1 H", false)
	f.Add("part/0/set/esr", "1 ohm", true)
	f.Add("found/photos", "a\nb", false)
	f.Add("band/0/slider/law", "0 0, 1 1", false)
	f.Fuzz(func(t *testing.T, path, value string, remove bool) {
		changed, err := Change("job.toml", text, []Edit{{strings.Split(path, "/"), value, remove}})
		if err != nil {
			return
		}
		if _, found := Decode("job.toml", changed); found.Err() != nil {
			t.Errorf("%q = %q made a job that does not open: %v", path, value, found)
		}
	})
}
