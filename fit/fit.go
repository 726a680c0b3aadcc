// Package fit finds the values of named parts from magnitude curves taken at
// known settings, says how well each is known, and shares the difference between
// two sets of values out among the parts.
//
// It knows parts, not equalisers: an Unknown is one value of one part of any
// circuit, and what a band's centre or boost is comes as a circuit.Measure.
//
// # Method
//
// Weighted Levenberg–Marquardt (room leastsq) in the logarithms of the values,
// with the adjoint circuit's derivatives (circuit.Tuning, or, where a value moves
// the operating point, the circuit solved anew at every step). Beside the
// unknowns go what is not wanted and not known: each curve's level, sliders that
// may stand a little off, and, where a power stage lies behind, one response that
// all curves share. That response is not fitted but taken out: at each frequency
// only the contrasts between curves count, by an orthonormal basis that leaves
// the common part aside, which is the same as fitting it and costs nothing.
// Levels set out from where they leave least: a search that has to find a level
// first bends the circuit towards it. Where what is left is more than noise, the
// search sets out again, with shorter steps and with single values a decade out.
//
// Intervals are the covariance's at the end, 95 % by the normal law in the
// logarithm. Noise is taken as independent from point to point; where the
// residuals say otherwise, or are larger than the noise, a finding says so and
// the intervals are widened by the ratio (Birge 1932; from memory).
//
// Units are base units; gains are decibels; a slider's position is −1 … +1.
package fit

import (
	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// Unknown is one value of one part to be found. It must be above 0, since its
// logarithm is fitted.
type Unknown struct {
	circuit.Knob
	// Start is where the search begins; 0 means the circuit's own value.
	Start float64
	// Low and High bound it; 0 means a thousandth and a thousandfold of Start.
	Low, High float64
	// Prior is the standard deviation of the logarithm about the circuit's own
	// value that is believed beforehand (0.05 for about 5 %); 0 means nothing is
	// believed.
	Prior float64
}

// Level says what is known of the curves' levels.
type Level uint8

// The levels.
const (
	LevelFree   Level = iota // each curve has a level of its own
	LevelShared              // one unknown level for all: nothing was touched between takes
	LevelKnown               // the curves are volts per volt
)

// Take is a measured curve; its setting is the curve's own.
type Take struct {
	Curve curve.Curve
	// NoiseDB is the standard deviation of one point; 0 means the plan's.
	NoiseDB float64
}

// Plan is a question to the curves.
type Plan struct {
	Circuit     *circuit.Circuit
	Conditions  circuit.Conditions
	Source, Out string // the gain that the curves show
	Unknowns    []Unknown
	Takes       []Take
	Level       Level
	// Stage says that an unknown stage lies behind the output, the same in all
	// takes, so that only differences between curves tell anything. The takes
	// must then share their frequencies.
	Stage bool
	// NoiseDB is the standard deviation of a point, 0: found from what is left.
	NoiseDB float64
	// PositionSD is how far a slider may stand off its setting, as a standard
	// deviation in units of position (the whole travel is 2). A slider at an end
	// of its travel stands there. 0 means that all stand where they should.
	PositionSD float64
	// Reset says that every slider was set anew for every take; else one that
	// stands alike in two takes has not been touched between them.
	Reset bool
	// Legs, if given, are what FromNothing starts from, and the order in which
	// findings name things.
	Legs []Leg
	// FromNothing says that the circuit's values of the legs mean nothing: only
	// how it is joined up is known. See start.go.
	FromNothing bool
	// Further are the settings that may be proposed for one more take; nil means
	// each slider of the circuit at either end, the others centred.
	Further []curve.Setting
}

// Leg is the parts of one band, lowest frequency first in a list.
type Leg struct {
	Band                              string
	Slider, Resistor, Coil, Capacitor string // names of parts
}

// Value is one unknown as found.
type Value struct {
	Part  string  `json:"part"`
	Field string  `json:"field"` // as the part's type names it
	Value float64 `json:"value"`
	Low   float64 `json:"low"` // 95 %
	High  float64 `json:"high"`
	LogSD float64 `json:"log_sd"` // standard error of the logarithm
	// AtBound is −1 at its lower and +1 at its upper bound, else 0.
	AtBound int8 `json:"at_bound,omitempty"`
	// Told says that the curves, not what was believed beforehand, decide it.
	Told bool `json:"told"`
}

// Position is where a slider was found to stand.
type Position struct {
	Slider string  `json:"slider"`
	At     float64 `json:"at"`             // where the setting has it
	Take   int     `json:"take,omitempty"` // with Reset: in which take
	Found  float64 `json:"found"`
	SD     float64 `json:"sd"`
}

// Offset is the level of a take: measured less the circuit's own gain, dB.
type Offset struct {
	DB float64 `json:"db"`
	SD float64 `json:"sd"`
}

// Result is the answer to a Plan.
type Result struct {
	Values    []Value    `json:"values"`
	Positions []Position `json:"positions,omitempty"`
	Offsets   []Offset   `json:"offsets,omitempty"` // by take; nil where they are known or lost in an unknown stage
	// Covariance is that of the logarithms of the values.
	Covariance [][]float64 `json:"covariance"`
	Noise      Noise       `json:"noise"`
	// Fitted and Residuals are curves by take: the circuit's, level and stage
	// added, and measured less fitted: what a residual plot shows.
	Fitted    []curve.Curve `json:"fitted"`
	Residuals []curve.Curve `json:"residuals"`
	// Stage is the response of the unknown stage, as found; levels are in it.
	Stage    *curve.Curve `json:"stage,omitempty"`
	Ties     []Tie        `json:"ties,omitempty"`
	Findings finding.List `json:"findings,omitempty"`
	// Iterations counts the steps with all points.
	Iterations int `json:"iterations"`
}

// Noise is how well the circuit explains the curves.
type Noise struct {
	DB      float64 `json:"db"`       // of a point: as stated, or as found
	RMS     float64 `json:"rms_db"`   // of what is left
	Freedom int     `json:"freedom"`  // points less what was fitted
	Chance  float64 `json:"chance"`   // of so much left if the circuit is right and the noise as stated; 1: not stated
	Wander  float64 `json:"wander"`   // how much neighbours agree in what is left, in standard deviations (von Neumann 1941)
	Widened float64 `json:"widened"`  // the factor by which intervals were widened
	WorstHz float64 `json:"worst_hz"` // where neighbours agree most
	Take    int     `json:"take"`     // in which take
}

// Findings of a question that cannot be put. All are errors.
const (
	// IDNothing: there are no curves, or no unknowns. what: "curves" or "unknowns".
	IDNothing finding.ID = "fit.nothing"
	// IDFewPoints: fewer points than things to be found. points, want.
	IDFewPoints finding.ID = "fit.few-points"
	// IDGrids: an unknown stage asks for takes at the same frequencies. take
	// (its number from 1).
	IDGrids finding.ID = "fit.grids-differ"
	// IDOneTake: an unknown stage asks for two takes at least.
	IDOneTake finding.ID = "fit.one-take"
	// IDNoLog: a value that is not above 0 cannot be fitted. Place part. value.
	IDNoLog finding.ID = "fit.not-above-nought"
	// IDNoGain: the circuit has no gain in dB at the start. take, setting.
	IDNoGain finding.ID = "fit.no-gain"
)

// Findings of an answer. All are warnings.
const (
	// IDLackOfFit: the circuit does not explain the curves. rms, noise (dB), take
	// (number from 1), hz (where it shows most). Place setting.
	IDLackOfFit finding.ID = "fit.lack-of-fit"
	// IDNotConverged: no least sum was reached. iterations.
	IDNotConverged finding.ID = "fit.not-converged"
	// IDAtBound: Place part. value (a field's name), unit, at.
	IDAtBound finding.ID = "fit.at-bound"
	// IDNotTold: the curves say nothing of it. Place part. value.
	IDNotTold finding.ID = "fit.not-told"
	// IDTogether: some values are known only together. form ("pairs", or "scale":
	// all impedances by one factor); parts (comma list), known
	// (comma list of products and quotients), share (standard error of the best
	// known, of 1), alone (least of the single ones), settle (setting, or ""),
	// then (largest single one after that take).
	IDTogether finding.ID = "fit.only-together"
	// IDUnseen: from nothing, a leg whose slider is moved in no take. Place band.
	IDUnseen finding.ID = "fit.leg-unseen"
)
