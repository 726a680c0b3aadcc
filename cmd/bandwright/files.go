package main

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/shop"
)

// programName is what a version stands behind, on paper and in packages.
const programName = "bandwright "

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
		File: readNamed, Program: programName + version, Workers: runtime.GOMAXPROCS(0)}
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
		return nil, refusal(ask.IDFileMissing, finding.Args{"path": path})
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
	return refusal(IDFileUnreadable, finding.Args{"path": path, "reason": shop.Reason(err)})
}

func unwritable(path string, err error) error {
	return refusal(IDFileUnwritable, finding.Args{"path": path, "reason": shop.Reason(err)})
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

// save writes the file whole or not at all.
func (o output) save(force bool) error {
	switch err := shop.Write(o.path, o.data, force); {
	case errors.Is(err, shop.ErrExists):
		return refusal(IDFileExists, finding.Args{"path": o.path})
	case err != nil:
		return unwritable(o.path, err)
	}
	return nil
}
