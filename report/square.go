package report

import (
	"rsc.io/qr"

	"bandwright/draw"
)

// quietZone is the white around a square code, in its modules (ISO/IEC 18004).
const quietZone = 4

// SquareCode draws a text as a square code of ISO/IEC 18004, each module so
// many millimetres wide: black on white, for cameras see it best so.
func SquareCode(text string, module float64) (*draw.Drawing, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return nil, err
	}
	side := float64(code.Size+2*quietZone) * module
	d := &draw.Drawing{Width: side, Height: side, ID: "square-code", Title: "Square code", Desc: text}
	d.Fill(draw.Box(draw.Rect{Max: draw.Point{X: side, Y: side}}), draw.Grey(255))
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) { // a run is one box: modules side by side leave hair lines
				x++
			}
			if x > from {
				d.Fill(draw.Box(draw.Rect{
					Min: draw.Point{X: float64(from+quietZone) * module, Y: float64(y+quietZone) * module},
					Max: draw.Point{X: float64(x+quietZone) * module, Y: float64(y+quietZone+1) * module},
				}), draw.Grey(0))
			}
		}
	}
	return d, nil
}
