package feed

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/quantity"
)

// Bled is a bleed across a capacitor that keeps its charge too long.
type Bled struct {
	Capacitor string  `json:"capacitor"`
	Ohms      float64 `json:"ohms"`    // preferred, at or below what is needed
	Watts     float64 `json:"watts"`   // in it at cold start
	Volts     float64 `json:"volts"`   // across it there
	Seconds   float64 `json:"seconds"` // to the asked volts with every bleed of the list in place
}

// Bleeds gives a bleed to every capacitor of a list that takes longer than so
// many seconds, and tries them together on the circuit: what they take then
// stands beside each. Capacitors between the same two points get one.
func Bleeds(ctx context.Context, whole *circuit.Circuit, s Supply, held []Held, seconds float64, series quantity.Series, cond circuit.Conditions) ([]Bled, error) {
	var list []Bled
	parts, at := slices.Clone(whole.Parts()), map[[2]string]bool{}
	together := pooled(whole)
	for _, h := range held {
		p, _ := whole.Part(h.Capacitor)
		c := p.(circuit.Capacitor)
		pair := pairOf(c)
		if at[pair] || !h.Never && h.Seconds <= seconds {
			continue
		}
		at[pair] = true
		need := Bleed(seconds, together[pair], h.From, h.To)
		if !h.Never {
			need = 1 / (1/need - 1/h.Ohms)
		}
		b := Bled{Capacitor: h.Capacitor, Ohms: quantity.Below(series, need), Volts: h.From}
		b.Watts = b.Volts * b.Volts / b.Ohms
		list = append(list, b)
		parts = append(parts, circuit.Resistor{Name: "bleed across " + c.Name, A: c.A, B: c.B, Ohms: b.Ohms})
	}
	if len(list) == 0 {
		return nil, nil
	}
	bled, err := circuit.New(parts...)
	if err != nil {
		return nil, err
	}
	after, err := Discharge(ctx, bled, s, held[0].To, cond)
	if err != nil {
		return nil, err
	}
	for _, h := range after {
		for i := range list {
			if list[i].Capacitor == h.Capacitor {
				list[i].Seconds = h.Seconds
			}
		}
	}
	return list, nil
}
