package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"

	"bandwright/job"
)

// example is one line that a page or a help text tells people to type.
type example struct{ where, line string }

// Every ```sh block of the readme and the docs, and every example of a help
// text, is run in a folder that holds the demo's files. Blocks of another
// language are not claimed to run there.
func TestExamplesRun(t *testing.T) {
	examples := helpExamples(t)
	pages := pageExamples(t)
	if len(pages) < 5 {
		t.Errorf("only %d examples in the readme and the docs", len(pages))
	}
	ran := map[string]bool{} // a line stands in many places, and does the same in each
	for _, e := range append(examples, pages...) {
		if ran[e.line] {
			continue
		}
		ran[e.line] = true
		t.Run(e.where, func(t *testing.T) { e.run(t) })
	}
}

func (e example) run(t *testing.T) {
	words, err := splitWords(e.line)
	if err != nil {
		t.Fatal(err)
	}
	if words[0] != "bandwright" {
		t.Fatalf("%q does not begin with bandwright", e.line)
	}
	t.Chdir(t.TempDir())
	if err := unpack("."); err != nil {
		t.Fatal(err)
	}
	prepare(t, words)
	var out, errors bytes.Buffer
	d := door{ctx: t.Context(), in: strings.NewReader(""), out: &out, err: &errors}
	if words[1] == "serve" { // which ends when it is stopped, here once it answers
		ctx, stop := context.WithCancel(d.ctx)
		d.ctx, d.out = ctx, told{&out, func(string) { stop() }}
	}
	code := run(d, words[1:])
	judges := slices.Contains([]string{"check", "compare", "feed", "volts", "runs", "ohms"}, words[1])
	if code != exitDone && !(judges && code == exitLook) {
		t.Errorf("%s\nends with %d\n%s", e.line, code, errors.String())
	}
	if out.Len() == 0 {
		t.Errorf("%s\nprints nothing", e.line)
	}
}

// prepare makes what an example finds in its folder beside the demo's files:
// what examples before it have written, and lists that a person filled in.
func prepare(t *testing.T, words []string) {
	t.Helper()
	if words[1] == "new" { // begins with no job there
		if err := os.Remove("job.toml"); err != nil {
			t.Fatal(err)
		}
		return
	}
	text, err := os.ReadFile("job.toml")
	if err != nil {
		t.Fatal(err)
	}
	list := []byte("kind;red;black;setting;reading\nohms;boost;cut;flat;\n")
	for name, text := range map[string][]byte{"board.toml": text, "ring-out.csv": list, "ohms.csv": list} {
		if slices.Contains(words, name) && !slices.Contains([]string{"--write", "--fill"}, words[slices.Index(words, name)-1]) {
			if err := os.WriteFile(name, text, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	if slices.Equal(words[1:], []string{"check", "record.zip"}) {
		var errors bytes.Buffer
		d := door{ctx: t.Context(), in: strings.NewReader(""), out: &bytes.Buffer{}, err: &errors}
		if code := run(d, []string{"record", "job.toml", "--out", "record.zip"}); code != exitDone {
			t.Fatal(errors.String())
		}
	}
}

// splitWords parts a line as a shell would, with single and double quotes and
// nothing else of a shell.
func splitWords(line string) ([]string, error) {
	var words []string
	var word strings.Builder
	open, quote := false, rune(0)
	for _, r := range line + " " {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word.WriteRune(r)
		case r == '"' || r == '\'':
			open, quote = true, r
		case r == ' ':
			if open {
				words = append(words, word.String())
			}
			open = false
			word.Reset()
		case strings.ContainsRune("|<>&;$`\\*?#", r):
			return nil, fmt.Errorf("%q needs a shell", line)
		default:
			open = true
			word.WriteRune(r)
		}
	}
	if quote != 0 || len(words) < 2 {
		return nil, fmt.Errorf("%q is no command line", line)
	}
	return words, nil
}

func pageExamples(t *testing.T) (examples []example) {
	t.Helper()
	pages, err := filepath.Glob(filepath.FromSlash("../../docs/*.md"))
	if err != nil {
		t.Fatal(err)
	}
	block := regexp.MustCompile("(?ms)^```sh\n(.*?)^```")
	for _, page := range append(pages, filepath.FromSlash("../../README.md")) {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range block.FindAllStringSubmatch(string(text), -1) {
			for _, line := range strings.Split(strings.TrimSpace(found[1]), "\n") {
				examples = append(examples, example{filepath.Base(page) + ": " + line, line})
			}
		}
	}
	return examples
}

func helpExamples(t *testing.T) (examples []example) {
	t.Helper()
	for _, verb := range verbNames(t) {
		var out bytes.Buffer
		if code := run(door{ctx: t.Context(), out: &out, err: &out}, []string{verb, "--help"}); code != exitDone {
			t.Errorf("%s --help ends with %d", verb, code)
		}
		_, after, _ := strings.Cut(out.String(), "Example")
		before := len(examples)
		for _, line := range strings.Split(after, "\n") {
			if line = strings.TrimSpace(line); strings.HasPrefix(line, "bandwright "+verb) {
				examples = append(examples, example{"help of " + verb + ": " + line, line})
			}
		}
		if len(examples) == before {
			t.Errorf("the help of %s has no example:\n%s", verb, out.String())
		}
		if verb != "serve" && !strings.Contains(out.String(), "--json") { // the page has no answer of its own
			t.Errorf("%s takes no --json", verb)
		}
	}
	return examples
}

func verbNames(t *testing.T) (names []string) {
	t.Helper()
	parser, err := kong.New(&cli{}, kong.Vars{"version": ""})
	if err != nil {
		t.Fatal(err)
	}
	for _, node := range parser.Model.Children {
		names = append(names, node.Name)
	}
	if len(names) < 9 {
		t.Fatalf("only %d verbs: %v", len(names), names)
	}
	return names
}

// The flags of new are the questions of room job, no more and no less.
func TestNewHasAFlagForEveryQuestion(t *testing.T) {
	flags := newVerb{}.flags()
	parser, err := kong.New(&cli{}, kong.Vars{"version": ""})
	if err != nil {
		t.Fatal(err)
	}
	var known []string
	for _, node := range parser.Model.Children {
		if node.Name == "new" {
			for _, flag := range node.Flags {
				known = append(known, flag.Name)
			}
		}
	}
	for _, q := range job.Questions() {
		if _, ok := flags[q.Key]; !ok || !slices.Contains(known, q.Key) {
			t.Errorf("question %q has no flag", q.Key)
		}
		delete(flags, q.Key)
	}
	for key := range flags {
		t.Errorf("flag --%s answers no question", key)
	}
}

// The licences are those of what the program is built from, in the versions
// it is built from.
func TestLicencesAreComplete(t *testing.T) {
	list, err := exec.Command("go", "list", "-deps",
		"-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{end}}{{end}}", ".").Output()
	if err != nil {
		t.Fatal(err)
	}
	have := map[string]bool{}
	for _, l := range licences(licenceText) {
		have[l.Module+" "+l.Version] = true
		if l.Kind == "" || len(l.Text) < 200 {
			t.Errorf("%s: kind %q, %d bytes of text", l.Module, l.Kind, len(l.Text))
		}
	}
	for _, module := range strings.Fields(strings.ReplaceAll(string(list), " ", "@")) {
		if !have[strings.ReplaceAll(module, "@", " ")] {
			t.Errorf("licences.txt lacks %s: run scripts/licences.sh", module)
		}
	}
}
