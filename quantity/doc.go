// Package quantity reads and writes values as a bench writes them, and knows
// the preferred values parts are made in and the standard frequencies curves
// are read at. It is the edge of the house: inside, every number is a float64
// in its base unit; only here does it meet a prefix, a code letter, a decimal
// comma or a band of colour.
//
// # Reading
//
//	4k7  4R7  R47  470R  47K3  1M     ohms in the letter code of IEC 60062
//	2u2  2µ2  100n  4n7  p33          farads in the same code
//	1H5  680 mH  1.5 H  22m           henries
//	63 Hz  1k  6k3  1.25 kHz          hertz (and c/s, kc, Mc of old drawings)
//	24 V  3V3  -50 V  20 mA  220 W    volts, amperes, watts
//	12 dB  -20 dBu  -10 dBV  0.775 V  decibels and levels
//	±5 %  5 %  -20/+80 %  J  Z        tolerances
//
// The micro sign may be µ (U+00B5), μ (U+03BC) or u; ohms Ω (U+2126 or
// U+03A9), R, "ohm" or "ohms"; minus a hyphen, − (U+2212) or an en dash; any
// thin, narrow or no-break space is a space. A decimal comma is a decimal
// point: "4,7k", "0,022 µF", "1,5 H". Groups of three parted by spaces, or by
// a comma or point that occurs more than once or beside the other, are
// thousands. Old drawings' mfd is µF; mmfd, mmf and µµF are pF.
//
// What may be read in two ways is refused with both meanings (IDAmbiguous):
// "4,700" of ohms (4.7 or 4700), "mF" and "MF" of capacitance (old drawings
// mean µF), a lone "1m" of resistance (mΩ or MΩ), "4E7" of resistance (E as
// a decimal letter, or an exponent), a bare number of farads, henries, metres
// or level, "dBv", and prefixes in the wrong case where that matters ("mhz").
// Negative parts, NaN, infinities and sizes no part has are refused too.
//
// A number is read as decimal digits and turned to binary once, correctly
// rounded, so "4k7" is exactly the float64 4700, never 4699.999….
//
// Codes printed on parts have functions of their own, since "104" as plain
// text of ohms is 104 ohm: ParseOhmsCode, ParseFaradsCode, ParseColours.
//
// # Writing
//
// MarshalText and String: the shortest text that reads back to the same
// float64. Display: at most so many significant digits, for people, with the
// true minus sign. Bench: the letter code. Column: one prefix and one number
// of decimals for a column of values.
//
// # Preferred values and frequencies
//
// Series E3 to E192 with Nearest, NearestDifference, Below, Above, Within and
// Contains; ExactFrequency, BandEdges and the nominal octaves and thirds.
//
// # Sources
//
// IEC 60062 (marking codes), IEC 60063 (preferred values), ISO 266 (nominal
// frequencies), IEC 61260-1 (exact frequencies, octave ratio G = 10^0.3): all
// as quoted by second texts; what is from memory says so where it stands.
package quantity
