package draw

import "math"

// StandardDB is how many decibels are as long as one decade of frequency
// (IEC 60263:1982, as quoted by a second text). WideDB is the standard's
// stretched choice (from memory), for small differences.
const (
	StandardDB = 25.0
	WideDB     = 10.0
)

// Plot is a level over frequency on a logarithmic axis. The zero value of an
// optional field stands for the usual choice.
type Plot struct {
	ID, Title, Desc string  // as Drawing's
	Width           float64 // mm, of the whole drawing
	LowHz, HighHz   float64 // 0: 20 Hz and 20 kHz
	DecadeDB        float64 // dB as long as a decade; 0: StandardDB
	LowDB, HighDB   float64 // shown at least; lines widen it to whole ticks
	MostDB          float64 // shown at most, either side of nought; 0: what a sheet can carry
	Shades          []Shade // lowest
	Marks           []Mark
	Curves          []Curve // last drawn is uppermost
	Notes           []Note
}

// Curve is one line of a plot. Curves of one name share a place in the legend;
// one without a name has none. Points that are not finite part the line.
type Curve struct {
	Name string
	Hz   []float64 // rising
	DB   []float64 // one a frequency
	Pen  Pen
}

// Shade is the area between two levels, a range.
type Shade struct {
	Name      string
	Hz        []float64
	Low, High []float64 // dB, one a frequency, finite
	Colour    Colour
}

// Mark is a stated frequency: a thin line up the plot, its label on top.
type Mark struct {
	Hz    float64
	Label string
}

// Note is a text at a place in the plot; it stands above its point.
type Note struct {
	Hz, DB float64
	Text   string
}

// The measures of a plot, mm.
const (
	leftMargin  = 11.0 // level labels
	rightMargin = 4.0  // half of the last frequency label
	bodySize    = 2.6
	markRow     = 3.6
	legendRow   = 4.6
	longest     = 2.6 // decades of length a level axis may take
)

var (
	ink      = Colour{0x2b, 0x27, 0x22}
	gridFine = Colour{0xe4, 0xde, 0xd2}
	gridBold = Colour{0xbf, 0xb6, 0xa6}
	markLine = Colour{0x8a, 0x80, 0x72}
	white    = Colour{0xff, 0xff, 0xff}
)

// Frame says where a plot's axes lie in its drawing, in millimetres.
type Frame struct {
	Rect
	LowHz, HighHz float64
	LowDB, HighDB float64
}

// X gives the place of a frequency.
func (f Frame) X(hz float64) float64 {
	return f.Min.X + (f.Max.X-f.Min.X)*math.Log(hz/f.LowHz)/math.Log(f.HighHz/f.LowHz)
}

// Y gives the place of a level.
func (f Frame) Y(db float64) float64 {
	return f.Max.Y - (f.Max.Y-f.Min.Y)*(db-f.LowDB)/(f.HighDB-f.LowDB)
}

// Draw lays the plot out. The frame's height follows from its width and the
// levels to be shown, not from the space at hand.
func (p Plot) Draw() *Drawing {
	d, _ := p.DrawFramed()
	return d
}

// DrawFramed is Draw, and says where the axes came to lie.
func (p Plot) DrawFramed() (*Drawing, Frame) {
	p = p.filled()
	frame, levels := p.layout()
	d := &Drawing{ID: p.ID, Title: p.Title, Desc: p.Desc, Width: p.Width}
	for _, s := range p.Shades {
		p.shade(d, frame, s)
	}
	p.grid(d, frame, levels)
	p.marks(d, frame)
	for _, c := range p.Curves {
		for _, piece := range c.inside(frame) {
			d.Stroke(piece, c.Pen)
		}
	}
	d.Stroke(Box(frame.Rect), Pen{Width: 0.3, Colour: ink})
	p.notes(d, frame)
	d.Height = p.legend(d, frame)
	return d, frame
}

func (p Plot) filled() Plot {
	if p.LowHz == 0 {
		p.LowHz = 20
	}
	if p.HighHz == 0 {
		p.HighHz = 20e3
	}
	if p.DecadeDB == 0 {
		p.DecadeDB = StandardDB
	}
	if p.LowDB == p.HighDB {
		p.LowDB, p.HighDB = p.LowDB-p.DecadeDB/25, p.HighDB+p.DecadeDB/25
	}
	if !(p.Width > 2*(leftMargin+rightMargin)) {
		panic("draw: a plot needs a width")
	}
	return p
}

// layout settles the level range and the frame.
func (p Plot) layout() (Frame, []Tick) {
	low, high := p.levels()
	width := p.Width - leftMargin - rightMargin
	decade := width / decades(p.LowHz, p.HighHz)
	// Labels stand no closer than two lines of text.
	most := max(3, int((high-low)/p.DecadeDB*decade/(2*bodySize))+1)
	levels := DecibelTicks(low, high, most)
	low, high = levels[0].Value, levels[len(levels)-1].Value
	top := 4.4 + markRow*float64(p.markRows(decade))
	return Frame{
		Rect: Rect{
			Min: Point{leftMargin, top},
			Max: Point{leftMargin + width, top + (high-low)/p.DecadeDB*decade},
		},
		LowHz: p.LowHz, HighHz: p.HighHz, LowDB: low, HighDB: high,
	}, levels
}

// levels gives the range that everything finite needs, kept to MostDB or to what
// a sheet can carry: a notch of a hundred decibels must not push the rest off it.
func (p Plot) levels() (low, high float64) {
	low, high = p.LowDB, p.HighDB
	widen := func(hz, db []float64) {
		for i, f := range hz {
			if f >= p.LowHz && f <= p.HighHz && finite(db[i]) {
				low, high = min(low, db[i]), max(high, db[i])
			}
		}
	}
	for _, c := range p.Curves {
		widen(c.Hz, c.DB)
	}
	for _, s := range p.Shades {
		widen(s.Hz, s.Low)
		widen(s.Hz, s.High)
	}
	half := longest * p.DecadeDB / 2
	if p.MostDB > 0 {
		return max(low, -p.MostDB), min(high, p.MostDB)
	}
	if high-low <= 2*half {
		return low, high
	}
	// Keep nought in the picture and give each side what it needs of the rest.
	if high > half && -low > half {
		return -half, half
	}
	if -low > half {
		return high - 2*half, high
	}
	return low, low + 2*half
}

// inside gives the pieces of a curve within the frame.
func (c Curve) inside(f Frame) []Path {
	var pieces []Path
	var run []Point
	for i, hz := range c.Hz {
		if hz > 0 && finite(c.DB[i]) {
			run = append(run, Point{f.X(hz), f.Y(c.DB[i])})
			continue
		}
		pieces = append(pieces, Clip(run, f.Rect)...)
		run = nil
	}
	return append(pieces, Clip(run, f.Rect)...)
}

func (p Plot) shade(d *Drawing, f Frame, s Shade) {
	var corners []Point
	for i, hz := range s.Hz {
		corners = append(corners, Point{f.X(hz), f.Y(s.High[i])})
	}
	for i := len(s.Hz) - 1; i >= 0; i-- {
		corners = append(corners, Point{f.X(s.Hz[i]), f.Y(s.Low[i])})
	}
	if kept := ClipArea(corners, f.Rect); kept != nil {
		d.Fill(Polygon(kept...), s.Colour)
	}
}

func decades(from, to float64) float64 { return math.Log10(to / from) }
