package shop

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// trouble is a disk on which one step goes wrong: the process ends there, and
// nothing more is done; or that step alone cannot be done.
type trouble struct {
	disk
	at    int // the step, from 0
	once  bool
	err   error
	steps int    // taken so far
	kind  string // of the first that went wrong
}

// step counts one, and tells whether it is the one, or one after the end.
func (d *trouble) step(kind string) error {
	d.steps++
	if !d.wrong() {
		return nil
	}
	if d.kind == "" {
		d.kind = kind
	}
	return d.err
}

// wrong tells whether the step counted last goes wrong.
func (d *trouble) wrong() bool { return d.steps-1 == d.at || d.steps-1 > d.at && !d.once }

func (d *trouble) create(name string, mode fs.FileMode) (file, error) {
	if err := d.step("create"); err != nil {
		return nil, err
	}
	f, err := d.disk.create(name, mode)
	return troubled{f, d}, err
}

func (d *trouble) link(from, to string) error {
	return errors.Join(d.step("link"), d.unless(func() error { return d.disk.link(from, to) }))
}
func (d *trouble) rename(from, to string) error {
	return errors.Join(d.step("rename"), d.unless(func() error { return d.disk.rename(from, to) }))
}
func (d *trouble) remove(name string) error {
	return errors.Join(d.step("remove"), d.unless(func() error { return d.disk.remove(name) }))
}
func (d *trouble) syncFolder(name string) error {
	return errors.Join(d.step("syncFolder"), d.unless(func() error { return d.disk.syncFolder(name) }))
}
func (d *trouble) makeFolder(name string) error {
	return errors.Join(d.step("makeFolder"), d.unless(func() error { return d.disk.makeFolder(name) }))
}
func (d *trouble) removeAll(name string) error {
	return errors.Join(d.step("removeAll"), d.unless(func() error { return d.disk.removeAll(name) }))
}

// unless does a step that was just counted, unless it goes wrong.
func (d *trouble) unless(do func() error) error {
	if d.wrong() {
		return nil
	}
	return do()
}

// troubled is a file on such a disk; what is written there at that step is
// written by half.
type troubled struct {
	file
	on *trouble
}

func (f troubled) Write(text []byte) (int, error) {
	if err := f.on.step("write"); err != nil {
		if f.on.steps-1 > f.on.at {
			return 0, err
		}
		n, _ := f.file.Write(text[:len(text)/2])
		return n, err
	}
	return f.file.Write(text)
}

func (f troubled) Sync() error {
	return errors.Join(f.on.step("sync"), f.on.unless(f.file.Sync))
}

func (f troubled) Close() error { // an ending process closes too
	return errors.Join(f.on.step("close"), f.file.Close())
}

// deed is something that is kept.
type deed struct {
	name string
	do   func(*Folder) error
}

const firstText, nextText = "title = \"first\"\n", "title = \"next\"\n# with more in it\n"

func deeds() []deed {
	curve := []byte("20,1\n30,2\n40,3\n")
	return []deed{
		{"save a job", func(f *Folder) error { return f.Save("a", []byte(nextText), Version([]byte(firstText))) }},
		{"save a job that is one file", func(f *Folder) error { return f.Save("b.toml", []byte(nextText), Version([]byte(firstText))) }},
		{"save a new file", func(f *Folder) error { return f.SaveFile("a", "new.csv", curve, "") }},
		{"save a new file in a new folder", func(f *Folder) error { return f.SaveFile("a", "curves/new.csv", curve, "") }},
		{"save over a file", func(f *Folder) error { return f.SaveFile("a", "old.csv", curve, Version([]byte("20,0\n"))) }},
		{"keep a recording", func(f *Folder) error { return f.KeepRecording("a", "take.wav", bytes.NewReader(curve)) }},
		{"keep a recording in a new folder", func(f *Folder) error { return f.KeepRecording("a", "takes/take.WAV", bytes.NewReader(curve)) }},
		{"keep a recording that is there", func(f *Folder) error { return f.KeepRecording("a", "same.wav", strings.NewReader("RIFF")) }},
		{"make a job", func(f *Folder) error {
			_, err := f.Create("Made", map[string][]byte{jobFile: []byte(nextText), "curves/x.csv": curve, "drawer.csv": curve})
			return err
		}},
		{"copy a job", func(f *Folder) error { _, err := f.Duplicate("a"); return err }},
		{"put a job away", func(f *Folder) error { return f.Archive("a", true) }},
		{"take a job back", func(f *Folder) error { return f.Archive("gone", false) }},
	}
}

// begun makes a folder with jobs and files in it.
func begun(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"a/job.toml": firstText, "a/old.csv": "20,0\n", "a/same.wav": "RIFF", "b.toml": firstText,
		"gone/job.toml": firstText, archiveFile: "gone\n"} {
		at := filepath.Join(folder, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o777), os.WriteFile(at, []byte(text), 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

func opened(t *testing.T, folder string) *Folder {
	t.Helper()
	f, err := Open(folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() }) // some tests close it themselves
	return f
}

// seen gives the files that a person sees, and the names of those hidden.
func seen(t *testing.T, folder string) (files map[string]string, hidden []string) {
	t.Helper()
	files = map[string]string{}
	err := fs.WalkDir(os.DirFS(folder), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if strings.HasPrefix(entry.Name(), ".") && name != "." {
			if name != lockFile {
				hidden = append(hidden, name)
			}
			if entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if entry.IsDir() {
			return nil
		}
		data, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
		files[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files, hidden
}

// done does a deed on a good disk, and gives what is seen after it.
func (d deed) done(t *testing.T) map[string]string {
	t.Helper()
	folder := begun(t)
	if err := d.do(opened(t, folder)); err != nil {
		t.Fatal(err)
	}
	files, hidden := seen(t, folder)
	if len(hidden) > 0 {
		t.Errorf("%v are left", hidden)
	}
	return files
}

// A process that ends at any step of a save leaves what was there, or all that
// is new; and what it left behind is cleared away by the next save.
func TestEndAtEveryStep(t *testing.T) {
	for _, d := range deeds() {
		t.Run(d.name, func(t *testing.T) {
			before, _ := seen(t, begun(t))
			after := d.done(t)
			end := errors.New("the process ended")
			for at := 0; ; at++ {
				folder := begun(t)
				f := opened(t, folder)
				broken := &trouble{disk: f.disk, at: at, err: end}
				f.disk = broken
				err := d.do(f)
				if broken.steps <= at {
					if err != nil || at < 5 {
						t.Errorf("all %d steps done, and %v", at, err)
					}
					return
				}
				if !errors.Is(err, end) {
					t.Errorf("step %d is not done, and nobody is told: %v", at, err)
				}
				files, _ := seen(t, folder)
				if !maps.Equal(files, before) && !maps.Equal(files, after) {
					t.Errorf("ended at step %d, there is %v", at, files)
				}
				again(t, d, folder, after, fmt.Sprintf("after an end at step %d", at))
			}
		})
	}
}

// again does a deed once more, on a good disk: it is done, and nothing is left
// lying about. A job that was made already is made under the next name.
func again(t *testing.T, d deed, folder string, after map[string]string, when string) {
	t.Helper()
	f := opened(t, folder)
	if err := d.do(f); err != nil {
		t.Errorf("%s, done again: %v", when, err)
	}
	files, hidden := seen(t, folder)
	for name, text := range after {
		if files[name] != text {
			t.Errorf("%s, done again: %s is %q", when, name, files[name])
		}
	}
	if len(hidden) > 0 {
		t.Errorf("%s, done again: %v are left", when, hidden)
	}
}

// A step that cannot be done, for a full disk, a folder that may not be
// written to or a failing one, is an error that keeps what was there, and
// leaves nothing lying about.
func TestEveryStepRefused(t *testing.T) {
	for _, refused := range []error{syscall.ENOSPC, syscall.EACCES} {
		for _, d := range deeds() {
			t.Run(refused.Error()+"/"+d.name, func(t *testing.T) {
				before, _ := seen(t, begun(t))
				after := d.done(t)
				for at := 0; ; at++ {
					folder := begun(t)
					f := opened(t, folder)
					broken := &trouble{disk: f.disk, at: at, once: true, err: refused}
					f.disk = broken
					err := d.do(f)
					if broken.steps <= at {
						return
					}
					files, hidden := seen(t, folder)
					switch {
					case err == nil && !maps.Equal(files, after): // another way was found
						t.Errorf("step %d is refused, nobody is told, and there is %v", at, files)
					case err != nil && !errors.Is(err, refused):
						t.Errorf("step %d is refused with %v", at, err)
					case !maps.Equal(files, before) && !maps.Equal(files, after):
						t.Errorf("step %d is refused, and there is %v", at, files)
					case len(hidden) > 0 && (err == nil || broken.kind != "remove"):
						t.Errorf("step %d is refused, and %v are left", at, hidden)
					}
					if err != nil && Reason(err) == "" {
						t.Errorf("step %d is refused without a word", at)
					}
					again(t, d, folder, after, fmt.Sprintf("after step %d was refused", at))
				}
			})
		}
	}
}
