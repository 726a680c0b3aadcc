package job

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"bandwright/finding"
)

// wantLine is a line at the top of a file in testdata/bad: one finding the
// file must give. An ID that ends in a dot stands for any of its room.
var wantLine = regexp.MustCompile(`(?m)^# want (\S+) in line (\d+)$`)

func TestBadFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.toml")
	if err != nil || len(files) < 40 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text := read(t, file)
			job, list := Decode(file, text)
			if job != nil {
				t.Error("a job came of it")
			}
			var want, got []string
			for _, m := range wantLine.FindAllSubmatch(text, -1) {
				want = append(want, fmt.Sprintf("%s %s", m[1], m[2]))
			}
			for _, f := range list {
				got = append(got, fmt.Sprintf("%s %d", f.ID, f.Place.Line))
				placedWell(t, text, f)
			}
			if len(want) == 0 || !slices.EqualFunc(sortedLines(want), sortedLines(got), sameFinding) {
				t.Errorf("want %q\ngot  %q\n%v", want, got, list)
			}
		})
	}
}

func sortedLines(lines []string) []string {
	s := slices.Clone(lines)
	slices.SortFunc(s, func(a, b string) int {
		return strings.Compare(roomAndLine(a), roomAndLine(b))
	})
	return s
}

// roomAndLine sorts "quantity.x 7" where "quantity. 7" sorts.
func roomAndLine(s string) string {
	id, line, _ := strings.Cut(s, " ")
	if strings.HasPrefix(id, "quantity.") {
		id = "quantity."
	}
	return fmt.Sprintf("%6s %s", line, id)
}

func sameFinding(want, got string) bool { return roomAndLine(want) == roomAndLine(got) }

// placedWell asks that a finding names its file, a line of the text and a
// column of that line.
func placedWell(t *testing.T, text []byte, f finding.Finding) {
	t.Helper()
	lines := bytes.Split(text, []byte("\n"))
	p := f.Place
	switch {
	case p.File == "":
		t.Errorf("%v names no file", f)
	case f.ID == IDNoBand || f.ID == IDFormatMissing || f.ID == IDTooMany || f.ID == IDTooBig:
	case p.Line < 1 || p.Line > len(lines) || p.Column < 1 || p.Column > len(lines[p.Line-1])+1:
		t.Errorf("%v lies outside the text", f)
	}
}

// TestBadTexts holds what a file with lines at its top cannot.
func TestBadTexts(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       finding.ID
	}{
		{"nothing", "", IDFormatMissing},
		{"blanks", " \n\t\n", IDFormatMissing},
		{"UTF-16", "\xff\xfef\x00o\x00r\x00m\x00a\x00t\x00", IDNotUTF8},
		{"too big", strings.Repeat("# a long comment\n", MaxBytes/16), IDTooBig},
		{"lone carriage returns", "format = 1\rtitle = \"x\"\r", IDSyntax},
		{"deep", "format = 1\ntitle = " + strings.Repeat("[", 100000), IDSyntax},
		{"format of many digits", "format = 99999999999999999999", IDFormatNewer},
		{"many findings", "format = 1\n" + manyKeys(5000), IDTooMany},
		{"an error behind many warnings", manyBands(150) + "[[band]]\nname = \"b0\"\n", IDTooMany},
		{"zero byte", "format = 1\ntitle = \"a\x00b\"\n", IDSyntax},
	} {
		job, list := Decode("bad.toml", []byte(c.text))
		if job != nil || list.Err() == nil {
			t.Errorf("%s: a job came of it", c.name)
		}
		if !slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == c.want }) {
			t.Errorf("%s: want %s, got %v", c.name, c.want, list)
		}
		if len(list) > maxFindings+1 {
			t.Errorf("%s: %d findings", c.name, len(list))
		}
	}
}

// manyBands gives bands with nothing worse than a coil without DCR.
func manyBands(n int) string {
	text := "format = 1\ntitle = \"x\"\n"
	for i := range n {
		text += fmt.Sprintf("[[band]]\nname = \"b%d\"\ncentre = \"1k\"\nslider.value = \"10k\"\ncoil.value = \"1 H\"\ncapacitor.value = \"1u\"\n", i)
	}
	return text
}

func manyKeys(n int) string {
	var w strings.Builder
	for i := range n {
		fmt.Fprintf(&w, "k%d = 1\n", i)
	}
	return w.String()
}

// sane asks of any text whatever: no panic, a job exactly when no finding is
// an Error, findings inside the text; and a job that came of it can be saved.
func sane(t *testing.T, text []byte) (whole bool) {
	t.Helper()
	defer func() {
		if r := recover(); r != nil {
			t.Fatalf("panic %v from\n%q", r, text)
		}
	}()
	job, list := Decode("m.toml", text)
	if (job == nil) != (list.Worst() == finding.Error) {
		t.Fatalf("job %v with %v from\n%q", job != nil, list, text)
	}
	if job == nil {
		return false
	}
	same, err := Update(text, job)
	if err != nil || !bytes.Equal(same, text) {
		t.Fatalf("Update without change: %v\n%q\n%q", err, text, same)
	}
	return true
}

// TestMutations reads 20,000 damaged jobs.
func TestMutations(t *testing.T) {
	const seed, count = 7, 20000
	t.Logf("seed %d", seed)
	texts := [][]byte{read(t, "testdata/whole.toml"), read(t, "testdata/wired.toml"), read(t, "testdata/otherhand.toml"), []byte(smallest)}
	r := rand.New(rand.NewPCG(seed, 0))
	pieces := []string{"[", "]", "{", "}", "\"", "'", "#", "=", ",", ".", "\n", "\r\n", "\"\"\"", "[[band]]\n", "[part]\n",
		"name = \"63\"\n", "nan", "-1", "1e400", "\x00", "\xff", "µ", "[band.coil]\n", "set.x = 1\n", "format = 3\n", "null", " "}
	whole := 0
	for range count {
		text := slices.Clone(texts[r.IntN(len(texts))])
		for range 1 + r.IntN(3) {
			text = damage(r, text, pieces)
		}
		if sane(t, text) {
			whole++
		}
	}
	if whole < count/100 || whole > count*9/10 {
		t.Errorf("%d of %d still were jobs: the damage is not worth the name", whole, count)
	}
}

func damage(r *rand.Rand, text []byte, pieces []string) []byte {
	if len(text) == 0 {
		return []byte(pieces[r.IntN(len(pieces))])
	}
	at := r.IntN(len(text))
	to := min(at+1+r.IntN(20), len(text))
	switch r.IntN(5) {
	case 0:
		text[at] ^= byte(1 << r.IntN(8))
		return text
	case 1:
		return slices.Delete(text, at, to)
	case 2:
		return slices.Insert(text, at, text[at:to]...)
	case 3:
		return slices.Insert(text, at, []byte(pieces[r.IntN(len(pieces))])...)
	}
	start, end := lineStart(text, at), lineEnd(text, at)
	line := slices.Clone(text[start:end])
	if r.IntN(2) == 0 {
		text = slices.Delete(text, start, end)
	}
	return slices.Insert(text, lineStart(text, r.IntN(len(text)+1)), line...)
}

func FuzzDecode(f *testing.F) {
	files, err := filepath.Glob("testdata/bad/*.toml")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range append(files, "testdata/whole.toml", "testdata/wired.toml", "testdata/otherhand.toml") {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) { sane(t, text) })
}

// smallest is a job with nothing more than there must be.
const smallest = `format = 1
title = "one band (invented)"

[[band]]
name = "63"
centre = "63 Hz"
slider = { value = "10k" }
coil = { value = "2.2 H", dcr = "210 ohm" }
capacitor = { value = "2u2" }
`
