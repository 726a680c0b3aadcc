package fault

// What is likely to be wrong before anything is read. All of it is common
// practice, no source: a bench's experience of hand-made boards, not counts.
// Weights of singles are relative to each other; the shares are of the whole.
const (
	shareBuilt = 0.10 // nothing is wrong: the readings were only a check
	shareNone  = 0.10 // something that is not in the list, most pairs among it
	sharePairs = 0.05 // two things at once
	mostFactor = 30   // a value is not more than so many times out
)

// weights of single faults, by kind of part.
var weights = struct {
	resistorOpen, resistorShort, resistorValue                            float64
	capacitorOpen, capacitorShort, capacitorValue, capacitorLeak          float64
	capacitorReversed                                                     float64
	coilOpen, coilShort, coilValue, coilTurns, coilJoint                  float64
	sliderReversed, sliderEnd, sliderWiper, sliderTrack, sliderJoint      float64
	transistorLegs, transistorOpen, transistorShort, transistorGain       float64
	diodeOpen, diodeShort, diodeReversed, zenerValue                      float64
	opAmpInputs, triodeOpen, contactOpen, contactShort, contactJoint, run float64
	swapped, bridge, coupled, lead                                        float64
}{
	resistorOpen: 1, resistorShort: 0.3, resistorValue: 2, // a wrong band read, a decade out
	capacitorOpen: 1, capacitorShort: 0.7, capacitorValue: 2, capacitorLeak: 0.3,
	capacitorReversed: 1,                                                             // of those that have a sign
	coilOpen:          2, coilShort: 0.5, coilValue: 2, coilTurns: 0.5, coilJoint: 1, // thin wire, the wrong one picked
	sliderReversed: 2, sliderEnd: 0.7, sliderWiper: 1.5, sliderTrack: 1, sliderJoint: 1,
	transistorLegs: 0.4, transistorOpen: 0.3, transistorShort: 0.3, transistorGain: 0.3,
	diodeOpen: 0.5, diodeShort: 0.7, diodeReversed: 1.5, zenerValue: 1,
	opAmpInputs: 1, triodeOpen: 0.5, contactOpen: 1, contactShort: 0.5, contactJoint: 1, run: 2,
	swapped: 1, bridge: 0.5, coupled: 0.5, lead: 1,
}
