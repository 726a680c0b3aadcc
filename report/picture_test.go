package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"bandwright/bench"
	"bandwright/draw"
	"bandwright/equaliser"
	"bandwright/golden"
	"bandwright/reading"
	"bandwright/wiring"
)

func pictureSVG(t *testing.T, d *draw.Drawing) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.SVG(&b); err != nil {
		t.Fatal(err)
	}
	golden.CheckNumbers(t, d.ID+".svg", b.Bytes(), golden.Tolerance{Abs: 0.011})
	for _, colour := range []string{"#ff", "#00ff"} { // black and white, and the white of a sheath
		if strings.Contains(strings.ReplaceAll(b.String(), "#ffffff", ""), `"`+colour) {
			t.Errorf("%s has a colour", d.ID)
		}
	}
	return b.String()
}

func wantOnce(t *testing.T, svg string, words ...string) {
	t.Helper()
	for _, w := range words {
		if n := strings.Count(svg, ">"+w+"<"); n != 1 {
			t.Errorf("%q stands there %d times", w, n)
		}
	}
}

func TestSliderStrip(t *testing.T) {
	marks := []bench.ScalePoint{{Position: -1, DB: -10}, {Position: -0.9, DB: -6}, {Position: -0.5, DB: -2}, {Position: 0.5, DB: 2}, {Position: 0.9, DB: 6}, {Position: 1, DB: 10}}
	a := &bench.BandsAnswer{Bands: []equaliser.Feature{{Band: "63", StatedHz: 63}, {Band: "2500", StatedHz: 2500}},
		Scale: []bench.BandScale{{Band: "63", AtHz: 62.6, Marks: marks}, {Band: "2500"}}}
	svg := pictureSVG(t, SliderStrip(a, 100))
	wantOnce(t, svg, "63 Hz", "2.5 kHz", "flat", "boost", "cut", "+10", "−10", "+2", "−2", "+6", "−6")
	// The line of +2 dB stands where the lever does at half its way up.
	middle := stripTop + stripTravel/2
	if line := fmt.Sprintf(" %gL", middle-0.5*stripTravel/2); strings.Count(svg, line) != 1 {
		t.Errorf("no line begins at %s", line)
	}
	if strings.Count(svg, ">0<") != 2 {
		t.Error("a slider has no flat mark: even one without a scale has")
	}
}

func TestHarnessDrawing(t *testing.T) {
	a := &bench.RunsAnswer{
		Runs: []bench.RunLine{
			{Name: "from follower", From: "tap", To: "panel.a1", Kind: wiring.Screened, Colour: "yellow", Screen: bench.ScreenFrom, ScreenAt: []string{"0"}, State: wiring.Made},
			{Name: "board in", From: "panel.a2", To: "in", Kind: wiring.Screened, Colour: "white", Screen: bench.ScreenTo, ScreenAt: []string{"board.0"}, State: wiring.NotYet},
			{Name: "round", From: "panel.a1", To: "panel.b3", Kind: wiring.Strap, State: wiring.NotYet},
			{Name: "return", From: "board.0", To: "0", Kind: wiring.Earth, Colour: "black", State: wiring.NotYet},
			{Name: "lamp", From: "fuse", To: "lamp.1", Kind: wiring.Lead, Colour: "brown", Mains: true, State: wiring.Removed},
		},
		Links: []bench.LinkLine{{Name: "follower to inverter", From: "tap", To: "return", Colour: "green", State: wiring.Removed}},
	}
	svg := pictureSVG(t, HarnessDrawing(a, 190))
	wantOnce(t, svg, "tap", "panel.a1", "panel.a2", "panel.b3", "in", "board.0", "0", "fuse", "lamp.1", "return",
		"from follower yellow, screen at 0", "board in white, screen at board.0", "round", "return black", "MAINS lamp brown", "link green",
		"made", "not yet", "removed")
	// A dot for each end of each wire, a sheath for each screened run, a cross of
	// two strokes for each that was removed.
	if dots := strings.Count(svg, `fill="#000000"/>`); dots != 12 {
		t.Errorf("%d dots", dots)
	}
	if sheaths := strings.Count(svg, `stroke="#ffffff" stroke-width="1.3"`); sheaths != 2 {
		t.Errorf("%d sheaths", sheaths)
	}
}

func TestVoltageChart(t *testing.T) {
	volts := func(low, nominal, high float64) *bench.Shown {
		likely := reading.Expected{Low: low, Nominal: nominal, High: high}
		worst := reading.Expected{Low: nominal - 2*(nominal-low), Nominal: nominal, High: nominal + 2*(high-nominal)}
		return &bench.Shown{Likely: likely, Worst: worst}
	}
	read, far := 398.0, 30.0
	a := &bench.FirstVoltsAnswer{Stage: "mains", Pass: bench.Share{Below: 0.1, Above: 0.1}, Look: bench.Share{Below: 0.2, Above: 0.2},
		Rows: []bench.StageVolts{
			{Point: "ht", Black: "0", Shown: volts(390, 400, 410), Read: &read, Verdict: bench.Pass},
			{Point: "rail", Black: "0", Shown: volts(23, 24, 25), Read: &far, Verdict: bench.Stop},
			{Point: "bias", Black: "0", Shown: volts(-50, -47, -44), Verdict: bench.NotDone},
			{Point: "63.wiper", Black: "0", Shown: volts(0, 0, 0), Verdict: bench.NotDone},
			{Point: "legs", Black: "out", Open: true, Verdict: bench.Look},
		}}
	svg := pictureSVG(t, VoltageChart(a, 180))
	wantOnce(t, svg, "ht", "400 V", "398 V", "24 V", "30 V", "−47 V", "0 V", "legs to out", "floating", "no number", "+10 %", "−20 %")
	if boxes := strings.Count(svg, ">NOT DONE<"); boxes != 2 {
		t.Errorf("%d not done", boxes)
	}
	if rings := strings.Count(svg, `fill="#ffffff"`); rings != 2 {
		t.Errorf("%d readings are marked", rings)
	}
}
