package main

import (
	"fmt"
	"math"
	"strings"
)

// truth tells in Markdown what the units' parts truly are and what this
// solver makes of them: what a sheet should find.
func truth(all []export) string {
	var b strings.Builder
	drawn := asDrawn()
	for _, e := range all {
		fmt.Fprintf(&b, "\n### Unit %s\n\n", e.unit.name)
		if len(e.unit.hidden) == 0 {
			b.WriteString("Nothing is wrong with it.\n")
		}
		for _, h := range e.unit.hidden {
			fmt.Fprintf(&b, "- Hidden: %s.\n", h)
		}
		b.WriteString("\n| band | coil | copper | capacitor | resistor | track |\n|---|---|---|---|---|---|\n")
		for i, l := range e.unit.legs {
			d := drawn.legs[i]
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s |\n", l.band,
				beside(l.henries*1e3, d.henries*1e3, "mH"), beside(l.dcr, d.dcr, "ohm"),
				beside(l.farads*1e9, d.farads*1e9, "nF"), beside(l.resistor, d.resistor, "ohm"),
				beside(l.track, d.track, "ohm"))
		}
		b.WriteString("\n| band | boost peak | as drawn | at full boost | as drawn | at full cut | as drawn |\n|---|---|---|---|---|---|---|\n")
		for i, l := range e.unit.legs {
			up, down := e.unit.feature(l, 1), e.unit.feature(l, -1)
			dup, ddown := drawn.feature(drawn.legs[i], 1), drawn.feature(drawn.legs[i], -1)
			fmt.Fprintf(&b, "| %s | %s Hz (%s) | %s Hz | %+.2f dB | %+.2f dB | %+.2f dB | %+.2f dB |\n",
				l.band, figures(up.hz, 4), percent(up.hz, dup.hz), figures(dup.hz, 4), up.db, dup.db, down.db, ddown.db)
		}
	}
	return b.String()
}

// beside writes a value with how far it lies from the job's.
func beside(value, drawn float64, unit string) string {
	return fmt.Sprintf("%s %s (%s)", figures(value, 4), unit, percent(value, drawn))
}

// percent by which a value lies above or below another; nought has no sign.
func percent(value, other float64) string {
	p := math.Round((value/other-1)*1000) / 10
	if p == 0 {
		return "0 %"
	}
	return fmt.Sprintf("%+.1f %%", p)
}

// figures rounds to so many significant digits, without an exponent.
func figures(x float64, digits int) string {
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(x))))
	if places < 0 {
		scale := math.Pow(10, float64(-places))
		return fmt.Sprintf("%.0f", math.Round(x/scale)*scale)
	}
	return fmt.Sprintf("%.*f", places, x)
}
