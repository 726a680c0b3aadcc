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
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"slices"
	"sync"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/wiring"
)

// Case is a job with its circuit built, ready to be asked.
type Case struct {
	job       *job.Job
	name      string
	sha256    string
	text      []byte // of the job
	equaliser *equaliser.Equaliser
	asMade    bool // the circuit has only what is made of its harness so far
	files     fs.FS
	curves    []taken // the job's curves, read
	less      []taken // those with another take taken off

	mu     sync.Mutex // guards what only remembers
	states map[string]*circuit.State
	strips map[string]*strip       // by where the switches stand
	faults *faultTable             // the last one made: they are large
	lists  map[string]*wiring.List // of ohms, by stage, list and workers
}

// Open decodes a job, builds its circuit, proves it at every switch setting
// and reads its curves. name is the file's, for findings; files is the folder
// it stands in. An Error among the findings means that there is no Case.
func Open(ctx context.Context, name string, text []byte, files fs.FS) (*Case, finding.List) {
	j, found := job.Decode(name, text)
	if j == nil || found.Err() != nil {
		return nil, found
	}
	spec, wrong := specAs(j, wiring.Complete)
	found = append(found, located(wrong, j, name)...)
	if found.Err() != nil {
		return nil, found
	}
	built, err := equaliser.Build(spec)
	if err != nil {
		return nil, append(found, located(findingsOf(err), j, name)...)
	}
	sum := sha256.Sum256(text)
	c := &Case{
		job: j, name: name, sha256: hex.EncodeToString(sum[:]), text: text, equaliser: built,
		files: files, states: map[string]*circuit.State{},
	}
	found = append(found, located(built.Circuit().Lone(), j, name)...)
	found = append(found, c.prove(ctx)...)
	if found.Err() != nil {
		return nil, found
	}
	c.curves, c.less, wrong = c.readCurves()
	found = append(found, wrong...)
	if found.Err() != nil {
		return nil, found
	}
	return c, found
}

// prove solves the circuit once at each position of each switch: what does
// not hang together shows here and not at the first question. What is so at
// rest is not said again of every other position.
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
		switch {
		case ctx.Err() != nil:
			return append(found, findingsOf(ctx.Err())...)
		case err != nil:
			found = addNew(found, findingsOf(err))
		default:
			found = addNew(found, located(st.Findings(), c.job, c.name))
		}
	}
	return found
}

// addNew adds the findings that were not yet made at another setting.
func addNew(found, more finding.List) finding.List {
	for _, f := range more {
		same := func(g finding.Finding) bool {
			g.Place.Setting = f.Place.Setting
			return g.Error() == f.Error()
		}
		if !slices.ContainsFunc(found, same) {
			found = append(found, f)
		}
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

// Job gives the job as it was read; do not change it.
func (c *Case) Job() *job.Job { return c.job }

// Name gives the job file's name.
func (c *Case) Name() string { return c.name }

// Points lists the points of the circuit, by name.
func (c *Case) Points() []string { return c.equaliser.Circuit().Points() }

// Settings lists the settings that show the equaliser whole.
func (c *Case) Settings() []equaliser.Named { return c.equaliser.Family() }

// solve gives the circuit's state at a setting, solved when first asked. Who
// no longer waits gets none, remembered or not.
func (c *Case) solve(ctx context.Context, s curve.Setting) (*circuit.State, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	key := s.String()
	c.mu.Lock()
	st, ok := c.states[key]
	c.mu.Unlock()
	if ok {
		return st, nil
	}
	st, err := c.equaliser.Solve(ctx, s)
	if list, ok := finding.From(err); ok {
		return nil, located(list, c.job, c.name)
	}
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

// setting reads a setting as the person writes it; "" is flat. A switch named
// at its rest is left out, so that one setting has one text.
func (c *Case) setting(text string) (curve.Setting, error) {
	read, err := c.equaliser.ParseSetting(text)
	if list, ok := finding.From(err); ok {
		for i := range list {
			list[i].Place.Setting = cmp.Or(list[i].Place.Setting, text) // nothing between two commas
		}
		return curve.Setting{}, list
	}
	s := curve.Setting{Sliders: read.Sliders}
	for _, w := range c.equaliser.Circuit().Switches() {
		if position, ok := read.Switches[w.Name]; ok && position != w.Positions[0] {
			s = s.WithSwitch(w.Name, position)
		}
	}
	return s, nil
}
