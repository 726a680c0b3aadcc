package shop

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is no plain name of one file is refused, whatever it is asked for.
func TestNames(t *testing.T) {
	f := opened(t, begun(t))
	for _, bad := range []string{"", ".", "..", "../a", "a/b", `a\b`, "/a", "c:a", "a\x00", "a\n", ".a", "a.", "a ", "a*", "a?", `a"`, "a|b", "\xff",
		strings.Repeat("a", mostName+1)} {
		_, read := f.Read(bad)
		_, file := f.File(bad, "x.csv")
		_, beside := f.File("a", bad+"/x.csv")
		_, folder := f.Files(bad)
		_, copied := f.Duplicate(bad)
		_, _, recording := f.Recording(bad, "x.wav")
		_, recordings := f.Recordings(bad)
		for what, err := range map[string]error{"read": read, "save": f.Save(bad, nil, ""), "file": file, "beside": beside, "files": folder,
			"copy": copied, "archive": f.Archive(bad, true), "save file": f.SaveFile(bad, "x.csv", nil, ""), "recording": recording, "recordings": recordings, "keep recording": f.KeepRecording(bad, "x.wav", strings.NewReader("x")),
			"keep recording beside": f.KeepRecording("a", bad+"/x.wav", strings.NewReader("x"))} {
			if !errors.Is(err, ErrName) {
				t.Errorf("%s of %q gives %v", what, bad, err)
			}
		}
		if f.Stamp(bad, "job.toml") != "" {
			t.Errorf("%q has a stamp", bad)
		}
	}
	for _, bad := range []string{"job.toml", "x", "x.exe", "x.html", "x.csv.sh", "../b.csv", "c/../../x.csv", "c/d/x.csv", "/x.csv", ".x.csv", "c/.x.csv", archiveFile} {
		if err := f.SaveFile("a", bad, []byte("x"), ""); !errors.Is(err, ErrName) {
			t.Errorf("file %q gives %v", bad, err)
		}
	}
}

// A link that leads out of the folder is followed by nothing.
func TestLinksLeadNowhere(t *testing.T) {
	folder, outside := begun(t), begun(t)
	if err := errors.Join(os.Symlink(filepath.Join(outside, "a"), filepath.Join(folder, "out")),
		os.Symlink(filepath.Join(outside, "a", "old.csv"), filepath.Join(folder, "a", "out.csv"))); err != nil {
		t.Fatal(err)
	}
	before, _ := seen(t, outside)
	f := opened(t, folder)
	_, read := f.Read("out")
	_, file := f.File("a", "out.csv")
	for what, err := range map[string]error{"read": read, "file": file, "save": f.Save("out", []byte(nextText), Version([]byte(firstText))),
		"save file": f.SaveFile("a", "out.csv", []byte("x"), Version([]byte("20,0\n"))), "beside": f.SaveFile("out", "x.csv", []byte("x"), "")} {
		if err == nil {
			t.Errorf("%s is done", what)
		}
	}
	rows, err := f.List()
	for _, r := range rows {
		if r.ID == "out" {
			t.Error("it is listed")
		}
	}
	copied, dup := f.Duplicate("a")
	if err := errors.Join(err, dup); err != nil {
		t.Fatal(err)
	}
	if _, err := f.File(copied, "out.csv"); !errors.Is(err, ErrNone) {
		t.Errorf("copied along: %v", err)
	}
	if after, _ := seen(t, outside); len(after) != len(before) || after["a/job.toml"] != firstText || after["a/old.csv"] != "20,0\n" {
		t.Errorf("outside there is %v", after)
	}
}

// A save is refused over a text that another hand has changed, also where the
// hand was an editor's; what is there already is no conflict.
func TestChangedTextStays(t *testing.T) {
	folder := begun(t)
	f := opened(t, folder)
	at := filepath.Join(folder, "a", jobFile)
	if err := os.WriteFile(at, []byte("# by an editor\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := f.Save("a", []byte(nextText), Version([]byte(firstText))); !errors.Is(err, ErrChanged) {
		t.Errorf("over a changed text: %v", err)
	}
	if err := f.Save("a", []byte("# by an editor\n"), Version([]byte(firstText))); err != nil {
		t.Errorf("the same text: %v", err)
	}
	if text, err := os.ReadFile(at); err != nil || string(text) != "# by an editor\n" {
		t.Errorf("there is %q, %v", text, err)
	}
	if err := f.SaveFile("a", "old.csv", []byte("x"), ""); !errors.Is(err, ErrChanged) {
		t.Errorf("over a file that was thought absent: %v", err)
	}
	if err := f.SaveFile("a", "none.csv", []byte("x"), Version([]byte("y"))); !errors.Is(err, ErrChanged) {
		t.Errorf("over a file that is gone: %v", err)
	}
	if err := f.Save("none", []byte(nextText), ""); !errors.Is(err, ErrNone) {
		t.Errorf("a job that is not there: %v", err)
	}
}

// A save lets a file's permissions be; who kept a job to himself still does.
func TestPermissionsStay(t *testing.T) {
	folder := begun(t)
	at := filepath.Join(folder, "a", jobFile)
	for _, mode := range []os.FileMode{0o600, 0o644} {
		text, err := os.ReadFile(at)
		if err := errors.Join(err, os.Chmod(at, mode), opened(t, folder).Save("a", append(text, '\n'), Version(text))); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(at); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%v became %v, %v", mode, info.Mode(), err)
		}
	}
}

// What is too long is refused before anything is done.
func TestTooLong(t *testing.T) {
	folder := begun(t)
	f := opened(t, folder)
	before, _ := seen(t, folder)
	if err := f.Save("a", make([]byte, 64<<20), Version([]byte(firstText))); !errors.Is(err, ErrTooBig) {
		t.Errorf("a long job: %v", err)
	}
	if err := f.SaveFile("a", "x.csv", make([]byte, MostFileBytes+1), ""); !errors.Is(err, ErrTooBig) {
		t.Errorf("a long file: %v", err)
	}
	if after, hidden := seen(t, folder); len(after) != len(before) || len(hidden) > 0 {
		t.Errorf("there is %v, %v", after, hidden)
	}
	long := filepath.Join(folder, "a", "long.csv")
	if err := errors.Join(os.WriteFile(long, nil, 0o666), os.Truncate(long, mostCopyBytes+1)); err != nil {
		t.Fatal(err)
	}
	if _, err := f.File("a", "long.csv"); !errors.Is(err, ErrTooBig) {
		t.Errorf("reading a long file: %v", err)
	}
	if _, err := f.Duplicate("a"); !errors.Is(err, ErrTooBig) {
		t.Errorf("copying a long file: %v", err)
	}
}

// Folders are named after titles, so that a person finds them again.
func TestFolderNames(t *testing.T) {
	f := opened(t, t.TempDir())
	for _, c := range []struct{ title, want string }{
		{"Six bands, 220 W head", "six-bands-220-w-head"}, {"Six bands, 220 W head", "six-bands-220-w-head-2"},
		{"../../etc", "etc"}, {"", "job"}, {"Ω µ", "job-2"}, {strings.Repeat("long ", 30), "long-long-long-long-long-long-long-long"},
		{"a.toml", "a-toml"}, {"archived.txt", "archived-txt"},
	} {
		if got, err := f.Create(c.title, map[string][]byte{jobFile: []byte(firstText)}); err != nil || got != c.want {
			t.Errorf("%q is kept in %q, %v; want %q", c.title, got, err, c.want)
		}
	}
	rows, err := f.List()
	if err != nil || len(rows) != 8 {
		t.Errorf("%d are listed, %v", len(rows), err)
	}
}

// Write is whole or not at all, and asks before it replaces.
func TestWrite(t *testing.T) {
	at := filepath.Join(t.TempDir(), "new", "folder", "out.toml")
	if err := errors.Join(Write(at, []byte("one"), false), Write(at, []byte("one"), false)); err != nil {
		t.Fatal(err)
	}
	if err := Write(at, []byte("two"), false); !errors.Is(err, ErrExists) {
		t.Errorf("over another: %v", err)
	}
	if err := Write(at, []byte("two"), true); err != nil {
		t.Error(err)
	}
	if text, err := os.ReadFile(at); err != nil || string(text) != "two" {
		t.Errorf("there is %q, %v", text, err)
	}
	if entries, err := os.ReadDir(filepath.Dir(at)); err != nil || len(entries) != 1 {
		t.Errorf("there are %v, %v", entries, err)
	}
}
