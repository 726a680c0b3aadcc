package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/ask"
)

// said runs a verb and gives what it prints, when it ends as it should.
func said(t *testing.T, code int, words ...string) string {
	t.Helper()
	var out, errors bytes.Buffer
	if got := run(door{ctx: t.Context(), in: strings.NewReader(""), out: &out, err: &errors}, words); got != code {
		t.Fatalf("%v ends with %d, want %d: %s", words, got, code, errors.String())
	}
	return out.String()
}

// The demo's record is complete: no entry is missing, every question of the
// work has its answer in the package, and all of it comes out again in an
// empty folder with nothing but the package.
func TestDemoRecordIsComplete(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := unpack("job"); err != nil {
		t.Fatal(err)
	}
	var reply struct{ Answer ask.RecordAnswer }
	if err := json.Unmarshal([]byte(said(t, exitDone, "record", filepath.Join("job", "done.toml"), "--out", "record.zip", "--pdf", "record.pdf", "--json")), &reply); err != nil {
		t.Fatal(err)
	}
	if len(reply.Answer.Missing) > 0 {
		t.Errorf("missing: %+v", reply.Answer.Missing)
	}
	all := ""
	for _, f := range reply.Answer.Files {
		all += f.Name + "\n"
	}
	for _, want := range []string{"job/done.toml", "job/link-cut.svg", "job/unit-a-flat.csv", "answers/sheet.json", "answers/feed.json", "answers/runs.json",
		"answers/ohms.json", "answers/powerup-bench.json", "answers/powerup-mains.json", "record.pdf", "record.html", "contents.sha256", "paper.sha256"} {
		if !strings.Contains(all, want+"\n") {
			t.Errorf("no %s in the package", want)
		}
	}
	if err := os.RemoveAll("job"); err != nil { // there is nothing but the package
		t.Fatal(err)
	}
	if text := said(t, exitDone, "check", "record.zip"); !strings.Contains(text, "The package is whole, and every figure comes out again.") {
		t.Errorf("worked out again:\n%s", text)
	}
}

// A package of format 1, made when that was new, opens for ever, and its
// figures come out within a millionth. It is never made again.
func TestFirstPackage(t *testing.T) {
	text := said(t, exitDone, "check", filepath.Join("testdata", "format-1.zip"))
	if !strings.Contains(text, "The package is whole, and every figure comes out again.") {
		t.Errorf("format 1:\n%s", text)
	}
}
