package curve

import (
	"slices"
	"strings"

	"bandwright/finding"
)

// sampleRows is how many likely rows are looked at to settle the form.
const sampleRows = 1000

// forms are the ways a table can be written, the likelier first: what parts
// by semicolons or tabs seldom does so by accident.
var forms = []form{
	{sep: ';', decimal: '.'}, {sep: ';', decimal: ','},
	{sep: '\t', decimal: '.'}, {sep: '\t', decimal: ','},
	{sep: ',', decimal: '.'}, {sep: ',', decimal: ','}, // the latter with quoted fields
	{sep: ' ', decimal: '.'}, {sep: ' ', decimal: ','},
}

// sample is a line that could be a row, and its number.
type sample struct {
	line int // from 1
	text string
}

func samples(lines []string) []sample {
	var s []sample
	for i, line := range lines {
		if _, is := comment(line); is || !opensNumber(line) {
			continue
		}
		if s = append(s, sample{i + 1, withoutRemark(line)}); len(s) == sampleRows {
			break
		}
	}
	return s
}

// decideForm settles separator and decimal mark from the rows, or asks.
func decideForm(rows []sample, as As, u *Understood) form {
	best, score := form{}, -1
	var fits []form
	for _, f := range forms {
		if !as.admits(f) {
			continue
		}
		switch s := f.score(rows); {
		case s > score:
			best, score, fits = f, s, []form{f}
		case s == score:
			fits = append(fits, f)
		}
	}
	if score == 0 {
		best = commonest(rows, as)
		fits = []form{best}
	}
	u.Separator = Choice{separatorWords[best.sep], ByForm}
	u.Decimal = Choice{decimalWords[best.decimal], ByForm}
	as.settle(u)
	best.pairs = best.sep == ',' && best.decimal == ',' && !quoted(rows)
	if as.Decimal == "" && best.decimal == '.' && slices.Contains(fits, form{sep: best.sep, decimal: ','}) {
		best.decimal = decideDecimal(best.sep, rows, u)
		u.Decimal.Is = decimalWords[best.decimal]
	}
	if best == (form{sep: ',', decimal: '.'}) && as.Decimal == "" {
		askPairs(best, rows, u)
	}
	best.groups = best.grouping(rows, u)
	return best
}

// admits says whether the person's word leaves this form open.
func (as As) admits(f form) bool {
	return (as.Separator == "" || as.Separator == separatorWords[f.sep]) &&
		(as.Decimal == "" || as.Decimal == decimalWords[f.decimal])
}

// settle notes what the person said.
func (as As) settle(u *Understood) {
	if as.Separator != "" {
		u.Separator.By = ByPerson
	}
	if as.Decimal != "" {
		u.Decimal.By = ByPerson
	}
}

// quoted says whether quotes keep decimal commas apart from separators.
func quoted(rows []sample) bool {
	return len(rows) > 0 && strings.Contains(rows[0].text, "\"")
}

// score counts a row twice when all its fields are numbers, once when at
// least two are. The commonest number of columns is all that counts.
func (f form) score(rows []sample) int {
	perWidth := map[int]int{}
	var fields []field
	for _, row := range rows {
		fields = f.split(fields, row.text)
		if q := f.quality(fields); q > 0 {
			perWidth[len(fields)] += q
		}
	}
	most := 0
	for _, s := range perWidth {
		most = max(most, s)
	}
	return most
}

func (f form) quality(fields []field) int {
	numbers, others := 0, 0
	for _, d := range fields {
		if _, k := f.value(d); k == words {
			if f.sep == ' ' && strings.ContainsAny(d.text, ",;") {
				return 0 // 63 Hz; 1.2 dB: another mark parts the fields
			}
			others++
		} else if k != blank {
			numbers++
		}
	}
	switch {
	case numbers < 2:
		return 0
	case others > 0:
		return 1
	}
	return 2
}

// commonest picks a form by the separator that most rows hold, when no form
// gives two numbers a row: its row errors are then the clearest.
func commonest(rows []sample, as As) form {
	best, most := form{sep: ' ', decimal: '.'}, 0
	for _, f := range forms {
		if !as.admits(f) {
			continue
		}
		n := 0
		for _, row := range rows {
			if strings.Contains(row.text, string(f.sep)) {
				n++
			}
		}
		if n > most {
			best, most = f, n
		}
	}
	return best
}

// decideDecimal settles . or , when every field can be read either way:
// there are no marks at all, or every mark is followed by three digits.
func decideDecimal(sep byte, rows []sample, u *Understood) byte {
	var marked *field
	var line sample
	point, comma := form{sep: sep, decimal: '.'}, form{sep: sep, decimal: ','}
	var asPoint, asComma []float64 // the first column under each reading
	var fields []field
	large := false // a whole number of thousands without a mark
	for _, row := range rows {
		fields = point.split(fields, row.text)
		for _, d := range fields {
			if strings.Contains(d.text, ",") && marked == nil {
				marked, line = &field{d.text, d.start}, row
			}
			if v, k := point.value(d); k == number && v >= 1000 {
				large = true
			}
		}
		if len(fields) > 0 {
			p, _ := point.value(fields[0])
			c, _ := comma.value(fields[0])
			asPoint, asComma = append(asPoint, p), append(asComma, c)
		}
	}
	switch {
	case marked == nil: // no comma: a point is a decimal point, machines do not group
		return '.'
	case large:
		u.Decimal.By = ByValues
		return ','
	case monotone(asPoint) && !monotone(asComma):
		u.Decimal.By = ByValues
		return '.'
	}
	v, _ := comma.value(*marked)
	w, _ := point.value(*marked)
	u.Decimal.By = Open
	u.askAt(IDAskDecimal, line.line, columnOf(line.text, marked.start), finding.Args{
		"a": "comma", "b": "point", "read": marked.text, "as_a": v, "as_b": w})
	return ','
}

// grouping says whether the rows group thousands: some number is grouped, and
// none of a thousand or more is not. Otherwise such a number is a wrong mark.
func (f form) grouping(rows []sample, u *Understood) bool {
	var fields []field
	var example *finding.Finding
	for _, row := range rows {
		fields = f.split(fields, row.text)
		for _, d := range fields {
			v, k := f.value(d)
			if k == number && (v >= 1000 || v <= -1000) {
				return false
			}
			if k == grouped && example == nil {
				n := finding.New(IDThousands, finding.Note,
					finding.Place{Line: row.line, Column: columnOf(row.text, d.start)},
					finding.Args{"read": d.text, "value": v})
				example = &n
			}
		}
	}
	if example != nil && u.Decimal.By != Open {
		u.Findings = append(u.Findings, *example)
	}
	return example != nil
}

// askPairs asks when commas part whole numbers only, an even count of them:
// 63,0,1,25 may be 63, 0, 1, 25 or 63.0 and 1.25.
func askPairs(f form, rows []sample, u *Understood) {
	var fields []field
	if len(rows) == 0 {
		return
	}
	for _, row := range rows {
		fields = f.split(fields, row.text)
		if len(fields) < 4 || len(fields)%2 != 0 || strings.ContainsAny(row.text, ".eE\"") {
			return
		}
		for i, d := range fields {
			if _, k := f.value(d); k != number || i%2 == 1 && !isDigit(d.text[0]) {
				return
			}
		}
	}
	first := f.split(fields, rows[0].text)
	joined := form{sep: ',', decimal: ',', pairs: true}.split(nil, rows[0].text)
	u.Decimal.By, u.Separator.By = Open, Open
	u.askAt(IDAskSeparator, rows[0].line, 1, finding.Args{"a": "point", "b": "comma",
		"read": rows[0].text, "as_a": listed(first), "as_b": listed(joined)})
}

func listed(fields []field) string {
	parts := make([]string, len(fields))
	for i, d := range fields {
		parts[i] = d.text
	}
	return strings.Join(parts, " | ")
}

// askAt adds a question at a place.
func (u *Understood) askAt(id finding.ID, line, column int, args finding.Args) {
	u.Findings = append(u.Findings, finding.New(id, finding.Error,
		finding.Place{Line: line, Column: column}, args))
}

// monotone says whether the values rise all along or fall all along.
func monotone(v []float64) bool {
	rising, falling := true, true
	for i := 1; i < len(v); i++ {
		rising = rising && v[i] > v[i-1]
		falling = falling && v[i] < v[i-1]
	}
	return len(v) > 1 && (rising || falling)
}
