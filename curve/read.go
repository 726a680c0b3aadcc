package curve

import (
	"io"
	"strconv"
	"strings"

	"bandwright/finding"
)

// Read reads a curve from delimited text as programs export it: any of four
// separators, decimal point or comma, comments (# ; % * // ! ' or quoted),
// headings, Hz or kHz, dB or ratio, optional phase in degrees or radians.
//
// Understood says what the file was taken for. Where two readings are
// possible and nothing tells them apart, the error asks (the IDAsk… findings)
// and as answers. Rows are sorted; points at one frequency are averaged; rows
// without a value are left out; each of these is a finding. Phase is kept as
// it came, wrapped or not. At most MaxBytes and MaxRows are read.
//
// The error is a finding.List of the Errors alone (Place: line and column
// from 1, no file name), or what r itself said. Setting and Name are filled
// only from the form that Write writes; Origin.File is the caller's.
func Read(r io.Reader, as As) (Curve, Understood, error) {
	var u Understood
	if err := as.check(&u); err != nil {
		return Curve{}, u, err
	}
	content, err := load(r, &u)
	if err != nil {
		return Curve{}, u, err
	}
	lines, ended, err := splitLines(content, &u)
	if err != nil {
		return Curve{}, u, err
	}
	c, err := readLines(lines, ended, as, &u)
	if err != nil {
		return Curve{}, u, err
	}
	return c, u, nil
}

func readLines(lines []string, ended bool, as As, u *Understood) (Curve, error) {
	rows := samples(lines)
	if len(rows) == 0 {
		return Curve{}, u.fail(IDNoRows, 0, finding.Args{"lines": len(lines)})
	}
	f := decideForm(rows, as, u)
	t, found := findTable(lines, f, rows)
	if !found {
		return Curve{}, noTable(f, rows, u)
	}
	u.describe(lines, t)
	if err := decideColumns(&t, f, rows, as, u); err != nil {
		return Curve{}, err
	}
	if u.errors() != nil { // what the numbers mean depends on the answers
		var scratch Understood
		raw, _ := readRows(lines, ended, f, t, &scratch)
		u.Rows = scratch.Rows
		u.showRows(lines, raw)
		return Curve{}, u.errors()
	}
	raw, rowErr := readRows(lines, ended, f, t, u)
	u.quiet = rowErr != nil // the rows first, the units when they are mended
	if len(raw.line) == 0 && rowErr == nil {
		_ = u.fail(IDTooFewPoints, 0, finding.Args{"points": 0}) // given below, with all errors
	}
	if len(raw.line) > 0 {
		decideUnits(raw, t, as, u)
		u.showRows(lines, raw)
	}
	if u.errors() != nil {
		return Curve{}, u.errors()
	}
	p, err := convert(raw, u)
	if err != nil {
		return Curve{}, err
	}
	p.tidy(u)
	return u.finish(p, t)
}

// noTable says why no line is a row: one number only, or words among them.
func noTable(f form, rows []sample, u *Understood) error {
	for _, row := range rows {
		fields := f.split(nil, row.text)
		if len(fields) < 2 {
			continue
		}
		for _, d := range fields[:2] {
			if _, k := f.value(d); k == words {
				u.askAt(IDNotNumber, row.line, columnOf(row.text, d.start), finding.Args{
					"read": short(d.text), "what": "number"})
				return u.errors()
			}
		}
	}
	return u.fail(IDOneColumn, rows[0].line, finding.Args{"read": short(rows[0].text)})
}

// describe fills in what stands above the table.
func (u *Understood) describe(lines []string, t layout) {
	const shown = 20
	u.FirstLine, u.example = t.first, lines[t.first-1]
	for _, line := range t.above {
		if isBlank(line) {
			continue
		}
		if u.Skipped++; u.Skipped <= shown {
			u.Header = append(u.Header, short(line))
		}
	}
}

// showRows fills in the first rows, as written and as read.
func (u *Understood) showRows(lines []string, raw table) {
	const shown = 5
	for i := range min(shown, len(raw.line)) {
		row := Row{Line: int(raw.line[i]), Text: short(lines[raw.line[i]-1]),
			Hz: u.inHz(raw.frequency[i])}
		if db := u.inDB(raw.gain[i]); finite(db) {
			row.DB = &db
		}
		if raw.phase != nil {
			degrees := u.inDegrees(raw.phase[i])
			row.Degrees = &degrees
		}
		if finite(row.Hz) && (row.Degrees == nil || finite(*row.Degrees)) {
			u.FirstRows = append(u.FirstRows, row)
		}
	}
}

// finish makes the curve and checks it.
func (u *Understood) finish(p points, t layout) (Curve, error) {
	u.Points = len(p.hz)
	u.LowHz, u.HighHz = span(p.hz)
	u.LowDB, u.HighDB = span(p.db)
	if len(p.hz) < 2 {
		return Curve{}, u.fail(IDTooFewPoints, 0, finding.Args{"points": len(p.hz)})
	}
	c := Curve{Hz: p.hz, DB: p.db, Degrees: p.degrees, Origin: Origin{SHA256: u.SHA256}}
	if err := ownHeader(&c, t, u); err != nil {
		return Curve{}, err
	}
	if err := Validate(c); err != nil {
		panic("curve: read a curve that is not valid: " + err.Error())
	}
	return c, nil
}

// ownHeader takes name and setting from the comments that Write writes.
func ownHeader(c *Curve, t layout, u *Understood) error {
	if !t.own() {
		return nil
	}
	for i, line := range t.above[1:] {
		if quoted, ok := strings.CutPrefix(line, nameMark); ok {
			if name, err := strconv.Unquote(quoted); err == nil {
				c.Name = name
			}
		}
		if text, ok := strings.CutPrefix(line, settingMark); ok {
			s, err := ParseSetting(text)
			if err != nil {
				found, _ := finding.From(err)
				found[0].Place.Line = i + 2
				found[0].Place.Column += len(settingMark)
				u.Findings = append(u.Findings, found...)
				return u.errors()
			}
			c.Setting = s
		}
	}
	c.Origin.Taken = readTaking(t.above[1:])
	return nil
}
