package curve

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
)

// maxErrors is how many wrong rows are named one by one.
const maxErrors = 10

// table is the numbers as written, one entry a usable row.
type table struct {
	line                   []int32
	frequency, gain, phase []float64 // phase nil: no such column
}

// tableReader goes through the rows and sorts what it meets.
type tableReader struct {
	f     form
	t     layout
	u     *Understood
	lines []string
	last  int // the last line that holds anything, from 1
	ended bool

	rows    table
	header  int // a repeated header waiting for the next row
	text    int // a line of text waiting for the next row
	errors  int
	noValue lineList
	noGain  lineList
	noHz    lineList
}

// lineList counts lines and keeps the first numbers of them as text.
type lineList struct {
	count, first int
	text         string
}

func (l *lineList) add(line int) {
	const shown = 10
	switch l.count++; {
	case l.count == 1:
		l.first, l.text = line, strconv.Itoa(line)
	case l.count <= shown:
		l.text += ", " + strconv.Itoa(line)
	case l.count == shown+1:
		l.text += ", …"
	}
}

func (l *lineList) note(id finding.ID, level finding.Level, u *Understood) {
	if l.count > 0 {
		u.note(id, level, l.first, finding.Args{"count": l.count, "lines": l.text})
	}
}

// readRows reads every row below the titles.
func readRows(lines []string, ended bool, f form, t layout, u *Understood) (table, error) {
	r := tableReader{f: f, t: t, u: u, lines: lines, ended: ended, last: len(lines)}
	for r.last > 0 && isBlank(lines[r.last-1]) {
		r.last, r.ended = r.last-1, true
	}
	var fields []field
	for i := t.first; i <= r.last; i++ {
		line := lines[i-1]
		if _, is := comment(line); is || isBlank(line) {
			continue
		}
		fields = f.split(fields, withoutRemark(line))
		if !opensDigit(line) && r.isText(fields) {
			r.noteText(i)
			continue
		}
		if !r.row(i, fields) {
			break
		}
	}
	r.finish()
	return r.rows, u.errors()
}

// isText says whether no field of the line belongs in a row of numbers.
func (r *tableReader) isText(fields []field) bool {
	for _, d := range fields {
		if _, k := r.f.value(d); k != words && k != blank {
			return false
		}
	}
	return true
}

// noteText keeps a line of text until it is known whether rows follow it.
func (r *tableReader) noteText(line int) {
	body := strings.TrimSpace(r.lines[line-1])
	isHeader := slices.ContainsFunc(r.t.above, func(above string) bool {
		return strings.EqualFold(strings.TrimSpace(above), body)
	}) || telling(headingCells(body, r.f, r.t.columns))
	if isHeader {
		r.header = line
	} else if r.text == 0 {
		r.text = line
	}
}

// row takes one row; false stops the reading.
func (r *tableReader) row(line int, fields []field) bool {
	r.u.Rows++
	if r.u.Rows > MaxRows {
		r.u.note(IDTooManyRows, finding.Error, line, finding.Args{"limit": MaxRows})
		return false
	}
	if !r.afterText(fields) {
		return false
	}
	if id, column, args := r.misshapen(line, fields); id != "" {
		r.wrong(id, line, column, args)
		return true
	}
	r.keep(line, fields)
	return true
}

// afterText judges text that stood before this row: a header again with
// frequencies going on is a page break, with frequencies starting over it is
// a second table, and the two must not be mixed.
func (r *tableReader) afterText(fields []field) bool {
	if r.text > 0 {
		r.wrong(IDTextInTable, r.text, 1, finding.Args{"read": short(r.lines[r.text-1])})
		r.text = 0
	}
	if r.header == 0 {
		return true
	}
	at := r.header
	r.header = 0
	args := finding.Args{"read": short(r.lines[at-1])}
	n := len(r.rows.frequency)
	if n > 0 && r.t.frequency < len(fields) {
		hz, k := r.f.value(fields[r.t.frequency])
		if k.isNumber() && hz <= r.rows.frequency[n-1] {
			r.u.note(IDSecondTable, finding.Error, at, args)
			return false
		}
	}
	r.u.note(IDHeaderRepeated, finding.Warning, at, args)
	return true
}

// misshapen names what is wrong with the row as a whole.
func (r *tableReader) misshapen(line int, fields []field) (finding.ID, int, finding.Args) {
	body := r.lines[line-1]
	n, want := len(fields), r.t.columns
	missing := n <= r.t.frequency || n <= r.t.gain
	if line == r.last && !r.ended && (n < want || r.breaksOff(body)) {
		return IDTruncated, 0, finding.Args{"read": short(body)}
	}
	if missing || n > want {
		for _, g := range forms {
			other := g.split(nil, body)
			if g.sep != r.f.sep && len(other) == want && g.quality(other) == 2 {
				return IDMixedSeparator, 0, finding.Args{"read": short(body),
					"separator": separatorWords[r.f.sep], "other": separatorWords[g.sep]}
			}
		}
	}
	switch {
	case missing:
		what := holdsFrequency
		if n <= r.t.gain {
			what = holdsGain
		}
		return IDFieldMissing, 0, finding.Args{"what": what, "fields": n, "want": want}
	case n > want:
		return IDExtraField, columnOf(body, fields[want].start),
			finding.Args{"fields": n, "want": want, "read": short(body)}
	}
	return "", 0, nil
}

// breaksOff says whether a line ends in the middle of a number or behind a
// separator, as the first row does not.
func (r *tableReader) breaksOff(body string) bool {
	first := r.lines[r.t.first-1]
	end := body[len(body)-1:]
	return strings.Contains("+-eE,;\t", end) && !strings.HasSuffix(first, end)
}

// keep reads the fields and keeps the row when all its numbers are there.
func (r *tableReader) keep(line int, fields []field) {
	hz, hk, ok := r.number(line, fields, r.t.frequency, holdsFrequency)
	gain, gk, okGain := r.number(line, fields, r.t.gain, holdsGain)
	phase, pk, okPhase := 0.0, number, true
	if r.t.phase >= 0 {
		phase, pk, okPhase = r.number(line, fields, r.t.phase, holdsPhase)
	}
	switch {
	case !ok || !okGain || !okPhase:
	case hk.isNumber() && hz < 0:
		d := fields[r.t.frequency]
		r.wrong(IDFrequencyNegative, line, columnOf(r.lines[line-1], d.start), finding.Args{"read": d.text})
	case hk.isNumber() && hz == 0:
		r.noHz.add(line)
	case hk.isNumber() && gk == minusInf:
		r.noGain.add(line)
	case !hk.isNumber() || !gk.isNumber() || !pk.isNumber():
		r.noValue.add(line)
	default:
		r.rows.line = append(r.rows.line, int32(line))
		r.rows.frequency = append(r.rows.frequency, hz)
		r.rows.gain = append(r.rows.gain, gain)
		if r.t.phase >= 0 {
			r.rows.phase = append(r.rows.phase, phase)
		}
	}
}

// number reads one field; false when it was wrong and has been reported.
func (r *tableReader) number(line int, fields []field, at int, what string) (float64, kind, bool) {
	if at >= len(fields) {
		return 0, blank, true
	}
	d := fields[at]
	v, k := r.f.value(d)
	wrongMark := k == grouped && !r.f.groups
	if k == words {
		_, other := parseNumber(d.text, otherMark(r.f.decimal))
		wrongMark = other == number
	}
	column := func() int { return columnOf(r.lines[line-1], d.start) }
	switch {
	case wrongMark:
		r.wrong(IDMixedDecimal, line, column(), finding.Args{
			"read": short(d.text), "decimal": decimalWords[r.f.decimal]})
	case k == words || k == tooBig:
		r.wrong(IDNotNumber, line, column(), finding.Args{"read": short(d.text), "what": what})
	default:
		return v, k, true
	}
	return 0, k, false
}

func (r *tableReader) wrong(id finding.ID, line, column int, args finding.Args) {
	if r.errors++; r.errors <= maxErrors {
		r.u.askAt(id, line, column, args)
	}
}

// finish notes what can be said only when all rows are read.
func (r *tableReader) finish() {
	if r.errors > maxErrors {
		r.u.note(IDMoreErrors, finding.Error, 0, finding.Args{"count": r.errors - maxErrors})
	}
	for _, at := range [...]int{r.header, r.text} {
		if at > 0 {
			r.u.note(IDTrailingText, finding.Note, at, finding.Args{"read": short(r.lines[at-1])})
		}
	}
	r.noGain.note(IDZeroGain, finding.Warning, r.u)
	r.noValue.note(IDNoValue, finding.Warning, r.u)
	r.noHz.note(IDZeroFrequency, finding.Note, r.u)
}

// short keeps a quotation from the file to a readable length.
func short(s string) string {
	const longest = 120
	if r := []rune(strings.TrimSpace(s)); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return strings.TrimSpace(s)
}

// span gives the least and the greatest of the values; both 0 of none.
func span(v []float64) (low, high float64) {
	if len(v) == 0 {
		return 0, 0
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		low, high = min(low, x), max(high, x)
	}
	return low, high
}
