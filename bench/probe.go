package bench

import (
	"cmp"
	"context"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/reading"
	"bandwright/wiring"
)

// ProbeQuestion asks what an ohmmeter shows between two points.
type ProbeQuestion struct {
	Stage   string // see OhmsStages
	Red     string
	Black   string // "" is ground
	Setting string
	// TestVolts is the meter's voltage with its leads open, TestOhms what lies
	// behind it; 0 volts: a meter that opens no junction.
	TestVolts, TestOhms float64
}

// ProbeAnswer is what it shows.
type ProbeAnswer struct {
	Stage   string         `json:"stage"`
	Red     string         `json:"red"`
	Black   string         `json:"black"`
	Setting string         `json:"setting"`
	Celsius float64        `json:"celsius"`
	Meter   reading.Meter  `json:"meter"`
	Dead    DeadSign       `json:"dead"`
	Open    bool           `json:"open"`
	Shown   *Shown         `json:"shown"`     // null: open
	Settles float64        `json:"settles"`   // seconds, about
	Through []wiring.Share `json:"through"`   // of the resistors alone
	Turned  *ProbeTurned   `json:"exchanged"` // null: the meter opens no junction, and it is the same
}

// ProbeTurned is the same with the leads exchanged.
type ProbeTurned struct {
	Open  bool   `json:"open"`
	Shown *Shown `json:"shown"`
}

// What can be wrong with a probe.
const (
	// IDTestMeter (error): a meter that cannot be. volts, ohms.
	IDTestMeter finding.ID = "bench.test-meter"
)

// Probe predicts one reading of ohms at a stage.
func (c *Case) Probe(ctx context.Context, q ProbeQuestion) (*ProbeAnswer, finding.List, error) {
	l, err := c.probeList(q)
	if err != nil {
		return nil, nil, err
	}
	p := wiring.Probe{Red: q.Red, Black: cmp.Or(q.Black, circuit.Ground)}
	var wrong finding.List
	if list, bad := finding.From(l.at.leads(p.Red, p.Black)); bad {
		wrong = append(wrong, list...)
	}
	if p.Setting, err = l.at.setting(q.Setting); err != nil {
		list, _ := finding.From(err)
		wrong = append(wrong, list...)
	}
	if err := wrong.Err(); err != nil {
		return nil, nil, err
	}
	if err := l.question(nil); err != nil {
		return nil, nil, l.faulted(err)
	}
	a, found, err := l.probe(ctx, p)
	if err != nil {
		return nil, nil, l.faulted(err)
	}
	return a, once(located(found, c.job, c.name)), nil
}

// probeList makes ready for one stage; a job without a harness is complete.
func (c *Case) probeList(q ProbeQuestion) (*ohmsList, error) {
	junctions := q.TestVolts >= circuit.JunctionVolts
	if !(q.TestVolts >= 0) || !(q.TestOhms >= 0) || junctions && q.TestOhms == 0 || q.TestVolts > mostTestVolts {
		return nil, finding.New(IDTestMeter, finding.Error, finding.Place{}, finding.Args{"volts": q.TestVolts, "ohms": q.TestOhms, "most": mostTestVolts})
	}
	l, err := c.ohmsList(OhmsQuestion{Stage: q.Stage, List: ListQuick})
	if err != nil {
		return nil, err
	}
	if junctions {
		l.answer.Meter.TestVolts, l.answer.Meter.TestSeries = q.TestVolts, q.TestOhms
	}
	return l, nil
}

// mostTestVolts is more than any ohmmeter of the bench has. Common practice, no
// source.
const mostTestVolts = 50.0

func (l *ohmsList) probe(ctx context.Context, p wiring.Probe) (*ProbeAnswer, finding.List, error) {
	a := &ProbeAnswer{Stage: l.q.Stage, Red: p.Red, Black: p.Black, Setting: p.Setting.String(), Celsius: l.answer.Celsius,
		Meter: l.answer.Meter, Dead: l.answer.Dead, Through: []wiring.Share{}}
	asked := []reading.Reading{{Kind: reading.Ohms, Red: p.Red, Black: p.Black, Setting: p.Setting, Meter: a.Meter}}
	if a.Meter.TestVolts > 0 {
		asked = append(asked, reading.Reading{Kind: reading.Ohms, Red: p.Black, Black: p.Red, Setting: p.Setting, Meter: a.Meter})
	}
	predicted, err := reading.Predict(ctx, l.ask.Circuit, asked, l.ask.Parts, l.ask.Cond)
	if err != nil {
		return nil, nil, err
	}
	shown := func(r reading.Row) *Shown {
		if r.Lack != reading.Nothing {
			return nil
		}
		return &Shown{Likely: r.Likely, Worst: r.Worst}
	}
	a.Shown = shown(predicted.Rows[0])
	a.Open = a.Shown == nil
	if len(asked) > 1 {
		back := shown(predicted.Rows[1])
		a.Turned = &ProbeTurned{Open: back == nil, Shown: back}
	}
	through, err := wiring.Through(ctx, l.ask.Circuit, l.off(), p)
	if err != nil {
		return nil, nil, err
	}
	a.Through = append(a.Through, through...)
	a.Settles, err = wiring.Settles(l.ask.Circuit, l.off(), a.Meter, p)
	return a, predicted.Findings, err
}
