package shop

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
)

// disk is what a save does to a file system, one step a method, so that a
// test can end it at any of them.
type disk interface {
	create(name string, mode fs.FileMode) (file, error) // new, or fs.ErrExist
	link(from, to string) error
	rename(from, to string) error
	remove(name string) error
	read(name string) ([]byte, error)
	mode(name string) fs.FileMode // its permissions; of what is not there, those of any new file
	syncFolder(name string) error
	makeFolder(name string) error // with those above it
	removeAll(name string) error
	names(folder string) ([]string, error)
}

type file interface {
	io.Writer
	Sync() error
	Close() error
}

// rooted is a folder that no name leads out of.
type rooted struct{ *os.Root }

func (r rooted) create(name string, mode fs.FileMode) (file, error) {
	return r.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
}

func (r rooted) mode(name string) fs.FileMode {
	info, err := r.Stat(name)
	if err != nil {
		return 0o666
	}
	return info.Mode().Perm()
}

func (r rooted) names(folder string) ([]string, error) {
	entries, err := fs.ReadDir(r.FS(), folder)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names, err
}

func (r rooted) link(from, to string) error       { return r.Link(from, to) }
func (r rooted) rename(from, to string) error     { return r.Rename(from, to) }
func (r rooted) remove(name string) error         { return r.Remove(name) }
func (r rooted) read(name string) ([]byte, error) { return r.ReadFile(name) }
func (r rooted) makeFolder(name string) error     { return r.MkdirAll(name, 0o777) }
func (r rooted) removeAll(name string) error      { return r.RemoveAll(name) }

// syncFolder brings a folder's list of names to the disk, where the system
// can: the file itself is there without it.
func (r rooted) syncFolder(name string) error {
	if runtime.GOOS == "windows" {
		return nil // a folder cannot be brought to the disk there
	}
	handle, err := r.Open(name)
	if err != nil {
		return err
	}
	err = handle.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, os.ErrInvalid) {
		err = nil
	}
	return errors.Join(err, handle.Close())
}

// Write writes a file whole or not at all: a reader sees the old file or the
// new one, never half of either. The folder is made when it is not there.
// Without replace, a file with other contents is ErrExists.
func Write(name string, data []byte, replace bool) error {
	return write(name, whole(data), replace)
}

// WriteLong is Write for a file too long to be held at once: fill writes it, and
// an error of its own leaves no file. Without replace, any file that is there
// is ErrExists.
func WriteLong(name string, fill func(io.Writer) error, replace bool) error {
	buffered := func(w io.Writer) error {
		b := bufio.NewWriterSize(w, 1<<20)
		if err := fill(b); err != nil {
			return err
		}
		return b.Flush()
	}
	return write(name, contents{buffered, func([]byte) bool { return false }}, replace)
}

// contents are what a file is to hold.
type contents struct {
	fill func(io.Writer) error
	same func(there []byte) bool // as what is there
}

// whole are contents that are held at once.
func whole(data []byte) contents {
	fill := func(w io.Writer) error {
		n, err := w.Write(data)
		if err == nil && n < len(data) {
			err = io.ErrShortWrite
		}
		return err
	}
	return contents{fill, func(there []byte) bool { return bytes.Equal(there, data) }}
}

func write(name string, c contents, replace bool) error {
	folder := filepath.Dir(name)
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return err
	}
	return errors.Join(put(rooted{root}, filepath.Base(name), c, replace), root.Close())
}

// place puts data at its name.
func place(d disk, name string, data []byte, replace bool) error {
	return put(d, name, whole(data), replace)
}

// put writes a temporary file in the same folder, brings it to the disk, and
// gives it its name. A file keeps the permissions it has.
func put(d disk, name string, c contents, replace bool) error {
	temporary, err := writeTemporary(d, name, c)
	if err != nil {
		return err
	}
	if err := giveName(d, temporary, name, c, replace); err != nil {
		return errors.Join(err, gone(d.remove(temporary)))
	}
	if err := gone(d.remove(temporary)); err != nil { // there still when it was linked
		return err
	}
	return d.syncFolder(path.Dir(name))
}

// gone lets a file be that is not there to be removed.
func gone(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// writeTemporary writes the contents to a new file beside the target.
func writeTemporary(d disk, target string, c contents) (name string, err error) {
	var f file
	for try := 0; ; try++ {
		name = path.Join(path.Dir(target), fmt.Sprintf(".%s.%d.%d.tmp", path.Base(target), os.Getpid(), try))
		f, err = d.create(name, d.mode(target))
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) || try > 100 {
			return "", err
		}
	}
	if err = c.fill(f); err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return "", errors.Join(err, gone(d.remove(name)))
	}
	return name, nil
}

// giveName names the temporary file. Without replace it is linked, which
// fails when another has taken the name since it was looked at; where the
// file system has no links the name is looked at once more.
func giveName(d disk, temporary, name string, c contents, replace bool) error {
	if !replace {
		if err := d.link(temporary, name); err == nil {
			return nil
		}
		if there, err := d.read(name); err == nil {
			if c.same(there) {
				return nil
			}
			return ErrExists
		}
	}
	return d.rename(temporary, name)
}
