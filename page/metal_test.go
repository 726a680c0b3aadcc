package page

import (
	"bytes"
	"context"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"bandwright/demo"
)

// drawnMetal serves the demo's metalwork as a job of its own.
func drawnMetal(t *testing.T) *Server {
	t.Helper()
	folder := t.TempDir()
	copyDemo(t, filepath.Join(folder, "metal"))
	text, err := fs.ReadFile(demo.BassHead(), "metal.toml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "metal", "job.toml"), text, 0o666); err != nil {
		t.Fatal(err)
	}
	copyDemo(t, filepath.Join(folder, "bass-head"))
	return pageOf(t, folder, os.Stderr)
}

// Every drawing comes in every form, and is the very one that the question
// gives: beginning and kind as the form has them, bytes as drawn.
func TestMetalDrawings(t *testing.T) {
	s := drawnMetal(t)
	h := s.local()
	begins := map[string]string{"svg": "<svg ", "dxf": "  0\n", "pdf": "%PDF-"}
	for what, drawn := range metalDrawings {
		for form, kind := range metalForms {
			t.Run(what+" as "+form, func(t *testing.T) {
				w := sent(h, request(http.MethodGet, "/api/metal/metal/"+what+"/"+form, ""))
				if w.Code != 200 || w.Header().Get("Content-Type") != kind {
					t.Fatalf("%d, %v: %.200s", w.Code, w.Header(), w.Body)
				}
				if got, want := w.Header().Get("Content-Disposition"), `attachment; filename="`+what+"."+form+`"`; got != want {
					t.Errorf("it is %s, want %s", got, want)
				}
				if !bytes.HasPrefix(w.Body.Bytes(), []byte(begins[form])) {
					t.Errorf("it begins %.40q", w.Body)
				}
				var own bytes.Buffer
				if err := s.drawMetal(context.Background(), &own, "metal", drawn, form); err != nil {
					t.Fatal(err)
				}
				if !bytes.Equal(own.Bytes(), w.Body.Bytes()) {
					t.Error("asked again it is another")
				}
				guarded(t, w)
			})
		}
	}
}

// What cannot be drawn is refused, and why is said.
func TestMetalRefused(t *testing.T) {
	h := drawnMetal(t).local()
	for path, want := range map[string]int{
		"/api/metal/metal/panel/exe":        http.StatusNotFound,
		"/api/metal/metal/knob/svg":         http.StatusNotFound,
		"/api/metal/nobody/panel/svg":       http.StatusNotFound,
		"/api/metal/..%2foutside/panel/svg": http.StatusNotFound,
		"/api/metal/bass-head/panel/svg":    http.StatusUnprocessableEntity, // it says nothing of a panel
	} {
		if w := sent(h, request(http.MethodGet, path, "")); w.Code != want {
			t.Errorf("%s gives %d, want %d: %.200s", path, w.Code, want, w.Body)
		}
	}
}
