// Package bench is the only place where a job meets the engines. Open gives
// a Case; every question is a method of it, one file a question; page,
// command and paper ask the same methods and so give the same answers.
//
// A Case is never changed once opened and has many readers. It computes
// nothing itself: formulas live on the floors below. Every method gives its
// answer, the findings that travel with it, and an error when there is no
// answer: a finding.List, or the context's own.
package bench

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"sync"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
)

// Case is a job with its circuit built, ready to be asked.
type Case struct {
	job       *job.Job
	name      string
	sha256    string
	equaliser *equaliser.Equaliser
	files     fs.FS
	curves    []taken // the job's curves, read

	mu     sync.Mutex // guards states, which only remember
	states map[string]*circuit.State
}

// Open decodes a job, builds its circuit, proves it at every switch setting
// and reads its curves. name is the file's, for findings; files is the folder
// it stands in. An Error among the findings means that there is no Case.
func Open(ctx context.Context, name string, text []byte, files fs.FS) (*Case, finding.List) {
	j, found := job.Decode(name, text)
	if j == nil || found.Err() != nil {
		return nil, found
	}
	spec, wrong := specOf(j)
	found = append(found, inFile(wrong, name)...)
	if found.Err() != nil {
		return nil, found
	}
	built, err := equaliser.Build(spec)
	if err != nil {
		return nil, append(found, findingsOf(err)...)
	}
	sum := sha256.Sum256(text)
	c := &Case{
		job: j, name: name, sha256: hex.EncodeToString(sum[:]), equaliser: built,
		files: files, states: map[string]*circuit.State{},
	}
	found = append(found, c.prove(ctx)...)
	if found.Err() != nil {
		return nil, found
	}
	c.curves, wrong = c.readCurves()
	found = append(found, wrong...)
	if found.Err() != nil {
		return nil, found
	}
	return c, found
}

// prove solves the circuit once at each position of each switch: what does
// not hang together shows here and not at the first question.
func (c *Case) prove(ctx context.Context) finding.List {
	var found finding.List
	settings := []curve.Setting{{}}
	for _, s := range c.equaliser.Circuit().Switches() {
		for _, position := range s.Positions[1:] {
			settings = append(settings, curve.Setting{}.WithSwitch(s.Name, position))
		}
	}
	for _, s := range settings {
		st, err := c.solve(ctx, s)
		if err != nil {
			found = append(found, findingsOf(err)...)
			continue
		}
		found = append(found, st.Findings()...)
	}
	return found
}

// findingsOf gives what an error says, which inside this room is always a
// finding or the context's end.
func findingsOf(err error) finding.List {
	if list, ok := finding.From(err); ok {
		return list
	}
	return finding.List{finding.New(IDStopped, finding.Error, finding.Place{}, finding.Args{"why": err.Error()})}
}

// IDStopped: the work was stopped before there was an answer. why.
const IDStopped finding.ID = "bench.stopped"

// inFile adds the job's file name to the places that have a line.
func inFile(list finding.List, name string) finding.List {
	for i := range list {
		if list[i].Place.Line > 0 && list[i].Place.File == "" {
			list[i].Place.File = name
		}
	}
	return list
}

// Job gives the job as it was read; do not change it.
func (c *Case) Job() *job.Job { return c.job }

// Name gives the job file's name.
func (c *Case) Name() string { return c.name }

// Settings lists the settings that show the equaliser whole.
func (c *Case) Settings() []equaliser.Named { return c.equaliser.Family() }

// solve gives the circuit's state at a setting, solved when first asked.
func (c *Case) solve(ctx context.Context, s curve.Setting) (*circuit.State, error) {
	key := s.String()
	c.mu.Lock()
	st, ok := c.states[key]
	c.mu.Unlock()
	if ok {
		return st, nil
	}
	st, err := c.equaliser.Solve(ctx, s)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.states) >= mostStates {
		clear(c.states)
	}
	c.states[key] = st
	return st, nil
}

// mostStates bounds what a Case remembers: dragging a slider passes through
// any number of settings.
const mostStates = 256

// setting reads a setting as the person writes it; "" is flat.
func (c *Case) setting(text string) (curve.Setting, error) {
	if text == "" {
		return curve.Setting{}, nil
	}
	return c.equaliser.ParseSetting(text)
}
