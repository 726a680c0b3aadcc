// Package shop keeps jobs: their texts, and the files beside them, in one
// folder of the person's. It is the only room below the command that touches
// files; what it is handed as a name never leads out of that folder.
//
// A job is a folder with a job.toml in it, or a file NAME.toml of its own; its
// id is that folder's or file's name. A save is whole or not at all, and never
// replaces a text other than the one it was made from; processes that save in
// one folder take turns. What a dead save left is hidden, and cleared away by
// the next.
package shop

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What may stand in the way, to be told apart by errors.Is. Other errors are
// the system's own.
var (
	ErrNone    = errors.New("it is not there")
	ErrName    = errors.New("this cannot be the name of a file here")
	ErrTooBig  = errors.New("it is too long")
	ErrExists  = errors.New("it is there already, with other contents")
	ErrChanged = errors.New("it was changed meanwhile")
)

// MostFileBytes is the longest file beside a job.
const MostFileBytes = 16 << 20

// Version names a text by its SHA-256, in hex.
func Version(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

const (
	mostName = 100
	jobFile  = "job.toml"
)

// checkName refuses whatever is not the plain name of one file or folder: no
// way up or down, nothing hidden, nothing a file system takes for itself.
func checkName(name string) error {
	bad := len(name) == 0 || len(name) > mostName || !utf8.ValidString(name) || !filepath.IsLocal(name) ||
		strings.HasPrefix(name, ".") || strings.HasSuffix(name, ".") || strings.HasSuffix(name, " ") ||
		strings.ContainsAny(name, `/\:*?"<>|`) || strings.ContainsFunc(name, unicode.IsControl)
	if bad {
		return fmt.Errorf("%.60q: %w", name, ErrName)
	}
	return nil
}

// slug makes a folder's name of a title: its letters and digits, the rest as
// hyphens.
func slug(title string) string {
	var w strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			w.WriteRune(r)
		case w.Len() > 0 && !strings.HasSuffix(w.String(), "-"):
			w.WriteByte('-')
		}
		if w.Len() >= 40 {
			break
		}
	}
	if text := strings.Trim(w.String(), "-"); text != "" && checkName(text) == nil {
		return text
	}
	return "job"
}

// Reason is the system's own word for what went wrong, without the path,
// which whoever asked knows already and nobody else need know.
func Reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err.Error()
	}
	return err.Error()
}
