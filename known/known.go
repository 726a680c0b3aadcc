// Package known holds circuits whose answers are known from elsewhere: worked
// examples of textbooks, closed forms, and random circuits that a slow twin
// can solve. It is for tests only; the solver, and every room that asks a
// circuit something, is held against the same data.
//
// Every Circuit names its source and every expected value carries a Mark, so
// that a test's failure says how far the expectation itself can be trusted.
// All values are in base units: ohm, henry, farad, volt, ampere, hertz.
//
// Nothing here solves anything. The closed forms (IdealCell, LoadedDivider,
// FollowerInductor) are formulas on complex numbers, written out so that
// they share no code with the solver they judge.
package known

import (
	"bandwright/circuit"
	"bandwright/curve"
)

// Mark says how a value is known.
type Mark string

// The marks, from strongest to weakest.
const (
	Read       Mark = "from the work"
	ReadSecond Mark = "as quoted by a second text"
	Calculated Mark = "worked out from the definition"
	Memory     Mark = "from memory"
)

// Value is an expected figure with the absolute tolerance it allows: half a
// unit of the last printed digit where a work prints it, unless the entry
// says more.
type Value struct {
	Want, Tol float64
	Mark      Mark
}

// Circuit is parts with questions and the answers expected.
type Circuit struct {
	Name    string
	Source  string // the work; each Value carries its own mark
	Parts   []circuit.Part
	Setting curve.Setting
	Kelvin  float64 // temperature; 0 leaves the solver's own

	Volts       []Volts
	Currents    []Current
	Gains       []Gain
	Extrema     []Extremum
	Crossings   []Crossing
	Derivatives []Derivative
	Noise       []Noise
}

// Volts is a direct voltage of Plus over Minus.
type Volts struct {
	Plus, Minus string
	Value
}

// Current is a direct current through a part, first terminal to second; into
// the collector of a transistor.
type Current struct {
	Part string
	Value
}

// Probe says which response is looked at: Scale times the signal of Plus over
// Minus, per unit of the source (one volt, or one ampere of a current source).
// A current is asked as the voltage across a resistor with Scale 1/ohms.
type Probe struct {
	Source      string
	Plus, Minus string
	Scale       float64
}

// Gain is a response at one frequency. Degrees is nil where the source gives
// no phase; phases are compared modulo 360.
type Gain struct {
	Probe
	Hz        float64
	Magnitude Value
	Degrees   *Value
}

// Extremum is the frequency between Low and High where the magnitude of a
// response is greatest (Lowest false) or least. Magnitude is nil where the
// source does not give it. Between Low and High there is one extremum only.
type Extremum struct {
	Probe
	Low, High float64
	Lowest    bool
	Hz        Value
	Magnitude *Value
}

// Crossing is the frequency between Low and High where the magnitude of a
// response passes Level; it passes it once.
type Crossing struct {
	Probe
	Low, High, Level float64
	Hz               Value
}

// Drive is a source set to so many volts (or amperes).
type Drive struct {
	Source string
	Amount float64
}

// Derivative is d(signal at Point)/d(Part.Param) with the sources driven as
// said, at 1 Hz in a circuit of resistors alone, where direct and alternating
// answers are the same: the sum over Drives of Amount times the derivative of
// the gain from that source. Param is the field of the part's struct.
type Derivative struct {
	Drives []Drive
	Point  string
	Part   string
	Param  string
	Value
}

// Noise is the spectral density at a point, volt per root hertz.
type Noise struct {
	Point string
	Hz    float64
	Value
}

// All lists every circuit of the room with expected answers, in a fixed
// order. The slice and what it points to are the caller's own.
func All() []Circuit {
	var all []Circuit
	for _, some := range [][]Circuit{
		SeriesRLC(), ShiftedExtrema(), Phasors(), Nodal(),
		Bias(), Zeners(), Triodes(), Potentiometers(), JohnsonNoise(), TenBandHandbook(),
	} {
		all = append(all, some...)
	}
	return all
}

// across is the response of the voltage between two points.
func across(plus, minus string) Probe {
	return Probe{Source: "source", Plus: plus, Minus: minus, Scale: 1}
}

// through is the response of the current through ohms between two points.
func through(plus, minus string, ohms float64) Probe {
	return Probe{Source: "source", Plus: plus, Minus: minus, Scale: 1 / ohms}
}

// printed is a value as a work prints it, calc one from a formula to so many
// parts of itself.
func printed(want, tol float64) Value { return Value{Want: want, Tol: tol, Mark: Read} }

func calc(want, relative float64) Value {
	tol := want * relative
	if tol < 0 {
		tol = -tol
	}
	return Value{Want: want, Tol: tol, Mark: Calculated}
}

func at(v Value) *Value { return &v }
