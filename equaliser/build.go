package equaliser

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
)

// Equaliser is a circuit with its bands and the roles of its switches. It is
// never changed once built and has many readers.
type Equaliser struct {
	spec    Spec
	circuit *circuit.Circuit
}

// States gives the circuit's state at a setting. Solve is one; a caller that
// keeps states hands in its own.
type States func(ctx context.Context, s curve.Setting) (*circuit.State, error)

// Build makes the circuit of a description. The error is a finding.List.
func Build(spec Spec) (*Equaliser, error) {
	spec = spec.withDefaults()
	parts, err := spec.Drawn()
	if err != nil {
		return nil, err
	}
	for _, p := range spec.Extra {
		same := func(q circuit.Part) bool { return q.PartName() == p.PartName() }
		if i := slices.IndexFunc(parts, same); i >= 0 {
			parts[i] = p
		} else {
			parts = append(parts, p)
		}
	}
	c, err := circuit.New(parts...)
	if err != nil {
		return nil, err
	}
	return &Equaliser{spec: spec, circuit: c}, nil
}

// Spec gives the description the equaliser was built of, blanks filled in.
func (e *Equaliser) Spec() Spec { return e.spec }

// Circuit gives the circuit.
func (e *Equaliser) Circuit() *circuit.Circuit { return e.circuit }

// With gives the same equaliser with another circuit: one whose parts have
// been edited, its names kept.
func (e *Equaliser) With(c *circuit.Circuit) *Equaliser {
	return &Equaliser{spec: e.spec, circuit: c}
}

// Bands names the bands in the order given.
func (e *Equaliser) Bands() []string {
	names := make([]string, len(e.spec.Bands))
	for i, b := range e.spec.Bands {
		names[i] = b.Name
	}
	return names
}

// band finds a band; asking for one that is not there is our own mistake.
func (e *Equaliser) band(name string) Band {
	for _, b := range e.spec.Bands {
		if b.Name == name {
			return b
		}
	}
	panic("equaliser: no band " + name)
}

// Conditions gives what the parts work at.
func (e *Equaliser) Conditions() circuit.Conditions {
	return circuit.Conditions{Kelvin: e.spec.Kelvin}
}

// Solve gives the circuit's state at a setting, solved anew each time.
func (e *Equaliser) Solve(ctx context.Context, s curve.Setting) (*circuit.State, error) {
	return e.circuit.Solve(ctx, s, e.Conditions())
}
