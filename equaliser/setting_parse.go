package equaliser

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// Findings of a setting that names what is not there; all are errors, and
// Place.Setting is the word. Its form is room curve's to judge.
const (
	// IDUnknownSlider: slider, nearest (comma list, may be empty).
	// "There is no slider {slider}." Hint: "Did you mean {nearest}?"
	IDUnknownSlider finding.ID = "equaliser.unknown-slider"
	// IDUnknownSwitch: switch, nearest (comma list, may be empty). "There is no
	// switch {switch}." Hint: "Did you mean {nearest}?" Also what "lift" and
	// "bypass" give where there is no such contact: Place.Setting says which.
	IDUnknownSwitch finding.ID = "equaliser.unknown-switch"
	// IDUnknownPosition: switch, position, known (comma list).
	// "The switch {switch} has no position {position}." Hint: "It has {known}."
	IDUnknownPosition finding.ID = "equaliser.unknown-position"
)

// settingWord gives what a short word stands for in the form that room curve
// reads; "flat" stands for nothing moved, and is its own; "" is any other word.
func settingWord(word string) string {
	switch word {
	case "flat":
		return "flat"
	case "lift", "lifted":
		return FootSwitch + ":lifted"
	case "bypass", "bypassed":
		return PanelSwitch + ":out"
	}
	return ""
}

// ParseSetting reads a setting as it is written on the command line and in a
// job: "63=+1,400=-0.5,lift", "bypass", "flat", "switch:position". What is not
// named is centred or at rest, so no text at all is flat. It reads everything
// that curve.Setting.String writes. The error is a finding.List that names
// every word that is wrong.
func (e *Equaliser) ParseSetting(text string) (curve.Setting, error) {
	if strings.TrimSpace(text) == "" {
		return curve.Setting{}, nil
	}
	r := settingReader{e: e, seen: map[string]bool{}}
	column := 1
	for _, word := range strings.Split(text, ",") {
		r.word(strings.TrimSpace(word), column)
		column += utf8.RuneCountInString(word) + 1
	}
	if err := r.found.Err(); err != nil {
		return curve.Setting{}, err
	}
	return r.setting, nil
}

// ReadSetting reads a setting as ParseSetting does where no circuit is at hand
// to say which sliders and switches there are.
func ReadSetting(text string) (curve.Setting, error) {
	words := strings.Split(text, ",")
	for i, word := range words {
		if short := settingWord(strings.TrimSpace(word)); short != "" {
			words[i] = short
		}
	}
	return curve.ParseSetting(strings.Join(words, ","))
}

type settingReader struct {
	e       *Equaliser
	setting curve.Setting
	seen    map[string]bool
	found   finding.List
}

// word reads one word and adds it to the setting.
func (r *settingReader) word(word string, column int) {
	wrong := func(id finding.ID, args finding.Args) {
		r.found = append(r.found, finding.New(id, finding.Error, finding.Place{Column: column, Setting: word}, args))
	}
	full := word
	if short := settingWord(word); short != "" {
		full = short
	}
	if full == "" { // between two commas: room curve would take it for flat
		wrong(curve.IDSettingForm, finding.Args{"read": word})
		return
	}
	one, err := curve.ParseSetting(full)
	if list, ok := finding.From(err); ok {
		for _, f := range list {
			wrong(f.ID, f.Args)
		}
		return
	}
	// A slider put at 0 is left out of the setting that was read.
	if name, _, ok := strings.Cut(full, "="); ok {
		r.once(strings.TrimSpace(name), wrong)
		r.checkSlider(strings.TrimSpace(name), wrong)
	}
	for name, position := range one.Sliders {
		r.setting = r.setting.WithSlider(name, position)
	}
	for name, position := range one.Switches {
		r.once(name, wrong)
		r.checkSwitch(name, position, wrong)
		r.setting = r.setting.WithSwitch(name, position)
	}
}

func (r *settingReader) once(name string, wrong func(finding.ID, finding.Args)) {
	if r.seen[name] {
		wrong(curve.IDSettingTwice, finding.Args{"name": name})
	}
	r.seen[name] = true
}

func (r *settingReader) checkSlider(name string, wrong func(finding.ID, finding.Args)) {
	part, _ := r.e.circuit.Part(name)
	if _, ok := part.(circuit.Slider); !ok {
		wrong(IDUnknownSlider, finding.Args{"slider": name, "nearest": nearest(name, r.e.sliderNames())})
	}
}

func (r *settingReader) checkSwitch(name, position string, wrong func(finding.ID, finding.Args)) {
	part, _ := r.e.circuit.Part(name)
	s, ok := part.(circuit.Switch)
	if !ok {
		wrong(IDUnknownSwitch, finding.Args{"switch": name, "nearest": nearest(name, r.e.switchNames())})
		return
	}
	if !slices.Contains(s.Positions, position) {
		wrong(IDUnknownPosition, finding.Args{"switch": name, "position": position,
			"known": strings.Join(s.Positions, ", ")})
	}
}

func (e *Equaliser) sliderNames() []string {
	var names []string
	for _, p := range e.circuit.Parts() {
		if s, ok := p.(circuit.Slider); ok {
			names = append(names, s.Name)
		}
	}
	return names
}

func (e *Equaliser) switchNames() []string {
	var names []string
	for _, p := range e.circuit.Parts() {
		if s, ok := p.(circuit.Switch); ok {
			names = append(names, s.Name)
		}
	}
	return names
}

// nearest lists up to three of the names that take the fewest single-letter
// changes (Levenshtein 1966) to become the one written, nearest first; a name
// that shares nothing with it is not near. With none near it lists them all.
func nearest(written string, names []string) string {
	var near []string
	for _, name := range names {
		if changes(written, name) < max(utf8.RuneCountInString(written), utf8.RuneCountInString(name)) {
			near = append(near, name)
		}
	}
	if len(near) == 0 {
		return strings.Join(names, ", ")
	}
	slices.SortStableFunc(near, func(a, b string) int {
		return cmp.Compare(changes(written, a), changes(written, b))
	})
	return strings.Join(near[:min(3, len(near))], ", ")
}

// changes counts the insertions, deletions and replacements between two words.
func changes(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range to {
			cost := diagonal
			if x != y {
				cost = 1 + min(diagonal, row[j], row[j+1])
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(to)]
}
