package wiring

import (
	"slices"

	"bandwright/circuit"
)

// Limit is how many conductors a lug may hold.
func (h Harness) Limit() int { return h.mostAtLug() }

// Conductor is the resistance of a run's wire.
func (r Run) Conductor() float64 { return r.conductorOhms() }

// Joins lists what a switch joins at a position, a pair of lugs each.
func (s Switch) Joins(position string) (list [][2]string) {
	for _, c := range s.Contacts {
		if slices.Contains(c.Closed, position) {
			list = append(list, [2]string{c.A, c.B})
		}
	}
	return list
}

// Plugs are what may sit in a jack, what is taken for granted first.
func (j Jack) Plugs() (list []Plug) {
	for _, p := range j.plugs() {
		list = append(list, Plug(p))
	}
	return list
}

// Joins lists what a jack joins with a plug in it.
func (j Jack) Joins(p Plug) (list [][2]string) {
	for _, part := range j.parts() {
		if c, ok := part.(circuit.Contact); ok && slices.Contains(c.Closed, string(p)) {
			list = append(list, [2]string{c.A, c.B})
		}
	}
	return list
}

// Same says whether straps and returns alone lead from one lug to another: a
// conductor may as well end at either.
func (h Harness) Same(a, b string) bool {
	reached := map[string]bool{a: true}
	for grown := true; grown; {
		grown = false
		for _, r := range h.Runs {
			if r.State == Removed || r.Kind != Strap && r.Kind != Earth || reached[r.From] == reached[r.To] {
				continue
			}
			reached[r.From], reached[r.To], grown = true, true, true
		}
	}
	return reached[b]
}
