package page

import (
	"bytes"
	"encoding/json"
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
