package bench

import (
	"context"
	"slices"
	"strconv"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/wiring"
)

// inputOpen looks at every position of the harness's switches for a board whose
// input nothing drives and nothing grounds, and says what that costs: the step
// that meets a contact as it closes again, and the signal that gets in through
// the open contacts.
func (c *Case) inputOpen(ctx context.Context, a *RunsAnswer) (found finding.List, err error) {
	for _, w := range harnessOf(c.job).Switches {
		for _, position := range w.Positions[1:] {
			s := curve.Setting{}.WithSwitch(w.Name, position)
			open, err := c.leftOpen(ctx, s)
			if err != nil {
				return nil, err
			}
			if !open {
				continue
			}
			line := InputOpen{Setting: s.String(), Hz: screenHz}
			if line.Pop, err = c.pop(ctx, w, position); err != nil {
				return nil, err
			}
			if line.Crosstalk, err = c.crosstalk(ctx, w, position); err != nil {
				return nil, err
			}
			a.Bypassed = append(a.Bypassed, line)
			args := finding.Args{"pop": line.Pop, "hz": line.Hz}
			if line.Crosstalk != nil {
				args["crosstalk"] = *line.Crosstalk
			}
			found = append(found, finding.New(IDInputOpen, finding.Note,
				finding.Place{Point: equaliser.InputPoint, Setting: line.Setting}, args))
		}
	}
	return found, nil
}

// leftOpen says whether the board's input is neither driven nor grounded.
func (c *Case) leftOpen(ctx context.Context, s curve.Setting) (bool, error) {
	const driven = -6.0 // of the signal at the tap: less is not driven
	for _, ground := range [...]string{circuit.Ground, c.boardGround()} {
		r, err := c.equaliser.Circuit().Ohms(ctx, s, circuit.PowerOff{Kelvin: c.kelvin()}, equaliser.InputPoint, ground)
		if err != nil {
			return false, err
		}
		if !r.Open && r.Ohms <= joinedOhms {
			return false, nil
		}
	}
	db, _, err := c.leastThrough(ctx, s, equaliser.TapPoint, equaliser.InputPoint)
	return db == nil || *db < driven, err
}

// pop gives the largest direct volts across a contact that closes as the switch
// goes back to rest.
func (c *Case) pop(ctx context.Context, w wiring.Switch, from string) (most float64, err error) {
	st, err := c.solve(ctx, curve.Setting{}.WithSwitch(w.Name, from))
	if err != nil {
		return 0, err
	}
	for _, contact := range w.Contacts {
		if slices.Contains(contact.Closed, from) || !slices.Contains(contact.Closed, w.Positions[0]) {
			continue
		}
		a, known := st.Volts(contact.A)
		b, too := st.Volts(contact.B)
		if known && too {
			most = max(most, a-b, b-a)
		}
	}
	return most, nil
}

// crosstalk gives the signal at the board's input under that at the tap, with
// the capacitance of the switch's open contacts.
func (c *Case) crosstalk(ctx context.Context, w wiring.Switch, position string) (*float64, error) {
	parts := slices.Clone(c.equaliser.Circuit().Parts())
	for i, contact := range w.Contacts {
		if !slices.Contains(contact.Closed, position) {
			parts = append(parts, circuit.Capacitor{Name: "stray." + strconv.Itoa(i+1), A: contact.A, B: contact.B, Farads: switchFarads})
		}
	}
	with, err := circuit.New(parts...)
	if err != nil {
		return nil, err
	}
	s := curve.Setting{}.WithSwitch(w.Name, position)
	in, err := c.outDB(ctx, with, s, screenHz, equaliser.InputPoint)
	if err != nil || in == nil {
		return nil, err
	}
	tap, err := c.outDB(ctx, with, s, screenHz, equaliser.TapPoint)
	if err != nil || tap == nil {
		return nil, err
	}
	db := *in - *tap
	return &db, nil
}
