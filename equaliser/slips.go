package equaliser

import "bandwright/circuit"

// SlipKind is a kind of slip in filling a board.
type SlipKind string

// The slips of filling a board.
const (
	SliderReversed SlipKind = "slider reversed"
	WrongKind      SlipKind = "wrong kind of part"
	DecadeOut      SlipKind = "value a decade out"
)

// slipShares says how often each is met among all of them. Common practice, no
// source: they order lists and decide nothing that a reading can.
var slipShares = map[SlipKind]float64{SliderReversed: 2, WrongKind: 1, DecadeOut: 2}

// conductsOhms is what a resistor or a coil of a leg is for direct current when
// it stands where a capacitor should. Common practice, no source.
const conductsOhms = 100.0

// Slip is one thing that a hand may have put wrong in filling the board, as
// edits of its circuit.
type Slip struct {
	Label string
	Kind  SlipKind
	Edits []circuit.Edit
	Prior float64 // a share; all of a list make 1
}

// Slips lists every single slip of the bands and of the two resistors that make
// the cell. What a leg has in another order of its own is the same leg, and so
// none.
func (e *Equaliser) Slips() []Slip {
	var list []Slip
	add := func(kind SlipKind, label string, edit circuit.Edit) {
		if _, ok := e.circuit.Part(edit.Part); ok {
			list = append(list, Slip{Label: label, Kind: kind, Edits: []circuit.Edit{edit}})
		}
	}
	decades := func(part, value string) {
		if v, err := e.circuit.Value(circuit.Knob{Part: part, Value: value}); err != nil || v == 0 {
			return
		}
		add(DecadeOut, part+" ×10", circuit.Scale(part, value, 10))
		add(DecadeOut, part+" ÷10", circuit.Scale(part, value, 0.1))
	}
	for _, b := range e.spec.Bands {
		resistor, coil, capacitor := b.Name+".resistor", b.Name+".coil", b.Name+".capacitor"
		add(SliderReversed, b.Name, circuit.Reverse(b.Name))
		add(WrongKind, coil+" does not conduct", circuit.Open(coil))
		add(WrongKind, resistor+" does not conduct", circuit.Open(resistor))
		add(WrongKind, capacitor+" conducts", circuit.Short(capacitor, 0, 1, conductsOhms))
		decades(b.Name, "Track")
		decades(resistor, "Ohms")
		decades(coil, "Henries")
		decades(capacitor, "Farads")
	}
	decades("feed", "Ohms")
	decades("feedback", "Ohms")
	return weighed(list)
}

// weighed shares each kind's prior out among its slips.
func weighed(list []Slip) []Slip {
	count, total := map[SlipKind]float64{}, 0.0
	for _, s := range list {
		if count[s.Kind] == 0 {
			total += slipShares[s.Kind]
		}
		count[s.Kind]++
	}
	for i, s := range list {
		list[i].Prior = slipShares[s.Kind] / count[s.Kind] / total
	}
	return list
}
