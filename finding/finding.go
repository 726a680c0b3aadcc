// Package finding holds warnings and errors as data: an id, a place, named
// arguments. No room but report turns one into a sentence, so that the page,
// the command and the paper say the same thing in the same words, and a test
// can compare findings without comparing prose.
package finding

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// ID names one kind of finding, "room.what-is-wrong". Every ID that a room
// declares is worded, with its hint, in report; a test there fails on an
// ID without words.
type ID string

// Level says what a finding does to the answer it travels with.
type Level uint8

// The levels, in rising order.
const (
	Note    Level = iota // worth knowing; nothing is wrong
	Warning              // the answer stands, but look
	Error                // there is no answer
)

// String gives the level as it is written in JSON.
func (l Level) String() string {
	switch l {
	case Note:
		return "note"
	case Warning:
		return "warning"
	case Error:
		return "error"
	}
	panic("finding: level " + strconv.Itoa(int(l)))
}

// MarshalText writes the level as its word.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Place says where: in a file (Line and Column count from 1, 0 is "not
// known") or in the circuit (a point, a part, a band, a setting), or both.
type Place struct {
	File    string `json:"file,omitempty"`
	Line    int    `json:"line,omitempty"`
	Column  int    `json:"column,omitempty"`
	Point   string `json:"point,omitempty"`
	Part    string `json:"part,omitempty"`
	Band    string `json:"band,omitempty"`
	Setting string `json:"setting,omitempty"`
}

// String gives file:line:column first, then what it concerns.
func (p Place) String() string {
	var words []string
	if p.File != "" {
		at := p.File
		if p.Line > 0 {
			at += ":" + strconv.Itoa(p.Line)
			if p.Column > 0 {
				at += ":" + strconv.Itoa(p.Column)
			}
		}
		words = append(words, at)
	} else if p.Line > 0 {
		words = append(words, "line "+strconv.Itoa(p.Line))
	}
	for _, w := range [...][2]string{
		{"band", p.Band}, {"part", p.Part}, {"point", p.Point}, {"setting", p.Setting},
	} {
		if w[1] != "" {
			words = append(words, w[0]+" "+w[1])
		}
	}
	return strings.Join(words, ", ")
}

// Args are the named facts a finding's words are filled with. Values are
// strings, integers or float64 in base units; report chooses the prefix.
type Args map[string]any

// Finding is one warning or error. The zero Place means "everywhere".
type Finding struct {
	ID    ID    `json:"id"`
	Level Level `json:"level"`
	Place Place `json:"place"`
	Args  Args  `json:"args,omitempty"`
}

// New makes a finding.
func New(id ID, level Level, place Place, args Args) Finding {
	return Finding{ID: id, Level: level, Place: place, Args: args}
}

// Error makes a Finding usable as an error inside the rooms. The text is for
// logs and tests; what a person reads is worded in report.
func (f Finding) Error() string {
	s := string(f.ID)
	if p := f.Place.String(); p != "" {
		s += " at " + p
	}
	for _, k := range sortedKeys(f.Args) {
		s += fmt.Sprintf(" %s=%v", k, f.Args[k])
	}
	return s
}

// List is many findings; as an error it means "at least one is an Error".
type List []Finding

// Error joins the findings line by line.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, f := range l {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Worst gives the highest level in the list, Note when it is empty.
func (l List) Worst() Level {
	worst := Note
	for _, f := range l {
		worst = max(worst, f.Level)
	}
	return worst
}

// Err gives the list as an error when it holds an Error, else nil.
func (l List) Err() error {
	if len(l) == 0 || l.Worst() < Error {
		return nil
	}
	return l
}

// From gathers the findings an error carries. An error that carries none
// gives nil and false: it is not a person's mistake but ours or the system's.
func From(err error) (List, bool) {
	var list List
	if errors.As(err, &list) {
		return list, true
	}
	var one Finding
	if errors.As(err, &one) {
		return List{one}, true
	}
	return nil, false
}

func sortedKeys(args Args) []string { return slices.Sorted(maps.Keys(args)) }
