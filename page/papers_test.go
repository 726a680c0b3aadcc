package page

import (
	"archive/zip"
	"bytes"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/demo"
)

// finished is the page on the demo's job, and on the same when all is done.
func finished(t *testing.T) http.Handler {
	t.Helper()
	folder := t.TempDir()
	copyDemo(t, filepath.Join(folder, "bass-head"))
	copyDemo(t, filepath.Join(folder, "done"))
	text, err := fs.ReadFile(demo.BassHead(), "done.toml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "done", "job.toml"), text, 0o666); err != nil {
		t.Fatal(err)
	}
	return pageOf(t, folder, os.Stderr).local()
}

// Every sheet that has a question comes as page and as PDF, with the cautions
// on it; one that the job has nothing for is refused with why.
func TestPapers(t *testing.T) {
	h := finished(t)
	for of, heading := range map[string]string{"runs": "Run sheet", "ohms&list=quick": "Ring-out", "feed": "Feed and ratings",
		"powerup&stage=mains&rail=409V&skip=bench:no+supply": "SKIPPED"} {
		t.Run(of, func(t *testing.T) {
			w := sent(h, request(http.MethodGet, "/api/sheet/done/html?of="+of, ""))
			if text := w.Body.String(); w.Code != 200 || !strings.Contains(text, heading) || !strings.Contains(text, "Mains and high tension kill") {
				t.Errorf("%d: %.300s", w.Code, text)
			}
			guarded(t, w)
		})
	}
	if w := sent(h, request(http.MethodGet, "/api/sheet/done/pdf?of=feed", "")); w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) {
		t.Errorf("as PDF %d: %.300s", w.Code, w.Body)
	}
	for of, want := range map[string]int{"runs": 422, "feed": 422, "ohms&stage=never": 422, "powerup&stage=never": 422, "smell": 404} {
		if w := sent(h, request(http.MethodGet, "/api/sheet/bass-head/html?of="+of, "")); w.Code != want {
			t.Errorf("%s of a job without it: %d, want %d: %.300s", of, w.Code, want, w.Body)
		}
	}
}

// The record is handed over as package, as PDF and as a page.
func TestRecordOverHTTP(t *testing.T) {
	h := finished(t)
	w := sent(h, request(http.MethodGet, "/api/record/bass-head/zip", ""))
	z, err := zip.NewReader(bytes.NewReader(w.Body.Bytes()), int64(w.Body.Len()))
	if w.Code != 200 || err != nil || w.Header().Get("Content-Type") != "application/zip" {
		t.Fatalf("%d, %v, %v", w.Code, err, w.Header())
	}
	if _, err := z.Open("job/job.toml"); err != nil {
		t.Error(err)
	}
	if w := sent(h, request(http.MethodGet, "/api/record/bass-head/pdf", "")); w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) {
		t.Errorf("as PDF %d: %.300s", w.Code, w.Body)
	}
	w = sent(h, request(http.MethodGet, "/api/record/bass-head/html", ""))
	if w.Code != 200 || !strings.Contains(w.Body.String(), "Keep inside the chassis") {
		t.Errorf("as a page %d: %.300s", w.Code, w.Body)
	}
	guarded(t, w)
	for path, want := range map[string]int{"/api/record/bass-head/exe": 404, "/api/record/none/zip": 404, "/api/record/..%2foutside/zip": 404} {
		if w := sent(h, request(http.MethodGet, path, "")); w.Code != want {
			t.Errorf("%s: %d, want %d", path, w.Code, want)
		}
	}
}
