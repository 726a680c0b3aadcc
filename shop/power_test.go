package shop

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"path"
	"slices"
	"strings"
	"testing"

	"bandwright/trials"
)

// drive is a disk in memory that forgets, when the power goes, what was not
// brought to it. What it promises is the least that systems do (POSIX fsync):
// a synced file holds what was written, a synced folder the names it had; of
// what was not synced, a folder has kept some first of its changes, in order,
// and a file some first of its bytes.
type drive struct{ root *node }

type node struct {
	folder  bool
	data    []byte // now
	safe    []byte // synced
	synced  bool
	names   map[string]*node // now
	saved   map[string]*node // synced
	changes []change         // since
}

// change is one of a folder's names; a rename within it is one change.
type change struct {
	gone, name string // either may be ""
	to         *node
}

func newNode(folder bool) *node {
	return &node{folder: folder, names: map[string]*node{}, saved: map[string]*node{}}
}

func newDrive() *drive { return &drive{root: newNode(true)} }

func (d *drive) at(name string) *node {
	n := d.root
	for _, part := range strings.Split(path.Clean(name), "/") {
		if part != "." && n != nil {
			n = n.names[part]
		}
	}
	return n
}

func (n *node) apply(c change) {
	n.names = changed(n.names, c)
	n.changes = append(n.changes, c)
}

func changed(names map[string]*node, c change) map[string]*node {
	names = maps.Clone(names)
	delete(names, c.gone)
	if c.name != "" {
		names[c.name] = c.to
	}
	return names
}

func (d *drive) create(name string, _ fs.FileMode) (file, error) {
	if d.at(name) != nil {
		return nil, fs.ErrExist
	}
	n := newNode(false)
	d.at(path.Dir(name)).apply(change{name: path.Base(name), to: n})
	return open{n}, nil
}

type open struct{ *node }

func (o open) Write(text []byte) (int, error) {
	o.data = append(o.data, text...)
	return len(text), nil
}

func (o open) Sync() error {
	o.safe, o.synced = slices.Clone(o.data), true
	return nil
}

func (o open) Close() error { return nil }

func (d *drive) link(from, to string) error {
	if d.at(to) != nil {
		return fs.ErrExist
	}
	d.at(path.Dir(to)).apply(change{name: path.Base(to), to: d.at(from)})
	return nil
}

func (d *drive) rename(from, to string) error {
	if path.Dir(from) != path.Dir(to) {
		panic("shop: nothing is moved to another folder")
	}
	d.at(path.Dir(to)).apply(change{gone: path.Base(from), name: path.Base(to), to: d.at(from)})
	return nil
}

func (d *drive) remove(name string) error {
	if d.at(name) == nil {
		return fs.ErrNotExist
	}
	d.at(path.Dir(name)).apply(change{gone: path.Base(name)})
	return nil
}

func (d *drive) removeAll(name string) error {
	if d.at(name) == nil {
		return nil
	}
	return d.remove(name)
}

func (d *drive) read(name string) ([]byte, error) {
	if n := d.at(name); n != nil {
		return n.data, nil
	}
	return nil, fs.ErrNotExist
}

func (d *drive) mode(string) fs.FileMode { return 0o666 }

func (d *drive) syncFolder(name string) error {
	n := d.at(name)
	n.saved, n.changes = maps.Clone(n.names), nil
	return nil
}

func (d *drive) makeFolder(name string) error {
	at := "."
	for _, part := range strings.Split(path.Clean(name), "/") {
		if d.at(path.Join(at, part)) == nil {
			d.at(at).apply(change{name: part, to: newNode(true)})
		}
		at = path.Join(at, part)
	}
	return nil
}

func (d *drive) names(folder string) ([]string, error) {
	return slices.Sorted(maps.Keys(d.at(folder).names)), nil
}

// cut gives the files that a person sees once the power is back.
func (d *drive) cut(rng *rand.Rand) map[string]string {
	files := map[string]string{}
	d.root.cut(rng, "", files)
	return files
}

func (n *node) cut(rng *rand.Rand, at string, files map[string]string) {
	if !n.folder {
		text := n.data[:rng.IntN(len(n.data)+1)]
		if n.synced {
			text = n.safe
		}
		files[at] = string(text)
		return
	}
	names := n.saved
	for _, c := range n.changes[:rng.IntN(len(n.changes)+1)] {
		names = changed(names, c)
	}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		if !strings.HasPrefix(name, ".") {
			names[name].cut(rng, path.Join(at, name), files)
		}
	}
}

// TestPowerCut: the power goes at every step of a save, and after it. What was
// told to be kept is there, and never is there half a file or half a job.
func TestPowerCut(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261130), 2))
	off := errors.New("the power is off")
	empty := t.TempDir() // Create looks there for names that are taken
	for _, c := range []struct {
		name string
		do   func(disk) error
	}{
		{"over a file", func(d disk) error { return place(d, "a/job.toml", numbered(2), true) }},
		{"a new file", func(d disk) error { return place(d, "a/curve.csv", numbered(3), false) }},
		{"a new job", func(d disk) error {
			f := opened(t, empty)
			f.disk = d
			_, err := f.Create("made", map[string][]byte{jobFile: numbered(4), "curves/deep/c.csv": numbered(5), "x.csv": numbered(6)})
			return err
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			begin := func() *drive {
				d := newDrive()
				err := errors.Join(d.makeFolder("a"), place(d, "a/job.toml", numbered(1), false), d.syncFolder("."))
				if err != nil {
					t.Fatal(err)
				}
				return d
			}
			before := begin().cut(rng)
			whole := begin()
			if err := c.do(whole); err != nil {
				t.Fatal(err)
			}
			after := whole.cut(rng)
			if len(before) != 1 || fmt.Sprint(before) == fmt.Sprint(after) {
				t.Fatalf("before %d files, after %d: the test sees nothing", len(before), len(after))
			}
			for at, kept := 0, false; !kept; at++ {
				for range trials.Count(20) {
					d := begin()
					broken := &trouble{disk: d, at: at, err: off}
					err := c.do(broken)
					kept = broken.steps <= at
					if kept != (err == nil) {
						t.Fatalf("step %d: %v", at, err)
					}
					files := d.cut(rng)
					if !maps.Equal(files, after) && (kept || !maps.Equal(files, before)) {
						t.Errorf("cut at step %d, told to be kept: %v; there is %.300q", at, kept, fmt.Sprint(files))
					}
				}
			}
		})
	}
}
