package bench

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"bandwright/finding"
)

// IDFileGone (warning): a file that the job names cannot go into its record.
// Place: the file. reason.
const IDFileGone finding.ID = "bench.file-gone"

// File is one file of the job: its own text, or one that it names.
type File struct {
	Name string // from the job's folder down
	Text []byte
}

// mostFile is as long as a picture may be, and no recording is.
const mostFile = 16 << 20

// Files gives the job's own text and every file it names that is there, by
// name. What is not there is among the findings: a record without its photos
// is a record still.
func (c *Case) Files() ([]File, finding.List) {
	list := []File{{c.name, c.text}}
	var names []string
	for _, k := range c.job.Curves {
		names = append(names, k.File)
	}
	names = append(names, c.job.Found.Photos...)
	for _, p := range c.job.Record.Photos {
		names = append(names, p.File)
	}
	slices.Sort(names)
	var found finding.List
	for _, name := range slices.Compact(names) {
		text, err := c.readWhole(name)
		if err != nil {
			found = append(found, finding.New(IDFileGone, finding.Warning, finding.Place{File: name}, finding.Args{"reason": err.Error()}))
			continue
		}
		list = append(list, File{name, text})
	}
	slices.SortFunc(list, func(a, b File) int { return cmp.Compare(a.Name, b.Name) })
	return list, found
}

func (c *Case) readWhole(name string) ([]byte, error) {
	info, err := fs.Stat(c.files, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, errors.New("it is not there")
	case err != nil:
		return nil, errors.New("it cannot be read")
	case info.IsDir():
		return nil, errors.New("it is a folder")
	case info.Size() > mostFile:
		return nil, fmt.Errorf("it is %d bytes long, at most %d are taken", info.Size(), mostFile)
	}
	text, err := fs.ReadFile(c.files, name)
	if err != nil {
		return nil, errors.New("it cannot be read")
	}
	return text, nil
}
