package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"bandwright/finding"
	"bandwright/report"
)

// What can be wrong at the door itself; all are errors. The words are report's.
const (
	// IDFileMissing: path.
	IDFileMissing finding.ID = "cmd.file-missing"
	// IDFileUnreadable: path, reason.
	IDFileUnreadable finding.ID = "cmd.file-unreadable"
	// IDFileTooLarge: path, bytes, most.
	IDFileTooLarge finding.ID = "cmd.file-too-large"
	// IDFileExists: path. Written only with --force.
	IDFileExists finding.ID = "cmd.file-exists"
	// IDFileUnwritable: path, reason.
	IDFileUnwritable finding.ID = "cmd.file-unwritable"
	// IDFileIsInput: path. Never written, --force or not.
	IDFileIsInput finding.ID = "cmd.file-is-input"
	// IDNothingToWrite: no args; sheet was asked for neither HTML nor PDF.
	IDNothingToWrite finding.ID = "cmd.nothing-to-write"
	// IDFlagsClash: one, other; two flags that cannot go together.
	IDFlagsClash finding.ID = "cmd.flags-clash"
)

// refusal makes one error of the door.
func refusal(id finding.ID, args finding.Args) error {
	return finding.New(id, finding.Error, finding.Place{}, args)
}

// errLook ends a judging verb that found something to look at.
var errLook = errors.New("something to look at")

// worded is a finding in JSON: as data and as words.
type worded struct {
	finding.Finding
	Say  string `json:"say"`
	Hint string `json:"hint,omitempty"`
}

// object is what every verb prints with --json. Answer is null when an error
// stands in the way of one.
type object struct {
	Answer   any      `json:"answer"`
	Findings []worded `json:"findings"`
}

func (d door) printJSON(answer any, found finding.List) error {
	o := object{Answer: answer, Findings: []worded{}}
	for _, f := range found {
		words := report.Word(f)
		o.Findings = append(o.Findings, worded{Finding: f, Say: words.Say, Hint: words.Hint})
	}
	encoder := json.NewEncoder(d.out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(o)
}

// say prints findings for a person, on the error stream so that a piped
// answer stays clean.
func (d door) say(found finding.List) {
	for _, f := range found {
		fmt.Fprintln(d.err, report.Text(f))
	}
}

// form is the flag every verb has.
type form struct {
	JSON bool `name:"json" help:"Print one JSON object with answer and findings."`
}

// give ends a verb: the answer in the form asked for, findings beside it. An
// error that carries findings is an answer that could not be given.
func (f form) give(d door, answer any, found finding.List, err error, print func() error) error {
	wrong, isInput := finding.From(err)
	if err != nil && !isInput {
		return err
	}
	found = once(append(found, wrong...)) // what stopped it is often among them
	if f.JSON {
		if found.Err() != nil {
			answer = nil
		}
		if err := d.printJSON(answer, found); err != nil {
			return err
		}
	} else if found.Err() == nil {
		if err := print(); err != nil {
			return err
		}
	}
	if found.Err() != nil {
		return found
	}
	d.say(found)
	return nil
}

// judge turns the worst finding of a judging verb into its ending.
func judge(worst finding.Level) error {
	if worst >= finding.Warning {
		return errLook
	}
	return nil
}

// end turns what a verb returned into an exit code, and says what is wrong.
func (d door) end(err error) int {
	found, isInput := finding.From(err)
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errLook):
		return exitLook
	case d.ctx.Err() != nil || errors.Is(err, context.Canceled):
		fmt.Fprintln(d.err, "stopped: nothing was written after the signal")
		return exitStopped
	case isInput:
		d.say(found)
		return exitInput
	}
	panic(err)
}
