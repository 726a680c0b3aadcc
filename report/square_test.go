package report

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/draw"
)

// A reader of square codes that nobody here wrote reads from the printed page
// what was put there, at sizes from an address to a check-sum.
func TestSquareCodeByAnotherReader(t *testing.T) {
	for _, want := range []string{"http://192.168.1.20:8080/?token=0123456789abcdef", strings.Repeat("0123456789abcdef", 4)} {
		code, err := SquareCode(want, 0.55)
		if err != nil {
			t.Fatal(err)
		}
		pdf := draw.NewPDF("code", "bandwright test")
		pdf.AddPage()
		code.Onto(draw.OnPage(pdf, 30, 40))
		var page bytes.Buffer
		if err := pdf.Output(&page); err != nil {
			t.Fatal(err)
		}
		folder := t.TempDir()
		file := filepath.Join(folder, "code.pdf")
		if err := os.WriteFile(file, page.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("pdftoppm", "-r", "200", "-png", "-singlefile", file, filepath.Join(folder, "code")).CombinedOutput(); err != nil {
			t.Fatalf("pdftoppm: %v\n%s", err, out)
		}
		got, err := exec.Command("zbarimg", "-q", "--raw", filepath.Join(folder, "code.png")).Output()
		if err != nil || strings.TrimSpace(string(got)) != want {
			t.Errorf("zbarimg (.ci/setup installs it) reads %q, %v; %q was drawn", got, err, want)
		}
	}
}
