package draw

import "math"

// Point is a place on the paper in millimetres, y down.
type Point struct{ X, Y float64 }

// Rect is an upright rectangle; Min is the corner nearest the origin.
type Rect struct{ Min, Max Point }

// Path is a run of straight lines and circular arcs. Bulges, when not nil,
// has one entry a point: the tangent of a quarter of the angle that the arc
// from this point to the next turns through, 0 for a straight line, ±1 for a
// half circle, positive where it turns from x towards y (clockwise as seen on
// the paper). Arcs stay arcs until an end needs them otherwise.
type Path struct {
	Points []Point
	Bulges []float64
	Closed bool // the last point is joined to the first
}

// Line is the straight path from a to b.
func Line(a, b Point) Path { return Path{Points: []Point{a, b}} }

// Polygon is the closed path through its corners.
func Polygon(corners ...Point) Path { return Path{Points: corners, Closed: true} }

// Box is the closed path round a rectangle.
func Box(r Rect) Path {
	return Polygon(r.Min, Point{r.Max.X, r.Min.Y}, r.Max, Point{r.Min.X, r.Max.Y})
}

// Circle is two half circles.
func Circle(centre Point, radius float64) Path {
	return Path{
		Points: []Point{{centre.X - radius, centre.Y}, {centre.X + radius, centre.Y}},
		Bulges: []float64{1, 1},
		Closed: true,
	}
}

// bulge of the piece that leaves point i.
func (p Path) bulge(i int) float64 {
	if p.Bulges == nil {
		return 0
	}
	return p.Bulges[i]
}

// pieces calls each with every piece of the path in order.
func (p Path) pieces(each func(from, to Point, bulge float64)) {
	n := len(p.Points)
	for i := 0; i+1 < n; i++ {
		each(p.Points[i], p.Points[i+1], p.bulge(i))
	}
	if p.Closed && n > 1 {
		each(p.Points[n-1], p.Points[0], p.bulge(n-1))
	}
}

// check stops a path that is not one: our own misuse.
func (p Path) check() {
	if len(p.Points) < 2 {
		panic("draw: a path needs two points")
	}
	if p.Bulges != nil && len(p.Bulges) != len(p.Points) {
		panic("draw: a path needs one bulge a point")
	}
	for _, at := range p.Points {
		if !finite(at.X) || !finite(at.Y) {
			panic("draw: a path through a point that is not finite")
		}
	}
}

// arc gives centre, radius and the angles (radian, from x towards y) of the
// arc from a to b. The bulge must not be 0.
func arc(a, b Point, bulge float64) (centre Point, radius, from, to float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	// The centre lies off the chord's middle by (1 − b²)/(4b) of the chord.
	off := (1 - bulge*bulge) / (4 * bulge)
	centre = Point{(a.X+b.X)/2 - dy*off, (a.Y+b.Y)/2 + dx*off}
	radius = math.Hypot(a.X-centre.X, a.Y-centre.Y)
	from = math.Atan2(a.Y-centre.Y, a.X-centre.X)
	return centre, radius, from, from + 4*math.Atan(bulge)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Colour is what ink or a screen is asked for; opaque always, because not
// every end can mix.
type Colour struct{ R, G, B uint8 }

// Grey gives an equal mix.
func Grey(level uint8) Colour { return Colour{level, level, level} }

// Pen is what a line is drawn with.
type Pen struct {
	Width   float64 // mm
	Colour  Colour
	Pattern Pattern
}

// Pattern tells lines apart where there is no colour.
type Pattern uint8

// The patterns, in the order a plot hands them out: neighbours differ most.
const (
	Solid Pattern = iota
	Dashed
	Dotted
	DashDot
	LongDash
	DashDotDot
	patterns // how many there are
)

// PatternOf gives the i-th pattern, beginning again after the last.
func PatternOf(i int) Pattern { return Pattern(i % int(patterns)) }

// Dashes gives the lengths drawn and left, in turn, in millimetres for a line
// of the given width; nil is an unbroken line. Dots are drawn long enough to
// survive a copier.
func (p Pattern) Dashes(width float64) []float64 {
	dot, gap := max(0.5, width), max(0.9, 2*width)
	switch p {
	case Solid:
		return nil
	case Dashed:
		return []float64{2.6, 1.2}
	case Dotted:
		return []float64{dot, gap}
	case DashDot:
		return []float64{3.4, gap, dot, gap}
	case LongDash:
		return []float64{5.5, 1.4}
	case DashDotDot:
		return []float64{4, gap, dot, gap, dot, gap}
	}
	panic("draw: no such pattern")
}

// Anchor says which end of a text stands at its point. The point lies on the
// baseline.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	Finish
)

// Font is how a text is written. Family is generic: a sans serif, or one of
// even pitch with Mono.
type Font struct {
	Size         float64 // mm, of the body (an em)
	Bold, Italic bool
	Mono         bool
	Colour       Colour
	Anchor       Anchor
	Degrees      float64 // turned about its point, anticlockwise on the paper
}
