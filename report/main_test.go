package report

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bandwright/finding"
	"bandwright/golden"
)

func TestMain(m *testing.M) { golden.Main(m) }

// readBack gives a PDF's text, line by line as it stands on the pages.
func readBack(t *testing.T, pdf []byte) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Fatal("pdftotext is not installed: this test reads a PDF back with poppler-utils (.ci/setup installs it)")
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	var complaint bytes.Buffer
	command := exec.Command("pdftotext", "-layout", file, "-")
	command.Stderr = &complaint
	out, err := command.Output()
	if err != nil || complaint.Len() > 0 {
		t.Fatalf("pdftotext: %v\n%s", err, complaint.Bytes())
	}
	return string(out)
}

func someFindings() finding.List {
	return finding.List{
		finding.New("curve.few-points", finding.Warning, finding.Place{File: "a-63.csv"}, finding.Args{"per_octave": 12.0, "want": 24}),
		finding.New("curve.unsorted", finding.Note, finding.Place{File: "a-63.csv", Line: 31}, nil),
		finding.New("curve.unsorted", finding.Note, finding.Place{File: "a-63.csv", Line: 31}, nil),
	}
}

func smallSheet(t *testing.T) *Sheet {
	j := decoded(t, smallJob)
	return New(answerFor(j), j, someFindings(), "bandwright test")
}

func htmlOf(t *testing.T, s *Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.HTML(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pdfOf(t *testing.T, s *Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.PDF(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
