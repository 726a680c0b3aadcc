package curve

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"

	"bandwright/finding"
)

// exports names every file in testdata/exports and what it is taken for:
// separator and decimal mark, units of frequency, gain and phase, findings.
var exports = []struct {
	file, form, units string
	points            int
	notes             string
}{
	{"comma.csv", "comma point", "Hz dB none", 31, ""},
	{"semicolon-decimal-comma.csv", "semicolon comma", "Hz dB degrees", 31, "curve.not-utf-8"},
	{"tab.txt", "tab point", "Hz dB degrees", 31, ""},
	{"spaces.frd", "space point", "Hz dB degrees", 31, "curve.phase-assumed"},
	{"spaces-decimal-comma.txt", "space comma", "kHz dB none", 31, ""},
	{"khz-ratio-radians.csv", "comma point", "kHz ratio radians", 31, ""},
	{"exponents.txt", "space point", "Hz dB degrees", 31, ""},
	{"fortran.txt", "space point", "Hz dB none", 31, ""},
	{"quoted.csv", "comma comma", "Hz dB none", 31, ""},
	{"trailing-separators.csv", "comma point", "Hz dB none", 31, ""},
	{"bom-crlf.csv", "comma point", "Hz dB none", 31, ""},
	{"cr-only.txt", "tab point", "Hz dB none", 31, ""},
	{"utf-16-le.txt", "tab point", "Hz dB none", 31, "curve.utf-16"},
	{"utf-16-be-unmarked.txt", "tab point", "Hz dB none", 31, "curve.utf-16"},
	{"falling.csv", "comma point", "Hz dB none", 31, "curve.unsorted"},
	{"shuffled.csv", "comma point", "Hz dB none", 31, "curve.unsorted"},
	{"doubled.csv", "comma point", "Hz dB none", 31, "curve.doubled"},
	{"zero-hertz-first.csv", "comma point", "Hz dB degrees", 31, "curve.zero-frequency"},
	{"no-values-here-and-there.csv", "comma point", "Hz dB none", 29, "curve.zero-gain curve.no-value"},
	{"page-breaks.txt", "semicolon point", "Hz dB none", 31, "curve.header-repeated"},
	{"remark-after.txt", "space point", "Hz dB none", 31, "curve.trailing-text"},
	{"remarks-in-rows.txt", "space point", "Hz dB none", 31, ""},
	{"thousands.txt", "semicolon point", "Hz dB none", 31, "curve.thousands"},
	{"thousands-points.txt", "semicolon comma", "Hz dB none", 31, "curve.thousands"},
	{"minus-sign.csv", "comma point", "Hz dB none", 31, ""},
	{"both-gains.csv", "comma point", "Hz dB degrees", 31, "curve.columns-ignored"},
	{"many-columns.csv", "comma point", "Hz dB degrees", 31, "curve.columns-ignored"},
	{"dates-first.csv", "comma point", "Hz dB none", 31, "curve.columns-ignored"},
	{"gain-first.csv", "comma point", "Hz dB none", 31, ""},
	{"no-titles.csv", "comma point", "Hz dB degrees", 31, "curve.phase-assumed"},
	{"no-titles-gain-first.txt", "tab point", "Hz dB none", 31, "curve.columns-swapped"},
	{"unwrapped.csv", "comma point", "Hz dB degrees", 31, ""},
	{"numbers-in-title.csv", "comma point", "Hz dB none", 31, ""},
	{"remark-about-units.txt", "space point", "kHz dB none", 31, ""},
	{"indented.txt", "space point", "Hz dB none", 31, ""},
	{"no-last-newline.csv", "comma point", "Hz dB none", 31, ""},
}

// Every export gives the one curve they were all made from: a cookbook peak
// and dip (from the work) with noise of 0.02 dB.
func TestExports(t *testing.T) {
	var names []string
	for _, e := range exports {
		names = append(names, e.file)
		raw, err := os.ReadFile(filepath.Join("testdata", "exports", e.file))
		if err != nil {
			t.Fatal(err)
		}
		c, u, err := Read(bytes.NewReader(raw), As{})
		if err != nil {
			t.Errorf("%s: %v", e.file, err)
			continue
		}
		form, units := u.Separator.Is+" "+u.Decimal.Is, u.Frequency.Is+" "+u.Gain.Is+" "+u.Phase.Is
		if form != e.form || units != e.units || len(c.Hz) != e.points || u.Points != e.points {
			t.Errorf("%s: %s, %s, %d points", e.file, form, units, len(c.Hz))
		}
		if notes := idsOf(u.Findings); notes != e.notes {
			t.Errorf("%s: findings %q, want %q", e.file, notes, e.notes)
		}
		sum := sha256.Sum256(raw)
		if c.Origin.SHA256 != hex.EncodeToString(sum[:]) || u.SHA256 != c.Origin.SHA256 || u.Bytes != len(raw) {
			t.Errorf("%s: not the check-sum of its bytes", e.file)
		}
		for i, hz := range c.Hz {
			want := cookbook(hz, 1000, 12, 1.4) + cookbook(hz, 100, -6, 1.2)
			within(t, e.file, c.DB[i], want, 0.09)
		}
		if (c.Degrees != nil) != (u.Phase.Is != "none") {
			t.Errorf("%s: phase %s, %d values", e.file, u.Phase.Is, len(c.Degrees))
		}
	}
	eachFileNamed(t, "exports", names)
}

// Phase comes out in degrees whatever it was written in.
func TestPhaseUnits(t *testing.T) {
	a, _, err := Read(open(t, "exports", "tab.txt"), As{})
	b, _, err2 := Read(open(t, "exports", "khz-ratio-radians.csv"), As{})
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	for i := range a.Hz {
		within(t, "frequency", b.Hz[i], a.Hz[i], 1e-9)
		within(t, "gain", b.DB[i], a.DB[i], 0.001)
		within(t, "phase", b.Degrees[i], a.Degrees[i], 0.001)
	}
}

// What is said about a file is what stands in it, and it goes into JSON.
func TestUnderstood(t *testing.T) {
	_, u, err := Read(strings.NewReader("# invented\nHz;dB;deg\n20,5;1,25;-3\n\n40;2,5;-6\n"), As{})
	if err != nil {
		t.Fatal(err)
	}
	db, degrees := 1.25, -3.0
	want := Row{Line: 3, Text: "20,5;1,25;-3", Hz: 20.5, DB: &db, Degrees: &degrees}
	if !reflect.DeepEqual(u.FirstRows[0], want) || u.FirstLine != 3 || u.Skipped != 2 || u.Rows != 2 {
		t.Errorf("%+v", u)
	}
	if u.LowHz != 20.5 || u.HighHz != 40 || u.LowDB != 1.25 || u.HighDB != 2.5 {
		t.Errorf("ranges %v %v %v %v", u.LowHz, u.HighHz, u.LowDB, u.HighDB)
	}
	wantColumns := []Column{{1, "Hz", "frequency", "Hz"}, {2, "dB", "gain", "dB"}, {3, "deg", "phase", "degrees"}}
	if !reflect.DeepEqual(u.Columns, wantColumns) {
		t.Errorf("%+v", u.Columns)
	}
	if _, err := json.Marshal(u); err != nil {
		t.Error(err)
	}
}

// Doubled points are averaged, phases across the wrap among them; a spread
// that means two curves is a warning.
func TestDoubled(t *testing.T) {
	c, u, err := Read(strings.NewReader("Hz,dB,deg\n20,1,179\n20,2,-179\n1000,3,-90\n"), As{})
	if err != nil || c.DB[0] != 1.5 || len(c.Hz) != 2 {
		t.Fatal(c, err)
	}
	within(t, "phase", math.Mod(c.Degrees[0]+360, 360), 180, 1e-9)
	if f := u.Findings[0]; f.ID != IDDoubled || f.Level != finding.Warning || f.Args["spread"] != 1.0 || f.Place.Line != 3 {
		t.Error(u.Findings)
	}
}

// Two sweeps one below the other, no title between, are not merged unsaid.
func TestSeveralRuns(t *testing.T) {
	var text strings.Builder
	for run := range 2 {
		for i := range 30 {
			fmt.Fprintf(&text, "%d,%d\n", 20+20*i+run, -i)
		}
	}
	c, u, err := Read(strings.NewReader(text.String()), As{})
	if err != nil || len(c.Hz) != 60 || idsOf(u.Findings) != string(IDSeveralRuns) {
		t.Fatal(len(c.Hz), u.Findings, err)
	}
	if f := u.Findings[0]; f.Args["runs"] != 2 || f.Place.Line != 31 {
		t.Error(f)
	}
}

func TestBounds(t *testing.T) {
	_, _, err := Read(&endless{}, As{})
	if idsOf(err) != string(IDTooLarge) {
		t.Error(err)
	}
	_, _, err = Read(strings.NewReader("20 1"+strings.Repeat("\n", maxLines)+"30 2"), As{})
	if idsOf(err) != string(IDTooManyRows) {
		t.Error(err)
	}
	_, _, err = Read(strings.NewReader(strings.Repeat("900 -1\n", MaxRows+1)), As{})
	if idsOf(err) != string(IDTooManyRows) {
		t.Error(err)
	}
	broken := errors.New("the disk is gone")
	if _, _, err = Read(iotest.ErrReader(broken), As{}); !errors.Is(err, broken) {
		t.Error(err)
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

// holds checks what must be true of any bytes: an error made of findings and
// no curve, or a valid curve that is written and read back as itself.
func holds(t *testing.T, raw []byte, as As) {
	t.Helper()
	c, u, err := Read(bytes.NewReader(raw), as)
	if _, jsonErr := json.Marshal(u); jsonErr != nil {
		t.Fatalf("%q: %v", raw, jsonErr)
	}
	if err != nil {
		if list, ok := finding.From(err); !ok || list.Worst() != finding.Error || len(c.Hz) > 0 {
			t.Fatalf("%q: %d points, %v", raw, len(c.Hz), err)
		}
		return
	}
	if err := Validate(c); err != nil || len(c.Hz) < 2 || u.Findings.Worst() == finding.Error {
		t.Fatalf("%q: %v, %v", raw, err, u.Findings)
	}
	sameAgain(t, c)
}

// sameAgain writes and reads a curve and wants every bit of it back, the
// numbers as values, and the text written again byte for byte.
func sameAgain(t *testing.T, c Curve) {
	t.Helper()
	var first, second bytes.Buffer
	if err := Write(&first, c); err != nil {
		t.Fatal(err)
	}
	back, u, err := Read(bytes.NewReader(first.Bytes()), As{})
	if err != nil || len(u.Findings) > 0 {
		t.Fatalf("%s\nread as %v, %v", first.String(), err, u.Findings)
	}
	sum := sha256.Sum256(first.Bytes())
	want := c
	want.Origin = Origin{SHA256: hex.EncodeToString(sum[:])}
	if !reflect.DeepEqual(back, want) {
		t.Fatalf("wrote %+v\nread %+v", want, back)
	}
	back.Origin = c.Origin
	if err := Write(&second, back); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Fatal("written differently the second time", err)
	}
}

func TestWriteReadsBack(t *testing.T) {
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 2))
		c := Curve{Name: []string{"", "unit A, 63 \"up\"\n# setting: x", "Ω µ −", "\xff"}[r.IntN(4)],
			Origin: Origin{File: []string{"", "a b.csv", "x\n20,1"}[r.IntN(3)]}}
		if r.IntN(2) == 0 {
			c.Setting = c.Setting.WithSlider("63", r.Float64()*2-1).WithSwitch("footswitch", "lifted")
		}
		hz := math.Exp(r.NormFloat64()*6 - 3)
		for range 2 + r.IntN(40) {
			hz = min(math.Nextafter(hz, 1e13)*(1+r.ExpFloat64()*float64(r.IntN(2))), MaxHz)
			hz = max(hz, MinHz)
			if n := len(c.Hz); n > 0 && hz <= c.Hz[n-1] {
				break
			}
			c.Hz = append(c.Hz, hz)
			c.DB = append(c.DB, (r.Float64()*2-1)*math.Pow(10, float64(r.IntN(40)-36)))
		}
		if len(c.Hz) < 2 {
			continue
		}
		if r.IntN(2) == 0 {
			for range c.Hz {
				c.Degrees = append(c.Degrees, r.NormFloat64()*1000)
			}
		}
		sameAgain(t, c)
	}
}

func TestWriteRefuses(t *testing.T) {
	good := Curve{Hz: []float64{1, 2}, DB: []float64{0, 0}}
	for _, c := range []struct {
		curve Curve
		id    finding.ID
	}{
		{Curve{Hz: []float64{2, 1}, DB: []float64{0, 0}}, IDNotRising},
		{Curve{Setting: Setting{Sliders: map[string]float64{"a,b": 1}}}, IDSettingForm},
		{Curve{Setting: Setting{Sliders: map[string]float64{"a": 2}}}, IDSettingForm},
		{Curve{Setting: Setting{Switches: map[string]string{"a": "b\n20,1"}}}, IDSettingForm},
	} {
		var b bytes.Buffer
		if err := Write(&b, c.curve); idsOf(err) != string(c.id) || b.Len() > 0 {
			t.Errorf("%v: %v, %d bytes", c.curve, err, b.Len())
		}
	}
	if err := Write(failing{}, good); !errors.Is(err, io.ErrShortWrite) {
		t.Error(err)
	}
	_, _, err := Read(strings.NewReader(ownMark+"\n# setting: 63=up\nfrequency (Hz),gain (dB)\n20,1\n30,2\n"), As{})
	if list, _ := finding.From(err); len(list) != 1 || list[0].ID != IDSettingPosition || list[0].Place.Line != 2 {
		t.Error(err)
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// 20,000 seeded mutations of all test files (seed printed on failure).
func TestReadMutations(t *testing.T) {
	corpus := seeds(t)
	for i := range uint64(20000) {
		r := rand.New(rand.NewPCG(20260114, i))
		as := As{}
		if r.IntN(4) == 0 {
			pick := func(words ...string) string { return words[r.IntN(len(words))] }
			as = As{Separator: pick("", "comma", "tab", "space", "semicolon"), Decimal: pick("", "point", "comma"),
				Frequency: pick("", "Hz", "kHz"), Gain: pick("", "dB", "ratio"),
				Phase: pick("", "degrees", "radians", "none"), FrequencyColumn: r.IntN(3), PhaseColumn: r.IntN(4)}
		}
		holds(t, mutate(r, corpus[r.IntN(len(corpus))]), as)
		if t.Failed() {
			t.Fatalf("mutation %d", i)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, raw := range seeds(f) {
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) { holds(t, raw, As{}) })
}

// seeds are the test files, the long ones cut.
func seeds(t testing.TB) [][]byte {
	files, err := filepath.Glob("testdata/*/*.*")
	if err != nil || len(files) < 60 {
		t.Fatal(len(files), err)
	}
	var all [][]byte
	for _, name := range files {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, raw[:min(len(raw), 600)])
	}
	return all
}
