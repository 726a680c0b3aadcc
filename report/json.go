package report

import (
	"encoding/json"
	"io"

	"bandwright/finding"
)

// Worded is a finding in JSON: as data and as words.
type Worded struct {
	finding.Finding
	Say  string `json:"say"`
	Hint string `json:"hint,omitempty"`
}

// Reply is what every question gives in JSON. Answer is null when an error
// stands in the way of one.
type Reply struct {
	Answer   any      `json:"answer"`
	Findings []Worded `json:"findings"`
}

// WordAll words findings.
func WordAll(found finding.List) []Worded {
	list := []Worded{}
	for _, f := range found {
		words := Word(f)
		list = append(list, Worded{Finding: f, Say: words.Say, Hint: words.Hint})
	}
	return list
}

// JSON writes an answer with its findings, the same bytes from every door.
func JSON(w io.Writer, answer any, found finding.List) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(Reply{Answer: answer, Findings: WordAll(found)})
}

// Once leaves out findings that say the same words about the same place:
// several questions may meet one weakness.
func Once(found finding.List) finding.List {
	seen := map[string]bool{}
	var kept finding.List
	for _, f := range found {
		if text := Text(f); !seen[text] {
			seen[text] = true
			kept = append(kept, f)
		}
	}
	return kept
}
