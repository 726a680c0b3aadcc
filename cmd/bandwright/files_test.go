package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/ask"
	"bandwright/finding"
)

func idOf(t *testing.T, err error) finding.ID {
	t.Helper()
	found, ok := finding.From(err)
	if !ok || len(found) != 1 {
		t.Fatalf("%v carries no single finding", err)
	}
	return found[0].ID
}

func testDoor(t *testing.T) door {
	return door{ctx: t.Context(), in: strings.NewReader(""), out: io.Discard, err: io.Discard}
}

func readBack(t *testing.T, path, want string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil || string(text) != want {
		t.Errorf("%s holds %q, %v; want %q", path, text, err, want)
	}
}

// onlyThese fails when a temporary file, or anything else, was left behind.
func onlyThese(t *testing.T, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var there []string
	for _, e := range entries {
		there = append(there, e.Name())
	}
	if strings.Join(there, " ") != strings.Join(names, " ") {
		t.Errorf("the folder holds %v, want %v", there, names)
	}
}

func TestSaveIsWholeOrNotAtAll(t *testing.T) {
	folder := t.TempDir()
	d := testDoor(t)
	a, b, input := filepath.Join(folder, "a"), filepath.Join(folder, "deep", "b"), filepath.Join(folder, "input")
	if err := os.WriteFile(input, []byte("job"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := d.save([]output{{a, []byte("one")}, {b, []byte("two")}}, false, input); err != nil {
		t.Fatal(err)
	}
	readBack(t, a, "one")
	readBack(t, b, "two")

	// The same bytes are no reason to refuse.
	if err := d.save([]output{{a, []byte("one")}}, false); err != nil {
		t.Error(err)
	}
	// One target that may not be replaced leaves all as they were.
	err := d.save([]output{{b, []byte("2")}, {a, []byte("1")}}, false)
	if id := idOf(t, err); id != IDFileExists {
		t.Errorf("replacing gives %s", id)
	}
	readBack(t, a, "one")
	readBack(t, b, "two")
	if err := d.save([]output{{a, []byte("1")}}, true); err != nil {
		t.Error(err)
	}
	readBack(t, a, "1")
	onlyThese(t, folder, "a", "deep", "input")
}

func TestInputIsNeverReplaced(t *testing.T) {
	folder := t.TempDir()
	input, alias := filepath.Join(folder, "job.toml"), filepath.Join(folder, "alias")
	if err := errors.Join(os.WriteFile(input, []byte("job"), 0o666), os.Link(input, alias)); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{input, alias, filepath.Join(folder, ".", "job.toml")} {
		err := testDoor(t).save([]output{{path, []byte("sheet")}}, true, input)
		if id := idOf(t, err); id != IDFileIsInput {
			t.Errorf("writing over %s gives %s", path, id)
		}
	}
	readBack(t, input, "job")
}

// Another takes the name between the look and the save: still not replaced.
func TestPlaceLosesTheRace(t *testing.T) {
	folder := t.TempDir()
	o := output{filepath.Join(folder, "job.toml"), []byte("mine")}
	if err := os.WriteFile(o.path, []byte("theirs"), 0o666); err != nil {
		t.Fatal(err)
	}
	if id := idOf(t, o.save(false)); id != IDFileExists {
		t.Errorf("losing the race gives %s", id)
	}
	readBack(t, o.path, "theirs")
	onlyThese(t, folder, "job.toml")
}

func TestSaveWhereNothingCanBeWritten(t *testing.T) {
	folder := t.TempDir()
	blocked := filepath.Join(folder, "file")
	if err := os.WriteFile(blocked, []byte("x"), 0o666); err != nil {
		t.Fatal(err)
	}
	err := testDoor(t).save([]output{{filepath.Join(blocked, "sheet.html"), []byte("y")}}, false)
	if id := idOf(t, err); id != IDFileUnwritable {
		t.Errorf("a file in the way of a folder gives %s", id)
	}
	err = output{folder, []byte("y")}.save(true)
	if id := idOf(t, err); id != IDFileUnwritable {
		t.Errorf("a folder in the way of a file gives %s", id)
	}
}

func TestReadFile(t *testing.T) {
	folder := t.TempDir()
	large := filepath.Join(folder, "large")
	if err := errors.Join(os.WriteFile(large, nil, 0o666), os.Truncate(large, mostBytes+1)); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]finding.ID{
		filepath.Join(folder, "none"): ask.IDFileMissing,
		folder:                        IDFileUnreadable,
		large:                         IDFileTooLarge,
	} {
		if _, err := readFile(path); idOf(t, err) != want {
			t.Errorf("%s: %v, want %s", path, err, want)
		}
	}
}

// A signal ends the work with 130, and nothing is written after it.
func TestStopped(t *testing.T) {
	folder := t.TempDir()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var said strings.Builder
	d := door{ctx: ctx, in: strings.NewReader(""), out: io.Discard, err: &said}
	code := run(d, []string{"demo", "--out", filepath.Join(folder, "out")})
	if code != exitStopped || !strings.HasPrefix(said.String(), "stopped:") {
		t.Errorf("code %d, said %q", code, said.String())
	}
	onlyThese(t, folder)
}

// A panic anywhere below becomes a message and exit code 3.
func TestFault(t *testing.T) {
	var said strings.Builder
	d := door{ctx: t.Context(), in: strings.NewReader(""), out: brokenWriter{}, err: &said}
	if code := run(d, []string{"licences"}); code != exitFault {
		t.Errorf("code %d", code)
	}
	if text := said.String(); !strings.HasPrefix(text, "fault: ") || !strings.Contains(text, "no file was changed") {
		t.Errorf("said %q", text)
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { panic("the printer is on fire") }
