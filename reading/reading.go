// Package reading says what an instrument should show: the volts at a point,
// the ohms between two, the decibels of a curve, each with the range it must
// lie in for this very set of parts and this very instrument, and how many
// readings vary together.
//
// A Reading is a question: which kind, which leads on which points, at which
// setting, with which instrument. Predict puts many of them to one circuit. The
// instrument is part of the circuit while it reads: a meter of 10 MΩ on a node
// of 1 MΩ shows 9 % less than was there without it.
//
// From the circuit come the nominal value and, by its adjoint, the derivative J
// by every value that is not quite known. From these follow two ranges, each
// with the instrument's own error added, and it is always said which:
//
//   - Worst: every part at the limit that hurts most, Σ|J|·limit. Exact as far
//     as the reading is linear in the values.
//   - Likely: 95 % of all sets of parts, ±1.96 deviations of the covariance
//     JΣJᵀ plus the instrument's variance, never wider than Worst.
//
// Readings share parts, so they vary together: Covariance is their joint one,
// and Judge holds entered values against it.
//
// Base units throughout: volt, ohm, hertz, decibel of gain.
package reading

import (
	"math"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// Kind is what is read.
type Kind string

// The kinds.
const (
	Volts Kind = "volts" // direct volts at Red against Black
	Ohms  Kind = "ohms"  // between Red and Black, the power off
	Gain  Kind = "gain"  // decibels from Source to Red against Black
)

// Reading is one question to an instrument. The zero Meter and Interface are
// ideal: they load nothing and make no error.
type Reading struct {
	Kind    Kind          `json:"kind"`
	Red     string        `json:"red"`              // point
	Black   string        `json:"black,omitempty"`  // point; "" is ground
	Source  string        `json:"source,omitempty"` // gain: the part that carries the signal
	Hz      []float64     `json:"hz,omitempty"`     // gain: one number for each
	Setting curve.Setting `json:"setting"`
	// Less: of a gain, what it is above the gain at this other setting, taken
	// with the same interface: a band's curve is less the one taken flat.
	Less      *curve.Setting `json:"less,omitempty"`
	Meter     Meter          `json:"meter"`     // volts and ohms
	Interface Interface      `json:"interface"` // gain
}

// black is where the black lead stands.
func (r Reading) black() string {
	if r.Black == "" {
		return circuit.Ground
	}
	return r.Black
}

// Findings of a reading's form.
const (
	// IDNoLead: a reading without a point for its red lead. Place: the
	// setting. kind. Hint: name it.
	IDNoLead finding.ID = "reading.no-lead"
	// IDSamePoint: both leads stand on one point. Place: the point, the
	// setting. kind.
	IDSamePoint finding.ID = "reading.same-point"
	// IDNoFrequency: a gain is asked at no frequency, or at one that is none.
	// Place: the point, the setting. hz: the bad one as text, absent if there is none at all.
	IDNoFrequency finding.ID = "reading.no-frequency"
)

// check names what is wrong with the question by itself; what the circuit does
// not have, the circuit says.
func (r Reading) check() finding.List {
	var found finding.List
	at := finding.Place{Point: r.Red, Setting: r.Setting.String()}
	kind := finding.Args{"kind": string(r.Kind)}
	switch {
	case r.Red == "":
		found = append(found, finding.New(IDNoLead, finding.Error, at, kind))
	case r.Red == r.black():
		found = append(found, finding.New(IDSamePoint, finding.Error, at, kind))
	}
	switch r.Kind {
	case Volts, Ohms:
		return append(found, r.Meter.check(at)...)
	case Gain:
		return append(append(found, r.checkHz(at)...), r.Interface.check(at)...)
	}
	panic("reading: kind " + string(r.Kind))
}

func (r Reading) checkHz(at finding.Place) finding.List {
	if len(r.Hz) == 0 {
		return finding.List{finding.New(IDNoFrequency, finding.Error, at, nil)}
	}
	for _, f := range r.Hz {
		if !(f > 0) || math.IsInf(f, 0) {
			return finding.List{finding.New(IDNoFrequency, finding.Error, at, finding.Args{"hz": written(f)})}
		}
	}
	return nil
}
