package job

import (
	"os"
	"testing"
)

func read(t *testing.T, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestWholeDecodes(t *testing.T) {
	j, list := Decode("whole.toml", read(t, "testdata/whole.toml"))
	for _, f := range list {
		t.Error(f)
	}
	if j == nil {
		t.Fatal("no job")
	}
	if j.Bands[0].Coil.Measured.Meter != "hand meter" || float64(*j.Bands[0].Coil.MeasuredValue) != 2.31 {
		t.Errorf("coil measured: %+v", j.Bands[0].Coil)
	}
}
