package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
)

// mostBytes is larger than any job file a person writes, and small enough to
// read at once.
const mostBytes = 16 << 20

// jobArg is the argument and the flag of every verb that reads a job.
type jobArg struct {
	form
	Job string `arg:"" help:"The job file." placeholder:"JOB"`
}

// open reads the job and builds its circuit. The case's own findings come
// with it; an error among them means that there is no case.
func (j jobArg) open(d door) (*bench.Case, finding.List, error) {
	text, err := readFile(j.Job)
	if err != nil {
		return nil, nil, err
	}
	opened, found := bench.Open(d.ctx, filepath.Base(j.Job), text, os.DirFS(filepath.Dir(j.Job)))
	if err := d.ctx.Err(); err != nil {
		return nil, nil, err
	}
	return opened, found, found.Err()
}

// from is what questions are asked of: this job, and files by their paths.
func (j jobArg) from(d door) ask.From {
	return ask.From{Open: func(context.Context) (*bench.Case, finding.List, error) { return j.open(d) },
		File: readNamed, Workers: runtime.GOMAXPROCS(0)}
}

// readNamed reads a whole file that a question names.
func readNamed(path string) (name string, text []byte, err error) {
	text, err = readFile(path)
	return filepath.Base(path), text, err
}

// readFile reads a whole file, or says why not.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, refusal(IDFileMissing, finding.Args{"path": path})
	case err != nil:
		return nil, unreadable(path, err)
	case info.IsDir():
		return nil, unreadable(path, errors.New("it is a folder"))
	case info.Size() > mostBytes:
		return nil, refusal(IDFileTooLarge, finding.Args{"path": path, "bytes": info.Size(), "most": int64(mostBytes)})
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	return text, nil
}

func unreadable(path string, err error) error {
	return refusal(IDFileUnreadable, finding.Args{"path": path, "reason": reason(err)})
}

func unwritable(path string, err error) error {
	return refusal(IDFileUnwritable, finding.Args{"path": path, "reason": reason(err)})
}

// reason is the system's own word for what went wrong, without the path,
// which the finding names already.
func reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err.Error()
	}
	return err.Error()
}

// output is one file to be written.
type output struct {
	path string
	data []byte
}

// save writes files whole or not at all, each on its own: a reader sees the
// old file or the new one, never half of either. All targets are looked at
// before the first is written. A file that exists is replaced only with
// force, unless it holds the same bytes already; an input never. Once stopped,
// nothing more is written.
func (d door) save(outputs []output, force bool, inputs ...string) error {
	for _, o := range outputs {
		for _, input := range inputs {
			if sameFile(o.path, input) {
				return refusal(IDFileIsInput, finding.Args{"path": o.path})
			}
		}
		if there, err := os.ReadFile(o.path); err == nil && !force && !bytes.Equal(there, o.data) {
			return refusal(IDFileExists, finding.Args{"path": o.path})
		}
	}
	for _, o := range outputs {
		if err := d.ctx.Err(); err != nil {
			return err
		}
		if err := o.save(force); err != nil {
			return err
		}
	}
	return nil
}

func sameFile(a, b string) bool {
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}

// save writes a temporary file in the same folder, brings it to the disk, and
// gives it its name.
func (o output) save(force bool) error {
	folder := filepath.Dir(o.path)
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return unwritable(folder, err)
	}
	temporary, err := o.temporary(folder)
	if err != nil {
		return unwritable(o.path, err)
	}
	defer func() { _ = os.Remove(temporary) }() // gone already when renamed
	if err := o.place(temporary, force); err != nil {
		return err
	}
	if runtime.GOOS == "windows" {
		return nil // a folder cannot be brought to the disk there
	}
	handle, err := os.Open(folder)
	if err != nil {
		return unwritable(folder, err)
	}
	return errors.Join(ignoreUnsupported(handle.Sync()), handle.Close())
}

// ignoreUnsupported lets file systems be that cannot bring a folder to the
// disk; the file itself is there.
func ignoreUnsupported(err error) error {
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, os.ErrInvalid) {
		return nil
	}
	return err
}

// temporary writes the data to a new file beside the target. It is made with
// the permissions any new file gets.
func (o output) temporary(folder string) (name string, err error) {
	var file *os.File
	for try := 0; ; try++ {
		name = filepath.Join(folder, fmt.Sprintf(".%s.%d.%d.tmp", filepath.Base(o.path), os.Getpid(), try))
		file, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) || try > 100 {
			return "", err
		}
	}
	_, err = file.Write(o.data)
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		_ = os.Remove(name)
		return "", err
	}
	return name, nil
}

// place gives the temporary file its name. Without force it is linked, which
// fails when another has taken the name since it was looked at; where the
// file system has no links the name is looked at once more.
func (o output) place(temporary string, force bool) error {
	if !force {
		err := os.Link(temporary, o.path)
		if err == nil {
			return nil
		}
		if there, readErr := os.ReadFile(o.path); readErr == nil {
			if bytes.Equal(there, o.data) {
				return nil
			}
			return refusal(IDFileExists, finding.Args{"path": o.path})
		}
	}
	if err := os.Rename(temporary, o.path); err != nil {
		return unwritable(o.path, err)
	}
	return nil
}
