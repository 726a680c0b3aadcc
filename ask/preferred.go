package ask

import (
	"context"

	"bandwright/finding"
	"bandwright/quantity"
)

// Preferred asks which preferred values lie round a value.
type Preferred struct {
	Kind string `json:"kind"`  // coil, capacitor, resistor, slider
	Text string `json:"value"` // as it is written
}

// PreferredAnswer is a value as read, in its base unit, and its neighbours.
type PreferredAnswer struct {
	Value float64         `json:"value"`
	Near  []PreferredNear `json:"near"`
}

// PreferredNear is the value of a series below or above, or the value itself.
type PreferredNear struct {
	Series string  `json:"series"` // the coarsest that has it
	Value  float64 `json:"value"`
	Text   string  `json:"text"` // as it is written
}

// Ask answers.
func (q Preferred) Ask(context.Context, From) (*PreferredAnswer, finding.List, error) {
	switch q.Kind {
	case "resistor", "slider":
		return near(q.Text, quantity.ParseOhms, quantity.Ohms.Display)
	case "capacitor":
		return near(q.Text, quantity.ParseFarads, quantity.Farads.Display)
	case "coil":
		return near(q.Text, quantity.ParseHenries, quantity.Henries.Display)
	}
	return nil, nil, refusal(IDKind, finding.Args{"read": q.Kind})
}

// near lists the neighbours in the series bought most, coarsest first, each
// value once.
func near[V ~float64](text string, read func(string) (V, error), write func(V, int) string) (*PreferredAnswer, finding.List, error) {
	value, err := read(text)
	if err != nil {
		return nil, nil, err
	}
	a := &PreferredAnswer{Value: float64(value), Near: []PreferredNear{}}
	if !(value > 0) {
		return a, nil, nil // a wire has no neighbours
	}
	seen := map[V]bool{}
	for _, s := range []quantity.Series{quantity.E6, quantity.E12, quantity.E24, quantity.E96} {
		for _, v := range []V{quantity.Below(s, value), quantity.Above(s, value)} {
			if !seen[v] {
				seen[v] = true
				a.Near = append(a.Near, PreferredNear{Series: s.String(), Value: float64(v), Text: write(v, 4)})
			}
		}
	}
	return a, nil, nil
}
