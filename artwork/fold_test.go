package artwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/trials"
)

// solid is a place in space: x across the housing, y its depth, z along the travel.
type solid [3]float64

func (s solid) plus(o solid, by float64) solid {
	return solid{s[0] + by*o[0], s[1] + by*o[1], s[2] + by*o[2]}
}

// turned turns a direction about the z axis.
func (s solid) turned(angle float64) solid {
	sin, cos := math.Sincos(angle)
	return solid{s[0]*cos - s[1]*sin, s[0]*sin + s[1]*cos, s[2]}
}

// bendUp bends a flat pattern in space by nothing but its outline and bend
// lines: the sheet's line of constant length keeps its length, short piece by
// short piece, each turned a little about the travel's axis; the inside lies a
// share K of the thickness inwards of it. straight leaves the bend line after a
// place out, as a tongue does that is slit free.
func bendUp(p *Pattern, k, thick float64, at Point, straight float64) solid {
	place, way := solid{}, solid{1, 0, 0}
	const pieces = 200
	done := 0.0
	for _, b := range p.Bends {
		from := b.X - b.Allowance/2
		if from >= at.X || from >= straight-1e-9 {
			break
		}
		place = place.plus(way, from-done)
		take := math.Min(at.X, b.X+b.Allowance/2) - from
		for range pieces {
			way = way.turned(b.Angle * take / b.Allowance / pieces / 2)
			place = place.plus(way, take/pieces)
			way = way.turned(b.Angle * take / b.Allowance / pieces / 2)
		}
		done = from + take
	}
	place = place.plus(way, at.X-done)
	place[2] = at.Y
	in := way.turned(math.Pi / 2)
	return place.plus(in, k*thick)
}

// TestFoldedInSpace: the inside of the band lies on the housing or its gap, the
// tongues go straight through the front and stand out by what was asked.
func TestFoldedInSpace(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260503), 1))
	const close = 0.05
	worst := 0.0
	for n := range trials.Count(200) {
		tab := drawn(rng)
		p, _, err := tab.Unfold()
		if err != nil {
			t.Fatal(err)
		}
		k, endless := tab.k(), math.Inf(1)
		// The seam begins half the overlap before the back's middle; its inside is
		// k of the thickness further in than the line that is followed.
		x0, y0 := tab.Overlap/2, -(tab.Housing.Depth/2+tab.Gap())-k*tab.Thickness
		put := func(at Point, straight float64) (x, y float64) {
			s := bendUp(p, k, tab.Thickness, at, straight)
			return s[0] - x0, s[1] + y0
		}
		for i := range 60 {
			x, y := put(Point{p.Length * float64(i) / 60, 0}, endless)
			if d := tab.Housing.distance(x, y); d < -close {
				t.Fatalf("%d: %.3f mm inside the housing at %.3f, %.3f", n, -d, x, y)
			}
		}
		for i, inside := range p.Bends { // the middle of every bend meets its edge
			x, y := put(Point{inside.X, 0}, endless)
			if tab.Housing.Corner > tab.radius() || i == 3 {
				continue // a rounder edge is cut short; the last bend lies over the first
			}
			d := math.Abs(tab.Housing.distance(x, y))
			if worst = math.Max(worst, d); d > close {
				t.Errorf("%d: bend %d is %.3f mm off its edge", n, i+1, d)
			}
		}
		front := tab.Housing.Depth/2 + tab.Gap()
		want := front + tab.Thickness + tab.Slots.Chassis + tab.Tongue.Beyond
		_, one := put(Point{p.Tongues[0][1], tab.Height + slit + 0.1}, p.Tongues[0][0]+0.01)
		if math.Abs(one-want) > close {
			t.Errorf("%d: the first tongue ends at %.3f, want %.3f", n, one, want)
		}
		// The second hangs backwards from its side: followed along the band to
		// where it hangs, it is as far out as it is long.
		_, hang := put(Point{p.Tongues[1][1] - 1e-6, 0}, endless)
		if two := hang + (p.Tongues[1][1] - p.Tongues[1][0]); math.Abs(two-want) > close {
			t.Errorf("%d: the second tongue ends at %.3f, want %.3f", n, two, want)
		}
	}
	t.Logf("the worst bend is %.4f mm off its edge", worst)
}
