package artwork

import (
	"math"

	"bandwright/finding"
)

// Point is a place on the sheet.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// BendLine is where the middle of a bend lies on the flat sheet: the whole of
// it from X−Allowance/2 to X+Allowance/2 is bent, upwards, through Angle.
type BendLine struct {
	X         float64
	Angle     float64
	Allowance float64
}

// Pattern is a tab laid flat: the band along x, its upper edge at y = 0, the
// tongues below its lower edge.
type Pattern struct {
	Outline []Point // closed; clockwise on the paper
	Bends   []BendLine
	Length  float64
	Height  float64       // of the band
	Tongues [2][2]float64 // of each tongue where it begins and ends along x
	Folds   []float64     // where along x each tongue is folded over; none: twisted
	tab     Tab
}

// sides gives the straight stretches in order. The band begins at the seam in
// the back's middle, goes round, and laps over its beginning: the second way
// along the back lies outside the first, so that the side before it reaches
// one thickness further.
func (t Tab) sides() [5]float64 {
	r, gap := t.radius(), t.Gap()
	wide, deep := t.Housing.Width+2*gap-2*r, t.Housing.Depth+2*gap-2*r
	half := t.Housing.Width/2 + gap - r
	return [5]float64{
		half + t.Overlap/2,
		deep,
		wide,
		deep + t.Thickness,
		half + t.Overlap/2,
	}
}

// Unfold gives the flat pattern. The error is a finding.List; misfits of slots
// that are there already come with the pattern.
func (t Tab) Unfold() (*Pattern, finding.List, error) {
	found := t.check()
	if err := found.Err(); err != nil {
		return nil, nil, err
	}
	p := &Pattern{Height: t.Height, tab: t}
	takes := Allowance(math.Pi/2, t.radius(), t.Thickness, t.k())
	for i, s := range t.sides() {
		switch i { // of the two sides the front is after the first and before the second
		case 1:
			p.Tongues[0] = [2]float64{p.Length, p.Length + s + t.forward()}
		case 3:
			p.Tongues[1] = [2]float64{p.Length - t.forward(), p.Length + s - t.Thickness}
		}
		p.Length += s
		if i < 4 {
			p.Bends = append(p.Bends, BendLine{X: p.Length + takes/2, Angle: math.Pi / 2, Allowance: takes})
			p.Length += takes
		}
	}
	if t.Tongue.Fold {
		p.Folds = []float64{p.Tongues[0][1] - t.Tongue.Beyond, p.Tongues[1][0] + t.Tongue.Beyond}
	}
	p.outline()
	return p, found, nil
}

// slit parts a tongue from the bend it passes, so that it stays straight.
const slit = 0.3

// outline goes round the sheet. A tongue hangs on its side's straight and is
// slit free from the bend and the front.
func (p *Pattern) outline() {
	t := p.tab
	low := t.Height + slit + t.Tongue.Width
	first, second := p.Tongues[0], p.Tongues[1]
	// Where the tongues hang on: the straights of the two sides.
	hang1, hang2 := [2]float64{first[0], first[1] - t.forward()}, [2]float64{second[0] + t.forward(), second[1]}
	p.Outline = []Point{{0, 0}, {p.Length, 0}, {p.Length, t.Height},
		{hang2[1], t.Height}, {hang2[1], low}, {second[0], low}, {second[0], t.Height + slit}, {hang2[0], t.Height + slit}, {hang2[0], t.Height},
		{hang1[1], t.Height}, {hang1[1], t.Height + slit}, {first[1], t.Height + slit}, {first[1], low}, {hang1[0], low}, {hang1[0], t.Height},
		{0, t.Height}}
}

// Mirrored gives the other hand: the seam laps the other way.
func (p *Pattern) Mirrored() *Pattern {
	m := *p
	m.Outline, m.Bends, m.Folds = nil, nil, nil
	for i := len(p.Outline) - 1; i >= 0; i-- {
		m.Outline = append(m.Outline, Point{p.Length - p.Outline[i].X, p.Outline[i].Y})
	}
	for i := len(p.Bends) - 1; i >= 0; i-- {
		b := p.Bends[i]
		b.X = p.Length - b.X
		m.Bends = append(m.Bends, b)
	}
	for i := len(p.Folds) - 1; i >= 0; i-- {
		m.Folds = append(m.Folds, p.Length-p.Folds[i])
	}
	for i, t := range p.Tongues {
		m.Tongues[1-i] = [2]float64{p.Length - t[1], p.Length - t[0]}
	}
	return &m
}

// Area of the sheet that the pattern takes, mm².
func (p *Pattern) Area() float64 {
	sum := 0.0
	for i, a := range p.Outline {
		b := p.Outline[(i+1)%len(p.Outline)]
		sum += a.X*b.Y - b.X*a.Y
	}
	return math.Abs(sum) / 2
}

// Bent is a point of the band's inside after bending, seen along the travel:
// X across the housing, Y its depth, with the way the metal faces outwards.
type Bent struct {
	X, Y       float64
	OutX, OutY float64 // of length 1
}

// Fold bends the pattern again and gives the inside of the band at a place
// along the flat sheet. It knows nothing of the housing: it starts at the seam
// heading across, and turns at each bend line, the inside of a bend being a
// circle of the inside radius.
func (p *Pattern) Fold(along float64) Bent {
	r := p.tab.radius()
	at, heading := Bent{}, 0.0
	x := 0.0
	for _, b := range p.Bends {
		straight := b.X - b.Allowance/2 - x
		if along <= x+straight {
			return at.ahead(along-x, heading)
		}
		at = at.ahead(straight, heading)
		x += straight
		turn := b.Angle
		if along < x+b.Allowance {
			turn *= (along - x) / b.Allowance
		}
		at = at.round(r, heading, turn)
		heading += turn
		if along < x+b.Allowance {
			return at
		}
		x += b.Allowance
	}
	return at.ahead(along-x, heading)
}

// ahead goes straight on; the metal faces outwards to the right of the way.
func (b Bent) ahead(far, heading float64) Bent {
	sin, cos := math.Sincos(heading)
	return Bent{b.X + far*cos, b.Y + far*sin, sin, -cos}
}

// round goes along a circle to the left.
func (b Bent) round(r, heading, turn float64) Bent {
	sin, cos := math.Sincos(heading)
	sin2, cos2 := math.Sincos(heading + turn)
	return Bent{b.X + r*(sin2-sin), b.Y + r*(cos-cos2), sin2, -cos2}
}

// Degrees is the angle as a bench says it.
func (b BendLine) Degrees() float64 { return b.Angle * 180 / math.Pi }
