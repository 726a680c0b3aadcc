// Package stock is the drawer: the coils, capacitors and resistors that are
// at hand, what is marked on them, what a meter said of them, and what that
// means at the frequency of a band.
//
// Read takes the drawer from a spreadsheet's CSV in any order of columns and
// shows the Mapping it used, which can be corrected, kept and given back.
// Write gives the same drawer as CSV. Every row of the file ends as a part, a
// further reading of a part, a repeated reading, a blank, a comment, or a bad
// row that is named with line, column and hint: the counts are in the result.
//
// SeriesAt says what the readings of one part mean at a frequency: the series
// value and its standard uncertainty, the series resistance, and the values a
// circuit computes with. Law says how the true value of a part may lie.
//
// Choose fills one board from the drawer: a coil, one capacitor or two and a
// resistor for every band, with the least error that the whole circuit then
// has; how far that lies above what no board is below, proven where every board
// can be solved and else by a model of one leg at a time, measured against the
// circuit; what to pick where, what is left, and the chance that all bands
// truly hold, by a law that is told at Chance.
//
// Values are in base units: henry, farad, ohm, hertz, volt rms, °C. A value
// of 0 means "not written" wherever 0 itself cannot be meant.
//
// # Formulas
//
//	Lp = Ls (1 + 1/Q²)              Cs = Cp (1 + D²)            D = 1/Q
//	L seen = L / (1 − ω²LC)         a coil with C across it, no losses
//	R(T) = R(20 °C) (1 + 0.00393 (T − 20 °C))  copper, IEC 60028
//	Rc = ω L Qc                     core loss as a parallel resistance
//	u = a / √3                      standard uncertainty of a limit ±a
//
// The first line follows from writing one impedance as a series and as a
// parallel pair, the second from adding jωC to 1/jωL (worked out from the
// definitions). 0.00393/K is as quoted by a second text. That a limit without
// further knowledge counts as uniform with the deviation a/√3 is JCGM 100
// (GUM) 4.3.7, from memory.
package stock
