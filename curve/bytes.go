package curve

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"bandwright/finding"
)

// The bounds of what is read from a file.
const (
	MaxBytes = 64 << 20
	MaxRows  = 2_000_000
	maxLine  = 64 << 10
	// Titles and blank lines come on top of the rows.
	maxLines = MaxRows + 20_000
)

// load takes in the whole file, notes its check-sum and gives it as text.
func load(r io.Reader, u *Understood) (string, error) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return "", fmt.Errorf("curve: %w", err)
	}
	if len(raw) > MaxBytes {
		return "", u.fail(IDTooLarge, 0, finding.Args{"limit": MaxBytes})
	}
	sum := sha256.Sum256(raw)
	u.Bytes, u.SHA256 = len(raw), hex.EncodeToString(sum[:])
	if kind := otherKind(raw); kind != "" {
		return "", u.fail(IDNotTable, 1, finding.Args{"kind": kind})
	}
	text := decode(raw, u)
	if strings.TrimSpace(text) == "" {
		return "", u.fail(IDEmpty, 0, nil)
	}
	if strings.IndexByte(text, 0) >= 0 {
		return "", u.fail(IDNotTable, 1, finding.Args{"kind": "binary data"})
	}
	return text, nil
}

// otherKind names what the bytes are when they open like no table does.
// "%" and "{" open comments and titles too, so those look further.
func otherKind(raw []byte) string {
	head := bytes.TrimPrefix(raw[:min(len(raw), 512)], []byte("\xef\xbb\xbf"))
	text := strings.ToLower(strings.TrimSpace(string(head)))
	for _, k := range [...]struct{ opening, kind string }{
		{"%pdf-", "PDF"}, {"pk\x03\x04", "spreadsheet or archive"},
		{"\xd0\xcf\x11\xe0", "spreadsheet or archive"}, {"\x1f\x8b", "spreadsheet or archive"},
		{"riff", "sound file"}, {"rf64", "sound file"}, {"<?xml", "XML"},
		{"<!doctype", "web page"}, {"<html", "web page"}, {"<", "web page"},
		{"{\"", "JSON"}, {"{\n", "JSON"}, {"{\r", "JSON"}, {"[{", "JSON"}, {"[[", "JSON"},
	} {
		// ToLower spoils bytes that are not UTF-8: those are looked for as they are.
		if strings.HasPrefix(text, k.opening) || bytes.HasPrefix(head, []byte(k.opening)) {
			return k.kind
		}
	}
	return ""
}

// decode gives UTF-8 text whatever the bytes were, and notes what they were.
func decode(raw []byte, u *Understood) string {
	text, encoding, order := Text(raw)
	switch u.Encoding = encoding; encoding {
	case "UTF-16":
		u.note(IDUTF16, finding.Note, 0, finding.Args{"order": order})
	case "Latin-1":
		u.note(IDNotUTF8, finding.Note, 0, nil)
	}
	return text
}

// Text gives UTF-8 text whatever the bytes of a table were, and says what they
// were: "UTF-8", "UTF-16" with its order, "little-endian" or "big-endian", or
// "Latin-1", as which all else is read: in it the micro and degree signs of
// older programs come out right.
func Text(raw []byte) (text, encoding, order string) {
	raw = bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf"))
	if big, ok := wide(raw); ok {
		order = "little-endian"
		if big {
			order = "big-endian"
		}
		return fromUTF16(raw, big), "UTF-16", order
	}
	if utf8.Valid(raw) {
		return string(raw), "UTF-8", ""
	}
	var latin strings.Builder
	for _, b := range raw {
		latin.WriteRune(rune(b))
	}
	return latin.String(), "Latin-1", ""
}

// wide says whether the bytes are UTF-16, and in which order: by their mark,
// or because every other byte of the opening is zero, as in plain Latin text.
func wide(raw []byte) (big, ok bool) {
	if len(raw) < 2 {
		return false, false
	}
	switch {
	case raw[0] == 0xff && raw[1] == 0xfe:
		return false, true
	case raw[0] == 0xfe && raw[1] == 0xff:
		return true, true
	}
	var zeros [2]int
	head := raw[:min(len(raw), 256)&^1]
	for i, b := range head {
		if b == 0 {
			zeros[i&1]++
		}
	}
	pairs := len(head) / 2
	if zeros[1] > pairs*3/4 && zeros[0] == 0 {
		return false, true
	}
	return true, zeros[0] > pairs*3/4 && zeros[1] == 0
}

func fromUTF16(raw []byte, big bool) string {
	units := make([]uint16, len(raw)/2)
	for i := range units {
		low, high := raw[2*i], raw[2*i+1]
		if big {
			low, high = high, low
		}
		units[i] = uint16(high)<<8 | uint16(low)
	}
	return strings.TrimPrefix(string(utf16.Decode(units)), "\ufeff")
}

// splitLines cuts at LF, CR or CRLF. ended says whether the last line had its
// end: a file that broke off has not.
func splitLines(text string, u *Understood) (lines []string, ended bool, err error) {
	for text != "" {
		end := strings.IndexAny(text, "\r\n")
		line, rest := text, ""
		if ended = end >= 0; ended {
			skip := 1
			if strings.HasPrefix(text[end:], "\r\n") {
				skip = 2
			}
			line, rest = text[:end], text[end+skip:]
		}
		lines, text = append(lines, line), rest
		if len(line) > maxLine {
			return nil, false, u.fail(IDLineTooLong, len(lines), finding.Args{"limit": maxLine})
		}
		if len(lines) > maxLines {
			return nil, false, u.fail(IDTooManyRows, len(lines), finding.Args{"limit": MaxRows})
		}
	}
	return lines, ended, nil
}
