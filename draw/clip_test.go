package draw_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/draw"
)

var square = draw.Rect{Max: draw.Point{X: 10, Y: 10}}

func TestClip(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []draw.Point
		want   [][]draw.Point
	}{
		{"inside stays", []draw.Point{{1, 1}, {9, 9}}, [][]draw.Point{{{1, 1}, {9, 9}}}},
		{"through both sides", []draw.Point{{-5, 5}, {15, 5}}, [][]draw.Point{{{0, 5}, {10, 5}}}},
		{"out and back in two pieces", []draw.Point{{2, 5}, {2, 15}, {8, 15}, {8, 5}},
			[][]draw.Point{{{2, 5}, {2, 10}}, {{8, 10}, {8, 5}}}},
		{"past the corner", []draw.Point{{-1, 9.5}, {3, 13}}, nil},
		{"along the edge is inside", []draw.Point{{-3, 0}, {13, 0}}, [][]draw.Point{{{0, 0}, {10, 0}}}},
		{"one point", []draw.Point{{5, 5}}, nil},
		{"nothing", nil, nil},
	} {
		got := draw.Clip(c.points, square)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i, piece := range got {
			for j, p := range piece.Points {
				if p != c.want[i][j] {
					t.Errorf("%s: piece %d is %v, want %v", c.name, i, piece.Points, c.want[i])
				}
			}
		}
	}
}

// Every point kept lies inside, and what is kept of a line is as long as a
// count of fine steps along it says.
func TestClipAgainstStepping(t *testing.T) {
	const seed1, seed2, steps = 7, 11, 4000
	t.Logf("seed %d %d", seed1, seed2)
	random := rand.New(rand.NewPCG(seed1, seed2))
	for range 300 {
		a := draw.Point{X: random.Float64()*30 - 10, Y: random.Float64()*30 - 10}
		b := draw.Point{X: random.Float64()*30 - 10, Y: random.Float64()*30 - 10}
		kept := 0.0
		for _, piece := range draw.Clip([]draw.Point{a, b}, square) {
			p, q := piece.Points[0], piece.Points[1]
			kept += math.Hypot(q.X-p.X, q.Y-p.Y)
			for _, at := range piece.Points {
				if at.X < -1e-12 || at.X > 10+1e-12 || at.Y < -1e-12 || at.Y > 10+1e-12 {
					t.Fatalf("%v to %v: %v lies outside", a, b, at)
				}
			}
		}
		inside := 0
		for i := range steps {
			s := (float64(i) + 0.5) / steps
			x, y := a.X+s*(b.X-a.X), a.Y+s*(b.Y-a.Y)
			if x >= 0 && x <= 10 && y >= 0 && y <= 10 {
				inside++
			}
		}
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		if want := length * float64(inside) / steps; math.Abs(kept-want) > 2*length/steps {
			t.Fatalf("%v to %v: kept %g mm, stepping says %g", a, b, kept, want)
		}
	}
}

func TestClipAreaKeepsItsArea(t *testing.T) {
	area := func(corners []draw.Point) float64 { // shoelace
		sum := 0.0
		for i, b := range corners {
			a := corners[(i+len(corners)-1)%len(corners)]
			sum += a.X*b.Y - b.X*a.Y
		}
		return math.Abs(sum) / 2
	}
	for _, c := range []struct {
		name    string
		corners []draw.Point
		want    float64
	}{
		{"half of a square", []draw.Point{{5, 2}, {15, 2}, {15, 8}, {5, 8}}, 30},
		{"all round", []draw.Point{{-5, -5}, {15, -5}, {15, 15}, {-5, 15}}, 100},
		{"a diamond's corners cut", []draw.Point{{5, -2}, {12, 5}, {5, 12}, {-2, 5}}, 98 - 4*4},
		{"two teeth", []draw.Point{{1, 5}, {3, 15}, {5, 5}, {7, 15}, {9, 5}, {9, 1}, {1, 1}}, 32 + 2*15},
		{"outside", []draw.Point{{20, 20}, {30, 20}, {30, 30}}, 0},
	} {
		if got := area(draw.ClipArea(c.corners, square)); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g mm², want %g", c.name, got, c.want)
		}
	}
}
