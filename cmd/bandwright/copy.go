package main

import (
	"os"
	"path/filepath"

	"bandwright/bench"
	"bandwright/job"
)

// copied is a copy of the job with what was found written into it, comments
// kept. What the copy names is looked for beside it before it is written.
func (j jobArg) copied(d door, to string, with *job.Job) (output, error) {
	text, err := readFile(j.Job)
	if err != nil {
		return output{}, err
	}
	if text, err = job.Update(text, with); err != nil {
		return output{}, err
	}
	_, found := bench.Open(d.ctx, filepath.Base(to), text, os.DirFS(filepath.Dir(to)))
	return output{to, text}, found.Err()
}
