package shop

import (
	"errors"
	"path"
	"strings"
)

// lockFile is held by whoever saves. The system lets go of it when a process
// ends, however it ends; the file itself stays, empty.
const lockFile = ".lock"

// hold keeps every other save out, of this process and of others that keep
// jobs in the folder, until letGo: from looking at what is there to replacing
// it. An editor does not ask; what it wrote is seen when it is looked at.
func (f *Folder) hold() (letGo func(), err error) {
	f.saving.Lock()
	unlock, err := f.others.Lock()
	if errors.Is(err, errors.ErrUnsupported) { // a file system without locks
		return f.saving.Unlock, nil
	}
	if err != nil {
		f.saving.Unlock()
		return nil, err
	}
	return func() {
		unlock()
		f.saving.Unlock()
	}, nil
}

// newFolder begins the name of a job's folder that is not filled yet.
const newFolder = ".new."

// sweepUp removes what saves of a file left that died; of "", what making jobs
// left. The lock is held, so that none of it is in use. What cannot be removed
// only takes room.
func sweepUp(d disk, folder, name string) {
	begins := "." + name + "."
	if name == "" {
		begins = newFolder
	}
	names, err := d.names(folder)
	if err != nil {
		return
	}
	for _, left := range names {
		if strings.HasPrefix(left, begins) && strings.HasSuffix(left, ".tmp") {
			_ = d.removeAll(path.Join(folder, left))
		}
	}
}
