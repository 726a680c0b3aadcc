package report

import (
	"testing"

	"bandwright/bench"
	"bandwright/stock"
)

// Every band's trim in one sentence.
func TestTrimSentences(t *testing.T) {
	within := func(changes []stock.Change, centre, boost float64, q *stock.Reached, holds bool) bench.TrimBand {
		return bench.TrimBand{TrimmedBand: stock.TrimmedBand{Band: "400", Changes: changes, Centre: stock.Reached{Wanted: 400, At: centre},
			Boost: stock.Reached{Wanted: 10, At: boost}, Q: q, Within: holds}}
	}
	across := stock.Change{Part: "400.capacitor", How: stock.Across, Kind: stock.Capacitor, Value: 4.7e-9}
	behind := stock.Change{Part: "400.capacitor", How: stock.Behind, Kind: stock.Capacitor, Value: 4.7e-6, ID: "film 9"}
	resistor := stock.Change{Part: "400.resistor", How: stock.Instead, Kind: stock.Resistor, Value: 470}
	coil := stock.Change{Part: "400.coil", How: stock.Instead, Kind: stock.Coil, Value: 0.412, ID: "bag 7"}
	a := &bench.TrimAnswer{Bands: []bench.TrimBand{
		within([]stock.Change{across}, 398.4, 10, nil, true),
		within([]stock.Change{behind, resistor}, 401.2, 9.9, nil, true),
		within([]stock.Change{coil}, 400, 10.5, &stock.Reached{Wanted: 1, At: 0.9}, false),
		within(nil, 400.02, 10.001, nil, true),
	}}
	for i, want := range []string{
		"400: put 4.7 nF across 400.capacitor, and it is 0.4 % low, its boost right.",
		"400: put film 9 (4.7 µF) in series with 400.capacitor and put 470 Ω in place of 400.resistor, and it is 0.3 % high, its boost 0.10 dB less.",
		"400: put bag 7 (412 mH) in place of 400.coil, and it is right, its boost 0.50 dB more, its Q 10 % low: beyond its limits.",
		"400: leave it, it is right, its boost right.",
	} {
		if got := TrimSentences(a)[i]; got != want {
			t.Errorf("%s\nwant %s", got, want)
		}
	}
}
