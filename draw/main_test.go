package draw_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bandwright/golden"
)

func TestMain(m *testing.M) { golden.Main(m) }

// pdfTool runs one of poppler's readers on a PDF and gives what it prints.
func pdfTool(t *testing.T, tool string, pdf []byte, args ...string) []byte {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Fatalf("%s is not installed: this test reads a PDF back with poppler-utils (.ci/setup installs it)", tool)
	}
	file := filepath.Join(t.TempDir(), "read-back.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	var complaint bytes.Buffer
	args = append(args, file)
	if tool == "pdftotext" {
		args = append(args, "-") // the other tool prints when no output is named
	}
	command := exec.Command(tool, args...)
	command.Stderr = &complaint
	out, err := command.Output()
	if err != nil || complaint.Len() > 0 {
		t.Fatalf("%s: %v\n%s", tool, err, complaint.Bytes())
	}
	return out
}
