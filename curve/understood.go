package curve

import (
	"slices"
	"strings"

	"bandwright/finding"
)

// As settles what a curve file leaves open; the zero As means "find out".
type As struct {
	Separator string `json:"separator,omitempty"` // "comma", "semicolon", "tab", "space"
	Decimal   string `json:"decimal,omitempty"`   // "point", "comma"
	Frequency string `json:"frequency,omitempty"` // "Hz", "kHz"
	Gain      string `json:"gain,omitempty"`      // "dB", "ratio"
	Phase     string `json:"phase,omitempty"`     // "degrees", "radians", "none"
	// Which column holds what, counted from 1; 0 means "find out".
	FrequencyColumn int `json:"frequency_column,omitempty"`
	GainColumn      int `json:"gain_column,omitempty"`
	PhaseColumn     int `json:"phase_column,omitempty"`
}

// How a Choice came about.
const (
	ByPerson = "person" // As said so
	ByHeader = "header" // a title or a comment said so
	ByValues = "values" // only one reading fits the numbers
	ByForm   = "form"   // the rows can be parted in one way only
	ByOrder  = "order"  // the usual order: frequency, gain, phase
	Open     = "open"   // a finding asks; Is holds the likelier reading
)

// Choice is one thing a file was taken for, in the words of As.
type Choice struct {
	Is string `json:"is"`
	By string `json:"by"`
}

// Column is one column of the table as understood.
type Column struct {
	Number int    `json:"number"` // from 1
	Title  string `json:"title,omitempty"`
	Holds  string `json:"holds"` // "frequency", "gain", "phase", "not used"
	Unit   string `json:"unit,omitempty"`
}

// Row is one row of the file beside what it was read as.
type Row struct {
	Line    int      `json:"line"`
	Text    string   `json:"text"`
	Hz      float64  `json:"hz"`
	DB      *float64 `json:"db"` // nil: −∞ or no value, the row is left out
	Degrees *float64 `json:"degrees,omitempty"`
}

// Understood says what a file was taken for, for a person to look at before
// the curve is used. After an error it holds what was understood so far.
type Understood struct {
	Bytes     int    `json:"bytes"`
	SHA256    string `json:"sha256"`   // of the original bytes, hex
	Encoding  string `json:"encoding"` // "UTF-8", "UTF-16", "Latin-1"
	Separator Choice `json:"separator"`
	Decimal   Choice `json:"decimal"`
	Frequency Choice `json:"frequency"`
	Gain      Choice `json:"gain"`
	Phase     Choice `json:"phase"`

	Columns   []Column `json:"columns"`
	Header    []string `json:"header"`       // lines above the table, the first 20
	Skipped   int      `json:"header_lines"` // how many there are, comments included
	FirstLine int      `json:"first_line"`   // of the table
	FirstRows []Row    `json:"first_rows"`   // at most 5
	Rows      int      `json:"rows"`         // rows of numbers in the file
	Points    int      `json:"points"`       // points of the curve

	LowHz  float64 `json:"low_hz"`
	HighHz float64 `json:"high_hz"`
	LowDB  float64 `json:"low_db"`
	HighDB float64 `json:"high_db"`

	Findings finding.List `json:"findings"`

	example string // the first row, for questions
	quiet   bool   // no questions about units
}

// note adds a finding about a line (0: the whole file).
func (u *Understood) note(id finding.ID, level finding.Level, line int, args finding.Args) {
	u.Findings = append(u.Findings, finding.New(id, level, finding.Place{Line: line}, args))
}

// fail adds an error and gives all errors so far as one.
func (u *Understood) fail(id finding.ID, line int, args finding.Args) error {
	u.note(id, finding.Error, line, args)
	return u.errors()
}

// errors gives the findings that are Errors, nil when there are none.
func (u *Understood) errors() error {
	var errs finding.List
	for _, f := range u.Findings {
		if f.Level == finding.Error {
			errs = append(errs, f)
		}
	}
	return errs.Err()
}

// check refuses words and columns that As does not know.
func (as As) check(u *Understood) error {
	for _, w := range [...]struct{ field, read, allowed string }{
		{"separator", as.Separator, "comma, semicolon, tab, space"},
		{"decimal", as.Decimal, "point, comma"},
		{"frequency", as.Frequency, "Hz, kHz"},
		{"gain", as.Gain, "dB, ratio"},
		{"phase", as.Phase, "degrees, radians, none"},
	} {
		if w.read != "" && !slices.Contains(strings.Split(w.allowed, ", "), w.read) {
			u.note(IDAsUnknown, finding.Error, 0, finding.Args{
				"field": w.field, "read": w.read, "allowed": w.allowed})
		}
	}
	return u.errors()
}
