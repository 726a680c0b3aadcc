package sweep

import (
	"bytes"
	"encoding/json"
	"strings"

	"bandwright/finding"
)

// A test recording carries its own description as a comment, so that whoever
// reads what came back needs no more than the file that was played.
const describedAs = "bandwright test recording, form 1: "

// IDNotOurs: a file that is no test recording. Args: reason ("comment", "form",
// "description").
const IDNotOurs finding.ID = "sweep.not-a-test-recording"

func (s Signal) describe() string {
	text, err := json.Marshal(s)
	if err != nil {
		panic("sweep: " + err.Error()) // Check has refused what JSON cannot hold
	}
	return describedAs + string(text)
}

// Played gives the signal that a recording written by Signal.Write holds. The
// error is a finding when it is another recording, or of a form that is not
// known, or describes what cannot be.
func Played(rec *Recording) (Signal, error) {
	refuse := func(reason string) (Signal, error) {
		return Signal{}, finding.New(IDNotOurs, finding.Error, finding.Place{}, finding.Args{"reason": reason})
	}
	text, ours := strings.CutPrefix(rec.Comment, describedAs)
	switch {
	case !ours && strings.HasPrefix(rec.Comment, describedAs[:len(describedAs)-len("1: ")]):
		return refuse("form")
	case !ours:
		return refuse("comment")
	}
	var s Signal
	decoder := json.NewDecoder(bytes.NewReader([]byte(text)))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&s); err != nil {
		return refuse("description")
	}
	if err := s.Check().Err(); err != nil {
		return Signal{}, err
	}
	return s, nil
}
