package page

import (
	"archive/zip"
	"bytes"
	"net/http"
	"testing"

	"bandwright/ask"
	"bandwright/report"
)

// The record comes in each of its forms; the package holds the very papers that
// are given alone, and what the question names.
func TestRecordForms(t *testing.T) {
	h := newPage(t).local()
	type reply struct{ Answer ask.RecordAnswer }
	said := read[reply](t, h, http.MethodPost, "/api/ask/record", map[string]string{"job": "bass-head"}).Answer
	got := map[string][]byte{}
	for form, as := range recordForms {
		w := sent(h, request(http.MethodGet, "/api/record/bass-head/"+form, ""))
		if w.Code != 200 || w.Header().Get("Content-Type") != as.kind {
			t.Fatalf("%s gives %d, %v: %.200s", form, w.Code, w.Header(), w.Body)
		}
		guarded(t, w)
		got[form] = w.Body.Bytes()
	}
	packed, err := zip.NewReader(bytes.NewReader(got["zip"]), int64(len(got["zip"])))
	if err != nil {
		t.Fatal(err)
	}
	if len(said.Files) == 0 || len(packed.File) != len(said.Files) {
		t.Errorf("%d files are packed and %d named", len(packed.File), len(said.Files))
	}
	sums := map[string]string{}
	for _, f := range said.Files {
		sums[f.Name] = f.SHA256
	}
	for form, name := range map[string]string{"pdf": report.PackagePaper, "html": report.PackagePage} {
		if sum := report.SumOf(got[form]); sum != sums[name] {
			t.Errorf("%s has the sum %s, and %s in the package %s", form, sum, name, sums[name])
		}
	}
	if w := sent(h, request(http.MethodGet, "/api/record/bass-head/exe", "")); w.Code != http.StatusNotFound {
		t.Errorf("no form gives %d", w.Code)
	}
}
