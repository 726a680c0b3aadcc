package report

import (
	"bandwright/bench"
	"bandwright/draw"
	"bandwright/quantity"
)

// The chart's lengths, mm.
const (
	chartRow   = 7.0
	chartTop   = 14.0
	chartName  = 46.0 // point and expected volts
	chartRead  = 40.0 // reading and verdict
	chartFoot  = 16.0
	chartSides = 1.5 // of the look limit, that the axis shows
)

// VoltageChart draws the list of a stage, so wide: a line for every point with
// the volts that are expected there, how far the parts let them lie (thick:
// likely, thin: worst), the limits of pass and look, what was read, and a box
// where nothing was read yet. Shares of what is expected, so that 0.6 V and
// 400 V are judged alike. Black on white; calculated, no proof that anything is
// safe.
func VoltageChart(a *bench.FirstVoltsAnswer, width float64) *draw.Drawing {
	c := &chart{width: width, low: -chartSides * a.Look.Below, high: chartSides * a.Look.Above}
	c.Drawing = &draw.Drawing{Width: width, Height: chartTop + chartRow*float64(len(a.Rows)) + chartFoot, ID: "voltage-chart",
		Title: "The voltages at " + a.Stage, Desc: "Expected volts of every point with their ranges and limits, and what was read"}
	foot := chartTop + chartRow*float64(len(a.Rows))
	c.limits(a, foot)
	for i, r := range a.Rows {
		c.row(r, chartTop+chartRow*(float64(i)+0.5))
	}
	c.Text(draw.Point{X: 1, Y: foot + 8}, "Off by, of what is expected. Thick: likely; thin: worst; a ring: as read. Calculated, not proof of safety:", draw.Font{Size: 2.5})
	c.Text(draw.Point{X: 1, Y: foot + 12}, "prove every point dead with a meter just proved live before a hand goes in.", draw.Font{Size: 2.5})
	return c.Drawing
}

type chart struct {
	*draw.Drawing
	width, low, high float64
}

// x is the place of a share on the axis, kept within it.
func (c *chart) x(share float64) float64 {
	share = min(max(share, c.low), c.high)
	return chartName + (c.width-chartName-chartRead)*(share-c.low)/(c.high-c.low)
}

// limits draws the upright lines of expected, pass and look, and the heads.
func (c *chart) limits(a *bench.FirstVoltsAnswer, foot float64) {
	for _, l := range []struct {
		share float64
		pen   draw.Pen
	}{{0, draw.Pen{Width: 0.3}}, {-a.Pass.Below, draw.Pen{Width: 0.2, Pattern: draw.Dashed}}, {a.Pass.Above, draw.Pen{Width: 0.2, Pattern: draw.Dashed}},
		{-a.Look.Below, draw.Pen{Width: 0.2}}, {a.Look.Above, draw.Pen{Width: 0.2}}} {
		c.Stroke(draw.Line(draw.Point{X: c.x(l.share), Y: chartTop - 2}, draw.Point{X: c.x(l.share), Y: foot}), l.pen)
		c.Text(draw.Point{X: c.x(l.share), Y: foot + 3.2}, draw.Signed(100*l.share, 0)+" %", draw.Font{Size: 2.3, Anchor: draw.Middle})
	}
	head := func(x float64, text string, anchor draw.Anchor) {
		c.Text(draw.Point{X: x, Y: chartTop - 4}, text, draw.Font{Size: 2.6, Bold: true, Anchor: anchor})
	}
	head(1, "point", draw.Start)
	head(chartName-3, "expected", draw.Finish)
	head((c.x(-a.Pass.Below)+c.x(a.Pass.Above))/2, "pass", draw.Middle)
	head((c.x(c.low)+c.x(-a.Look.Below))/2, "stop", draw.Middle)
	head((c.x(a.Look.Above)+c.x(c.high))/2, "stop", draw.Middle)
	head((c.x(-a.Look.Below)+c.x(-a.Pass.Below))/2, "look", draw.Middle)
	head((c.x(a.Pass.Above)+c.x(a.Look.Above))/2, "look", draw.Middle)
	head(c.width-chartRead+3, "read", draw.Start)
}

// row draws one point at a height.
func (c *chart) row(r bench.StageVolts, y float64) {
	name := r.Point
	if r.Black != "" && r.Black != "0" {
		name += " to " + r.Black
	}
	c.Text(draw.Point{X: 1, Y: y + 0.9}, name, draw.Font{Size: 2.6})
	if r.Shown == nil {
		c.Text(draw.Point{X: chartName - 3, Y: y + 0.9}, "floating", draw.Font{Size: 2.6, Anchor: draw.Finish})
	} else {
		expected := r.Shown.Likely.Nominal
		c.Text(draw.Point{X: chartName - 3, Y: y + 0.9}, quantity.Volts(expected).Display(4), draw.Font{Size: 2.6, Anchor: draw.Finish})
		c.ranges(r, expected, y)
	}
	c.read(r, y)
}

// ranges draws how far the volts may lie, where they are volts enough to be a
// share of.
func (c *chart) ranges(r bench.StageVolts, expected, y float64) {
	if expected == 0 {
		return
	}
	line := func(low, high, wide float64) {
		a, b := c.x(low/expected-1), c.x(high/expected-1)
		c.Stroke(draw.Line(draw.Point{X: min(a, b), Y: y}, draw.Point{X: max(a, b) + 0.01, Y: y}), draw.Pen{Width: wide})
	}
	line(r.Shown.Worst.Low, r.Shown.Worst.High, 0.25)
	line(r.Shown.Likely.Low, r.Shown.Likely.High, 1.2)
	if r.Read != nil {
		at := draw.Point{X: c.x(*r.Read/expected - 1), Y: y}
		c.Fill(draw.Circle(at, 1.3), draw.Grey(0xff))
		c.Stroke(draw.Circle(at, 1.3), draw.Pen{Width: 0.4})
	}
}

// read writes what was read with its verdict, or leaves a box for it.
func (c *chart) read(r bench.StageVolts, y float64) {
	left := c.width - chartRead + 3
	verdict := draw.Font{Size: 2.6, Anchor: draw.Finish, Bold: r.Verdict == bench.Stop}
	switch {
	case r.Read != nil:
		c.Text(draw.Point{X: left, Y: y + 0.9}, quantity.Volts(*r.Read).Display(4), draw.Font{Size: 2.6})
	case r.Open:
		c.Text(draw.Point{X: left, Y: y + 0.9}, "no number", draw.Font{Size: 2.6})
	default:
		c.Stroke(draw.Box(draw.Rect{Min: draw.Point{X: left, Y: y - 2.4}, Max: draw.Point{X: left + 16, Y: y + 2.4}}), draw.Pen{Width: 0.2})
	}
	c.Text(draw.Point{X: c.width - 1, Y: y + 0.9}, string(r.Verdict), verdict)
}
