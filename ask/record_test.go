package ask

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
	"bandwright/trials"
)

const recordedJob = `format = 1
title = "One band (invented)"
invented = true
[tap_in]
source = "1k"
load = "470k"
cut = "tag 7 to tag 8"
[lift]
contact = "0.1 ohm"
[bypass]
contact = "0.05 ohm"
[[band]]
name = "63"
centre = "63 Hz"
slider = { value = "10k" }
coil = { value = "2.72 H", dcr = "255 ohm", tolerance = "2 %" }
capacitor = { value = "2u2", tolerance = "2 %" }
resistor = { value = "330R", tolerance = "1 %" }
[[curve]]
name = "63 up"
role = "measured"
file = "curves/up.csv"
setting = "63=+1"
[[record.photo]]
file = "photos/cut.jpg"
shows = "the link before it was cut"
`

// onDisk is what the recorded job is asked of.
func onDisk(files fs.FS) From {
	return From{
		Program: "bandwright test",
		Open: func(ctx context.Context) (*bench.Case, finding.List, error) {
			c, found := bench.Open(ctx, "job.toml", []byte(recordedJob), files)
			return c, found, found.Err()
		},
	}
}

func somewhere() fstest.MapFS {
	var curve strings.Builder
	curve.WriteString("Hz,dB\n")
	for hz := 20.0; hz < 20e3; hz *= 1.02 {
		fmt.Fprintf(&curve, "%.4f,%.4f\n", hz, 3.0)
	}
	return fstest.MapFS{"curves/up.csv": {Data: []byte(curve.String())}, "photos/cut.jpg": {Data: []byte("a picture")}}
}

func recordOf(t *testing.T, from From) *RecordAnswer {
	t.Helper()
	answer, _, err := Record{}.Ask(t.Context(), from)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

func packed(t *testing.T, files []report.Packed) From {
	t.Helper()
	var b bytes.Buffer
	if err := report.WritePackage(&b, files); err != nil {
		t.Fatal(err)
	}
	return From{Program: "bandwright test", File: func(name string) (string, []byte, error) { return name, b.Bytes(), nil }}
}

// A package holds the job, what it names and every answer, and is worked out
// again from nothing but itself, to the letter.
func TestRecordIsWorkedOutAgain(t *testing.T) {
	record := recordOf(t, onDisk(somewhere()))
	for _, name := range []string{"job/job.toml", "job/curves/up.csv", "job/photos/cut.jpg", "answers/sheet.json", "answers/predict-lifted.json",
		report.PackageHead, report.PackageSums, report.PackagePaper, report.PackagePage, report.PaperSums} {
		if len(record.File(name)) == 0 {
			t.Errorf("no %s in the package", name)
		}
	}
	if again := recordOf(t, onDisk(somewhere())); again.Sum != record.Sum || !slices.EqualFunc(again.files, record.files, samePacked) {
		t.Error("the same job gives another package")
	}
	rebuilt, found, err := Rebuild{File: "p.zip"}.Ask(t.Context(), packed(t, record.files))
	if err != nil || len(found) > 0 || !rebuilt.Whole || !rebuilt.Same || rebuilt.Sum != record.Sum {
		t.Fatalf("%+v %v %v", rebuilt, found, err)
	}
	figures := 0
	for _, one := range rebuilt.Answers {
		figures += one.Figures
		if !one.Identical {
			t.Errorf("%s comes out otherwise", one.File)
		}
	}
	if figures < 1000 {
		t.Errorf("only %d figures were worked out again", figures)
	}
}

func samePacked(a, b report.Packed) bool { return a.Name == b.Name && bytes.Equal(a.Text, b.Text) }

// Any one file removed or altered is noticed and named.
func TestRecordNamesWhatChanged(t *testing.T) {
	record := recordOf(t, onDisk(somewhere()))
	r := rand.New(rand.NewPCG(trials.Seed(t, 20261130), 1))
	for i, f := range record.files {
		altered := slices.Clone(record.files)
		text := slices.Clone(f.Text)
		text[r.IntN(len(text))] ^= 4
		altered[i].Text = text
		for what, files := range map[string][]report.Packed{"altered": altered, "removed": slices.Delete(slices.Clone(record.files), i, i+1)} {
			a, found, err := Rebuild{File: "p.zip"}.Ask(t.Context(), packed(t, files))
			if f.Name == report.PackageHead && err != nil {
				continue // no package without its head
			}
			list, _ := finding.From(err)
			named := slices.ContainsFunc(append(found, list...), func(g finding.Finding) bool {
				return g.Place.File == f.Name || g.Args["file"] == f.Name || g.Args["list"] == f.Name
			})
			if a != nil && a.Whole || !named {
				t.Errorf("%s %s: %v %v", f.Name, what, found, err)
			}
		}
	}
}

// A figure that comes out otherwise is told with both values; what is rounding
// alone is not.
func TestRebuildTellsFigures(t *testing.T) {
	record := recordOf(t, onDisk(somewhere()))
	const file = "answers/predict-flat.json"
	for _, c := range []struct {
		by   float64
		same bool
	}{{1 + 1e-8, true}, {1 + 1e-5, false}, {-1, false}} {
		var reply struct {
			Answer   bench.PredictAnswer `json:"answer"`
			Findings []any               `json:"findings"`
		}
		if err := json.Unmarshal(record.File(file), &reply); err != nil {
			t.Fatal(err)
		}
		*reply.Answer.Rows[3].DB *= c.by
		var text bytes.Buffer
		if err := json.NewEncoder(&text).Encode(reply); err != nil {
			t.Fatal(err)
		}
		a, found, err := Rebuild{}.Ask(t.Context(), packed(t, replaced(record.files, file, text.Bytes())))
		if err != nil || a.Same != c.same {
			t.Fatalf("times %v: same %v, %v %v", c.by, a.Same, found, err)
		}
		i := slices.IndexFunc(a.Answers, func(one RebuiltAnswer) bool { return one.File == file })
		if d := a.Answers[i].First; !c.same && (len(d) != 1 || d[0].Path != "answer.rows[3].db" || d[0].Packed == d[0].Now) {
			t.Errorf("times %v: %+v", c.by, d)
		}
	}
}

func replaced(files []report.Packed, name string, text []byte) []report.Packed {
	files = slices.Clone(files)
	for i := range files {
		if files[i].Name == name {
			files[i].Text = text
		}
	}
	return files
}

// What a job names and nobody has is said, and the record stands without it.
func TestRecordWithoutItsPhoto(t *testing.T) {
	files := somewhere()
	delete(files, "photos/cut.jpg")
	answer, found, err := Record{}.Ask(t.Context(), onDisk(files))
	gone := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.ID == bench.IDFileGone && f.Place.File == "photos/cut.jpg" })
	if err != nil || !gone || answer.File("job/photos/cut.jpg") != nil {
		t.Errorf("%v %v", found, err)
	}
}

func TestRecordCanBeStopped(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, _, err := (Record{}).Ask(ctx, onDisk(somewhere())); err == nil {
		t.Error("a stopped record was made")
	}
}
