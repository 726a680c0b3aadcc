package curve

import (
	"strings"
	"unicode"
)

// What a column holds.
const (
	holdsFrequency = "frequency"
	holdsGain      = "gain"
	holdsPhase     = "phase"
	notUsed        = "not used"
	// Titles that are known and are none of the three.
	holdsReal      = "real"
	holdsImaginary = "imaginary"
	holdsOther     = "other"
)

// title is what a column's heading says about it; "" is nothing.
type title struct{ text, holds, unit string }

// headings are the words of headings, whole words in lower case, in the
// languages that exports come in most (English, German, French).
var headings = map[string]title{
	"f": {holds: holdsFrequency}, "freq": {holds: holdsFrequency}, "frequency": {holds: holdsFrequency},
	"frequencies": {holds: holdsFrequency}, "frequenz": {holds: holdsFrequency},
	"fréquence": {holds: holdsFrequency}, "frequence": {holds: holdsFrequency},
	"hz": {holds: holdsFrequency, unit: "Hz"}, "khz": {holds: holdsFrequency, unit: "kHz"},
	"hertz": {holds: holdsFrequency, unit: "Hz"}, "kilohertz": {holds: holdsFrequency, unit: "kHz"},
	"gain": {holds: holdsGain}, "mag": {holds: holdsGain}, "magn": {holds: holdsGain},
	"magnitude": {holds: holdsGain}, "level": {holds: holdsGain}, "amplitude": {holds: holdsGain},
	"ampl": {holds: holdsGain}, "amp": {holds: holdsGain}, "response": {holds: holdsGain},
	"betrag": {holds: holdsGain}, "pegel": {holds: holdsGain}, "niveau": {holds: holdsGain},
	"verstärkung": {holds: holdsGain}, "module": {holds: holdsGain}, "|h|": {holds: holdsGain},
	"db": {holds: holdsGain, unit: "dB"}, "dbr": {holds: holdsGain, unit: "dB"},
	"dbv": {holds: holdsGain, unit: "dB"}, "dbu": {holds: holdsGain, unit: "dB"},
	"dbfs": {holds: holdsGain, unit: "dB"}, "spl": {holds: holdsGain, unit: "dB"},
	"decibel": {holds: holdsGain, unit: "dB"}, "decibels": {holds: holdsGain, unit: "dB"},
	"ratio": {holds: holdsGain, unit: "ratio"}, "linear": {holds: holdsGain, unit: "ratio"},
	"lin": {holds: holdsGain, unit: "ratio"}, "v/v": {holds: holdsGain, unit: "ratio"},
	"vout/vin": {holds: holdsGain, unit: "ratio"}, "out/in": {holds: holdsGain, unit: "ratio"},
	"phase": {holds: holdsPhase}, "phas": {holds: holdsPhase}, "arg": {holds: holdsPhase},
	"angle": {holds: holdsPhase}, "phasenlage": {holds: holdsPhase},
	"deg": {holds: holdsPhase, unit: "degrees"}, "degs": {holds: holdsPhase, unit: "degrees"},
	"degree": {holds: holdsPhase, unit: "degrees"}, "degrees": {holds: holdsPhase, unit: "degrees"},
	"grad": {holds: holdsPhase, unit: "degrees"}, "°": {holds: holdsPhase, unit: "degrees"},
	"rad": {holds: holdsPhase, unit: "radians"}, "radian": {holds: holdsPhase, unit: "radians"},
	"radians": {holds: holdsPhase, unit: "radians"},
	"re":      {holds: holdsReal}, "real": {holds: holdsReal},
	"im": {holds: holdsImaginary}, "imag": {holds: holdsImaginary}, "imaginary": {holds: holdsImaginary},
	"coherence": {holds: holdsOther}, "delay": {holds: holdsOther}, "thd": {holds: holdsOther},
	"noise": {holds: holdsOther}, "time": {holds: holdsOther}, "index": {holds: holdsOther},
	"n": {holds: holdsOther}, "no": {holds: holdsOther}, "nr": {holds: holdsOther}, "point": {holds: holdsOther},
	"distortion": {holds: holdsOther}, "remark": {holds: holdsOther}, "note": {holds: holdsOther},
}

// entitle reads one heading. Of several words the strongest counts: "other"
// first ("phase delay" is no phase), a plain name before a unit ("phase (rad)
// of gain" stays phase), while the unit may come from any that agrees.
func entitle(text string) title {
	t := title{text: text}
	for _, w := range headingWords(text) {
		known, ok := headings[w]
		if !ok {
			continue
		}
		if known.holds == holdsOther {
			return title{text: text, holds: holdsOther}
		}
		if t.holds == "" {
			t.holds = known.holds
		}
		if t.unit == "" && known.holds == t.holds {
			t.unit = known.unit
		}
	}
	return t
}

// headingWords cuts a heading into words: at anything that is no letter, and
// where a small letter meets a capital (FrequencyHz, gainDB stays gain, DB).
func headingWords(text string) []string {
	var cut []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool {
		return !unicode.IsLetter(r) && r != '/' && r != '|' && r != '°'
	}) {
		cut = append(cut, strings.ToLower(w))
		if parts := camel(w); len(parts) > 1 {
			cut = append(cut, parts...)
		}
	}
	return cut
}

func camel(word string) []string {
	var parts []string
	start, before := 0, rune(0)
	for i, r := range word {
		if i > start && (unicode.IsLower(before) && unicode.IsUpper(r) && word[start:i] != "d" && word[start:i] != "k") ||
			i > start && strings.HasPrefix(word[i:], "dB") && !unicode.IsUpper(before) {
			parts = append(parts, strings.ToLower(word[start:i]))
			start = i
		}
		before = r
	}
	return append(parts, strings.ToLower(word[start:]))
}

// titles reads the lines above the table. The line nearest to the table wins,
// column by column, so that a line of units completes a line of names.
func titles(above []string, f form, columns int) []title {
	all := make([]title, columns)
	for _, line := range above {
		cells := headingCells(line, f, columns)
		if !telling(cells) {
			continue
		}
		for i, c := range cells {
			if c.holds != "" || all[i].text == "" {
				if c.unit == "" && c.holds == all[i].holds {
					c.unit = all[i].unit
				}
				if c.holds != "" && all[i].holds != "" && all[i].unit == "" && c.unit != "" {
					c.text = strings.TrimSpace(all[i].text + " " + c.text)
				}
				all[i] = c
			}
		}
	}
	return all
}

// telling says whether cells are headings and not a sentence with commas:
// short, and a frequency among them or two known words at least.
func telling(cells []title) bool {
	known, frequency := 0, false
	for _, c := range cells {
		if len(strings.Fields(c.text)) > 5 {
			return false
		}
		if c.holds != "" {
			known++
		}
		frequency = frequency || c.holds == holdsFrequency
	}
	return known > 1 || frequency && known > 0
}

// headingCells parts a heading line into as many cells as the table has
// columns, by the table's separator or, for want of that, by another.
func headingCells(line string, f form, columns int) []title {
	if body, is := comment(line); is {
		line = body
	}
	for i, parts := range [...]func(string) []string{
		func(l string) []string { return cellTexts(form{sep: f.sep}.split(nil, l)) },
		func(l string) []string { return cellTexts(form{sep: '\t'}.split(nil, l)) },
		func(l string) []string { return cellTexts(form{sep: ','}.split(nil, l)) },
		func(l string) []string { return cellTexts(form{sep: ';'}.split(nil, l)) },
		wideGaps,
		func(l string) []string { return unitsJoined(strings.Fields(l)) },
	} {
		cells := parts(line)
		if i == 0 && f.sep != ' ' && len(cells) > columns {
			cells = cells[:columns] // columns that are blank in every row
		}
		if len(cells) == columns {
			t := make([]title, columns)
			for j, c := range cells {
				t[j] = entitle(c)
			}
			return t
		}
	}
	return nil
}

func cellTexts(fields []field) []string {
	texts := make([]string, len(fields))
	for i, d := range fields {
		texts[i] = d.text
	}
	return texts
}

// wideGaps parts at two spaces or more: "Freq Hz   Gain dB".
func wideGaps(line string) []string {
	var cells []string
	for _, c := range strings.Split(strings.TrimSpace(line), "  ") {
		if c = strings.TrimSpace(c); c != "" {
			cells = append(cells, c)
		}
	}
	return cells
}

// unitsJoined puts a unit back with its name: Frequency | (Hz) | Gain | dB.
func unitsJoined(tokens []string) []string {
	var cells []string
	bare := false // the last cell has no unit yet
	for _, t := range tokens {
		unit := entitle(t).unit != "" || strings.ContainsAny(t[:1], "([")
		if unit && bare {
			cells[len(cells)-1] += " " + t
			bare = false
			continue
		}
		cells = append(cells, t)
		bare = !unit
	}
	return cells
}

// mentioned gives the one unit of two that the lines above speak of, "" if
// neither or both: a remark like "frequencies in kHz" above bare numbers. A
// unit behind a number ("level -20 dBu", "up to 20 kHz") is a value of
// something else and says nothing about the columns.
func mentioned(above []string, a, b string) string {
	hasA, hasB := false, false
	for _, line := range above {
		value := false
		for _, token := range strings.Fields(line) {
			if !value && !strings.ContainsAny(token, "0123456789") {
				for _, w := range headingWords(token) {
					hasA = hasA || headings[w].unit == a
					hasB = hasB || headings[w].unit == b
				}
			}
			value = strings.ContainsAny(token, "0123456789")
		}
	}
	switch {
	case hasA && !hasB:
		return a
	case hasB && !hasA:
		return b
	}
	return ""
}
