package shop

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
)

// MostRecordingBytes is the longest recording that is put beside a job: more
// than half an hour of two channels at 96 kHz and 24 bits.
const MostRecordingBytes = 1 << 30

// recordingExtensions of the files that are opened as recordings.
var recordingExtensions = []string{".wav"}

func isRecording(name string) bool {
	return slices.Contains(recordingExtensions, strings.ToLower(path.Ext(name)))
}

// coming are the recordings that are being written by this process.
type coming struct {
	mu    sync.Mutex
	names map[string]bool
}

// begin tells whether nobody else is at the name.
func (c *coming) begin(name string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.names[name] {
		return false
	}
	if c.names == nil {
		c.names = map[string]bool{}
	}
	c.names[name] = true
	return true
}

func (c *coming) end(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.names, name)
}

// RecordingRow is a recording beside a job.
type RecordingRow struct {
	Name  string `json:"name"`
	Bytes int64  `json:"bytes"`
}

// Recordings gives the recordings that stand beside a job, by name.
func (f *Folder) Recordings(id string) ([]RecordingRow, error) {
	if _, err := f.Read(id); err != nil {
		return nil, err // no job that they could stand beside
	}
	folder, _, err := where(id)
	if err != nil {
		return nil, err
	}
	names, err := f.disk.names(folder)
	if err != nil {
		return nil, err
	}
	rows := []RecordingRow{}
	for _, name := range names {
		if at, err := besideOf(id, name, recordingExtensions); err == nil {
			// A link that leads out of the folder is none of its recordings.
			if info, err := f.root.Stat(at); err == nil && info.Mode().IsRegular() {
				rows = append(rows, RecordingRow{Name: name, Bytes: info.Size()})
			}
		}
	}
	slices.SortFunc(rows, func(a, b RecordingRow) int { return strings.Compare(a.Name, b.Name) })
	return rows, nil
}

// KeepRecording writes a recording beside a job as it comes, without holding it
// in memory: whole or not at all. One that is there already with other contents
// is ErrExists, for curves name recordings by their check-sums, and so is one
// that is just coming under the same name. An error of from's is given as it is.
func (f *Folder) KeepRecording(id, name string, from io.Reader) error {
	at, err := besideOf(id, name, recordingExtensions)
	if err != nil {
		return err
	}
	if !f.coming.begin(at) {
		return fmt.Errorf("%s: %w", at, ErrExists)
	}
	defer f.coming.end(at)
	if err := f.ready(id, at); err != nil {
		return err
	}
	sum := sha256.New()
	temporary, err := writeTemporary(f.disk, at, contents{fill: func(w io.Writer) error { return flow(io.MultiWriter(w, sum), from, MostRecordingBytes) }})
	if err != nil {
		return err
	}
	if err := f.nameRecording(id, temporary, at, sum); err != nil {
		return errors.Join(err, gone(f.disk.remove(temporary)))
	}
	return nil
}

// ready clears away what a dead save of the same recording left and makes its
// folder. The lock is not kept while the recording comes, which may take minutes.
func (f *Folder) ready(id, at string) error {
	letGo, err := f.hold()
	if err != nil {
		return err
	}
	defer letGo()
	if _, err := f.Read(id); err != nil {
		return err
	}
	folder := path.Dir(at)
	sweepUp(f.disk, folder, path.Base(at))
	if folder == "." {
		return nil
	}
	return f.disk.makeFolder(folder)
}

// flow copies at most so many bytes; more are ErrTooBig.
func flow(w io.Writer, from io.Reader, most int64) error {
	n, err := io.CopyBuffer(w, io.LimitReader(from, most+1), make([]byte, 1<<18))
	if err == nil && n > most {
		return ErrTooBig
	}
	return err
}

// nameRecording gives a recording that came whole its name, unless another took
// it meanwhile.
func (f *Folder) nameRecording(id, temporary, at string, sum hash.Hash) error {
	letGo, err := f.hold()
	if err != nil {
		return err
	}
	defer letGo()
	if _, err := f.Read(id); err != nil {
		return err // the job is gone meanwhile
	}
	there, err := f.sumOf(at)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := giveName(f.disk, temporary, at, contents{same: func([]byte) bool { return false }}, false); err != nil {
			return err
		}
	case err != nil:
		return err
	case there != string(sum.Sum(nil)):
		return fmt.Errorf("%s: %w", at, ErrExists)
	}
	if err := gone(f.disk.remove(temporary)); err != nil { // there still when it was linked, or when the same was there
		return err
	}
	folder := path.Dir(at)
	return errors.Join(f.disk.syncFolder(folder), f.disk.syncFolder(path.Dir(folder))) // it may hold a folder that is new
}

// sumOf gives the check-sum of a file, read in parts.
func (f *Folder) sumOf(at string) (string, error) {
	file, err := f.root.Open(at)
	if err != nil {
		return "", err
	}
	defer file.Close() // nothing was written to it
	sum := sha256.New()
	_, err = io.Copy(sum, file)
	return string(sum.Sum(nil)), err
}
