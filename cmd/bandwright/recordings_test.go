package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"bandwright/ask"
	"bandwright/finding"
)

// A long file is written whole or not at all: not after an error, not once
// stopped, not over what is there or what was read; and nothing else is left.
func TestSaveLong(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "test.wav")
	d := door{ctx: t.Context()}
	some := func(w io.Writer) error { _, err := io.WriteString(w, "sound"); return err }
	holds := func(want string) {
		t.Helper()
		entries, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		got, _ := os.ReadFile(path)
		if string(got) != want || len(entries) != min(1, len(want)) {
			t.Errorf("%q in %d files, want %q", got, len(entries), want)
		}
	}
	refusedAs := func(err error, id finding.ID) {
		t.Helper()
		if list, _ := finding.From(err); len(list) != 1 || list[0].ID != id {
			t.Errorf("%v, want %s", err, id)
		}
	}
	refusedAs(d.saveLong(path, func(io.Writer) error { return errors.New("full") }, false), IDFileUnwritable)
	holds("")
	ctx, stop := context.WithCancel(t.Context())
	half := func(w io.Writer) error {
		stop()
		_, err := w.Write(make([]byte, 3<<20))
		return err
	}
	if err := (door{ctx: ctx}).saveLong(path, half, false); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	holds("")
	if err := d.saveLong(path, some, false); err != nil {
		t.Error(err)
	}
	holds("sound")
	refusedAs(d.saveLong(path, some, false), IDFileExists)
	refusedAs(d.saveLong(path, some, true, path), IDFileIsInput)
	louder := func(w io.Writer) error { _, err := io.WriteString(w, "louder"); return err }
	if err := d.saveLong(path, louder, true); err != nil {
		t.Error(err)
	}
	holds("louder")
}

// A recording is a file that is there.
func TestOpenRecording(t *testing.T) {
	folder := t.TempDir()
	for path, id := range map[string]finding.ID{filepath.Join(folder, "none.wav"): ask.IDFileMissing, folder: IDFileUnreadable} {
		_, end, err := openRecording(path)
		if list, _ := finding.From(err); end != nil || !slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == id }) {
			t.Errorf("%s: %v, want %s", path, err, id)
		}
	}
}
