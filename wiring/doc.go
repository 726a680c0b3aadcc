// Package wiring is everything between the boards: runs of wire, links that
// are cut, switches and jacks by what is plugged in, and the lists by which a
// person rings them out before power.
//
// A Harness is plain data: lugs are points of the circuit, a run that is made
// is a resistor between two of them with its screen's capacitance, a switch is
// its contacts. Parts turns what is made so far into parts of the circuit, so
// that every prediction holds for half-made work too; nothing here keeps a
// second list of what is connected with what.
//
// Faults lists what a hand may have done wrong, each as an edit of the circuit.
// Plan chooses the fewest probes that catch them: which points the two leads of
// a meter are held to, at which setting, so that every fault which any probe
// can show is shown by one of those chosen. Cover is that choice on its own, an
// exact set cover by branch and bound.
//
// Lengths are metres, resistance ohms, capacitance farads.
package wiring
