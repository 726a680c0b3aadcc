package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// dots in a millimetre at 600 an inch.
const dots = 600 / 25.4

// bars prints a PDF as another program does, and measures its two check bars
// between the ends' strokes, mm. The paper's size and its margin tell where they
// are looked for: just over the foot, and just before the right edge.
func bars(t *testing.T, name string, width, height float64) (across, down float64) {
	t.Helper()
	out, err := exec.Command("pdftoppm", "-r", "600", "-gray", "-singlefile", name).Output()
	if err != nil {
		t.Fatalf("pdftoppm: %v", err)
	}
	var wide, high, most int
	if _, err := fmt.Sscanf(string(out[:40]), "P5\n%d %d\n%d", &wide, &high, &most); err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(wide)-width*dots) > 1 || math.Abs(float64(high)-height*dots) > 1 {
		t.Errorf("%s is printed on %d × %d dots", name, wide, high)
	}
	grey := out[len(out)-wide*high:]
	between := func(at func(i int) byte, from, to float64) float64 {
		var ends []float64
		ink, moment := 0.0, 0.0
		for i := int(from * dots); i < int(to*dots); i++ {
			dark := 255 - float64(at(i))
			ink, moment = ink+dark, moment+dark*(float64(i)+0.5)
			if dark == 0 && ink > 0 {
				ends, ink, moment = append(ends, moment/ink/dots), 0, 0
			}
		}
		if len(ends) != 2 {
			t.Fatalf("%s: a bar ends at %v", name, ends)
		}
		return ends[1] - ends[0]
	}
	const margin, in = 8.0, 13 + 1.3 // the strokes, beside the bar itself
	row, column := int((height-in)*dots), int((width-in)*dots)
	across = between(func(i int) byte { return grey[row*wide+i] }, margin-2, margin+101)
	return across, between(func(i int) byte { return grey[i*wide+column] }, margin-2, margin+101)
}

// TestPrintedPagesAreTrue: what the verbs write measures 100 mm both ways to one
// dot at 600 to the inch, and the factor of a measured bar comes out as it is.
func TestPrintedPagesAreTrue(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := unpack("."); err != nil {
		t.Fatal(err)
	}
	sizes := map[string][2]float64{"A4": {297, 210}, "Letter": {279.4, 215.9}}
	for i, k := range []struct {
		verb, flag, paper string
		factors           [2]float64
	}{
		{"panel", "--out", "A4", [2]float64{1, 1}}, {"panel", "--out", "Letter", [2]float64{1, 1}},
		{"panel", "--out", "A4", [2]float64{1.003, 1}}, {"panel", "--out", "Letter", [2]float64{1.003, 1.003}},
		{"panel", "--face", "A4", [2]float64{0.995, 1.003}}, {"tab", "--out", "Letter", [2]float64{1.003, 0.998}},
		{"drill", "--out", "A4", [2]float64{1.003, 1.003}},
	} {
		name := fmt.Sprintf("page-%d.pdf", i)
		var out, errors bytes.Buffer
		words := []string{k.verb, "metal.toml", "--paper", k.paper, k.flag, name,
			"--bar-across", fmt.Sprintf("%.6f mm", 100/k.factors[0]), "--bar-down", fmt.Sprintf("%.6f mm", 100/k.factors[1])}
		if code := run(door{ctx: t.Context(), out: &out, err: &errors}, words); code != exitDone {
			t.Fatalf("%v ends with %d: %s", words, code, errors.String())
		}
		across, down := bars(t, name, sizes[k.paper][0], sizes[k.paper][1])
		if math.Abs(across-100*k.factors[0]) > 1/dots || math.Abs(down-100*k.factors[1]) > 1/dots {
			t.Errorf("%v: the bars measure %.4f and %.4f mm, want %v of 100", words, across, down, k.factors)
		}
		t.Logf("%s on %s, factors %v: %.4f and %.4f mm", k.verb, k.paper, k.factors, across, down)
		text, err := exec.Command("pdftotext", name, "-").Output()
		said := fmt.Sprintf("factor in force %.4f", k.factors[0])
		if err != nil || !strings.Contains(string(text), said) {
			t.Errorf("%v: the page does not say %q: %v", words, said, err)
		}
	}
}

// The pictures of docs/metalwork.md are what the verbs write today.
func TestPicturesOfTheMetalwork(t *testing.T) {
	var want [3][]byte
	files := [...]string{"metal-tab.svg", "metal-template.svg", "metal-face.svg"}
	for i, name := range files {
		text, err := os.ReadFile(filepath.Join("..", "..", "docs", name))
		if err != nil {
			t.Fatal(err)
		}
		want[i] = text
	}
	t.Chdir(t.TempDir())
	if err := unpack("."); err != nil {
		t.Fatal(err)
	}
	for _, words := range [][]string{
		{"tab", "metal.toml", "--right", "1", "--left", "1", "--out", files[0]},
		{"panel", "metal.toml", "--out", files[1], "--face", files[2]},
	} {
		if code := run(door{ctx: t.Context(), out: io.Discard, err: io.Discard}, words); code != exitDone {
			t.Fatalf("%v ends with %d", words, code)
		}
	}
	for i, name := range files {
		got, err := os.ReadFile(name)
		if err != nil || !bytes.Equal(got, want[i]) {
			t.Errorf("docs/%s is another picture (%v): write it anew with the command", name, err)
		}
	}
}
