package bench

import (
	"context"
	"sync"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
)

// strip is the circuit with its switches in one place and every slider a knob:
// while only sliders move, operating point and order of elimination stay, and a
// curve costs no more than its frequencies.
type strip struct {
	mu     sync.Mutex // a Tuning serves one at a time
	made   bool
	tuning *circuit.Tuning // nil: there is none, or sliders move the operating point
	places []float64       // by knob, of the turn at hand
}

// mostStrips bounds what a Case remembers.
const mostStrips = 16

// Moving is Gains without what takes longer than the gains themselves: whether
// the circuit is stable, and the step of refinement with its residual. It is for
// a curve under a hand that moves a slider; whoever asks it asks Predict once
// the hand rests.
func (c *Case) Moving(ctx context.Context, set string, hz []float64) (*PredictAnswer, error) {
	s, hz, err := c.askable(set, hz)
	if err != nil {
		return nil, err
	}
	gains, err := c.moved(ctx, s, hz)
	if err != nil {
		return nil, err
	}
	return gainsOf(gains, s, hz), nil
}

// moved gives the gain to the output at a setting. It is worked out in the same
// way whatever was asked before, so that it is the same to the last digit.
func (c *Case) moved(ctx context.Context, s curve.Setting, hz []float64) ([]complex128, error) {
	gains := make([]complex128, len(hz))
	if turned, err := c.strip(s).gains(ctx, c.equaliser, s, hz, gains); turned || err != nil {
		return gains, err
	}
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, err
	}
	return gains, st.Gain(ctx, equaliser.Source, equaliser.OutputPoint, hz, gains)
}

// strip finds the one for a setting's switches.
func (c *Case) strip(s curve.Setting) *strip {
	key := curve.Setting{Switches: s.Switches}.String()
	c.mu.Lock()
	defer c.mu.Unlock()
	p, ok := c.strips[key]
	if !ok {
		if c.strips == nil || len(c.strips) >= mostStrips {
			c.strips = map[string]*strip{}
		}
		p = &strip{}
		c.strips[key] = p
	}
	return p
}

// gains turns the sliders and tells whether that gave an answer; the error is the
// context's. What has none, State says better.
func (p *strip) gains(ctx context.Context, e *equaliser.Equaliser, s curve.Setting, hz []float64, gains []complex128) (bool, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return false, err
	}
	if !p.made {
		if err := p.make(ctx, e, s); err != nil {
			return false, err
		}
	}
	if p.tuning == nil {
		return false, nil
	}
	for i, k := range p.tuning.Knobs() {
		p.places[i] = s.Sliders[k.Part]
	}
	p.tuning.Turn(p.places)
	return p.tuning.Gains(hz, gains), nil
}

// make plans with every slider centred, wherever they stand.
func (p *strip) make(ctx context.Context, e *equaliser.Equaliser, s curve.Setting) error {
	var knobs []circuit.Knob
	for _, part := range e.Circuit().Parts() {
		if slider, ok := part.(circuit.Slider); ok {
			knobs = append(knobs, circuit.Knob{Part: slider.Name, Value: "Position"})
		}
	}
	t, err := e.Circuit().Tuning(ctx, curve.Setting{Switches: s.Switches}, e.Conditions(), knobs, equaliser.Source, equaliser.OutputPoint)
	if stopped := ctx.Err(); stopped != nil {
		return stopped
	}
	p.made = true
	if err == nil && !t.MovesBias() {
		p.tuning, p.places = t, make([]float64, len(knobs))
	}
	return nil
}
