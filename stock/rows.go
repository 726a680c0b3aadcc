package stock

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"bandwright/curve"
	"bandwright/finding"
)

// The bounds of what is read.
const (
	MaxBytes   = 16 << 20
	MaxRows    = 100_000
	MaxColumns = 200
	// A quoted field may run over so many lines; a stray quote must not
	// swallow the rest of the drawer.
	maxQuoted = 20
)

// load takes in the whole file as UTF-8 text and names its encoding.
func load(r io.Reader) (text, encoding string, err error) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return "", "", fmt.Errorf("stock: %w", err)
	}
	if len(raw) > MaxBytes {
		return "", "", whole(IDTooLarge, finding.Args{"limit": MaxBytes})
	}
	for _, k := range [...]struct{ opening, kind string }{
		{"PK\x03\x04", "spreadsheet or archive"}, {"\xd0\xcf\x11\xe0", "spreadsheet"},
		{"%PDF-", "PDF"}, {"\x1f\x8b", "archive"}, {"<", "web page"},
	} {
		if bytes.HasPrefix(bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf")), []byte(k.opening)) {
			return "", "", whole(IDNotTable, finding.Args{"kind": k.kind})
		}
	}
	text, encoding, _ = curve.Text(raw)
	if strings.ContainsRune(text, 0) {
		return "", "", whole(IDNotTable, finding.Args{"kind": "file of binary data"})
	}
	if strings.TrimSpace(text) == "" {
		return "", "", whole(IDEmpty, nil)
	}
	return text, encoding, nil
}

// whole makes an error about the whole file.
func whole(id finding.ID, args finding.Args) error {
	return finding.List{finding.New(id, finding.Error, finding.Place{}, args)}
}

// cell is one field as it stands, with the byte it starts at.
type cell struct {
	text string
	at   int
}

// row is one record: mostly one line, more when a quoted field holds a line
// end.
type row struct {
	line   int // from 1, of its start
	at     int // byte of its start
	end    int // byte behind its last field
	cells  []cell
	broken bool // a quote was not closed; cells are those of the first line, split plainly
	ended  bool // by a line end
	quoted bool // the first field is in quotes
}

// blank says whether no field holds anything.
func (r row) blank() bool {
	for _, c := range r.cells {
		if c.text != "" {
			return false
		}
	}
	return true
}

// scanner goes through the text row by row.
type scanner struct {
	text string
	sep  byte
	at   int
	line int
}

func newScanner(text string, sep byte) *scanner { return &scanner{text: text, sep: sep, line: 1} }

// next gives the next row, its cells appended to into.
func (s *scanner) next(into []cell) (row, bool) {
	if s.at >= len(s.text) {
		return row{}, false
	}
	r := row{line: s.line, at: s.at}
	r.quoted = s.text[s.at] == '"'
	cells, end, ok := s.fields(into[:0], s.at)
	if !ok {
		r.broken = true
		end = s.at + lineEnd(s.text[s.at:])
		cells = s.plainly(into[:0], end)
	}
	r.cells, r.end = cells, end
	s.line += countLines(s.text[s.at:end])
	s.at = end
	if s.at < len(s.text) {
		r.ended = true
		if strings.HasPrefix(s.text[s.at:], "\r\n") {
			s.at++
		}
		s.at++
		s.line++
	}
	return r, true
}

// plainly splits up to end with quotes read as any other sign.
func (s *scanner) plainly(cells []cell, end int) []cell {
	for from := s.at; ; {
		n := strings.IndexByte(s.text[from:end], s.sep)
		if n < 0 {
			return keep(cells, trimCell(s.text, from, end))
		}
		cells = keep(cells, trimCell(s.text, from, from+n))
		from += n + 1
	}
}

// fields takes the fields of one row; false when a quote is not closed.
func (s *scanner) fields(cells []cell, at int) ([]cell, int, bool) {
	for {
		start := at
		for start < len(s.text) && s.text[start] == ' ' {
			start++
		}
		if start < len(s.text) && s.text[start] == '"' {
			body, end, ok := s.quotedField(start + 1)
			if !ok {
				return cells, 0, false
			}
			cells = keep(cells, cell{strings.TrimSpace(body), start + 1})
			at = end
		} else {
			end := at
			for end < len(s.text) && s.text[end] != s.sep && s.text[end] != '\n' && s.text[end] != '\r' {
				end++
			}
			cells = keep(cells, trimCell(s.text, at, end))
			at = end
		}
		if at >= len(s.text) || s.text[at] != s.sep {
			return cells, at, true
		}
		at++
	}
}

// keep adds a field. Far beyond MaxColumns only the first that holds anything
// is kept, which is enough to name the row.
func keep(cells []cell, c cell) []cell {
	const most = 4 * MaxColumns
	if len(cells) < most || len(cells) == most && c.text != "" {
		return append(cells, c)
	}
	return cells
}

// quotedField takes a field behind its opening quote up to the separator or
// line end behind the closing one.
func (s *scanner) quotedField(start int) (body string, end int, ok bool) {
	doubled, lines := false, 0
	for i := start; i < len(s.text); i++ {
		switch c := s.text[i]; {
		case c == '\n', c == '\r' && !strings.HasPrefix(s.text[i:], "\r\n"):
			if lines++; lines > maxQuoted {
				return "", 0, false
			}
		case c == '"' && i+1 < len(s.text) && s.text[i+1] == '"':
			doubled = true
			i++
		case c == '"':
			body = s.text[start:i]
			if doubled {
				body = strings.ReplaceAll(body, `""`, `"`)
			}
			end = i + 1
			for end < len(s.text) && s.text[end] == ' ' {
				end++
			}
			ok = end == len(s.text) || s.text[end] == s.sep || s.text[end] == '\n' || s.text[end] == '\r'
			return body, end, ok
		}
	}
	return "", 0, false
}

// trimCell gives text[from:to] without spaces around it.
func trimCell(text string, from, to int) cell {
	body := text[from:to]
	trimmed := strings.TrimLeft(body, " \t\u00a0\u202f")
	return cell{strings.TrimSpace(trimmed), from + len(body) - len(trimmed)}
}

// lineEnd gives the length of the first line of text.
func lineEnd(text string) int {
	if i := strings.IndexAny(text, "\r\n"); i >= 0 {
		return i
	}
	return len(text)
}

// countLines counts line ends, CRLF as one.
func countLines(text string) int {
	return strings.Count(text, "\n") + strings.Count(text, "\r") - strings.Count(text, "\r\n")
}

// place gives line and column, in characters, of a byte of a row.
func (r row) place(text string, at int) finding.Place {
	before := text[r.at:min(max(at, r.at), len(text))]
	start := strings.LastIndexAny(before, "\r\n") + 1
	return finding.Place{Line: r.line + countLines(before), Column: utf8.RuneCountInString(before[start:]) + 1}
}
