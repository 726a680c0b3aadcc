package demo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"testing"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
)

func demoJob(t *testing.T) *job.Job {
	t.Helper()
	text, err := fs.ReadFile(BassHead(), "job.toml")
	if err != nil {
		t.Fatal(err)
	}
	j, found := job.Decode("job.toml", text)
	for _, f := range found {
		if f.Level > finding.Note {
			t.Error(f)
		}
	}
	if j == nil {
		t.Fatal("no job")
	}
	return j
}

// The job is read without a finding, says that it is invented, and is
// complete where the work has come to, blank where it has not.
func TestJob(t *testing.T) {
	j := demoJob(t)
	if !j.Invented {
		t.Error("the job does not say that it is invented")
	}
	if len(j.Bands) != 6 || j.Driver.Drawing != "two-transistor" || j.Lift == nil || j.Bypass == nil {
		t.Errorf("%d bands, driver %q, lift %v, bypass %v", len(j.Bands), j.Driver.Drawing, j.Lift, j.Bypass)
	}
	for _, b := range j.Bands {
		if b.Coil.MeasuredValue == nil || b.Coil.Measured.Frequency == nil || b.Capacitor.MeasuredValue == nil {
			t.Errorf("band %s is not measured", b.Name)
		}
	}
	done := 0
	for i, s := range j.Fitting {
		if s.Done != "" {
			if done != i {
				t.Errorf("step %d is done before one above it", i+1)
			}
			done++
		}
	}
	if len(j.Fitting) < 20 || done == 0 || done == len(j.Fitting) {
		t.Errorf("%d of %d steps done", done, len(j.Fitting))
	}
	if j.Safety.EarthBond != "" || j.Safety.Leakage != "" || j.Safety.Insulation != "" {
		t.Error("a safety reading was invented")
	}
}

// Every curve named is carried, with the check-sum the job gives.
func TestCurves(t *testing.T) {
	j := demoJob(t)
	units := map[string]int{}
	for _, c := range j.Curves {
		text, err := fs.ReadFile(BassHead(), c.File)
		if err != nil {
			t.Error(err)
			continue
		}
		if sum := sha256.Sum256(text); hex.EncodeToString(sum[:]) != c.SHA256 {
			t.Errorf("%s: check-sum differs", c.File)
		}
		if !c.Invented {
			t.Errorf("%s does not say that it is invented", c.Name)
		}
		units[c.Unit]++
		understand(t, c, text)
	}
	if units["A"] < 10 || units["B"] < 10 {
		t.Errorf("curves by unit: %v", units)
	}
}

// understand reads a curve with nothing said about its form: what its header
// and its rows tell must do, without a question.
func understand(t *testing.T, c job.Curve, text []byte) {
	t.Helper()
	got, u, err := curve.Read(bytes.NewReader(text), curve.As{})
	if err != nil {
		t.Errorf("%s: %v", c.File, err)
		return
	}
	for _, f := range u.Findings {
		t.Errorf("%s: %v", c.File, f)
	}
	want := [5]string{"comma", "point", "Hz", "dB", "degrees"}
	if c.Unit == "B" {
		want = [5]string{"semicolon", "comma", "kHz", "dB", "none"}
	}
	if is := [5]string{u.Separator.Is, u.Decimal.Is, u.Frequency.Is, u.Gain.Is, u.Phase.Is}; is != want {
		t.Errorf("%s was understood as %v, want %v", c.File, is, want)
	}
	if n := len(got.Hz); n < 470 || got.Hz[0] != 20 || got.Hz[n-1] != 20e3 || (got.Degrees != nil) != (c.Unit == "A") {
		t.Errorf("%s: %d points, phase %v", c.File, n, got.Degrees != nil)
	}
}

// What is embedded is what lies in the folder.
func TestEmbedded(t *testing.T) {
	disk := os.DirFS("bass-head")
	files := 0
	err := fs.WalkDir(disk, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files++
		want, err := fs.ReadFile(disk, name)
		if err != nil {
			return err
		}
		got, err := fs.ReadFile(BassHead(), name)
		if err != nil || string(got) != string(want) {
			t.Errorf("%s is not embedded as it is: %v", name, err)
		}
		return nil
	})
	if err != nil || files < 36 {
		t.Errorf("%d files, %v", files, err)
	}
}
