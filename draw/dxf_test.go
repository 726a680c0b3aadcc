package draw_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bandwright/draw"
	"bandwright/golden"
)

// secondReader has a general-purpose library (Debian's python3-ezdxf) open the
// file, audit it, and say what it found.
const secondReader = `
import sys, json, ezdxf
from ezdxf import bbox
doc, problems = ezdxf.readfile(sys.argv[1]), None
audit = doc.audit()
kinds, lengths = {}, {}
for e in doc.modelspace():
    kinds[e.dxftype()] = kinds.get(e.dxftype(), 0) + 1
box = bbox.extents([e for e in doc.modelspace() if e.dxftype() != 'TEXT'])
print(json.dumps(dict(version=doc.dxfversion, units=doc.header.get('$INSUNITS', 0), kinds=kinds,
    errors=len(audit.errors), fixed=len(audit.fixes), low=list(box.extmin)[:2], high=list(box.extmax)[:2],
    texts=[e.dxf.text for e in doc.modelspace() if e.dxftype() == 'TEXT'])))
`

type secondReading struct {
	Version       string
	Units         int
	Kinds         map[string]int
	Errors, Fixed int
	Low, High     [2]float64
	Texts         []string
}

func readAgain(t *testing.T, dxf []byte) secondReading {
	t.Helper()
	name := filepath.Join(t.TempDir(), "drawing.dxf")
	if err := os.WriteFile(name, dxf, 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("/usr/bin/python3", "-c", secondReader, name).Output()
	if err != nil {
		t.Fatalf("the second reader: %v (is python3-ezdxf there? .ci/setup brings it)", err)
	}
	var got secondReading
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return got
}

func TestDXFOfOneOfEverything(t *testing.T) {
	var b bytes.Buffer
	if err := sampler().DXF(&b); err != nil {
		t.Fatal(err)
	}
	golden.CheckNumbers(t, "sampler.dxf", b.Bytes(), golden.Tolerance{Abs: 1e-5})
	got := readAgain(t, b.Bytes())
	if got.Version != "AC1009" || got.Units != 4 || got.Errors != 0 || got.Fixed != 0 {
		t.Errorf("%+v", got)
	}
	want := map[string]int{"LINE": 6, "POLYLINE": 3, "TEXT": 5}
	for kind, n := range want {
		if got.Kinds[kind] != n {
			t.Errorf("%d of %s, want %d", got.Kinds[kind], kind, n)
		}
	}
	if got.Texts[0] != "4k7 ohm, 2.2 uF, -3 dB %%p 5 % <= 1 & <b>" {
		t.Errorf("text %q", got.Texts[0])
	}
}

// TestDXFIsTrueToSize: corners and arcs stand where the drawing has them, y
// turned round, to a hundred-thousandth of a millimetre.
func TestDXFIsTrueToSize(t *testing.T) {
	d := &draw.Drawing{Width: 200, Height: 120, Title: "sizes", Desc: "sizes"}
	d.Stroke(draw.Box(draw.Rect{Min: draw.Point{X: 10.0125, Y: 20.5}, Max: draw.Point{X: 110.0125, Y: 45.25}}), draw.Pen{Width: 0.2})
	// A half circle that bulges down on the paper, to y = 45.25 + 10.
	d.Stroke(draw.Path{Points: []draw.Point{{X: 60, Y: 45.25}, {X: 40, Y: 45.25}}, Bulges: []float64{1, 0}}, draw.Pen{Width: 0.2})
	var b bytes.Buffer
	if err := d.DXF(&b); err != nil {
		t.Fatal(err)
	}
	got := readAgain(t, b.Bytes())
	for i, want := range [2][2]float64{{10.0125, 120 - 55.25}, {110.0125, 120 - 20.5}} {
		at := [2][2]float64{got.Low, got.High}[i]
		if math.Abs(at[0]-want[0]) > 1e-5 || math.Abs(at[1]-want[1]) > 0.02 { // arcs are measured on chords
			t.Errorf("corner %d at %v, want %v", i, at, want)
		}
	}
}
