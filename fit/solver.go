package fit

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/curve"
)

// solver answers by solving the circuit anew: the operating point follows.
type solver struct {
	ctx         context.Context
	circuit     *circuit.Circuit
	conditions  circuit.Conditions
	source, out string
	setting     curve.Setting
	knobs       []circuit.Knob
	state       *circuit.State // nil: no such circuit
}

func (p *Plan) solver(ctx context.Context, s curve.Setting, knobs []circuit.Knob) *solver {
	return &solver{ctx: ctx, circuit: p.Circuit, conditions: p.Conditions, source: p.Source, out: p.Out, setting: s, knobs: knobs}
}

// Turn builds the circuit with these values.
func (s *solver) Turn(values []float64) {
	s.state = nil
	setting := s.setting
	var edits []circuit.Edit
	for i, k := range s.knobs {
		if k.Value == "Position" {
			setting = setting.WithSlider(k.Part, min(max(values[i], -1), 1))
			continue
		}
		edits = append(edits, circuit.Set(k.Part, k.Value, values[i]))
	}
	if c, err := s.circuit.Edited(edits...); err == nil {
		if st, err := c.Solve(s.ctx, setting, s.conditions); err == nil {
			s.state = st
		}
	}
}

// Decibels is that of circuit.Tuning.
func (s *solver) Decibels(hz, db []float64, by [][]float64) bool {
	if s.state == nil {
		return false
	}
	list, err := s.state.Sensitivities(s.ctx, s.source, s.out, hz)
	if err != nil {
		return false
	}
	place := map[circuit.Knob]int{}
	for k, knob := range s.knobs {
		place[knob] = k
	}
	for i, x := range list {
		var ok bool
		if db[i], ok = circuit.Decibels(x.Gain); !ok {
			return false
		}
		for _, d := range x.By {
			if k, asked := place[circuit.Knob{Part: d.Part, Value: d.Value}]; asked && by != nil {
				by[k][i] = 20 / math.Ln10 * real(d.By/x.Gain)
			}
		}
	}
	return true
}
