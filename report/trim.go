package report

import (
	"strings"

	"bandwright/bench"
	"bandwright/draw"
	"bandwright/stock"
)

// TrimSentences says of every band what to do and what comes of it: "400: put 4.7 nF
// across 400.capacitor, and it is 0.4 % low."
func TrimSentences(a *bench.TrimAnswer) []string {
	list := []string{}
	for _, b := range a.Bands {
		list = append(list, trimSentence(b))
	}
	return list
}

func trimSentence(b bench.TrimBand) string {
	var work []string
	for _, c := range b.Changes {
		work = append(work, "put "+ChangeWords(c))
	}
	said := "leave it, it"
	if len(work) > 0 {
		said = strings.Join(work, " and ") + ", and it"
	}
	said = b.Band + ": " + said + " is " + offWords(100*(b.Centre.At/b.Centre.Wanted-1), 1, " %", "high", "low")
	said += ", its boost " + offWords(b.Boost.At-b.Boost.Wanted, 2, " dB", "more", "less")
	if b.Q != nil {
		said += ", its Q " + offWords(100*(b.Q.At/b.Q.Wanted-1), 0, " %", "high", "low")
	}
	if !b.Within {
		said += ": beyond its limits"
	}
	return said + "."
}

// ChangeWords says what goes where.
func ChangeWords(c stock.Change) string {
	what := map[stock.Kind]string{stock.Coil: "henry", stock.Capacitor: "farad", stock.Resistor: "ohm"}[c.Kind]
	text := written(c.Value, what)
	if c.ID != "" {
		text = c.ID + " (" + text + ")"
	}
	how := map[string]string{stock.Across: " across ", stock.Behind: " in series with ", stock.Instead: " in place of "}[c.How]
	return text + how + c.Part
}

// offWords says how far a figure is off what is wanted.
func offWords(off float64, decimals int, unit, above, below string) string {
	text := draw.Signed(off, decimals)
	size, down := strings.CutPrefix(text, "−")
	size = strings.TrimPrefix(size, "+")
	switch {
	case strings.Trim(size, "0.") == "":
		return "right"
	case down:
		return size + unit + " " + below
	}
	return size + unit + " " + above
}
