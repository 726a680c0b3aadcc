package job

import (
	"bytes"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/quantity"
)

func ids(list finding.List) []string {
	var all []string
	for _, f := range list {
		all = append(all, string(f.ID))
	}
	return all
}

// TestCheckOfAJobWithoutAText holds what the files in testdata/bad cannot: a
// job that the page or the shop has put together.
func TestCheckOfAJobWithoutAText(t *testing.T) {
	whole := func() *Job { return deepCopy(t, read(t, "testdata/whole.toml")) }
	for _, c := range []struct {
		name   string
		change func(j *Job)
		want   []finding.ID
	}{
		{"nothing", func(j *Job) {}, nil},
		{"empty", func(j *Job) { *j = Job{} }, []finding.ID{IDFormatMissing, IDMissing, IDNoBand}},
		{"newer", func(j *Job) { j.Format = 2 }, []finding.ID{IDFormatNewer}},
		{"negative format", func(j *Job) { j.Format = -1 }, []finding.ID{IDOutOfRange}},
		{"NaN", func(j *Job) { j.Bands[0].Centre = quantity.Hertz(math.NaN()) }, []finding.ID{IDNotFinite}},
		{"infinite", func(j *Job) { x := math.Inf(1); j.Bands[0].Capacitor.Loss = &x }, []finding.ID{IDNotFinite}},
		{"negative", func(j *Job) { j.TapIn.SourceOhms = -1 }, []finding.ID{IDOutOfRange}},
		{"NaN tolerance", func(j *Job) { j.Bands[0].Coil.Tolerance = &quantity.Tolerance{Minus: math.NaN()} }, []finding.ID{IDOutOfRange}},
		{"NaN law", func(j *Job) { j.Bands[0].Slider.Law = [][2]float64{{0, 0}, {0.5, math.NaN()}, {1, 1}} }, []finding.ID{IDBadLaw}},
		{"not UTF-8", func(j *Job) { j.Amp = "\xff" }, []finding.ID{IDNotUTF8}},
		{"column", func(j *Job) { j.Curves[0].Read.GainColumn = -1 }, []finding.ID{IDOutOfRange}},
		{"no DCR", func(j *Job) { j.Bands[0].Coil.DCR = nil }, []finding.ID{IDCoilResistanceBlank}},
		{"no lift", func(j *Job) { j.Lift = nil }, []finding.ID{IDUnknownName}},
		{"control in path", func(j *Job) { j.Found.Photos = []string{"a\x00b"} }, []finding.ID{IDBadPath}},
		{"blank step", func(j *Job) { j.Fitting = append(j.Fitting, Step{}) }, []finding.ID{IDMissing}},
		{"properties of no kind", func(j *Job) { j.Parts[0].Set = map[string]string{"colour": "red"} }, []finding.ID{IDUnknownProperty}},
	} {
		j := whole()
		c.change(j)
		list := Check(j)
		var want []string
		for _, id := range c.want {
			want = append(want, string(id))
		}
		if !slices.Equal(ids(list), want) {
			t.Errorf("%s: want %v, got %v", c.name, want, list)
		}
		for _, f := range list {
			if f.Place.File != "" || f.Place.Line != 0 {
				t.Errorf("%s: %v has a place in a file there is none of", c.name, f)
			}
		}
		if text, err := Encode(j); (err != nil) != (list.Err() != nil) || (text == nil) != (err != nil) {
			t.Errorf("%s: Encode gives %v", c.name, err)
		}
	}
}

func TestEncodeDecodes(t *testing.T) {
	for _, file := range []string{"testdata/whole.toml", "testdata/wired.toml", "testdata/otherhand.toml"} {
		j := deepCopy(t, read(t, file))
		text, err := Encode(j)
		if err != nil {
			t.Fatal(err)
		}
		if back := deepCopy(t, text); !reflect.DeepEqual(plain(back), plain(j)) {
			t.Errorf("%s: Encode changed the job\n%s", file, text)
		}
		if again, _ := Encode(deepCopy(t, text)); !bytes.Equal(again, text) {
			t.Errorf("%s: Encode of its own text differs", file)
		}
	}
}

// TestUpdateRefuses asks that nothing is written over a text that was not
// read whole.
func TestUpdateRefuses(t *testing.T) {
	j := deepCopy(t, []byte(smallest))
	for name, text := range map[string]string{
		"newer":   strings.Replace(smallest, "format = 1", "format = 2", 1),
		"broken":  smallest + "x",
		"unknown": smallest + "\n[later]\nkey = 1\n",
		"none":    "",
	} {
		if got, err := Update([]byte(text), j); got != nil || err == nil {
			t.Errorf("%s: written over", name)
		}
	}
	j.Title = ""
	if got, err := Update([]byte(smallest), j); got != nil || err == nil {
		t.Error("a job without a title was written")
	}
	j.Title, j.Format = "x", 2
	if got, err := Update([]byte(smallest), j); got != nil || err == nil {
		t.Error("a job of a later format was written")
	}
}

// TestUpdateTouchesOneValue shows the edit itself, byte for byte.
func TestUpdateTouchesOneValue(t *testing.T) {
	text := read(t, "testdata/whole.toml")
	j := deepCopy(t, text)
	j.TapIn.SourceOhms = 38000
	want := bytes.Replace(text, []byte(`source = "1k" # of`), []byte(`source = "38 kΩ" # of`), 1)
	if got, err := Update(text, j); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%v\n%s", err, got)
	}
}

func TestNearest(t *testing.T) {
	for _, c := range []struct{ word, want string }{
		{"center", "centre"}, {"nme", "name"}, {"Coil", "coil"}, {"capacitator", "capacitor"},
		{"colour", ""}, {"", ""}, {strings.Repeat("x", 1000), ""},
	} {
		if got := nearest(c.word, []string{"name", "centre", "slider", "coil", "capacitor", "resistor"}); got != c.want {
			t.Errorf("nearest to %q is %q, want %q", c.word, got, c.want)
		}
	}
}

// TestLawsAndBatches: a law given twice, one of no known name, a batch named
// twice and a Q without its frequency are told with their lines.
func TestLawsAndBatches(t *testing.T) {
	const text = `format = 1
title = "one band"
[[batch]]
name = "bag 3"
[[batch]]
name = "bag 3"
[[band]]
name = "63"
centre = "63 Hz"
coil = { value = "2.2 H", dcr = "210 ohm", lies = "wide", measured = { value = "2.3 H", q = 12 } }
slider = { value = "10k", shape = "W 80 %" }
capacitor = { value = "2u2" }
[[band]]
name = "160"
centre = "160 Hz"
coil = { value = "1 H", dcr = "95 ohm" }
slider = { value = "10k", shape = "S 80 %", law = [[0, 0], [1, 1]] }
capacitor = { value = "1u" }
`
	want := map[finding.ID]int{IDNamedTwice: 6, IDUnknownWord: 10, IDMissing: 10, IDBadLaw: 11, IDTwoWays: 17}
	_, list := Decode("job.toml", []byte(text))
	for _, f := range list {
		if line, ok := want[f.ID]; !ok || f.Place.Line != line {
			t.Errorf("%v in line %d, want %d", f.ID, f.Place.Line, line)
		}
		delete(want, f.ID)
	}
	if len(want) > 0 {
		t.Errorf("not said: %v\n%v", want, list)
	}
}

// TestNoughtIsNotBlank: a rail, a load or an open contact of nought or less is
// told with its line, and not taken as one that is not stated.
func TestNoughtIsNotBlank(t *testing.T) {
	for line, text := range map[int]string{
		4: "[driver]\nrail = \"%s V\"\n", 5: "[tap_in]\nsource = \"1k\"\nload = \"%s ohm\"\n", 6: "[lift]\ncontact = \"0.1 ohm\"\n\nopen = \"%s ohm\"\n",
	} {
		for _, value := range []string{"0", "-24"} {
			full := "format = 1\ntitle = \"one\"\n" + strings.Replace(text, "%s", value, 1) + smallest[strings.Index(smallest, "[[band]]"):]
			_, list := Decode("job.toml", []byte(full))
			if len(list) != 1 || list[0].ID != IDOutOfRange && list[0].ID != "quantity.negative" || list[0].Place.Line != line {
				t.Errorf("%s in line %d: %v", value, line, list)
			}
		}
	}
}
