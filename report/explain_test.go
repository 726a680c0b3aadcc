package report

import (
	"testing"

	"bandwright/bench"
	"bandwright/fit"
)

// figureOf makes an account of one figure.
func figureOf(difference float64, own []fit.Share, neighbours, rest float64) *bench.AccountFigure {
	return &bench.AccountFigure{Figure: fit.Figure{Difference: difference, Own: own, Neighbours: fit.Share{Share: neighbours}, NotExplained: rest}}
}

// A band in one sentence: the largest share first, what is too little left out,
// what goes the other way said so.
func TestSentences(t *testing.T) {
	coil := func(x float64) fit.Share { return fit.Share{Field: "Henries", Share: x} }
	capacitor := func(x float64) fit.Share { return fit.Share{Field: "Farads", Share: x} }
	resistor := func(x float64) fit.Share { return fit.Share{Field: "Ohms", Share: x} }
	drawn, reading := -0.01, 0.004
	stated := figureOf(-0.02, []fit.Share{coil(-0.013)}, 0, 0.003)
	stated.Drawn, stated.Reading = &drawn, &reading
	for _, c := range []struct {
		band bench.AccountBand
		want string
	}{
		{bench.AccountBand{Centre: figureOf(-0.05, []fit.Share{capacitor(-0.015), coil(-0.03)}, -0.005, 0), Boost: figureOf(0.02, nil, 0, 0)},
			"400 sits 5.0 % low: 3.0 from the coil, 1.5 from the capacitor, 0.5 from its neighbours."},
		{bench.AccountBand{Centre: figureOf(0.001, []fit.Share{coil(0.001)}, 0, 0), Boost: figureOf(-1.07, []fit.Share{resistor(-0.97)}, -0.02, -0.08),
			Cut: figureOf(1.04, []fit.Share{resistor(0.97)}, 0, 0.07)},
			"400 sits where it should; its boost is 1.07 dB less: 0.97 from the resistor, 0.08 not explained; its cut is 1.04 dB less: 0.97 from the resistor, 0.07 not explained."},
		{bench.AccountBand{Reversed: true, Centre: figureOf(0.02, []fit.Share{coil(0.03), capacitor(-0.01)}, 0, 0)},
			"400 its slider stands the wrong way round; sits 2.0 % high: 3.0 from the coil, less 1.0 from the capacitor."},
		{bench.AccountBand{Centre: stated}, "400 sits 2.0 % low: 1.3 from the coil, 1.0 as drawn."},
		{bench.AccountBand{}, "400 its centre is not there on both sides."},
	} {
		c.band.Band = "400"
		if got := Sentences(bench.Account{Bands: []bench.AccountBand{c.band}})[0]; got != c.want {
			t.Errorf("%s\nwant %s", got, c.want)
		}
	}
}
