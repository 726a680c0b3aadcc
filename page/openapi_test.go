package page

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/golden"
)

// The description of the page, which the interface's types are made from. A
// change of it shows here first: go test ./page -update, and then make page.
func TestContract(t *testing.T) {
	s := newPage(t)
	text, err := json.Marshal(s.api.OpenAPI())
	if err != nil {
		t.Fatal(err)
	}
	var w bytes.Buffer
	if err := json.Indent(&w, text, "", "  "); err != nil {
		t.Fatal(err)
	}
	w.WriteByte('\n')
	golden.Check(t, "openapi.json", w.Bytes())
}

// docs/page.md tells of every operation; the questions are those of the command.
func TestOperationsAreTold(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "docs", "page.md"))
	if err != nil {
		t.Fatal(err)
	}
	paths := newPage(t).api.OpenAPI().Paths
	if len(paths) < 20 {
		t.Fatalf("%d operations: the test sees nothing", len(paths))
	}
	for path := range paths {
		for _, many := range []string{"ask", "keep"} {
			if strings.HasPrefix(path, "/api/"+many+"/") {
				path = "/api/" + many + "/{question}"
			}
		}
		if told := strings.NewReplacer("{id}", "ID", "{question}", "QUESTION", "{name}", "NAME").Replace(path); !strings.Contains(string(text), told+"`") {
			t.Errorf("%s is not told of", told)
		}
	}
}
