package bench

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"bandwright/demo"
	"bandwright/finding"
	"bandwright/golden"
)

func TestMain(m *testing.M) { golden.Main(m) }

// none is a folder without files.
var none = fstest.MapFS{}

// demoText gives the demo job without its curves: only the circuit.
func demoText(t *testing.T) string {
	t.Helper()
	text, err := fs.ReadFile(demo.BassHead(), "job.toml")
	if err != nil {
		t.Fatal(err)
	}
	before, _, ok := strings.Cut(string(text), "[[curve]]")
	if !ok {
		t.Fatal("the demo names no curve")
	}
	return before
}

// edited exchanges one piece of a text, which must be there once.
func edited(t *testing.T, text, old, new string) string {
	t.Helper()
	if n := strings.Count(text, old); n != 1 {
		t.Fatalf("%q stands %d times in the text", old, n)
	}
	return strings.Replace(text, old, new, 1)
}

func opened(t *testing.T, text string, files fs.FS) (*Case, finding.List) {
	t.Helper()
	c, found := Open(context.Background(), "job.toml", []byte(text), files)
	if err := found.Err(); err != nil || c == nil {
		t.Fatalf("%v\n%s", found, text[max(0, len(text)-400):])
	}
	return c, found
}

// refused opens a job that must not open, and asks that every error leads to
// the file.
func refused(t *testing.T, text string, files fs.FS) finding.List {
	t.Helper()
	c, found := Open(context.Background(), "job.toml", []byte(text), files)
	if c != nil || found.Err() == nil {
		t.Fatalf("a case came of it: %v", found)
	}
	return found
}

func has(list finding.List, id finding.ID) (finding.Finding, bool) {
	for _, f := range list {
		if f.ID == id {
			return f, true
		}
	}
	return finding.Finding{}, false
}

// question is one method of a Case.
type question struct {
	name string
	ask  func(ctx context.Context, c *Case) (any, finding.List, error)
}

func questions() []question {
	return []question{
		{"bands", func(ctx context.Context, c *Case) (any, finding.List, error) { return ask(c.Bands(ctx, "")) }},
		{"bands with 400 up", func(ctx context.Context, c *Case) (any, finding.List, error) { return ask(c.Bands(ctx, "400=+1")) }},
		{"predict", func(ctx context.Context, c *Case) (any, finding.List, error) {
			return ask(c.Predict(ctx, "63=+1,lift", nil))
		}},
		{"volts", func(ctx context.Context, c *Case) (any, finding.List, error) { return ask(c.Volts(ctx, "lift")) }},
		{"noise", func(ctx context.Context, c *Case) (any, finding.List, error) { return ask(c.Noise(ctx, "flat")) }},
		{"compare", func(ctx context.Context, c *Case) (any, finding.List, error) { return ask(c.Compare(ctx)) }},
		{"sheet", func(ctx context.Context, c *Case) (any, finding.List, error) { return ask(c.Sheet(ctx)) }},
	}
}

// ask keeps a nil answer nil.
func ask[T any](a *T, found finding.List, err error) (any, finding.List, error) {
	if a == nil {
		return nil, found, err
	}
	return a, found, err
}

// bytesOf asks everything and gives all of it in one text.
func bytesOf(t *testing.T, c *Case) string {
	t.Helper()
	var all strings.Builder
	for _, q := range questions() {
		a, found, err := q.ask(context.Background(), c)
		if err != nil {
			t.Errorf("%s: %v", q.name, err)
			return ""
		}
		for _, v := range []any{a, found} {
			text, err := json.Marshal(v)
			if err != nil {
				t.Errorf("%s: %v", q.name, err)
			}
			all.Write(text)
		}
	}
	return all.String()
}

// Every answer goes to JSON and comes back as it was. Only a level is written
// as a word that is not read back; it is looked at by itself.
func TestAnswersGoToJSONAndBack(t *testing.T) {
	c := demoCase(t)
	for _, q := range questions() {
		a, _, err := q.ask(context.Background(), c)
		if err != nil {
			t.Errorf("%s: %v", q.name, err)
			continue
		}
		text, err := json.Marshal(a)
		if err != nil {
			t.Errorf("%s: %v", q.name, err)
			continue
		}
		const word, blank, note = `"worst":"warning"`, `"worst":null`, `"worst":"note"`
		levels := strings.Count(string(text), word)
		if want := strings.Count(" compare sheet", " "+q.name); levels != want {
			t.Errorf("%s: %d levels, want %d", q.name, levels, want)
		}
		back := reflect.New(reflect.TypeOf(a).Elem()).Interface()
		if err := json.Unmarshal([]byte(strings.ReplaceAll(string(text), word, blank)), back); err != nil {
			t.Errorf("%s: %v", q.name, err)
			continue
		}
		again, err := json.Marshal(back)
		if want := strings.ReplaceAll(string(text), word, note); err != nil || string(again) != want {
			t.Errorf("%s: read back differently: %v, %s", q.name, err, firstDifference(want, string(again)))
		}
	}
}

// Two opens, eight readers at once and another number of processors give the
// same bytes.
func TestSameBytes(t *testing.T) {
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	want := bytesOf(t, demoCase(t))
	for _, word := range []string{"NaN", "Inf", "inf"} {
		if strings.Contains(want, word) {
			t.Errorf("%s in the answers", word)
		}
	}
	runtime.GOMAXPROCS(2)
	c := demoCase(t)
	var got [8]string
	var wait sync.WaitGroup
	for i := range got {
		wait.Go(func() { got[i] = bytesOf(t, c) })
	}
	wait.Wait()
	for i := range got {
		if got[i] != want {
			t.Errorf("reader %d: %s", i, firstDifference(want, got[i]))
		}
	}
}

func firstDifference(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	return fmt.Sprintf("%q became %q", a[max(0, i-60):min(len(a), i+40)], b[max(0, i-60):min(len(b), i+40)])
}

// The answers of the demo, on file.
func TestDemoAnswersGolden(t *testing.T) {
	c := demoCase(t)
	for _, q := range questions()[:4] {
		a, _, err := q.ask(context.Background(), c)
		if err != nil {
			t.Fatal(err)
		}
		if p, ok := a.(*PredictAnswer); ok {
			p.Residual = new(float64) // of the last bits alone
			p.Rows = p.Rows[:0:0]
			sparse, _, err := c.Predict(context.Background(), "63=+1,lift", []float64{20, 63, 400, 1000, 6300, 20000})
			if err != nil {
				t.Fatal(err)
			}
			p.Rows = sparse.Rows
		}
		text, err := json.MarshalIndent(a, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		name := "demo-" + strings.ReplaceAll(q.name, " ", "-") + ".json"
		golden.CheckNumbers(t, name, append(text, '\n'), golden.Tolerance{Rel: 1e-9, Abs: 1e-9})
	}
}

// A stopped context ends every method with its own error, and the case can be
// asked on.
func TestStopped(t *testing.T) {
	stopped, stop := context.WithCancel(context.Background())
	stop()
	c, text := demoCase(t), ""
	for round := range 2 { // the second time everything is remembered
		for _, q := range questions() {
			if a, _, err := q.ask(stopped, c); !errors.Is(err, context.Canceled) || a != nil {
				t.Errorf("round %d, %s: %v, %v", round, q.name, a != nil, err)
			}
		}
		text = bytesOf(t, c)
	}
	if want := bytesOf(t, demoCase(t)); text != want {
		t.Error("a stopped question has left something behind")
	}
	stoppedCase, found := Open(stopped, "job.toml", []byte(demoText(t)), none)
	if _, ok := has(found, IDStopped); !ok || stoppedCase != nil || len(found) != 1 {
		t.Errorf("open: %v", found)
	}
}

// No malformed job opens, and each of them says where.
func TestMalformedJobs(t *testing.T) {
	files, err := filepath.Glob("../job/testdata/bad/*.toml")
	if err != nil || len(files) < 40 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range refused(t, string(text), none) {
			if f.Place.File != "job.toml" || f.Place.Line < 1 {
				t.Errorf("%s: %v", file, f)
			}
		}
	}
}

// Cut off or damaged anywhere, a job gives a case or findings, never a panic.
func TestDamagedJobs(t *testing.T) {
	text := demoText(t)
	for n := 0; n < len(text); n += 97 {
		c, found := Open(context.Background(), "job.toml", []byte(text[:n]), none)
		if (c == nil) != (found.Err() != nil) {
			t.Errorf("cut at %d: case %v, %v", n, c != nil, found)
		}
		damaged := []byte(text)
		damaged[n] ^= 5
		c, found = Open(context.Background(), "job.toml", damaged, none)
		if (c == nil) != (found.Err() != nil) {
			t.Errorf("damaged at %d: case %v, %v", n, c != nil, found)
		}
	}
}
