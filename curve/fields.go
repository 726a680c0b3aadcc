package curve

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// form is how the rows are parted into fields and the fields written.
type form struct {
	sep     byte // ',', ';', '\t', or ' ' for runs of spaces and tabs
	decimal byte // '.' or ','
	// pairs: comma is both marks, and every two pieces make one number.
	// Only when a person says so: nothing in the file tells.
	pairs bool
	// groups: 20,000 or 20.000 is twenty thousand, by what the rows show.
	groups bool
}

var separatorWords = map[byte]string{',': "comma", ';': "semicolon", '\t': "tab", ' ': "space"}
var decimalWords = map[byte]string{'.': "point", ',': "comma"}

// field is a piece of a line and the byte it starts at.
type field struct {
	text  string
	start int
}

// value reads a field as a number.
func (f form) value(d field) (float64, kind) { return parseNumber(d.text, f.decimal) }

// split parts a line into dst. Blank fields at the end are dropped: many
// programs end each row with a separator. Quotes hold a field together.
func (f form) split(dst []field, line string) []field {
	dst = dst[:0]
	if f.sep == ' ' {
		return splitSpace(dst, line)
	}
	start, quoted := 0, false
	for i := 0; i <= len(line); i++ {
		if i < len(line) {
			if line[i] == '"' {
				quoted = !quoted
			}
			if line[i] != f.sep || quoted {
				continue
			}
		}
		dst = append(dst, trimmed(line, start, i))
		start = i + 1
	}
	for len(dst) > 0 && dst[len(dst)-1].text == "" {
		dst = dst[:len(dst)-1]
	}
	if f.pairs {
		dst = join(dst)
	}
	return dst
}

// trimmed is line[start:end] without blanks and quotes around it.
func trimmed(line string, start, end int) field {
	part := line[start:end]
	left := strings.TrimLeftFunc(part, unicode.IsSpace)
	start += len(part) - len(left)
	left = strings.TrimRightFunc(left, unicode.IsSpace)
	if len(left) >= 2 && left[0] == '"' && left[len(left)-1] == '"' {
		return trimmed(line, start+1, start+len(left)-1)
	}
	return field{left, start}
}

func splitSpace(dst []field, line string) []field {
	start, quoted := -1, false
	for i, r := range line {
		if r == '"' {
			quoted = !quoted
		}
		switch space := unicode.IsSpace(r) && !quoted; {
		case !space && start < 0:
			start = i
		case space && start >= 0:
			dst = append(dst, trimmed(line, start, i))
			start = -1
		}
	}
	if start >= 0 {
		dst = append(dst, trimmed(line, start, len(line)))
	}
	return dst
}

// join makes one field of every two: 63,0,1,25 is 63,0 and 1,25.
func join(pieces []field) []field {
	if len(pieces)%2 != 0 {
		return pieces
	}
	joined := pieces[:0]
	for i := 0; i < len(pieces); i += 2 {
		joined = append(joined, field{pieces[i].text + "," + pieces[i+1].text, pieces[i].start})
	}
	return joined
}

// comment gives the text behind a comment mark, quoted or not.
func comment(line string) (string, bool) {
	body := strings.TrimLeft(strings.TrimSpace(line), "\" ")
	for _, mark := range [...]string{"#", ";", "%", "*", "//", "!", "'"} {
		if strings.HasPrefix(body, mark) {
			if len(body) < len(strings.TrimSpace(line)) {
				body = strings.TrimRight(body, "\" ")
			}
			return strings.TrimSpace(strings.TrimLeft(body, "#;%*/!'")), true
		}
	}
	return "", false
}

// withoutRemark cuts a remark from the end of a row: 63 1.2 # top.
func withoutRemark(line string) string {
	for _, mark := range [...]string{" #", "\t#", " //", "\t//"} {
		if i := strings.Index(line, mark); i > 0 {
			line = line[:i]
		}
	}
	return line
}

// opensNumber says whether a line could be a row: its first letter is one
// that a number starts with.
func opensNumber(line string) bool {
	body := strings.TrimLeft(strings.TrimSpace(line), "\"")
	if body == "" {
		return false
	}
	r, _ := utf8.DecodeRuneInString(body)
	return r >= '0' && r <= '9' || strings.ContainsRune("+-.−", r)
}

// opensDigit says whether a line starts with a digit, or a sign and a digit:
// then it is meant as a row, however wrong the rest.
func opensDigit(line string) bool {
	body := strings.TrimLeft(strings.TrimSpace(line), "\"+-.,")
	return opensNumber(line) && body != "" && isDigit(body[0])
}

// isBlank says whether nothing but spaces and separators is on the line.
func isBlank(line string) bool { return strings.Trim(line, " \t,;\"\u00a0") == "" }

// columnOf gives the character a byte stands at, counted from 1.
func columnOf(line string, at int) int { return utf8.RuneCountInString(line[:at]) + 1 }
