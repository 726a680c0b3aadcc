package draw_test

import (
	"bytes"
	"io"
	"slices"
	"testing"

	"golang.org/x/image/font/gofont/gomono"

	"bandwright/draw"
)

// The PDF library writes into the bytes of the fonts it cuts down; the ones
// that every document starts from stay as they are.
func TestFontsStayWhole(t *testing.T) {
	before := slices.Clone(gomono.TTF)
	d := draw.Drawing{Width: 60, Height: 20, Title: "even pitch"}
	d.Text(draw.Point{X: 5, Y: 10}, "4k7 Ω 2.2 µF −3 dB abcdefghij", draw.Font{Size: 3, Mono: true})
	if err := d.PDF(io.Discard, "test"); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(before, gomono.TTF) {
		t.Error("the font's bytes have changed")
	}
}
