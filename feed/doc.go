// Package feed asks what the supply does to every part: the volts across it,
// the amperes through it, the watts in it, in every case that the bench meets,
// beside what the part is rated for.
//
// A Case is the circuit edited and its rail at another voltage: cold start with
// the rail unloaded, nominal, mains high and low, the board unplugged, the zener
// open, the zener short. Loads solves each whole and lists what each part
// carries; nothing is taken from a rule of thumb where the circuit can answer.
//
// ChooseDropper tries preferred values of the dropper, one or two in series, on
// the whole circuit. Discharge says how long a capacitor keeps its charge, and
// what bleed would make it so.
//
// Volts, amperes, watts, ohms, seconds.
package feed
