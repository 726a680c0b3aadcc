// Package equaliser knows slider-across-the-inputs equalisers: it turns bands,
// sliders, legs and a driver into the parts of a circuit, and asks the circuit
// for what a technician means by centre, width, boost and cut.
//
// Nothing here is computed from a rule of thumb where the circuit can answer:
// every figure of a Feature comes from solving the whole circuit at a setting.
// The one exception is StartingLeg, which gives a first set of values to a job
// that has none yet.
//
// Units are base units throughout: ohm, farad, henry, hertz, volt. Gains are
// decibels, 20 log10 of a ratio of volts. Slider positions are −1 (cut end of
// the travel) … 0 … +1 (boost end).
//
// The chain of points, with the names every drawing keeps:
//
//	generator → source.ohms → tap → panel.in → in → [driver] → out.coupled → panel.out → return → load
//
// A driver offers two buses: "cut", its + input, behind the feed resistor, and
// "boost", its − input, behind the feedback resistor. Every band hangs a slider
// between the two, and its leg (resistor, coil, capacitor in series) from the
// wiper to the point "legs", which the lift contact joins to ground.
package equaliser
