package page

import (
	"bytes"
	"encoding/json"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/demo"
	"bandwright/golden"
	"bandwright/shop"
)

func TestMain(m *testing.M) { golden.Main(m) }

// pageOf serves a folder; faults are said to say.
func pageOf(t *testing.T, folder string, say io.Writer) *Server {
	t.Helper()
	kept, err := shop.Open(folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	})
	return New(t.Context(), Options{Shop: kept, Version: "test", Say: say})
}

// newPage serves a folder of its own with the demo's job in it.
func newPage(t *testing.T) *Server {
	t.Helper()
	folder := t.TempDir()
	copyDemo(t, filepath.Join(folder, "bass-head"))
	return pageOf(t, folder, os.Stderr)
}

func copyDemo(t *testing.T, to string) {
	t.Helper()
	from := demo.BassHead()
	err := fs.WalkDir(from, ".", func(name string, entry fs.DirEntry, err error) error {
		at := filepath.Join(to, filepath.FromSlash(name))
		if err != nil {
			return err
		}
		if entry.IsDir() {
			return os.MkdirAll(at, 0o777)
		}
		data, err := fs.ReadFile(from, name)
		if err != nil {
			return err
		}
		return os.WriteFile(at, data, 0o666)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// local is the page as this machine's browser reaches it.
func (s *Server) local() http.Handler {
	return s.handler([]string{"127.0.0.1", "localhost"}, "8484", "")
}

// request makes one as the page itself sends it.
func request(method, path, body string) *http.Request {
	r := httptest.NewRequest(method, "http://127.0.0.1:8484"+path, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	r.Header.Set("Origin", "http://127.0.0.1:8484")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

// sent gives the answer to a request.
func sent(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// read sends a request that must succeed, and reads its answer.
func read[T any](t *testing.T, h http.Handler, method, path string, body any) T {
	t.Helper()
	text := ""
	if body != nil {
		raw, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		text = string(raw)
	}
	w := sent(h, request(method, path, text))
	if w.Code >= 300 {
		t.Fatalf("%s %s gives %d: %s", method, path, w.Code, w.Body)
	}
	var into T
	if w.Code != http.StatusNoContent {
		if err := json.NewDecoder(bytes.NewReader(w.Body.Bytes())).Decode(&into); err != nil {
			t.Fatalf("%s %s: %v in %s", method, path, err, w.Body)
		}
	}
	return into
}
