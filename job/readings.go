package job

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/quantity"
)

// What can be wrong with readings that stand in no job.
const (
	// IDReadingText: read.
	// "{read} is not a reading." Hint: how one is written.
	IDReadingText finding.ID = "job.reading-text"
	// IDReadingColumns: missing, have (headings, comma-separated). Place: the file.
	// "The list has no column {missing}." Hint: "Its first line names its columns; it has {have}."
	IDReadingColumns finding.ID = "job.reading-columns"
	// IDReadingList: detail. Place: the file, the line.
	// "This line of the list cannot be read: {detail}."
	IDReadingList finding.ID = "job.reading-list"
)

// ParseReading reads one reading as a person types it: its kind, the point of
// the red lead, that of the black one unless it is ground, the value, and the
// setting unless it is flat.
//
//	volts q1.collector 12.1 V
//	ohms 63.wiper boost 10k at 63=+1
//	ohms lift legs open
//	gain 400 Hz 9.5 dB at 400=+1
//
// Of a gain the points may be left out, and the frequency stands before the value.
// Errors are findings.
func ParseReading(text string) (Reading, error) {
	front, setting, _ := strings.Cut(text, " at ")
	words := glued(strings.Fields(front))
	r := Reading{Setting: strings.TrimSpace(setting)}
	bad := finding.New(IDReadingText, finding.Error, finding.Place{}, finding.Args{"read": clip(text)})
	if len(words) < 3 || !slices.Contains([]string{ReadVolts, ReadOhms, ReadGain}, words[0]) {
		return r, bad
	}
	r.Kind, r.Value = words[0], words[len(words)-1]
	points := words[1 : len(words)-1]
	if r.Kind == ReadGain {
		hz, err := quantity.ParseHertz(points[len(points)-1])
		if err != nil {
			return r, err
		}
		r.At, points = &hz, points[:len(points)-1]
	}
	if len(points) > 2 {
		return r, bad
	}
	for i, into := range [...]*string{&r.Red, &r.Black} {
		if i < len(points) {
			*into = points[i]
		}
	}
	_, _, err := r.Number()
	return r, err
}

// glued puts units to the numbers they stand behind.
func glued(words []string) []string {
	var list []string
	for _, w := range words {
		last := len(list) - 1
		if last > 0 && isUnit(w) && strings.ContainsFunc(list[last][:1], func(r rune) bool { return unicode.IsDigit(r) || strings.ContainsRune("+-−.", r) }) {
			list[last] += " " + w
			continue
		}
		list = append(list, w)
	}
	return list
}

// isUnit says whether a word is a unit that stands by itself, its prefix before it.
func isUnit(w string) bool {
	for _, unit := range []string{"V", "ohm", "ohms", "Ω", "Hz", "dB"} {
		if prefix, ok := strings.CutSuffix(w, unit); ok && len([]rune(prefix)) <= 1 && !strings.ContainsAny(prefix, "0123456789") {
			return true
		}
	}
	return false
}

// columns of a list of readings, by heading; the value is called reading on the
// lists that are printed to be filled in.
var columns = map[string]func(r *Reading, text string) error{
	"kind":    func(r *Reading, text string) error { r.Kind = text; return nil },
	"red":     func(r *Reading, text string) error { r.Red = text; return nil },
	"black":   func(r *Reading, text string) error { r.Black = text; return nil },
	"setting": func(r *Reading, text string) error { r.Setting = text; return nil },
	"reading": func(r *Reading, text string) error { r.Value = text; return nil },
	"value":   func(r *Reading, text string) error { r.Value = text; return nil },
	"stage":   func(r *Reading, text string) error { r.Stage = text; return nil },
	"meter":   func(r *Reading, text string) error { r.Meter = text; return nil },
	"date":    func(r *Reading, text string) error { r.Date = text; return nil },
	"note":    func(r *Reading, text string) error { r.Note = text; return nil },
	"hz": func(r *Reading, text string) error {
		if text == "" {
			return nil
		}
		hz, err := quantity.ParseHertz(text)
		r.At = &hz
		return err
	},
}

// ReadReadings reads a list of readings: a table with commas, semicolons or tabs
// between, its first line the headings kind, red, black, setting, hz, reading (or
// value), stage, meter, date, note, in any order; other columns are passed over.
// A blank reading is one not taken, and left out. name is the file's, for findings;
// every row that cannot be read is named.
func ReadReadings(name string, from io.Reader) ([]Reading, finding.List) {
	text, err := io.ReadAll(io.LimitReader(from, MaxBytes+1))
	if err != nil {
		return nil, finding.List{finding.New(IDReadingList, finding.Error, finding.Place{File: name}, finding.Args{"detail": err.Error()})}
	}
	if len(text) > MaxBytes {
		return nil, finding.List{tooBig(name, len(text))}
	}
	plain, _, _ := curve.Text(text)
	in := csv.NewReader(strings.NewReader(plain))
	in.Comma, in.FieldsPerRecord, in.TrimLeadingSpace, in.Comment = separator(plain), -1, true, '#'
	head, err := in.Read()
	if err != nil {
		return nil, finding.List{finding.New(IDReadingColumns, finding.Error, finding.Place{File: name}, finding.Args{"missing": "kind", "have": ""})}
	}
	for i := range head {
		head[i] = strings.ToLower(strings.TrimSpace(head[i]))
	}
	for _, need := range []string{"kind", "red", "reading"} {
		if !slices.Contains(head, need) && (need != "reading" || !slices.Contains(head, "value")) {
			return nil, finding.List{finding.New(IDReadingColumns, finding.Error, finding.Place{File: name},
				finding.Args{"missing": need, "have": clip(strings.Join(head, ", "))})}
		}
	}
	return readRows(name, in, head)
}

// separator finds what parts the columns of the first line.
func separator(text string) rune {
	head, _, _ := strings.Cut(text, "\n")
	for _, mark := range ";\t" {
		if strings.ContainsRune(head, mark) {
			return mark
		}
	}
	return ','
}

func readRows(name string, in *csv.Reader, head []string) (list []Reading, found finding.List) {
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return list, found
		}
		if err != nil {
			return list, append(found, broken(name, err))
		}
		line, _ := in.FieldPos(0)
		at := finding.Place{File: name, Line: line}
		r, wrong := readRow(cells, head, at)
		found = append(found, wrong...)
		if len(wrong) == 0 && r.Taken() {
			list = append(list, r)
		}
	}
}

// broken is a line that is no row of a table.
func broken(name string, err error) finding.Finding {
	at, detail := finding.Place{File: name}, err.Error()
	var where *csv.ParseError
	if errors.As(err, &where) {
		at.Line, detail = where.Line, where.Err.Error()
	}
	return finding.New(IDReadingList, finding.Error, at, finding.Args{"detail": detail})
}

func readRow(cells, head []string, at finding.Place) (r Reading, found finding.List) {
	r.File, r.Line = at.File, at.Line
	for i, cell := range cells {
		if i >= len(head) || columns[head[i]] == nil {
			continue
		}
		if err := columns[head[i]](&r, strings.TrimSpace(cell)); err != nil {
			found = append(found, placed(err, at, "reading.at", cell)...)
		}
	}
	if !r.Taken() || len(found) > 0 {
		return r, found
	}
	if !slices.Contains([]string{ReadVolts, ReadOhms, ReadGain}, r.Kind) {
		args := finding.Args{"key": "reading.kind", "read": clip(r.Kind), "nearest": "", "known": "volts, ohms, gain"}
		return r, finding.List{finding.New(IDUnknownWord, finding.Error, at, args)}
	}
	if _, _, err := r.Number(); err != nil {
		found = append(found, placed(err, at, "reading.value", r.Value)...)
	}
	return r, found
}
