package shop

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"

	"bandwright/job"
)

// Folder is the folder that jobs are kept in. Many may use it at a time.
type Folder struct {
	root   *os.Root
	disk   disk
	saving sync.Mutex // see hold
	others *lockedfile.Mutex
	coming coming
}

// Open opens the folder, and makes it when it is not there.
func Open(name string) (*Folder, error) {
	if err := os.MkdirAll(name, 0o777); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(name)
	if err != nil {
		return nil, err
	}
	whole, err := filepath.Abs(name) // the process may go elsewhere
	if err != nil {
		return nil, errors.Join(err, root.Close())
	}
	return &Folder{root: root, disk: rooted{root}, others: lockedfile.MutexAt(filepath.Join(whole, lockFile))}, nil
}

// Close lets go of the folder.
func (f *Folder) Close() error { return f.root.Close() }

// where gives the folder and the file of a job.
func where(id string) (folder, file string, err error) {
	if err := checkName(id); err != nil {
		return "", "", err
	}
	if strings.HasSuffix(id, ".toml") {
		return ".", id, nil
	}
	return id, jobFile, nil
}

// FileName gives the name of the job's own file, without its folder.
func FileName(id string) string {
	_, name, _ := where(id)
	return name
}

// Read gives a job's text.
func (f *Folder) Read(id string) ([]byte, error) {
	folder, name, err := where(id)
	if err != nil {
		return nil, err
	}
	return f.read(path.Join(folder, name), job.MaxBytes)
}

// read gives a whole file of at most so many bytes.
func (f *Folder) read(name string, most int64) ([]byte, error) {
	file, err := f.root.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", name, ErrNone)
	}
	if err != nil {
		return nil, err
	}
	defer file.Close() // nothing was written to it
	info, err := file.Stat()
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: %w", name, ErrNone)
	}
	text, err := io.ReadAll(io.LimitReader(file, most+1))
	if err == nil && int64(len(text)) > most {
		err = fmt.Errorf("%s: %w", name, ErrTooBig)
	}
	return text, err
}

// Save replaces a job's text that has the version based; another is
// ErrChanged, and stays.
func (f *Folder) Save(id string, text []byte, based string) error {
	if len(text) > job.MaxBytes {
		return ErrTooBig
	}
	folder, name, err := where(id)
	if err != nil {
		return err
	}
	letGo, err := f.hold()
	if err != nil {
		return err
	}
	defer letGo()
	sweepUp(f.disk, folder, name)
	now, err := f.Read(id)
	if err != nil {
		return err
	}
	switch version := Version(now); {
	case version == Version(text):
		return f.disk.syncFolder(folder) // it is there already, perhaps not for good
	case version != based:
		return ErrChanged
	}
	return place(f.disk, path.Join(folder, name), text, true)
}

// Row is a job in the list.
type Row struct {
	ID       string    `json:"id"`
	Title    string    `json:"title"`
	Amp      string    `json:"amp"`
	Invented bool      `json:"invented"`
	Archived bool      `json:"archived"`
	Changed  time.Time `json:"changed"`
	Bands    int       `json:"bands"`
	Problem  string    `json:"problem,omitempty"` // why it does not open
}

// List gives every job, by id.
func (f *Folder) List() ([]Row, error) {
	entries, err := fs.ReadDir(f.root.FS(), ".")
	if err != nil {
		return nil, err
	}
	archived, err := f.archived()
	if err != nil {
		return nil, err
	}
	rows := []Row{}
	for _, entry := range entries {
		id := entry.Name()
		if folder, _, err := where(id); err != nil || (folder == ".") == entry.IsDir() {
			continue
		}
		if row, ok := f.row(id); ok {
			row.Archived = archived[id]
			rows = append(rows, row)
		}
	}
	return rows, nil
}

// row reads what the list says of a job; false: it is none.
func (f *Folder) row(id string) (Row, bool) {
	folder, name, err := where(id)
	if err != nil {
		return Row{}, false
	}
	info, err := f.root.Stat(path.Join(folder, name))
	if err != nil || !info.Mode().IsRegular() {
		return Row{}, false
	}
	row := Row{ID: id, Title: id, Changed: info.ModTime().UTC()}
	text, err := f.Read(id)
	if err != nil {
		row.Problem = err.Error()
		return row, true
	}
	opened, found := job.Decode(name, text)
	if err := found.Err(); err != nil {
		row.Problem = err.Error()
		return row, true
	}
	row.Title, row.Amp, row.Invented, row.Bands = opened.Title, opened.Amp, opened.Invented, len(opened.Bands)
	return row, true
}
