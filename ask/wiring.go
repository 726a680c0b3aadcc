package ask

import (
	"context"
	"path"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
)

// Runs asks for the run list of the harness, and what it does.
type Runs struct{}

// Ask answers.
func (Runs) Ask(ctx context.Context, from From) (*bench.RunsAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.RunsAnswer, finding.List, error) { return c.Runs(ctx) })
}

// Ohms asks for the list by which a stage of the wiring is rung out, and what
// becomes of the readings.
type Ohms struct {
	Stage   string   `json:"stage"`   // loose, last-open, complete or as-made
	List    string   `json:"list"`    // quick or full
	Reading []string `json:"reading"` // "ohms panel.a1 0 0.1 ohm at panel:out"
	CSV     []string `json:"csv"`     // files of readings: the list, filled in
	NoJob   bool     `json:"no_job"`  // leave the job's own readings out
}

// StandardOhms holds what stands for fields left out.
func StandardOhms() Ohms { return Ohms{Stage: bench.StageComplete, List: bench.ListFull} }

// Ask answers.
func (q Ohms) Ask(ctx context.Context, from From) (*bench.OhmsAnswer, finding.List, error) {
	put := bench.OhmsQuestion{Stage: q.Stage, List: q.List, NoJob: q.NoJob, Workers: from.Workers}
	var err error
	if put.Readings, err = readings(from, q.Reading, q.CSV); err != nil {
		return nil, nil, err
	}
	if len(q.CSV) == 1 && len(q.Reading) == 0 {
		put.File = path.Base(q.CSV[0])
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.OhmsAnswer, finding.List, error) {
		return c.Ohms(ctx, put, from.Progress)
	})
}

// Probe asks what an ohmmeter shows between two points.
type Probe struct {
	Stage     string `json:"stage"` // loose, last-open, complete or as-made
	Red       string `json:"red"`
	Black     string `json:"black"` // "" is ground
	Set       string `json:"set"`
	TestVolts string `json:"test_volts"` // of the meter, its leads open; "": it opens no junction
	TestOhms  string `json:"test_ohms"`  // behind them
}

// StandardProbe holds what stands for fields left out.
func StandardProbe() Probe { return Probe{Stage: bench.StageComplete, Set: flat} }

// Ask answers.
func (q Probe) Ask(ctx context.Context, from From) (*bench.ProbeAnswer, finding.List, error) {
	var w wrongs
	ask := bench.ProbeQuestion{Stage: q.Stage, Red: q.Red, Black: q.Black, Setting: q.Set}
	if q.TestVolts != "" {
		v, err := quantity.ParseVolts(q.TestVolts)
		w.add(err)
		ask.TestVolts = float64(v)
	}
	if q.TestOhms != "" {
		v, err := quantity.ParseOhms(q.TestOhms)
		w.add(err)
		ask.TestOhms = float64(v)
	}
	if err := w.err(); err != nil {
		return nil, nil, err
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.ProbeAnswer, finding.List, error) { return c.Probe(ctx, ask) })
}
