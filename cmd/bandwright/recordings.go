package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/shop"
)

// openRecording opens a recording that a question names, of any length.
func openRecording(path string) (bench.RecordingFile, func(), error) {
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return bench.RecordingFile{}, nil, refusal(ask.IDFileMissing, finding.Args{"path": path})
	}
	if err != nil {
		return bench.RecordingFile{}, nil, unreadable(path, err)
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("it is no file")
	}
	if err != nil {
		_ = file.Close() // the other error is the one to tell
		return bench.RecordingFile{}, nil, unreadable(path, err)
	}
	end := func() { _ = file.Close() } // nothing was written to it
	return bench.RecordingFile{Name: filepath.Base(path), Source: file, Size: info.Size()}, end, nil
}

// saveLong writes a file too long to be held at once, with the manners of save.
func (d door) saveLong(path string, fill func(io.Writer) error, force bool, inputs ...string) error {
	for _, input := range inputs {
		if sameFile(path, input) {
			return refusal(IDFileIsInput, finding.Args{"path": path})
		}
	}
	if _, err := os.Stat(path); err == nil && !force {
		return refusal(IDFileExists, finding.Args{"path": path})
	}
	watched := func(w io.Writer) error { return fill(stoppable{d.ctx, w}) }
	switch err := shop.WriteLong(path, watched, force); {
	case d.ctx.Err() != nil:
		return d.ctx.Err()
	case errors.Is(err, shop.ErrExists):
		return refusal(IDFileExists, finding.Args{"path": path})
	case err != nil:
		return unwritable(path, err)
	}
	return nil
}

// stoppable is a stream that ends with its context.
type stoppable struct {
	ctx context.Context
	io.Writer
}

func (s stoppable) Write(b []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.Writer.Write(b)
}
