package shop

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"

	"bandwright/job"
)

// extensions of the files that may be put beside a job.
var extensions = []string{".csv", ".txt", ".tsv", ".dat"}

// beside gives the place of a file beside a job: plain names, at most one
// folder down, never a job itself.
func beside(id, name string) (string, error) { return besideOf(id, name, extensions) }

func besideOf(id, name string, extensions []string) (string, error) {
	folder, _, err := where(id)
	if err != nil {
		return "", err
	}
	parts := strings.Split(name, "/")
	if len(parts) > 2 {
		return "", fmt.Errorf("%.60q: %w", name, ErrName)
	}
	for _, part := range parts {
		if err := checkName(part); err != nil {
			return "", err
		}
	}
	if !slices.Contains(extensions, strings.ToLower(path.Ext(name))) || name == archiveFile {
		return "", fmt.Errorf("%.60q: %w", name, ErrName)
	}
	return path.Join(folder, name), nil
}

// Files gives the folder a job stands in, to read what it names.
func (f *Folder) Files(id string) (fs.FS, error) {
	folder, _, err := where(id)
	if err != nil {
		return nil, err
	}
	return fs.Sub(f.root.FS(), folder)
}

// Stamp tells a file beside a job from the same file once changed, without
// reading it.
func (f *Folder) Stamp(id, name string) string {
	folder, _, err := where(id)
	if err != nil {
		return ""
	}
	info, err := f.root.Stat(path.Join(folder, name))
	if err != nil {
		return ""
	}
	return strconv.FormatInt(info.Size(), 10) + " " + strconv.FormatInt(info.ModTime().UnixNano(), 10)
}

// File gives a file beside a job, or a package of its record.
func (f *Folder) File(id, name string) ([]byte, error) {
	at, err := besideOf(id, name, append(slices.Clone(extensions), ".zip"))
	if err != nil {
		return nil, err
	}
	return f.read(at, MostFileBytes)
}

// Recording opens a recording beside a job, of any length, to be read in parts
// and closed.
func (f *Folder) Recording(id, name string) (file *os.File, bytes int64, err error) {
	at, err := besideOf(id, name, recordingExtensions)
	if err != nil {
		return nil, 0, err
	}
	file, err = f.root.Open(at)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, fmt.Errorf("%s: %w", at, ErrNone)
	}
	if err != nil {
		return nil, 0, err
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s: %w", at, ErrNone)
	}
	if err != nil {
		return nil, 0, errors.Join(err, file.Close())
	}
	return file, info.Size(), nil
}

// SaveFile writes a file beside a job. based is the version it was made from,
// "" where there was no file; another is ErrChanged, and stays.
func (f *Folder) SaveFile(id, name string, data []byte, based string) error {
	at, err := beside(id, name)
	if err != nil {
		return err
	}
	if len(data) > MostFileBytes {
		return ErrTooBig
	}
	letGo, err := f.hold()
	if err != nil {
		return err
	}
	defer letGo()
	if _, err := f.Read(id); err != nil {
		return err // no job to stand beside
	}
	folder := path.Dir(at)
	sweepUp(f.disk, folder, path.Base(at))
	now, err := f.read(at, MostFileBytes)
	switch {
	case errors.Is(err, ErrNone):
		if based != "" {
			return ErrChanged
		}
	case err != nil:
		return err
	case bytes.Equal(now, data):
		return f.disk.syncFolder(folder) // it is there already, perhaps not for good
	case Version(now) != based:
		return ErrChanged
	}
	if folder != "." {
		if err := f.disk.makeFolder(folder); err != nil {
			return err
		}
	}
	if err := place(f.disk, at, data, based != ""); err != nil {
		return err
	}
	return f.disk.syncFolder(path.Dir(folder)) // it may hold a folder that is new
}

// Create keeps a new job in a folder named after its title, with the files
// that are given by their names, job.toml among them.
func (f *Folder) Create(title string, files map[string][]byte) (id string, err error) {
	letGo, err := f.hold()
	if err != nil {
		return "", err
	}
	defer letGo()
	sweepUp(f.disk, ".", "")
	temporary := fmt.Sprintf("%s%d.tmp", newFolder, os.Getpid())
	if err := f.fill(temporary, files); err != nil {
		return "", errors.Join(err, f.disk.removeAll(temporary))
	}
	for n := 1; ; n++ {
		if id = slug(title); n > 1 {
			id += "-" + strconv.Itoa(n)
		}
		if _, err := f.root.Lstat(id); err == nil {
			continue
		}
		if err := f.disk.rename(temporary, id); err != nil {
			return "", errors.Join(err, f.disk.removeAll(temporary))
		}
		return id, f.disk.syncFolder(".")
	}
}

// fill writes files into a new folder and brings them to the disk, with every
// folder that leads to them.
func (f *Folder) fill(folder string, files map[string][]byte) error {
	made := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		at := path.Join(folder, name)
		if err := f.disk.makeFolder(path.Dir(at)); err != nil {
			return err
		}
		if err := place(f.disk, at, files[name], false); err != nil {
			return err
		}
		for up := path.Dir(at); up != "."; up = path.Dir(up) {
			made[up] = true
		}
	}
	for _, one := range slices.Sorted(maps.Keys(made)) {
		if err := f.disk.syncFolder(one); err != nil {
			return err
		}
	}
	return nil
}

// What a copy of a job takes with it at most.
const (
	mostCopyFiles = 2000
	mostCopyBytes = 256 << 20
)

// Duplicate makes a copy of a job with all that stands in its folder but the
// recordings, which may be too long and are named in the curves by check-sum; of
// a job that is a file of its own, with the curves it names.
func (f *Folder) Duplicate(id string) (copied string, err error) {
	text, err := f.Read(id)
	if err != nil {
		return "", err
	}
	title := id
	var names []string
	opened, found := job.Decode(FileName(id), text)
	if found.Err() == nil {
		title = opened.Title
		for _, c := range opened.Curves {
			names = append(names, c.File)
		}
		names = append(names, "drawer.csv")
		marked, err := job.Change(FileName(id), text, []job.Edit{{Path: []string{"title"}, Value: title + " (copy)"}})
		if err == nil {
			text = marked
		}
	}
	folder, err := f.Files(id)
	if err != nil {
		return "", err
	}
	files, err := gather(folder, names, FileName(id) == jobFile)
	if err != nil {
		return "", err
	}
	files[jobFile] = text
	return f.Create(title, files)
}

// gather reads the files named, those that are there, or all of a folder.
func gather(folder fs.FS, names []string, all bool) (map[string][]byte, error) {
	if all {
		names = nil
		err := fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
			if err == nil && entry.Type().IsRegular() && !strings.HasPrefix(entry.Name(), ".") && !isRecording(name) {
				names = append(names, name)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	files, bytes := map[string][]byte{}, 0
	for _, name := range names {
		info, err := fs.Stat(folder, name)
		if errors.Is(err, fs.ErrNotExist) && !all {
			continue
		}
		if err != nil {
			return nil, err
		}
		if info.Size() > mostCopyBytes {
			return nil, ErrTooBig
		}
		data, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, err
		}
		files[name], bytes = data, bytes+len(data)
		if len(files) > mostCopyFiles || bytes > mostCopyBytes {
			return nil, ErrTooBig
		}
	}
	return files, nil
}

// archiveFile lists the ids of archived jobs, one a line. The jobs themselves
// stay where they are, so that nothing that names them breaks.
const archiveFile = "archived.txt"

func (f *Folder) archived() (map[string]bool, error) {
	text, err := f.read(archiveFile, MostFileBytes)
	if err != nil && !errors.Is(err, ErrNone) {
		return nil, err
	}
	ids := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		if id := strings.TrimSpace(line); id != "" {
			ids[id] = true
		}
	}
	return ids, nil
}

// Archive puts a job away, or takes it back out.
func (f *Folder) Archive(id string, away bool) error {
	letGo, err := f.hold()
	if err != nil {
		return err
	}
	defer letGo()
	if _, err := f.Read(id); err != nil {
		return err
	}
	sweepUp(f.disk, ".", archiveFile)
	ids, err := f.archived()
	if err != nil || ids[id] == away {
		return err
	}
	var list []string
	for other := range ids {
		if other != id {
			list = append(list, other)
		}
	}
	if away {
		list = append(list, id)
	}
	slices.Sort(list)
	return place(f.disk, archiveFile, []byte(strings.Join(append(list, ""), "\n")), true)
}
