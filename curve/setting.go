package curve

import (
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

// String writes the setting in one canonical form, names sorted, centred
// sliders left out: "400=-0.5,63=+1,footswitch:lifted". Equal settings give
// equal text; the zero Setting gives "flat".
func (s Setting) String() string {
	var words []string
	for _, name := range slices.Sorted(maps.Keys(s.Sliders)) {
		if p := s.Sliders[name]; p != 0 {
			words = append(words, name+"="+signed(p))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.Switches)) {
		words = append(words, fmt.Sprintf("%s:%s", name, s.Switches[name]))
	}
	if len(words) == 0 {
		return "flat"
	}
	return strings.Join(words, ",")
}

func signed(p float64) string {
	text := strconv.FormatFloat(p, 'g', -1, 64)
	if p > 0 {
		return "+" + text
	}
	return text
}
