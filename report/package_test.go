package report

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// smallPackage is a package of a few files, none of them made by a question.
func smallPackage(t *testing.T) []Packed {
	t.Helper()
	open := []Packed{
		{PackageHead, []byte(`{"format": 1, "program": "bandwright test", "job": "job.toml", "questions": []}`)},
		{PackageJob + "job.toml", []byte("format = 1\n")},
		{PackageJob + "curves/a b.csv", []byte("20,0\n")},
		{PackageAnswer + "check.json", []byte("{}")},
	}
	all, sum, err := Seal(open, func(sum string) ([]Packed, error) {
		return []Packed{{PackagePaper, []byte("paper " + sum)}, {PackagePage, []byte("page " + sum)}}, nil
	})
	if err != nil || len(sum) != 64 {
		t.Fatal(sum, err)
	}
	return all
}

func zipped(t *testing.T, files []Packed) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WritePackage(&b, files); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPackageComesBack(t *testing.T) {
	files := smallPackage(t)
	text := zipped(t, files)
	if !IsPackage(text) || IsPackage([]byte("format = 1")) {
		t.Error("a package is not told from a job")
	}
	backwards := slices.Clone(files)
	slices.Reverse(backwards)
	if !bytes.Equal(text, zipped(t, backwards)) {
		t.Error("the same files give other bytes")
	}
	p, found, err := ReadPackage("record.zip", text)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	for _, f := range files {
		if got, there := p.File(f.Name); !there || !bytes.Equal(got, f.Text) {
			t.Errorf("%s comes back as %q", f.Name, got)
		}
	}
	if paper, _ := p.File(PackagePaper); string(paper) != "paper "+p.Sum() {
		t.Errorf("the paper shows %q, the package's sum is %s", paper, p.Sum())
	}
}

// Whatever is removed, altered by one bit or added is named.
func TestPackageNamesWhatChanged(t *testing.T) {
	files := smallPackage(t)
	r := rand.New(rand.NewPCG(trials.Seed(t, 11), 1))
	for i, f := range files {
		t.Run(f.Name, func(t *testing.T) {
			if f.Name != PackageHead { // without its head it is no package at all
				wantNamed(t, slices.Delete(slices.Clone(files), i, i+1), IDPackageGone, f.Name)
			}
			for range 20 {
				altered := slices.Clone(files)
				text := slices.Clone(f.Text)
				text[r.IntN(len(text))] ^= 1 << r.IntN(8)
				altered[i] = Packed{f.Name, text}
				if _, found, err := ReadPackage("p", zipped(t, altered)); err == nil && len(found) == 0 {
					t.Fatalf("a bit of %s was changed, and nothing is said", f.Name)
				}
			}
		})
	}
	wantNamed(t, append(slices.Clone(files), Packed{"extra.txt", []byte("?")}), IDPackageAdded, "extra.txt")
	// Both lists emptied, so that they name nothing: what must be in them is missed.
	for _, list := range [...]string{PackageSums, PaperSums} {
		emptied := slices.Clone(files)
		i := slices.IndexFunc(emptied, func(f Packed) bool { return f.Name == list })
		emptied[i].Text = []byte("\n")
		wantNamed(t, emptied, IDPackageAltered, list)
	}
}

func wantNamed(t *testing.T, files []Packed, id finding.ID, name string) {
	t.Helper()
	_, found, err := ReadPackage("p", zipped(t, files))
	said := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.ID == id && f.Place.File == name })
	if err != nil || !said {
		t.Errorf("%s of %s is not among %v, %v", id, name, found, err)
	}
}

func TestNoPackage(t *testing.T) {
	twice := func() []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for range 2 {
			if _, err := z.Create(PackageHead); err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	for name, c := range map[string]struct {
		text []byte
		want finding.ID
	}{
		"a job":        {[]byte("format = 1\n"), IDNotPackage},
		"nothing":      {nil, IDNotPackage},
		"cut short":    {zipped(t, smallPackage(t))[:400], IDNotPackage},
		"headless":     {zipped(t, []Packed{{"a.txt", nil}}), IDNotPackage},
		"head no JSON": {zipped(t, []Packed{{PackageHead, []byte("{")}}), IDNotPackage},
		"unknown key":  {zipped(t, []Packed{{PackageHead, []byte(`{"format": 1, "shape": 2}`)}}), IDNotPackage},
		"no format":    {zipped(t, []Packed{{PackageHead, []byte(`{}`)}}), IDNotPackage},
		"later format": {zipped(t, []Packed{{PackageHead, []byte(`{"format": 9, "new": true}`)}}), IDPackageNewer},
		"climbs":       {zipped(t, []Packed{{"../up", nil}, {PackageHead, []byte(`{"format": 1}`)}}), IDNotPackage},
		"twice":        {twice(), IDNotPackage},
	} {
		p, _, err := ReadPackage("p", c.text)
		var one finding.Finding
		if p != nil || !errors.As(err, &one) || one.ID != c.want {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A zip that unfolds to more than is read is refused before it fills the memory.
func TestPackageIsBounded(t *testing.T) {
	bomb := zipped(t, []Packed{{"zeros", make([]byte, mostPackedBytes+1)}})
	if _, _, err := ReadPackage("p", bomb); err == nil || !strings.Contains(err.Error(), "report.not-package") {
		t.Errorf("%d bytes that unfold to %d: %v", len(bomb), mostPackedBytes+1, err)
	}
	var many []Packed
	for i := range mostPacked + 1 {
		many = append(many, Packed{fmt.Sprint(i), nil})
	}
	if _, _, err := ReadPackage("p", zipped(t, many)); err == nil {
		t.Errorf("%d files are read", len(many))
	}
}

// Standard tools read the package and prove its sums: no program of ours is
// needed to trust it.
func TestPackageByOtherHands(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "p.zip"), zipped(t, smallPackage(t)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, words := range [][]string{
		{"python3", "-c", "import zipfile; z = zipfile.ZipFile('p.zip'); assert z.testzip() is None; z.extractall('.')"},
		{"sha256sum", "--strict", "-c", PackageSums},
		{"sha256sum", "--strict", "-c", PaperSums},
	} {
		c := exec.Command(words[0], words[1:]...)
		c.Dir = folder
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%v: %v\n%s", words, err, out)
		}
	}
}

func FuzzReadPackage(f *testing.F) {
	var b bytes.Buffer
	if err := WritePackage(&b, []Packed{{PackageHead, []byte(`{"format":1,"program":"","job":"j","questions":[]}`)}, {PackageSums, []byte("aa  b\n")}}); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, found, err := ReadPackage("p", text)
		if (p == nil) == (err == nil) {
			t.Fatal(p, err)
		}
		for _, f := range found {
			if f.Level == finding.Error {
				t.Fatal("an error among the findings of a package that was read:", f)
			}
		}
	})
}
