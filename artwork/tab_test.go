package artwork

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// TestBendExamples holds the allowance against printed examples (see each).
func TestBendExamples(t *testing.T) {
	const right = math.Pi / 2
	// T = 1, R = 1, 90°, allowance 2.1: K 0.337 (from the work).
	if k := KOf(2.1, right, 1, 1); math.Abs(k-0.337) > 5e-4 {
		t.Errorf("K %v", k)
	}
	// 1.5 mm, R 1.5, K 0.42: 3.345796 mm (worked out from the definition).
	if a := Allowance(right, 1.5, 1.5, 0.42); math.Abs(a-3.345796) > 1e-6 {
		t.Errorf("allowance %v", a)
	}
	// The handbook's 90-degree formulas (from memory): 0.55 T + 1.57 R of soft
	// brass, 0.64 T + 1.57 R of half-hard brass and soft steel.
	for name, share := range map[string]float64{"soft brass": 0.55, "half-hard brass": 0.64, "tinplate": 0.64} {
		m, ok := MetalNamed(name)
		if !ok {
			t.Fatal(name)
		}
		if a := Allowance(right, 2, 0.8, m.K); math.Abs(a-(share*0.8+1.57*2)) > 5e-3 {
			t.Errorf("%s: %v, handbook %v", name, a, share*0.8+1.57*2)
		}
	}
	// DIN 6935, K twice ours: 1 for r/s of 5 and more (from memory).
	if k := KByRadius(10, 1); k != 0.5 {
		t.Errorf("a wide bend: %v", k)
	}
}

func drawn(r *rand.Rand) Tab {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	thick := between(0.25, 0.8)
	tab := Tab{
		Metal: "tinplate", Thickness: thick, Radius: thick * between(0.5, 3),
		Housing: Housing{Width: between(9, 25), Depth: between(7, 20), Corner: between(0, 1)},
		Height:  between(4, 15), Overlap: between(3, 7),
		Tongue: Tongue{Width: between(1.5, 4), Beyond: between(1, 2)},
		Slots:  Slots{Chassis: between(0.8, 1.6)},
	}
	return tab
}

// distance of a point from the housing, below nought inside it.
func (h Housing) distance(x, y float64) float64 {
	ax, ay := math.Abs(x)-h.Width/2+h.Corner, math.Abs(y)-h.Depth/2+h.Corner
	outside := math.Hypot(math.Max(ax, 0), math.Max(ay, 0))
	return outside + math.Min(math.Max(ax, ay), 0) - h.Corner
}

// TestFoldMeetsTheHousing bends patterns again and holds the inside of the band
// against the housing: it goes nowhere into it, touches it at every edge that
// needs the gap, keeps the gap along the sides, and laps over its own beginning.
func TestFoldMeetsTheHousing(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260501), 1))
	const close = 0.05
	for n := range trials.Count(200) {
		tab := drawn(rng)
		p, _, err := tab.Unfold()
		if err != nil {
			t.Fatalf("%d: %+v: %v", n, tab, err)
		}
		// The fold begins half the overlap before the back's middle.
		x0, y0 := tab.Overlap/2, -(tab.Housing.Depth/2 + tab.Gap())
		nearest := [4]float64{}
		for i := range nearest {
			nearest[i] = math.Inf(1)
		}
		const parts = 4000
		for i := range parts + 1 {
			b := p.Fold(p.Length * float64(i) / parts)
			x, y := b.X-x0, b.Y+y0
			d := tab.Housing.distance(x, y)
			if d < -close {
				t.Fatalf("%d: the band is %.3f mm inside the housing at %.3f, %.3f", n, -d, x, y)
			}
			// Along an edge rounder than the bend, the band cuts the corner short.
			if most := tab.Gap() + tab.Thickness + close + (math.Sqrt2-1)*math.Max(tab.Housing.Corner-tab.radius(), 0); d > most {
				t.Fatalf("%d: the band is %.3f mm off the housing at %.3f, %.3f, said at most %.3f: %+v", n, d, x, y, most, tab)
			}
			corner := 0
			if x < 0 {
				corner |= 1
			}
			if y < 0 {
				corner |= 2
			}
			nearest[corner] = math.Min(nearest[corner], d)
		}
		for corner, d := range nearest {
			if corner != 3 && d > close { // at the fourth the band lies over itself
				t.Errorf("%d: corner %d is %.3f mm off", n, corner, d)
			}
		}
		// The end lies on the outside of the beginning.
		end := p.Fold(p.Length)
		if off := math.Hypot(end.X-tab.Overlap, end.Y+tab.Thickness); off > close {
			t.Errorf("%d: the lap ends %.3f mm off", n, off)
		}
		// The two tongues stand a pitch apart.
		one, two := p.Fold(p.Tongues[0][0]+0.01), p.Fold(p.Tongues[1][1]-0.01)
		if pitch := math.Abs(one.X-two.X) + tab.Thickness; math.Abs(pitch-tab.Pitch()) > close {
			t.Errorf("%d: tongues %.3f mm apart, said %.3f", n, pitch, tab.Pitch())
		}
	}
}

// TestAreaIsTheSheet: band and tongues added up give the outline's area, of
// both hands.
func TestAreaIsTheSheet(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260502), 1))
	for range trials.Count(50) {
		tab := drawn(rng)
		p, _, err := tab.Unfold()
		if err != nil {
			t.Fatal(err)
		}
		want := p.Length * tab.Height
		for _, tongue := range p.Tongues {
			long := tongue[1] - tongue[0]
			want += long*tab.Tongue.Width + (long-tab.forward())*slit
		}
		for _, q := range []*Pattern{p, p.Mirrored(), p.Mirrored().Mirrored()} {
			if math.Abs(q.Area()-want) > 1e-9*want {
				t.Errorf("area %v, want %v", q.Area(), want)
			}
		}
	}
}

func TestTabsThatCannotBe(t *testing.T) {
	good := Tab{Metal: "tinplate", Thickness: 0.4, Housing: Housing{Width: 12, Depth: 9}, Height: 8, Overlap: 5,
		Tongue: Tongue{Width: 2.5, Beyond: 1.5}, Slots: Slots{Chassis: 1, Width: 1, Length: 3, Pitch: 12.6}}
	for name, k := range map[string]struct {
		change func(*Tab)
		want   finding.ID
	}{
		"sound":             {func(*Tab) {}, ""},
		"aluminium":         {func(t *Tab) { t.Metal = "aluminium" }, IDMetal},
		"no metal":          {func(t *Tab) { t.Metal = "" }, IDMetal},
		"bends meet":        {func(t *Tab) { t.Radius = 9 }, IDBendInside},
		"not a number":      {func(t *Tab) { t.Housing.Depth = math.NaN() }, IDSize},
		"no thickness":      {func(t *Tab) { t.Thickness = 0 }, IDSize},
		"tongue too wide":   {func(t *Tab) { t.Tongue.Width = 3.5 }, IDTongue},
		"sheet too thick":   {func(t *Tab) { t.Slots.Width = 0.3 }, IDTongue},
		"tongues too long":  {func(t *Tab) { t.Tongue.Beyond = 8 }, IDTonguesMeet},
		"slots too far":     {func(t *Tab) { t.Slots.Pitch = 14 }, IDMisfit},
		"overlap too large": {func(t *Tab) { t.Overlap = 20 }, IDSize},
	} {
		tab := good
		k.change(&tab)
		_, found, err := tab.Unfold()
		if list, ok := finding.From(err); ok {
			found = list
		}
		if k.want == "" && len(found) > 0 || k.want != "" && (len(found) == 0 || found[0].ID != k.want) {
			t.Errorf("%s: %v, want %s", name, found, k.want)
		}
	}
}

// TestTabsOnASheet: as many as asked for, of both hands, none over another or
// over the paper's edge.
func TestTabsOnASheet(t *testing.T) {
	tab := Tab{Metal: "soft brass", Thickness: 0.4, Housing: Housing{Width: 12, Depth: 9}, Height: 8, Overlap: 5,
		Tongue: Tongue{Width: 2.5, Beyond: 1.5}, Slots: Slots{Chassis: 1}}
	p, _, err := tab.Unfold()
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []struct{ right, left int }{{12, 0}, {6, 6}, {70, 5}} {
		words := map[string]int{}
		for _, page := range p.Sheet(Print{Paper: Papers()[1]}, k.right, k.left) {
			var b strings.Builder
			if err := page.SVG(&b); err != nil {
				t.Fatal(err)
			}
			for _, hand := range []string{"right hand", "left hand"} {
				words[hand] += strings.Count(b.String(), ">"+hand+"<")
			}
		}
		if words["right hand"] != k.right || words["left hand"] != k.left {
			t.Errorf("%+v: %v", k, words)
		}
	}
}
