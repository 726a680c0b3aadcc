package main

import "bandwright/ask"

// preferredVerb names the preferred values round a value.
type preferredVerb struct {
	form
	Kind string `arg:"" help:"resistor, capacitor, coil or slider." placeholder:"KIND"`
	Text string `arg:"" name:"value" help:"The value as the bench writes it." placeholder:"VALUE"`
}

// Help shows an example.
func (preferredVerb) Help() string {
	return `The values of the series E6 to E96 (IEC 60063) next below and above a value, each
with the coarsest series that has it.

Example:
  bandwright preferred resistor 4k6`
}

// Run answers the verb.
func (v preferredVerb) Run(d door) error {
	answer, found, err := ask.Preferred{Kind: v.Kind, Text: v.Text}.Ask(d.ctx, ask.From{})
	return v.give(d, answer, found, err, func() error {
		t := names(d.out, "series", "value")
		for _, n := range answer.Near {
			t.row(n.Series, n.Text)
		}
		return t.flush()
	})
}
