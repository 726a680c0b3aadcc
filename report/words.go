package report

import (
	"fmt"
	"maps"
	"strings"
	"text/template"

	"bandwright/draw"
	"bandwright/finding"
	"bandwright/quantity"
)

// wording is what a finding says and what to do about it, as text templates
// over the finding's args and its place (point, part, band, setting, line).
// An arg that may be absent stands in "with". A hint may be empty.
type wording struct{ say, hint string }

// table gives the one wording of every finding, by ID. The IDs are texts here
// and constants in their rooms: the doors above this room have some too.
func table() map[finding.ID]wording {
	all := map[finding.ID]wording{}
	for _, part := range [...]map[finding.ID]wording{
		quantityWords, curveWords, jobWords, circuitWords, stockWords, doorWords, spreadWords, designWords, readingWords, faultWords, wiringWords, feedWords, artworkWords, sweepWords, fitWords, recordWords,
	} {
		maps.Copy(all, part)
	}
	return all
}

// Words is a finding in a person's words.
type Words struct {
	Level finding.Level `json:"level"`
	Place string        `json:"place,omitempty"` // file:line:column and what it concerns
	Say   string        `json:"say"`
	Hint  string        `json:"hint,omitempty"`
}

// Word puts a finding into words. One that this table does not know is shown
// as it is, never swallowed.
func Word(f finding.Finding) Words {
	w := Words{Level: f.Level, Place: f.Place.String(), Say: f.Error()}
	entry, known := table()[f.ID]
	if !known {
		return w
	}
	facts := facts(f)
	say, err := fill(entry.say, facts)
	if err != nil {
		return w
	}
	w.Say, w.Place = say, unsaid(f.Place, say).String()
	// A hint that cannot be filled is no hint.
	w.Hint, _ = fill(entry.hint, facts)
	return w
}

// unsaid leaves out of a place what the sentence names already.
func unsaid(p finding.Place, say string) finding.Place {
	for _, name := range []*string{&p.Point, &p.Part, &p.Band, &p.Setting} {
		if *name != "" && strings.Contains(say, *name) {
			*name = ""
		}
	}
	return p
}

// Text is a finding as the command line prints it: a line of level, place and
// sentence, and a line with the hint where there is one.
func Text(f finding.Finding) string {
	w := Word(f)
	text := w.Level.String() + ": "
	if w.Place != "" {
		text += w.Place + ": "
	}
	text += w.Say
	if w.Hint != "" {
		text += "\n  hint: " + w.Hint
	}
	return text
}

// facts are what a template is filled with: the args, and the place where no
// arg has that name.
func facts(f finding.Finding) map[string]any {
	all := map[string]any{
		"point": f.Place.Point, "part": f.Place.Part, "band": f.Place.Band,
		"setting": f.Place.Setting, "file": f.Place.File, "line": f.Place.Line,
	}
	maps.Copy(all, f.Args)
	return all
}

// fill writes a template; a fact it names and the finding lacks is an error.
func fill(text string, facts map[string]any) (string, error) {
	t, err := parse(text)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	if err := t.Execute(&b, facts); err != nil {
		return "", err
	}
	if strings.Contains(b.String(), "<no value>") {
		return "", fmt.Errorf("report: a fact is missing in %q", text)
	}
	return b.String(), nil
}

func parse(text string) (*template.Template, error) {
	return template.New("").Funcs(template.FuncMap{
		"Hz":      func(v any) string { return written(v, "hertz") },
		"dB":      func(v any) string { return written(v, "decibel") },
		"ohm":     func(v any) string { return written(v, "ohm") },
		"volt":    func(v any) string { return written(v, "volt") },
		"percent": func(v any) string { return written(v, "tolerance") },
		"in":      func(unit string, v any) string { return written(v, unit) },
		"short":   func(x float64) string { return plain(x, 2) },
		"mm":      hundredths,
		"into":    overlap,
		"signed":  func(x float64) string { return draw.Signed(x, 1) },
		"a":       article,
		"kind":    unitWords,
		"figure":  figureWords,
		"measure": figureValue,
	}).Parse(text)
}

// written gives a number in a unit as people read it, and anything else as it
// is: an arg may be the text that was read.
func written(v any, unit string) string {
	x, ok := number(v)
	if !ok {
		return fmt.Sprint(v)
	}
	switch unit {
	case "ohm":
		return quantity.Ohms(x).Display(4)
	case "farad":
		return quantity.Farads(x).Display(4)
	case "henry":
		return quantity.Henries(x).Display(4)
	case "hertz":
		return quantity.Hertz(x).Display(4)
	case "volt", "level":
		return quantity.Volts(x).Display(4)
	case "ampere":
		return quantity.Amperes(x).Display(4)
	case "watt":
		return quantity.Watts(x).Display(4)
	case "second":
		return quantity.Seconds(x).Display(4)
	case "metre":
		return quantity.Metres(x).Display(4)
	case "celsius":
		return quantity.Celsius(x).Display(4)
	case "decibel":
		return draw.Signed(x, 2) + " dB"
	case "tolerance":
		return plain(100*x, 3) + " %"
	}
	return plain(x, 6)
}

func number(v any) (float64, bool) {
	switch v := v.(type) {
	case float64:
		return v, true
	case int:
		return float64(v), true
	}
	return 0, false
}

// unitWords names what a unit of room quantity measures, as in a sentence.
func unitWords(unit string) string {
	words, known := map[string]string{
		"ohm": "a resistance in ohms", "farad": "a capacitance in farads", "henry": "an inductance in henries",
		"hertz": "a frequency in hertz", "volt": "a voltage", "ampere": "a current", "watt": "a power in watts",
		"second": "a time in seconds", "metre": "a length", "celsius": "a temperature in °C",
		"decibel": "a ratio in dB", "level": "a level", "tolerance": "a tolerance", "series": "a series of preferred values",
	}[unit]
	if !known {
		return unit
	}
	return words
}

// article puts "a" or "an" before a word.
func article(word string) string {
	if word != "" && strings.ContainsRune("aeiou", rune(strings.ToLower(word)[0])) {
		return "an " + word
	}
	return "a " + word
}
