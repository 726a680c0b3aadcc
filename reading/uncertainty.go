package reading

import (
	"math"

	"bandwright/circuit"
	"bandwright/finding"
)

// Findings of what is said to be uncertain.
const (
	// IDBadUncertainty: a deviation and limits that no part can have together.
	// Place: the part. value: which of its values; sd, low, high: as text.
	IDBadUncertainty finding.ID = "reading.bad-uncertainty"
	// IDKnobTwice: the same value is uncertain twice. Place: the part. value.
	IDKnobTwice finding.ID = "reading.knob-twice"
	// IDNoEffect: a value of 0 is uncertain, but 0 leaves it out of the
	// circuit, so that its uncertainty is left out too. Place: the part. value.
	IDNoEffect finding.ID = "reading.no-effect"
)

// Uncertainty says how far one value of one part may be from what the circuit
// has for it, in the value's base unit: its standard deviation, and the limits
// it never passes (Low at most 0, High at least 0). A slider's Position may be
// uncertain too.
//
// Parts of one Group (a bag, a reel) share Common of their variance: the whole
// batch lies on one side together.
type Uncertainty struct {
	Knob   circuit.Knob `json:"knob"`
	SD     float64      `json:"sd"`
	Low    float64      `json:"low"`
	High   float64      `json:"high"`
	Group  string       `json:"group,omitempty"`
	Common float64      `json:"common,omitempty"` // 0 … 1
}

// Within is a value known to lie within ±limit and nothing more: a flat law,
// of deviation limit/√3.
func Within(k circuit.Knob, limit float64) Uncertainty {
	return Uncertainty{Knob: k, SD: rectangular(limit), Low: -limit, High: limit}
}

// measuredLimit is how many deviations a measured value is taken to stay
// within: a normal law passes them once in 370 times.
const measuredLimit = 3

// Measured is a value that was measured, with that standard uncertainty.
func Measured(k circuit.Knob, sd float64) Uncertainty {
	return Uncertainty{Knob: k, SD: sd, Low: -measuredLimit * sd, High: measuredLimit * sd}
}

// possible: no law between two limits has a deviation above half the distance
// between them (Popoviciu 1935).
func (u Uncertainty) possible() bool {
	const rounding = 1 + 1e-9
	return u.SD >= 0 && u.Low <= 0 && u.High >= 0 && u.SD <= (u.High-u.Low)/2*rounding &&
		!math.IsInf(u.High-u.Low, 0) && u.Common >= 0 && u.Common <= 1
}

// worst gives the lowest and highest deviation of a reading of slope by.
func (u Uncertainty) worst(by float64) (low, high float64) {
	return min(by*u.Low, by*u.High), max(by*u.Low, by*u.High)
}

func checkUncertainties(c *circuit.Circuit, list []Uncertainty) finding.List {
	var found finding.List
	seen := map[circuit.Knob]bool{}
	for _, u := range list {
		at, value := finding.Place{Part: u.Knob.Part}, finding.Args{"value": u.Knob.Value}
		if _, err := c.Value(u.Knob); err != nil {
			wrong, _ := finding.From(err)
			found = append(found, wrong...)
			continue
		}
		if seen[u.Knob] {
			found = append(found, finding.New(IDKnobTwice, finding.Error, at, value))
		}
		seen[u.Knob] = true
		if !u.possible() {
			found = append(found, finding.New(IDBadUncertainty, finding.Error, at, finding.Args{
				"value": u.Knob.Value, "sd": written(u.SD), "low": written(u.Low), "high": written(u.High)}))
		}
	}
	return found
}
