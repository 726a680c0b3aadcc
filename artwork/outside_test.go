package artwork

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Two general-purpose libraries, Debian's python3-ezdxf and
// python3-svgelements, open what is written here; neither knows what it is of.
const (
	readDXF = `
import sys, json, math, ezdxf
from ezdxf import bbox
from ezdxf.math import bulge_to_arc, Vec2
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
kinds, rings = {}, []
for e in doc.modelspace():
    kinds[e.dxftype()] = kinds.get(e.dxftype(), 0) + 1
    if e.dxftype() != 'POLYLINE' or not e.is_closed:
        continue
    pts = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in e.vertices]
    area = length = 0.0
    for (x, y, b), (u, w, _) in zip(pts, pts[1:] + pts[:1]):
        chord = math.hypot(u - x, w - y)
        area += (x * w - u * y) / 2
        if b:
            _, a0, a1, r = bulge_to_arc((x, y), (u, w), b)
            turn = (a1 - a0) % (2 * math.pi)
            length += r * turn
            area += math.copysign(r * r * (turn - math.sin(turn)) / 2, b)
        else:
            length += chord
    rings.append([e.dxf.layer, abs(area), length])
box = bbox.extents([e for e in doc.modelspace() if e.dxftype() != 'TEXT'])
print(json.dumps(dict(kinds=kinds, rings=rings, errors=len(audit.errors), fixed=len(audit.fixes),
    low=list(box.extmin)[:2], high=list(box.extmax)[:2])))
`
	readSVG = `
import sys, json
from svgelements import SVG, Path, Text
svg = SVG.parse(sys.argv[1], reify=True, ppi=25.4)
kinds, rings, lows, highs = {}, [], [], []
for e in svg.elements():
    kinds[type(e).__name__] = kinds.get(type(e).__name__, 0) + 1
    if isinstance(e, Path) and len(e) > 0:
        box = e.bbox()
        lows.append(box[:2]); highs.append(box[2:])
        if 'Z' in e.d().upper():
            rings.append(['', 0.0, float(e.length(error=1e-9))])
print(json.dumps(dict(kinds=kinds, rings=rings, width=svg.width, height=svg.height,
    low=[min(l[i] for l in lows) for i in (0, 1)], high=[max(h[i] for h in highs) for i in (0, 1)])))
`
)

type readAgain struct {
	Kinds         map[string]int
	Rings         [][3]any
	Errors, Fixed int
	Width, Height float64
	Low, High     [2]float64
}

func secondReader(t *testing.T, script, ends string, write func(io.Writer) error) (got readAgain) {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "drawing."+ends)
	if err := os.WriteFile(name, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("/usr/bin/python3", "-c", script, name).CombinedOutput()
	if err != nil {
		t.Fatalf("the second reader: %v: %s (.ci/setup brings python3-ezdxf and python3-svgelements)", err, out)
	}
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return got
}

// closed are areas and lengths round of every closed ring of the studio's
// panel, by the formulas of circle, slot and rectangle.
func closed(p Panel) (areas, lengths []float64) {
	areas, lengths = []float64{p.Width * p.Height}, []float64{2 * (p.Width + p.Height)}
	for _, c := range p.cuts() {
		straight := c.b.Y - c.a.Y
		areas = append(areas, math.Pi*c.radius*c.radius+2*c.radius*straight)
		lengths = append(lengths, 2*math.Pi*c.radius+2*straight)
	}
	return areas, lengths
}

func TestTemplateInASecondReader(t *testing.T) {
	p := studio()
	areas, lengths := closed(p)
	d := p.Whole()
	dxf := secondReader(t, readDXF, "dxf", d.DXF)
	if dxf.Errors != 0 || dxf.Fixed != 0 || dxf.Kinds["POLYLINE"] != len(areas) || len(dxf.Rings) != len(areas) {
		t.Errorf("%d errors, %d mended, %v; %d rings are drawn", dxf.Errors, dxf.Fixed, dxf.Kinds, len(areas))
	}
	// Two lines a cross, two crosses a slot; and two bars with their ends.
	if want := 2*(2*6+12+3) + 6; dxf.Kinds["LINE"] != want {
		t.Errorf("%d lines, want %d", dxf.Kinds["LINE"], want)
	}
	for i, ring := range dxf.Rings {
		if area, length := ring[1].(float64), ring[2].(float64); math.Abs(area-areas[i]) > 1e-3 || math.Abs(length-lengths[i]) > 1e-3 {
			t.Errorf("ring %d: area %.4f, want %.4f; length %.4f, want %.4f", i, area, areas[i], length, lengths[i])
		}
	}
	svg := secondReader(t, readSVG, "svg", d.SVG)
	if len(svg.Rings) != len(areas) || math.Abs(svg.Width-d.Width) > 0.01 || math.Abs(svg.Height-d.Height) > 0.01 {
		t.Errorf("%d rings on %v × %v mm", len(svg.Rings), svg.Width, svg.Height)
	}
	for i, ring := range svg.Rings { // a file in hundredths of a millimetre
		if length := ring[2].(float64); math.Abs(length-lengths[i]) > 0.03 {
			t.Errorf("SVG ring %d: length %.4f, want %.4f", i, length, lengths[i])
		}
	}
	// Panel and bars from corner to corner: y is turned round in one of them.
	for name, got := range map[string][4]float64{
		"DXF": {dxf.Low[0], d.Height - dxf.High[1], dxf.High[0], d.Height - dxf.Low[1]},
		"SVG": {svg.Low[0], svg.Low[1], svg.High[0], svg.High[1]},
	} {
		want := [4]float64{0, 0, d.Width - 5 + 2, d.Height - 5 + 2}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 0.01 {
				t.Errorf("%s reaches from and to %v, want %v", name, got, want)
				break
			}
		}
	}
}

func TestTabsInASecondReader(t *testing.T) {
	tab := fitted()
	tab.Tongue.Fold, tab.Tongue.Beyond = true, 2.5
	p, _, err := tab.Unfold()
	if err != nil {
		t.Fatal(err)
	}
	d := p.Whole(5, 2)
	length := 0.0
	for i, a := range p.Outline {
		b := p.Outline[(i+1)%len(p.Outline)]
		length += math.Abs(a.X-b.X) + math.Abs(a.Y-b.Y) // all sides are upright or level
	}
	dxf := secondReader(t, readDXF, "dxf", d.DXF)
	if dxf.Errors != 0 || dxf.Fixed != 0 || len(dxf.Rings) != 7 || dxf.Kinds["LINE"] != 7*(4+2)+6 || dxf.Kinds["TEXT"] != 7+1 {
		t.Errorf("%+v", dxf)
	}
	for _, ring := range dxf.Rings {
		if ring[0] != "SOLID" || math.Abs(ring[1].(float64)-p.Area()) > 1e-3 || math.Abs(ring[2].(float64)-length) > 1e-3 {
			t.Errorf("ring %v, want area %v and length %v", ring, p.Area(), length)
		}
	}
	if svg := secondReader(t, readSVG, "svg", d.SVG); len(svg.Rings) != 7 || math.Abs(svg.Rings[6][2].(float64)-length) > 0.1 {
		t.Errorf("%+v, want rings of %v", svg, length)
	}
}

// A factor that differs each way leaves no circle round: its outline is then
// drawn in straight pieces, and still lies where it should.
func TestFactorsStretchTheCutsToo(t *testing.T) {
	p := studio()
	page := p.Template(Print{Paper: Papers()[0], Across: 1.01, Down: 0.99})[0]
	dxf := secondReader(t, readDXF, "dxf", page.DXF)
	even := secondReader(t, readDXF, "dxf", p.Template(Print{Paper: Papers()[0], Across: 1.01, Down: 1.01})[0].DXF)
	if len(dxf.Rings) != 1 || dxf.Rings[0][1].(float64)-1.01*0.99*p.Width*p.Height > 1e-3 {
		t.Errorf("%v", dxf.Rings)
	}
	_, lengths := closed(p)
	if len(even.Rings) != len(lengths) || math.Abs(even.Rings[3][2].(float64)-1.01*lengths[3]) > 1e-3 {
		t.Errorf("%v", even.Rings)
	}
}
