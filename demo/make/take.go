package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// take is one measured curve: a unit at a setting, with the noise of the
// measuring in it.
type take struct {
	unit    string
	setting setting
	hz      []float64
	db      []float64
	phase   []float64 // degrees
}

// frequencies are 48 an octave upward from 20 Hz, and 20 kHz.
func frequencies() []float64 {
	var hz []float64
	for k := 0; ; k++ {
		f := 20 * math.Exp2(float64(k)/48)
		if f >= 20e3 {
			return append(hz, 20e3)
		}
		hz = append(hz, f)
	}
}

// measure takes every curve of a unit. Noise is white from point to point,
// `noise` dB of standard deviation, and as large in angle as in size: a tenth
// of a decibel is 0.0115 of the signal, and so 0.66 degrees across it.
func measure(u unit, seed uint64, noise float64) []take {
	random := rand.New(rand.NewPCG(seed, 2))
	hz := frequencies()
	perDB := math.Ln10 / 20 * 180 / math.Pi
	var takes []take
	for _, s := range settings() {
		n := u.build(s)
		_, bias := n.operate()
		t := take{unit: u.name, setting: s, hz: hz}
		for _, f := range hz {
			gain := n.respond(f, bias).volts("return")
			t.db = append(t.db, decibels(gain)+noise*random.NormFloat64())
			t.phase = append(t.phase, degrees(gain)+noise*perDB*random.NormFloat64())
		}
		takes = append(takes, t)
	}
	return takes
}

// shape is one way in which curves are exported as text.
type shape struct {
	extension string
	write     func(t take) string
}

// pointAndComma: a title, a header, decimal points, commas between, hertz,
// gain and phase.
var pointAndComma = shape{".csv", func(t take) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# INVENTED DATA. Unit %s, %s\n", t.unit, t.setting.name)
	b.WriteString("Frequency (Hz),Gain (dB),Phase (degrees)\n")
	for i, f := range t.hz {
		fmt.Fprintf(&b, "%.4f,%.3f,%.2f\n", f, t.db[i], t.phase[i])
	}
	return b.String()
}}

// commaAndSemicolon: lines of comment, decimal commas, semicolons between,
// kilohertz and gain alone, each line ended as on another system.
var commaAndSemicolon = shape{".txt", func(t take) string {
	var b strings.Builder
	fmt.Fprintf(&b, "* INVENTED DATA\n* unit %s, %s\n* -20 dBu into 1 kohm, loopback removed\n", t.unit, t.setting.name)
	b.WriteString("kHz;dB\n")
	for i, f := range t.hz {
		fmt.Fprintf(&b, "%.6f;%.2f\n", f/1e3, t.db[i])
	}
	return strings.ReplaceAll(strings.ReplaceAll(b.String(), ".", ","), "\n", "\r\n")
}}

// fileName of a take: unit-a-63-boost.csv.
func (s shape) fileName(t take) string {
	words := "unit-" + t.unit + "-" + t.setting.name
	return strings.ReplaceAll(strings.ToLower(words), " ", "-") + s.extension
}
