package main

import (
	"context"
	"errors"
	"fmt"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// What can be wrong at the door itself; all are errors. The words are report's.
const (
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
)

// refusal makes one error of the door.
func refusal(id finding.ID, args finding.Args) error {
	return finding.New(id, finding.Error, finding.Place{}, args)
}

// errLook ends a judging verb that found something to look at.
var errLook = errors.New("something to look at")

func (d door) printJSON(answer any, found finding.List) error {
	return report.JSON(d.out, answer, found)
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
	answer, found, err = ask.Settle(answer, found, err, false)
	if err != nil {
		return err
	}
	if f.JSON {
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
