package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
)

// Fit asks for the part values that explain a unit's curves.
type Fit struct {
	Unit    string   `json:"unit"`         // "": the only one there is
	Curves  []string `json:"curve"`        // names of its curves; none: all
	Also    []string `json:"also"`         // copper, core, track, ends, feed, source, driver
	Nothing bool     `json:"from_nothing"` // the job's values of the legs mean nothing
	Stage   bool     `json:"stage"`        // an unknown stage lies behind
	Level   string   `json:"level"`        // free, shared, known
	Sliders string   `json:"sliders"`      // how far off a slider may stand, of its travel; "": not at all
	Reset   bool     `json:"reset"`        // each was set anew for every curve
	Noise   string   `json:"noise"`        // of a point; "": found
}

// StandardFit holds what stands for fields left out.
func StandardFit() Fit { return Fit{Level: "free"} }

// Ask answers.
func (q Fit) Ask(ctx context.Context, from From) (*bench.FitAnswer, finding.List, error) {
	put, err := q.question()
	if err != nil {
		return nil, nil, err
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.FitAnswer, finding.List, error) { return c.Fit(ctx, put) })
}

func (q Fit) question() (bench.FitQuestion, error) {
	put := bench.FitQuestion{Unit: q.Unit, Curves: q.Curves, Also: q.Also, Nothing: q.Nothing, Stage: q.Stage, Level: q.Level, Reset: q.Reset}
	var w wrongs
	if q.Sliders != "" {
		t, err := quantity.ParseTolerance(q.Sliders)
		w.add(err)
		put.SliderOff = max(t.Minus, t.Plus)
	}
	if q.Noise != "" {
		db, err := quantity.ParseDecibels(q.Noise)
		w.add(err)
		if put.NoiseDB = float64(db); err == nil && !(put.NoiseDB > 0) {
			w.add(refusal(IDNoLimit, finding.Args{"flag": "--noise", "read": q.Noise}))
		}
	}
	return put, w.err()
}
