package shop

import (
	"errors"
	"io"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A recording comes in parts; whatever goes wrong meanwhile leaves what was
// there, and no part of it.
func TestRecordingWholeOrNotAtAll(t *testing.T) {
	folder := begun(t)
	f := opened(t, folder)
	before, _ := seen(t, folder)
	broke := errors.New("the line broke")
	for _, c := range []struct {
		name string
		from io.Reader
		want error
	}{
		{"new.wav", io.MultiReader(strings.NewReader("RIFF"), failing{broke}), broke},
		{"same.wav", strings.NewReader("RIFFmore"), ErrExists},
		{"same.wav", io.MultiReader(strings.NewReader("RIFF"), failing{broke}), broke},
		{"new.csv", strings.NewReader("RIFF"), ErrName},
		{"wav", strings.NewReader("RIFF"), ErrName},
		{"../new.wav", strings.NewReader("RIFF"), ErrName},
		{".new.wav", strings.NewReader("RIFF"), ErrName},
	} {
		if err := f.KeepRecording("a", c.name, c.from); !errors.Is(err, c.want) {
			t.Errorf("%s gives %v, want %v", c.name, err, c.want)
		}
		after, hidden := seen(t, folder)
		if !maps.Equal(before, after) || len(hidden) > 0 {
			t.Errorf("%s: %v is left, and %v hidden", c.name, after, hidden)
		}
	}
	if err := f.KeepRecording("nobody", "new.wav", strings.NewReader("RIFF")); !errors.Is(err, ErrNone) {
		t.Errorf("beside no job: %v", err)
	}
	if err := f.KeepRecording("a", "same.wav", strings.NewReader("RIFF")); err != nil {
		t.Errorf("the same again: %v", err)
	}
}

// While a recording comes, jobs are saved all the same, and another of the
// same name waits outside.
func TestRecordingHoldsNobodyUp(t *testing.T) {
	f := opened(t, begun(t))
	from, to := io.Pipe()
	ended := make(chan error)
	go func() { ended <- f.KeepRecording("a", "take.wav", from) }()
	if _, err := io.WriteString(to, "RIFF"); err != nil {
		t.Fatal(err)
	}
	if err := f.Save("a", []byte(nextText), Version([]byte(firstText))); err != nil {
		t.Errorf("a save meanwhile: %v", err)
	}
	if err := f.KeepRecording("a", "take.wav", strings.NewReader("RIFF")); !errors.Is(err, ErrExists) {
		t.Errorf("the same name meanwhile: %v", err)
	}
	if _, err := io.WriteString(to, "more"); err != nil {
		t.Fatal(err)
	}
	_ = to.Close() // a pipe's never fails
	if err := <-ended; err != nil {
		t.Error(err)
	}
	rows, err := f.Recordings("a")
	if err != nil || len(rows) != 2 || rows[0] != (RecordingRow{"same.wav", 4}) || rows[1] != (RecordingRow{"take.wav", 8}) {
		t.Errorf("beside the job are %v, %v", rows, err)
	}
}

// The list holds what can be opened as a recording and nothing else; a copy of
// the job goes without them.
func TestRecordingsBeside(t *testing.T) {
	folder := begun(t)
	outside := filepath.Join(t.TempDir(), "secret.wav")
	err := errors.Join(os.WriteFile(outside, []byte("RIFF"), 0o666), os.Symlink(outside, filepath.Join(folder, "a", "led-out.wav")),
		os.Mkdir(filepath.Join(folder, "a", "folder.wav"), 0o777), os.WriteFile(filepath.Join(folder, "a", ".hidden.wav"), nil, 0o666))
	if err != nil {
		t.Fatal(err)
	}
	f := opened(t, folder)
	rows, err := f.Recordings("a")
	if err != nil || len(rows) != 1 || rows[0].Name != "same.wav" {
		t.Errorf("beside the job are %v, %v", rows, err)
	}
	if _, err := f.Recordings("nobody"); !errors.Is(err, ErrNone) {
		t.Errorf("beside no job: %v", err)
	}
	if err := f.KeepRecording("a", "led-out.wav", strings.NewReader("other")); err == nil {
		t.Error("written through a link to outside")
	}
	if text, _ := os.ReadFile(outside); string(text) != "RIFF" {
		t.Errorf("outside is %q", text)
	}
	if err := os.Remove(filepath.Join(folder, "a", "led-out.wav")); err != nil {
		t.Fatal(err)
	}
	id, err := f.Duplicate("a")
	if err != nil {
		t.Fatal(err)
	}
	if rows, err := f.Recordings(id); err != nil || len(rows) != 0 {
		t.Errorf("beside the copy are %v, %v", rows, err)
	}
	if _, err := f.File(id, "old.csv"); err != nil {
		t.Errorf("the copy lacks its curve: %v", err)
	}
}

// As much as a recording may be long passes, and not a byte more.
func TestRecordingBound(t *testing.T) {
	for over, want := range map[int]error{-1: nil, 0: nil, 1: ErrTooBig, 1000: ErrTooBig} {
		text := strings.Repeat("1", 1<<20+over)
		var w strings.Builder
		if err := flow(&w, strings.NewReader(text), 1<<20); !errors.Is(err, want) || want == nil && w.String() != text {
			t.Errorf("%d bytes over: %v and %d bytes", over, err, w.Len())
		}
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }
