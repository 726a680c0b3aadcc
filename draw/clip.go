package draw

// Clip cuts an open run of straight lines to a rectangle and gives the pieces
// that lie inside, in order. Points on the edge are inside.
func Clip(points []Point, to Rect) []Path {
	var pieces []Path
	var run []Point
	finish := func() {
		if len(run) > 1 {
			pieces = append(pieces, Path{Points: run})
		}
		run = nil
	}
	for i := 0; i+1 < len(points); i++ {
		a, b, ok := clipLine(points[i], points[i+1], to)
		if !ok {
			finish()
			continue
		}
		if len(run) == 0 || run[len(run)-1] != a {
			finish()
			run = append(run, a)
		}
		run = append(run, b)
	}
	finish()
	return pieces
}

// clipLine cuts one line by the parametric method of Liang and Barsky (1984,
// from memory): each side of the rectangle takes a stretch off either end.
func clipLine(a, b Point, to Rect) (Point, Point, bool) {
	dx, dy := b.X-a.X, b.Y-a.Y
	enter, leave := 0.0, 1.0
	for _, side := range [...][2]float64{
		{-dx, a.X - to.Min.X}, {dx, to.Max.X - a.X},
		{-dy, a.Y - to.Min.Y}, {dy, to.Max.Y - a.Y},
	} {
		out, room := side[0], side[1]
		switch {
		case out == 0:
			if room < 0 {
				return a, b, false
			}
		case out < 0:
			enter = max(enter, room/out)
		default:
			leave = min(leave, room/out)
		}
	}
	if enter > leave {
		return a, b, false
	}
	from, till := a, b
	if enter > 0 {
		from = Point{a.X + enter*dx, a.Y + enter*dy}
	}
	if leave < 1 {
		till = Point{a.X + leave*dx, a.Y + leave*dy}
	}
	return from, till, true
}

// ClipArea cuts the area inside a run of corners to a rectangle, side by side
// (Sutherland and Hodgman 1974, from memory). An area that leaves and comes
// back stays one area, joined along the edge: right for filling, not for
// stroking. Less than three corners means nothing is left.
func ClipArea(corners []Point, to Rect) []Point {
	sides := [...]func(Point) float64{
		func(p Point) float64 { return p.X - to.Min.X },
		func(p Point) float64 { return to.Max.X - p.X },
		func(p Point) float64 { return p.Y - to.Min.Y },
		func(p Point) float64 { return to.Max.Y - p.Y },
	}
	for _, inside := range sides {
		corners = clipSide(corners, inside)
	}
	if len(corners) < 3 {
		return nil
	}
	return corners
}

func clipSide(corners []Point, inside func(Point) float64) []Point {
	var kept []Point
	for i, b := range corners {
		a := corners[(i+len(corners)-1)%len(corners)]
		da, db := inside(a), inside(b)
		if (da < 0) != (db < 0) {
			t := da / (da - db)
			kept = append(kept, Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
		}
		if db >= 0 {
			kept = append(kept, b)
		}
	}
	return kept
}
