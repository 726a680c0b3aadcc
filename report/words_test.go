package report

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bandwright/finding"
)

// declared finds every ID that a room declares, with the folder it stands in,
// by reading the source: const … finding.ID = "…".
func declared(t *testing.T) map[finding.ID]string {
	t.Helper()
	ids := map[finding.ID]string{}
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Logf("%s: %v", path, err)
			return nil
		}
		for _, d := range file.Decls {
			if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.CONST {
				for _, s := range g.Specs {
					collect(t, ids, s.(*ast.ValueSpec), path)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(ids) < 50 {
		t.Fatalf("only %d IDs were found in the source", len(ids))
	}
	return ids
}

func collect(t *testing.T, ids map[finding.ID]string, s *ast.ValueSpec, path string) {
	name := ""
	switch kind := s.Type.(type) {
	case *ast.SelectorExpr:
		name = kind.Sel.Name
	case *ast.Ident:
		name = kind.Name
	}
	if name != "ID" {
		return
	}
	for _, v := range s.Values {
		if literal, ok := v.(*ast.BasicLit); ok {
			id, err := strconv.Unquote(literal.Value)
			if err != nil {
				t.Fatal(err)
			}
			if other, twice := ids[finding.ID(id)]; twice {
				t.Errorf("%s is declared in %s and in %s", id, other, filepath.Dir(path))
			}
			ids[finding.ID(id)] = filepath.Dir(path)
		}
	}
}

func TestEveryFindingIsWorded(t *testing.T) {
	words, ids := table(), declared(t)
	for id, room := range ids {
		if _, ok := words[id]; !ok {
			t.Errorf("%s (declared in %s) has no words", id, room)
		}
	}
	for id := range words {
		if _, ok := ids[id]; !ok {
			t.Errorf("%s has words, but no room declares it", id)
		}
	}
}

// Every fact a sentence uses is one its room documents or writes, or a place;
// and every sentence can be parsed and is a sentence.
func TestWordsUseFactsThatExist(t *testing.T) {
	facts := regexp.MustCompile(`[^.\w$]\.([a-z_]+)|\$\.([a-z_]+)`)
	place := map[string]bool{"point": true, "part": true, "band": true, "setting": true, "file": true, "line": true}
	for id, room := range declared(t) {
		w, ok := table()[id]
		if !ok {
			continue
		}
		source := sourceOf(t, room)
		if strings.HasSuffix(room, "quantity") {
			source += " key" // added by job when it places the finding in a file
		}
		for _, text := range []string{w.say, w.hint} {
			if _, err := parse(text); err != nil {
				t.Errorf("%s: %v", id, err)
			}
			for _, action := range regexp.MustCompile(`{{[^}]*}}`).FindAllString(text, -1) {
				for _, m := range facts.FindAllStringSubmatch(action, -1) {
					if fact := m[1] + m[2]; !place[fact] && !regexp.MustCompile(`\b`+fact+`\b`).MatchString(source) {
						t.Errorf("%s uses {%s}, which room %s does not know", id, fact, filepath.Base(room))
					}
				}
			}
		}
		if w.say == "" || !strings.ContainsAny(w.say[len(w.say)-1:], ".}?") {
			t.Errorf("%s: %q is not a sentence", id, w.say)
		}
	}
}

func sourceOf(t *testing.T, room string) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(room, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		b.Write(text)
	}
	return b.String()
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		name string
		f    finding.Finding
		want string
	}{
		{"place, unit and hint",
			finding.New("curve.frequency-out-of-range", finding.Error, finding.Place{File: "a.csv", Line: 3, Column: 1}, finding.Args{"hz": 2e6, "low": 0.1, "high": 500e3}),
			"error: a.csv:3:1: 2 MHz is no frequency of an audio curve; 0.1 Hz to 500 kHz are read.\n  hint: Hz or kHz? Is this the frequency column?"},
		{"two meanings",
			finding.New("quantity.ambiguous", finding.Error, finding.Place{}, finding.Args{"read": "4,700", "unit": "ohm", "one": 4.7, "other": 4700.0, "like": "4k7"}),
			"error: “4,700” may mean 4.7 Ω or 4.7 kΩ.\n  hint: Write the one that is meant, for example 4k7."},
		{"an absent fact that may be absent",
			finding.New("job.unknown-key", finding.Error, finding.Place{File: "job.toml", Line: 7}, finding.Args{"key": "band.coli", "table": "band", "nearest": "band.coil"}),
			"error: job.toml:7: band.coli is not a key of band.\n  hint: Did you mean band.coil?"},
		{"no hint",
			finding.New("curve.unsorted", finding.Note, finding.Place{}, nil),
			"note: The rows were put in order of frequency."},
		{"an id without words is shown, not swallowed",
			finding.New("elsewhere.odd", finding.Warning, finding.Place{Part: "q1"}, finding.Args{"x": 3}),
			"warning: part q1: elsewhere.odd at part q1 x=3"},
		{"a fact is missing",
			finding.New("curve.one-column", finding.Error, finding.Place{}, nil),
			"error: curve.one-column"},
	} {
		got := Text(c.f)
		if c.name == "a fact is missing" {
			got = strings.SplitN(got, "\n", 2)[0]
		}
		if got != c.want {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, c.want)
		}
	}
}
