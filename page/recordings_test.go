package page

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/curve"
	"bandwright/shop"
)

// shortTest is a test recording of a few seconds.
func shortTest(t *testing.T) []byte {
	t.Helper()
	q := ask.StandardTest()
	q.Rate, q.Length, q.Silence, q.Pause, q.Set = 44100, "2 s", "0.5 s", "0.2 s", []string{"flat", "400=+1"}
	answer, _, err := q.Ask(t.Context(), ask.From{})
	if err != nil {
		t.Fatal(err)
	}
	var w bytes.Buffer
	if err := answer.Write(&w); err != nil {
		t.Fatal(err)
	}
	return w.Bytes()
}

// A recording is put beside the job, read, and its takes are written as the
// command writes them: the text of the take as bench has it, name and setting
// with it.
func TestRecordingToCurves(t *testing.T) {
	folder := t.TempDir()
	copyDemo(t, filepath.Join(folder, "bass-head"))
	h := pageOf(t, folder, os.Stderr).local()
	test := shortTest(t)
	if w := sent(h, request(http.MethodPut, "/api/jobs/bass-head/recordings/test.wav", string(test))); w.Code != http.StatusNoContent {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	rows := read[[]shop.RecordingRow](t, h, http.MethodGet, "/api/jobs/bass-head/recordings", nil)
	if len(rows) != 1 || rows[0] != (shop.RecordingRow{Name: "test.wav", Bytes: int64(len(test))}) {
		t.Errorf("beside the job are %v", rows)
	}
	type answered struct{ Answer bench.RecordingAnswer }
	said := read[answered](t, h, http.MethodPost, "/api/ask/recording",
		map[string]any{"job": "bass-head", "files": []string{"test.wav"}, "played": "test.wav", "generator": "600ohm"}).Answer
	if len(said.Takes) != 2 {
		t.Fatalf("%d takes", len(said.Takes))
	}
	for i, take := range said.Takes {
		got := read[Written](t, h, http.MethodPost, "/api/curve/write", map[string]any{"number": i + 1, "take": take})
		var want bytes.Buffer
		if err := curve.Write(&want, take.Curve()); err != nil {
			t.Fatal(err)
		}
		name, setting := []string{"01-flat.csv", "02-400-up-1.csv"}[i], []string{"flat", "400=+1"}[i]
		if got != (Written{Name: name, Text: want.String(), SHA256: shop.Version(want.Bytes()), Setting: setting}) {
			t.Errorf("take %d is written as %s, %s, %.300s", i+1, got.Name, got.Setting, got.Text)
		}
	}
}

// The test recording is the one that the question lays out, byte for byte.
func TestTakesRecording(t *testing.T) {
	s := newPage(t)
	const words = "?rate=44100&bits=16&pause=1s"
	r := request(http.MethodGet, "/api/takes/bass-head/wav"+words, "")
	signal, err := s.takesSignal(t.Context(), "bass-head", r.URL.Query())
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if err := signal.Write(&want); err != nil {
		t.Fatal(err)
	}
	w := sent(s.local(), r)
	if w.Code != http.StatusOK || !bytes.Equal(w.Body.Bytes(), want.Bytes()) || signal.Signal.Rate != 44100 || signal.Signal.Bits != 16 {
		t.Errorf("%d, %d bytes of %d", w.Code, w.Body.Len(), want.Len())
	}
	if kind := w.Header().Get("Content-Type"); kind != "audio/wav" {
		t.Errorf("it is %s", kind)
	}
}

// One that breaks off, or that has no end, leaves what was there.
func TestRecordingBreaksOff(t *testing.T) {
	folder := house(t)
	h := pageOf(t, folder, os.Stderr).local()
	before := everything(t, folder)
	for _, c := range []struct {
		name string
		body io.Reader
		want int
	}{
		{"the line breaks", io.MultiReader(strings.NewReader("RIFF"), iotest.ErrReader(errors.New("it broke"))), 400},
		{"it ends early", io.MultiReader(strings.NewReader("RIFF"), iotest.ErrReader(io.ErrUnexpectedEOF)), 400},
		{"it comes too slowly", io.MultiReader(strings.NewReader("RIFF"), iotest.ErrReader(os.ErrDeadlineExceeded)), 408},
	} {
		r := httptest.NewRequest(http.MethodPut, "http://127.0.0.1:8484/api/jobs/bass-head/recordings/new.wav", c.body)
		r.Header.Set("Origin", "http://127.0.0.1:8484")
		r.ContentLength = -1
		if w := sent(h, r); w.Code != c.want || !strings.Contains(w.Body.String(), string(IDRequest)) {
			t.Errorf("%s: %d, %s", c.name, w.Code, w.Body)
		}
		same(t, before, everything(t, folder))
	}
}
