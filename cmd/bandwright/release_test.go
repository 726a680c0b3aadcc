package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A program without its page is not shipped: the release refuses before it
// builds anything, and says what to do.
func TestReleaseRefusesWithoutPage(t *testing.T) {
	source := t.TempDir()
	for _, name := range []string{"scripts/release.sh", "CHANGELOG.md"} {
		text, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(source, filepath.FromSlash(name)), string(text))
	}
	write(t, filepath.Join(source, "page", "ui", "dist", ".keep"), "")
	write(t, filepath.Join(source, "dist", "SHA256SUMS"), "of the release before")
	said, err := exec.Command("bash", filepath.Join(source, "scripts", "release.sh")).CombinedOutput()
	if err == nil || !strings.Contains(string(said), "the page was not built") || !strings.Contains(string(said), "make page") {
		t.Errorf("%v: %s", err, said)
	}
	if text, err := os.ReadFile(filepath.Join(source, "dist", "SHA256SUMS")); err != nil || string(text) != "of the release before" {
		t.Errorf("what was released before is gone: %q, %v", text, err)
	}
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}
