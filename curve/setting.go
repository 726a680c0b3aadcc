package curve

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Setting is the position of every slider and switch. A slider that is not
// named is centred; a switch that is not named is at rest (the first of its
// positions). The zero Setting is therefore "all centred, all at rest".
type Setting struct {
	// Sliders maps a slider's name to its place on the travel,
	// −1 (cut end) … 0 (centre) … +1 (boost end).
	Sliders map[string]float64 `json:"sliders,omitempty"`
	// Switches maps a switch's name to the name of its position.
	Switches map[string]string `json:"switches,omitempty"`
}

// Slider gives a slider's position, 0 when it is not named.
func (s Setting) Slider(name string) float64 { return s.Sliders[name] }

// WithSlider gives a copy with one slider moved.
func (s Setting) WithSlider(name string, position float64) Setting {
	moved := maps.Clone(s.Sliders)
	if moved == nil {
		moved = map[string]float64{}
	}
	moved[name] = position
	return Setting{Sliders: moved, Switches: s.Switches}
}

// WithSwitch gives a copy with one switch thrown.
func (s Setting) WithSwitch(name, position string) Setting {
	thrown := maps.Clone(s.Switches)
	if thrown == nil {
		thrown = map[string]string{}
	}
	thrown[name] = position
	return Setting{Sliders: s.Sliders, Switches: thrown}
}

// String writes the setting in one canonical form, names sorted (numbers by
// their value, then words), centred sliders left out:
// "63=+1,400=-0.5,footswitch:lifted". Equal settings give equal text; the zero
// Setting gives "flat".
func (s Setting) String() string {
	var words []string
	for _, name := range slices.SortedFunc(maps.Keys(s.Sliders), byValue) {
		if p := s.Sliders[name]; p != 0 {
			words = append(words, name+"="+signed(p))
		}
	}
	for _, name := range slices.SortedFunc(maps.Keys(s.Switches), byValue) {
		words = append(words, fmt.Sprintf("%s:%s", name, s.Switches[name]))
	}
	if len(words) == 0 {
		return "flat"
	}
	return strings.Join(words, ",")
}

// byValue orders names that are numbers by their value, before all others.
func byValue(a, b string) int {
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	switch {
	case errA == nil && errB == nil:
		return cmp.Or(cmp.Compare(x, y), cmp.Compare(a, b))
	case errA == nil:
		return -1
	case errB == nil:
		return 1
	}
	return cmp.Compare(a, b)
}

func signed(p float64) string {
	text := strconv.FormatFloat(p, 'g', -1, 64)
	if p > 0 {
		return "+" + text
	}
	return text
}
