package main

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"
)

// endAt ends a context as Ctrl-C does, at the first word of progress.
type endAt struct {
	bytes.Buffer
	stop context.CancelFunc
}

func (w *endAt) Write(p []byte) (int, error) {
	w.stop()
	return w.Buffer.Write(p)
}

// Stopped while builds are made, spread ends with 130; stopped before any, it
// prints no answer.
func TestSpreadStopped(t *testing.T) {
	folder := t.TempDir()
	if err := unpack(folder); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	var out bytes.Buffer
	errors := &endAt{stop: stop}
	d := door{ctx: ctx, out: &out, err: errors, watched: true}
	args := []string{"spread", filepath.Join(folder, "job.toml"), "--count", "400000"}
	if code := run(d, args); code != exitStopped {
		t.Fatalf("ends with %d\n%s", code, errors)
	}
	if !strings.Contains(out.String(), "builds, seed 1") || strings.HasPrefix(out.String(), "400000") || !strings.Contains(errors.String(), "Stopped after") {
		t.Errorf("%.200s\n%s", out.String(), errors)
	}
	out.Reset()
	if code := run(d, args); code != exitStopped || out.Len() > 0 {
		t.Errorf("stopped before: ends with %d\n%s", code, out.String())
	}
}
