package bench

import (
	"context"
	"strconv"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/reading"
)

// IDBadFrequency: a frequency that nothing can be asked at. Place: the
// setting; hz (a text where it is not finite).
const IDBadFrequency finding.ID = "bench.bad-frequency"

// The range that answers are given over, and how densely.
const (
	audioLow, audioHigh = 20.0, 20e3
	perOctave           = 48
)

// AudioGrid gives the frequencies that curves on paper are drawn at.
func AudioGrid() []float64 { return curve.Grid(audioLow, audioHigh, perOctave) }

// Predict gives the gain from source to output at a setting ("63=+1,lift"),
// at each frequency, with the ranges that the parts leave it; no frequencies
// means the audio range.
func (c *Case) Predict(ctx context.Context, set string, hz []float64) (*PredictAnswer, finding.List, error) {
	if len(hz) == 0 {
		hz = AudioGrid()
	}
	answer, found, err := c.Gains(ctx, set, hz)
	if err != nil {
		return nil, nil, err
	}
	s, err := c.setting(set)
	if err != nil {
		return nil, nil, err
	}
	more, err := c.rangesOf(ctx, answer.Rows, s, hz)
	return answer, once(append(found, more...)), err
}

// Gains is Predict without the ranges, which are most of its work.
func (c *Case) Gains(ctx context.Context, set string, hz []float64) (*PredictAnswer, finding.List, error) {
	s, hz, err := c.askable(set, hz)
	if err != nil {
		return nil, nil, err
	}
	r, found, err := c.response(ctx, s, hz)
	if err != nil {
		return nil, nil, err
	}
	answer := gainsOf(r.Gains[0], s, hz)
	answer.Residual = &r.Residual
	return answer, found, nil
}

// askable reads a setting, and the frequencies asked for there; none means the
// audio range.
func (c *Case) askable(set string, hz []float64) (curve.Setting, []float64, error) {
	s, err := c.setting(set)
	if err != nil {
		return s, nil, err
	}
	if len(hz) == 0 {
		hz = AudioGrid()
	}
	return s, hz, checkFrequencies(hz, s)
}

// gainsOf writes gains as rows.
func gainsOf(gains []complex128, s curve.Setting, hz []float64) *PredictAnswer {
	answer := &PredictAnswer{Setting: s.String(), Source: equaliser.Source, Out: equaliser.OutputPoint}
	for k, gain := range gains {
		p := GainPoint{Hz: hz[k], Degrees: circuit.Degrees(gain)}
		if db, ok := circuit.Decibels(gain); ok {
			p.DB = &db
		}
		answer.Rows = append(answer.Rows, p)
	}
	return answer
}

// rangesOf fills in the ranges that the parts leave a curve.
func (c *Case) rangesOf(ctx context.Context, rows []GainPoint, s curve.Setting, hz []float64) (finding.List, error) {
	expected, found, err := c.Expect(ctx, ExpectQuestion{Readings: []reading.Reading{
		{Kind: reading.Gain, Hz: hz, Setting: s}}})
	if err != nil || len(expected.Prediction.Parts) == 0 {
		return found, err
	}
	for i, r := range expected.Rows {
		rows[i].Shown = r.Shown
	}
	return found, nil
}

func checkFrequencies(hz []float64, s curve.Setting) error {
	var found finding.List
	for _, f := range hz {
		if f > 0 && f <= mostHertz {
			continue
		}
		args := finding.Args{"hz": f}
		if f-f != 0 { // JSON has no number for it
			args["hz"] = strconv.FormatFloat(f, 'g', -1, 64)
		}
		found = append(found, finding.New(IDBadFrequency, finding.Error, finding.Place{Setting: s.String()}, args))
	}
	return found.Err()
}

// mostHertz is far beyond where lumped parts mean anything.
const mostHertz = 1e9

// response asks the state at a setting for the gain to the output, and says
// when the circuit would not stay at rest there.
func (c *Case) response(ctx context.Context, s curve.Setting, hz []float64) (*circuit.Response, finding.List, error) {
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, nil, err
	}
	found, err := c.stability(ctx, st)
	if err != nil {
		return nil, nil, err
	}
	r, err := st.Response(ctx, equaliser.Source, []string{equaliser.OutputPoint}, hz)
	return r, found, err
}

// stability says whether the circuit would oscillate at a state's setting.
func (c *Case) stability(ctx context.Context, st *circuit.State) (finding.List, error) {
	s, err := st.Stability(ctx)
	if err != nil {
		return nil, err
	}
	at := finding.Place{Setting: st.Setting().String()}
	switch {
	case !s.Known:
		return finding.List{finding.New(circuit.IDStabilityUnknown, finding.Warning, at,
			finding.Args{"winding": s.Winding})}, nil
	case s.RightHalfPoles > 0:
		return finding.List{finding.New(circuit.IDOscillates, finding.Warning, at,
			finding.Args{"poles": s.RightHalfPoles})}, nil
	}
	return nil, nil
}

// predicted gives the total gain at a setting as a curve.
func (c *Case) predicted(ctx context.Context, name string, s curve.Setting, hz []float64) (curve.Curve, error) {
	st, err := c.solve(ctx, s)
	if err != nil {
		return curve.Curve{}, err
	}
	r, err := st.Response(ctx, equaliser.Source, []string{equaliser.OutputPoint}, hz)
	if err != nil {
		return curve.Curve{}, err
	}
	return r.Curve(0, name, s)
}

// Volts gives the direct voltage of every point at a setting, and what an
// ordinary hand meter should show there.
func (c *Case) Volts(ctx context.Context, set string) (*VoltsAnswer, finding.List, error) {
	s, err := c.setting(set)
	if err != nil {
		return nil, nil, err
	}
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, nil, err
	}
	answer := &VoltsAnswer{Setting: s.String(), Celsius: st.Kelvin() - kelvinAtZero, Meter: reading.HandMeter()}
	var q ExpectQuestion
	for _, p := range c.equaliser.Circuit().Points() {
		q.Readings = append(q.Readings, reading.Reading{Kind: reading.Volts, Red: p, Setting: s, Meter: answer.Meter})
	}
	expected, found, err := c.Expect(ctx, q)
	if err != nil {
		return nil, nil, err
	}
	for i, r := range q.Readings {
		v := PointVolts{Point: r.Red, Shown: expected.Rows[i].Shown}
		if volts, ok := st.Volts(r.Red); ok {
			v.Volts = &volts
		}
		answer.Points = append(answer.Points, v)
	}
	return answer, once(append(located(st.Findings(), c.job, c.name), found...)), nil
}
