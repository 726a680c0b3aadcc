package curve

import (
	"bufio"
	"io"
	"strconv"

	"bandwright/finding"
)

// The comments of the form Write writes.
const (
	ownMark     = "# response over frequency, form 1"
	nameMark    = "# name: "
	settingMark = "# setting: "
	fromMark    = "# from: "
)

// Write writes the curve in one canonical form: comments that say what it
// is, a line of headings, then a row a point with commas and decimal points,
// every number as short as reads back to the same value. Read gives the same
// name, setting, taking and numbers again; file and check-sum of the origin
// become the written file's own.
// A curve that is not valid, or whose setting has no text form, is refused
// with a finding.
func Write(w io.Writer, c Curve) error {
	if err := Validate(c); err != nil {
		return err
	}
	if !c.Setting.writable() {
		return broken(IDSettingForm, finding.Args{"read": c.Setting.String()})
	}
	b := bufio.NewWriter(w)
	writeHeader(b, c)
	var row []byte
	for i := range c.Hz {
		row = strconv.AppendFloat(row[:0], c.Hz[i], 'g', -1, 64)
		row = append(row, ',')
		row = strconv.AppendFloat(row, c.DB[i], 'g', -1, 64)
		if c.Degrees != nil {
			row = append(row, ',')
			row = strconv.AppendFloat(row, c.Degrees[i], 'g', -1, 64)
		}
		row = append(row, '\n')
		b.Write(row) // bufio keeps the first error for Flush
	}
	return b.Flush()
}

func writeHeader(b *bufio.Writer, c Curve) {
	lines := []string{ownMark, nameMark + strconv.Quote(c.Name), settingMark + c.Setting.String()}
	if c.Origin.File != "" || c.Origin.SHA256 != "" {
		lines = append(lines, fromMark+Source{c.Origin.File, c.Origin.SHA256}.String())
	}
	lines = append(lines, c.Origin.Taken.lines()...)
	headings := "frequency (Hz),gain (dB)"
	if c.Degrees != nil {
		headings += ",phase (degrees)"
	}
	for _, line := range append(lines, headings) {
		b.WriteString(line)
		b.WriteByte('\n')
	}
}
