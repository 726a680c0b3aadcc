package curve

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bandwright/finding"
)

// ParseSetting reads what Setting.String writes: "flat", or words parted by
// commas, each "slider=position" (−1 … +1) or "switch:position", in any order,
// spaces around words allowed. An empty text is flat. Which sliders and
// switches exist, and short names such as "lift", are the equaliser's to know.
// Sliders at 0 are left out, so that ParseSetting(s.String()) has s's text.
// Errors are finding.Findings whose Place.Column counts characters from 1.
func ParseSetting(text string) (Setting, error) {
	var s Setting
	if trimmed := strings.TrimSpace(text); trimmed == "" || trimmed == "flat" {
		return s, nil
	}
	seen := map[string]bool{}
	at := 0
	for _, word := range strings.Split(text, ",") {
		column := utf8.RuneCountInString(text[:at]) + 1
		at += len(word) + 1
		if err := s.parseWord(strings.TrimSpace(word), column, seen); err != nil {
			return Setting{}, err
		}
	}
	return s, nil
}

func (s *Setting) parseWord(word string, column int, seen map[string]bool) error {
	refuse := func(id finding.ID, args finding.Args) error {
		return finding.New(id, finding.Error, finding.Place{Column: column, Setting: word}, args)
	}
	cut := strings.IndexAny(word, "=:")
	if cut < 0 {
		return refuse(IDSettingForm, finding.Args{"read": word})
	}
	name, value := strings.TrimSpace(word[:cut]), strings.TrimSpace(word[cut+1:])
	if !plainName(name) || !plainName(value) {
		return refuse(IDSettingForm, finding.Args{"read": word})
	}
	// A slider and a switch may share a name; the mark keeps them apart.
	key := word[cut:cut+1] + name
	if seen[key] {
		return refuse(IDSettingTwice, finding.Args{"name": name})
	}
	seen[key] = true
	if word[cut] == ':' {
		*s = s.WithSwitch(name, value)
		return nil
	}
	position, ok := parsePosition(value)
	if !ok {
		return refuse(IDSettingPosition, finding.Args{"read": value, "slider": name})
	}
	if position != 0 {
		*s = s.WithSlider(name, position)
	}
	return nil
}

// parsePosition takes a plain decimal number from −1 to +1; a minus sign
// proper (U+2212), as paper prints it, counts as one.
func parsePosition(text string) (float64, bool) {
	text = strings.Replace(text, "−", "-", 1)
	if strings.Trim(text, "+-.0123456789eE") != "" {
		return 0, false // hexadecimal, underscores, inf and nan are not positions
	}
	p, err := strconv.ParseFloat(text, 64)
	return p, err == nil && p >= -1 && p <= 1
}

// plainName says whether a name can stand in a setting's text and be read
// back: something in it, no mark of the form, no blank ends, no control codes.
func plainName(name string) bool {
	if name == "" || name != strings.TrimSpace(name) || !utf8.ValidString(name) {
		return false
	}
	return !strings.ContainsFunc(name, func(r rune) bool {
		return r == ',' || r == '=' || r == ':' || unicode.IsControl(r)
	})
}

// writable says whether the setting's text reads back as the same setting.
func (s Setting) writable() bool {
	for name, p := range s.Sliders {
		if !plainName(name) || !(p >= -1 && p <= 1) {
			return false
		}
	}
	for name, position := range s.Switches {
		if !plainName(name) || !plainName(position) {
			return false
		}
	}
	return true
}
