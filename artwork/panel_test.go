package artwork

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/draw"
	"bandwright/finding"
)

// studio is the panel of the invented six-band equaliser.
func studio() Panel {
	p := Panel{Width: 200, Height: 80, Thickness: 1.5,
		Holes: []Hole{
			{Name: "lamp", X: 12, Y: 20, Size: 8, Label: "on"}, {Name: "switch", X: 185, Y: 25, Size: 12, Label: "in"},
			{Name: "jack, old hole", X: 185, Y: 60, Size: 9.5, Old: true}}}
	for i, band := range []string{"63", "160", "400", "1000", "2500", "6300"} {
		p.Sliders = append(p.Sliders, Slider{Band: band, X: 40 + 22*float64(i), Y: 36, Travel: 30, Lever: 4, Margin: 1,
			SlotWidth: 2, Screws: 44, ScrewSize: 3.2, Label: band + " Hz",
			Marks: []Mark{{-1, -10}, {-0.8, -5}, {0, 0}, {0.8, 5}, {1, 10}}})
	}
	return p
}

func TestSoundPanel(t *testing.T) {
	if found := studio().Check(); len(found) > 0 {
		t.Errorf("%v", found)
	}
}

func TestPanelsThatCannotBe(t *testing.T) {
	for name, k := range map[string]struct {
		change func(*Panel)
		want   finding.ID
		part   string
	}{
		"hole off the panel": {func(p *Panel) { p.Holes[0].X = 3 }, IDOffPanel, "lamp"},
		"slot off the panel": {func(p *Panel) { p.Sliders[2].Y = 15 }, IDOffPanel, "slot 400"},
		"slots that meet":    {func(p *Panel) { p.Sliders[3].X = p.Sliders[2].X + 3 }, IDCutsMeet, "slot 1000"},
		"screw in the slot":  {func(p *Panel) { p.Sliders[0].Screws = 36 }, IDCutsMeet, "screw 63.1"},
		"no travel":          {func(p *Panel) { p.Sliders[0].Travel = 0 }, IDSize, "slider 63"},
		"not a number":       {func(p *Panel) { p.Holes[0].Y = math.NaN() }, IDSize, "lamp"},
		"endless":            {func(p *Panel) { p.Width = math.Inf(1) }, IDSize, "panel"},
	} {
		p := studio()
		k.change(&p)
		found := p.Check()
		if len(found) == 0 || found[0].ID != k.want || found[0].Place.Part != k.part {
			t.Errorf("%s: %v", name, found)
		}
	}
}

func TestHeights(t *testing.T) {
	found := Heights([]Stand{{"slider 63", []Layer{{"slider", 12}, {"board", 2}}, 20, "transformer", 2},
		{"coil 63", []Layer{{"slider", 7}, {"board", 2}, {"coil", 16}}, 26, "filter cap at 412 V", 6}})
	if len(found) != 1 || found[0].Place.Part != "coil 63" || found[0].Args["needs"] != 31.0 || found[0].Args["highest"] != "coil" {
		t.Errorf("%v", found)
	}
	for _, k := range []struct {
		stands, knob, out float64
		short             bool
	}{{15, 9, 13.5, false}, {10, 9, 8.5, true}} {
		out, found := studio().Lever(k.stands, k.knob)
		if out != k.out || (len(found) > 0) != k.short {
			t.Errorf("%+v: %v stands out, %v", k, out, found)
		}
	}
}

func TestDrillTable(t *testing.T) {
	list, found := studio().DrillTable([]float64{1.5, 2, 3, 3.2, 6, 8, 10})
	var got []string
	for _, d := range list {
		got = append(got, fmt.Sprintf("%g×%d bit %g pilot %v", d.Size, d.Count, d.Bit, d.Pilot))
	}
	want := "2×12 bit 2 pilot false; 3.2×12 bit 3.2 pilot false; 8×1 bit 8 pilot true; 12×1 bit 10 pilot true"
	if text := strings.Join(got, "; "); text != want {
		t.Errorf("%s\nwant %s", text, want)
	}
	if len(found) != 1 || found[0].ID != IDNoBit || found[0].Args["size"] != 12.0 {
		t.Errorf("%v", found)
	}
}

// raster is a page as another program prints it, at 600 dots an inch.
type raster struct {
	wide, high int
	grey       []byte
}

func printed(t *testing.T, d *draw.Drawing) raster {
	t.Helper()
	var pdf bytes.Buffer
	if err := d.PDF(&pdf, "test"); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(name, pdf.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftoppm", "-r", "600", "-gray", name).Output()
	if err != nil {
		t.Fatalf("pdftoppm: %v", err)
	}
	var r raster
	var most int
	if _, err := fmt.Sscanf(string(out[:40]), "P5\n%d %d\n%d", &r.wide, &r.high, &most); err != nil {
		t.Fatal(err)
	}
	r.grey = out[len(out)-r.wide*r.high:]
	return r
}

const dots = 600 / 25.4 // a millimetre

// ticks gives the middles, in mm, of the dark stretches along a line of the
// page: at height y (upright false) or at x.
func (r raster) ticks(at float64, upright bool, from, to float64) (list []float64) {
	ink, moment := 0.0, 0.0
	for i := int(from * dots); i < int(to*dots); i++ {
		x, y := i, int(at*dots)
		if upright {
			x, y = y, x
		}
		dark := 255 - float64(r.grey[y*r.wide+x])
		ink, moment = ink+dark, moment+dark*(float64(i)+0.5)
		if dark == 0 && ink > 0 {
			list, ink, moment = append(list, moment/ink/dots), 0, 0
		}
	}
	return list
}

// TestTemplateIsTrueToOnePixel measures the check bars of printed pages both
// ways, on both papers, as they are and with a factor.
func TestTemplateIsTrueToOnePixel(t *testing.T) {
	for _, paper := range Papers() {
		for _, factor := range []float64{1, 1.003} {
			page := studio().Template(Print{Paper: paper, Across: factor, Down: 2 - factor})[0]
			r := printed(t, page)
			if math.Abs(float64(r.wide)-paper.Width*dots) > 1 || math.Abs(float64(r.high)-paper.Height*dots) > 1 {
				t.Errorf("%s: %d × %d dots", paper.Name, r.wide, r.high)
			}
			across := r.ticks(paper.Height-paper.Margin-5-1.3, false, paper.Margin-2, paper.Margin+Bar*1.01)
			down := r.ticks(paper.Width-paper.Margin-5-1.3, true, paper.Margin-2, paper.Margin+Bar*1.01)
			for _, k := range []struct {
				name   string
				ticks  []float64
				factor float64
			}{{"across", across, factor}, {"down", down, 2 - factor}} {
				if len(k.ticks) != 2 {
					t.Fatalf("%s %s: ticks at %v", paper.Name, k.name, k.ticks)
				}
				if bar := k.ticks[1] - k.ticks[0]; math.Abs(bar-Bar*k.factor) > 1/dots {
					t.Errorf("%s %s: the bar measures %.4f mm, want %.4f", paper.Name, k.name, bar, Bar*k.factor)
				}
			}
		}
	}
}

// TestTemplateInParts: every cut of a panel wider than the paper is on some
// page, at its own place.
func TestTemplateInParts(t *testing.T) {
	p := studio()
	p.Width = 480
	p.Sliders[5].X = 440
	pages := p.Template(Print{Paper: Papers()[0]})
	if len(pages) != 2 {
		t.Errorf("%d pages", len(pages))
	}
	var all strings.Builder
	for _, page := range pages {
		if err := page.SVG(&all); err != nil {
			t.Fatal(err)
		}
	}
	for _, s := range p.Sliders {
		if !strings.Contains(all.String(), "slot "+s.Band+",") {
			t.Errorf("slot %s is on no page", s.Band)
		}
	}
}

// TestScaleStandsWhereTheLeverDoes: a mark lies at the lever's middle.
func TestScaleStandsWhereTheLeverDoes(t *testing.T) {
	s := studio().Sliders[0]
	for travel, want := range map[float64]float64{1: 36 - 15, 0: 36, -1: 36 + 15, 0.5: 36 - 7.5} {
		if at := s.At(travel); at.Y != want || at.X != 40 {
			t.Errorf("%v of travel at %v", travel, at)
		}
	}
	var b bytes.Buffer
	if err := studio().WholeFace().SVG(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{">+10<", ">−10<", ">0<", ">63 Hz<", ">6300 Hz<", ">on<"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the face lacks %s", want)
		}
	}
}
