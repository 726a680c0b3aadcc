// Package golden keeps expected outputs as files beside the tests that make
// them. It is for tests only; no room of the house may import it.
//
// A test calls Check (exact bytes) or CheckNumbers (numbers within a
// tolerance, everything between them exact). The expectation is the file
// testdata/golden/NAME in the package under test:
//
//	go test ./report -update     rewrites the files from what the tests made
//	go test ./report             compares; on a difference the test fails,
//	                             shows a diff and leaves NAME.got beside NAME
//
// A package with golden files runs its tests through Main, which fails when a
// golden file was touched by no test: a forgotten expectation proves nothing.
package golden

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// Dir is where golden files lie, seen from the package under test.
const Dir = "testdata/golden"

var update = flag.Bool("update", false, "rewrite the golden files under "+Dir)

// touched remembers which golden files a test has asked for, for the orphan
// check at the end of the run. Tests may run in parallel, hence the lock.
var touched = struct {
	sync.Mutex
	names map[string]bool
}{names: map[string]bool{}}

// Check compares got, byte for byte, with the golden file of that name. The
// name may hold slashes; it should say which test made the file.
func Check(t testing.TB, name string, got []byte) {
	t.Helper()
	check(t, name, got, func(want []byte) string {
		if bytes.Equal(got, want) {
			return ""
		}
		return diff(want, got)
	})
}

// CheckNumbers compares like Check, but a number in got may differ from its
// twin in the file by the tolerance. It suits CSV, JSON, SVG and printed
// tables that must hold on processors which round differently. With -update
// a file whose numbers still agree is left as it is.
func CheckNumbers(t testing.TB, name string, got []byte, tol Tolerance) {
	t.Helper()
	check(t, name, got, func(want []byte) string { return compareNumbers(want, got, tol) })
}

// check does what both comparisons share; differ says what is wrong, "" if
// nothing is.
func check(t testing.TB, name string, got []byte, differ func(want []byte) string) {
	t.Helper()
	path := filePath(name)
	note(name)
	want, err := os.ReadFile(path)
	missing := errors.Is(err, fs.ErrNotExist)
	if err != nil && !missing {
		t.Fatalf("golden: %v", err)
	}
	var trouble string
	if !missing {
		trouble = differ(want)
	}
	gotPath := path + ".got"
	switch {
	case !missing && trouble == "":
		_ = os.Remove(gotPath) // left by an earlier failure, or not there
	case *update:
		write(t, path, got)
		_ = os.Remove(gotPath)
	case missing:
		write(t, gotPath, got)
		t.Errorf("golden: %s is missing; look at %s, then run with -update", path, gotPath)
	default:
		write(t, gotPath, got)
		t.Errorf("golden: %s differs (- file, + this run; the whole is in %s):\n%s", path, gotPath, trouble)
	}
}

func note(name string) {
	touched.Lock()
	defer touched.Unlock()
	touched.names[name] = true
}

// filePath maps a name to its file and refuses names that would leave Dir.
func filePath(name string) string {
	if name == "" || !filepath.IsLocal(filepath.FromSlash(name)) || strings.HasSuffix(name, ".got") {
		panic("golden: name " + name + " is not a plain relative path")
	}
	return filepath.Join(filepath.FromSlash(Dir), filepath.FromSlash(name))
}

func write(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatalf("golden: %v", err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatalf("golden: %v", err)
	}
}
