package bench

import (
	"strings"
	"testing"

	"bandwright/stock"
)

const drawerText = `id,kind,value,measured,frequency,mode,Q,DCR
L1,coil,390 mH,409 mH,1 kHz,series,29,82
C1,capacitor,100n,,,,,
C2,capacitor,lots,,,,,
`

// The answer is the drawer's own, a bad row beside it and not instead of it;
// measured parts are looked at where it was asked.
func TestDrawer(t *testing.T) {
	a, found, err := Drawer("d.csv", strings.NewReader(drawerText), DrawerQuestion{Hz: 400, Celsius: 20})
	if err != nil || a.Counts.Bad != 1 || len(a.Parts) != 2 {
		t.Fatalf("%v %+v", err, a)
	}
	if found.Err() == nil || found[0].Place.File != "d.csv" || found[0].Place.Line != 4 {
		t.Errorf("the bad row is not named: %v", found)
	}
	want := a.Parts[0].SeriesAt(400, 20, stock.HandMeter())
	if got := a.Parts[0].At; got == nil || got.Value != want.Value || got.SE != want.SE {
		t.Errorf("at 400 Hz %+v, want %+v", got, want)
	}
	if a.Parts[1].At != nil {
		t.Error("a part that nobody measured has a reading")
	}
	again, _, err := Drawer("d.csv", strings.NewReader(drawerText), DrawerQuestion{Mapping: a.Mapping})
	if err != nil || len(again.Parts) != 2 || again.Parts[0].At != nil || again.Meter != "" {
		t.Errorf("by its own mapping: %v %+v", err, again)
	}
	if _, _, err := Drawer("d.csv", strings.NewReader(drawerText), DrawerQuestion{Hz: -1}); err == nil {
		t.Error("looked at below nought")
	}
	if _, _, err := Drawer("d.csv", strings.NewReader(""), DrawerQuestion{}); err == nil {
		t.Error("an empty drawer read")
	}
}
