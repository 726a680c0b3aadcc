package main

import (
	_ "embed"
	"fmt"
	"strings"
)

// licencesVerb prints the licences of everything inside the binary.
type licencesVerb struct{ form }

// Help shows an example.
func (licencesVerb) Help() string {
	return `Prints the licence of every library inside this program, word for word.

Example:
  bandwright licences`
}

// licenceText is made by scripts/licences.sh.
//
//go:embed licences.txt
var licenceText string

// licence is one library's.
type licence struct {
	Module  string `json:"module"`
	Version string `json:"version"`
	Kind    string `json:"kind"`
	Text    string `json:"text"`
}

const ownLicence = "Bandwright is made by the Bandwright contributors, under the Apache License 2.0.\nIt contains the following, with thanks:\n\n"

// Run answers the verb.
func (v licencesVerb) Run(d door) error {
	answer := licences(licenceText)
	return v.give(d, answer, nil, nil, func() error {
		fmt.Fprint(d.out, ownLicence)
		for _, l := range answer {
			fmt.Fprintf(d.out, "  %s %s (%s)\n", l.Module, l.Version, l.Kind)
		}
		for _, l := range answer {
			fmt.Fprintf(d.out, "\n%s\n%s %s\n\n%s", strings.Repeat("=", 72), l.Module, l.Version, l.Text)
		}
		return nil
	})
}

// licences parts the text: a line "=== module version kind", then the words.
func licences(text string) []licence {
	var list []licence
	for _, entry := range strings.Split("\n"+text, "\n=== ")[1:] {
		head, words, _ := strings.Cut(entry, "\n")
		fields := strings.SplitN(head, " ", 3)
		if len(fields) != 3 {
			panic("licences.txt: head " + head)
		}
		list = append(list, licence{fields[0], fields[1], fields[2], strings.TrimRight(words, "\n") + "\n"})
	}
	return list
}
