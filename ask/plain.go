package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/report"
)

// plainly opens the job and puts a question to it that needs nothing else.
func plainly[A any](ctx context.Context, from From, put func(*bench.Case) (*A, finding.List, error)) (*A, finding.List, error) {
	c, found, err := from.Open(ctx)
	if err != nil {
		return nil, found, err
	}
	answer, more, err := put(c)
	return answer, report.Once(append(found, more...)), err
}

// Check judges a job without giving any figure.
type Check struct{}

// CheckAnswer counts what was looked at.
type CheckAnswer struct {
	Job    string        `json:"job"`
	Title  string        `json:"title"`
	Bands  int           `json:"bands"`
	Curves int           `json:"curves"`
	Points int           `json:"points"`
	Worst  finding.Level `json:"worst"`
}

// Ask answers.
func (Check) Ask(ctx context.Context, from From) (*CheckAnswer, finding.List, error) {
	c, found, err := from.Open(ctx)
	if err != nil {
		return nil, found, err
	}
	bands, more, err := c.Bands(ctx, flat)
	if found = report.Once(append(found, more...)); err != nil {
		return nil, found, err
	}
	return &CheckAnswer{Job: c.Name(), Title: c.Job().Title, Bands: len(bands.Bands),
		Curves: len(c.Job().Curves), Points: len(c.Points()), Worst: found.Worst()}, found, nil
}

// Bands asks for the band table.
type Bands struct {
	Others string `json:"others"` // where the other sliders stand while one is judged
}

// Ask answers.
func (q Bands) Ask(ctx context.Context, from From) (*bench.BandsAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.BandsAnswer, finding.List, error) { return c.Bands(ctx, q.Others) })
}

// Ranges asks in which ranges the figures and curves of the sheet lie.
type Ranges struct{}

// Ask answers.
func (Ranges) Ask(ctx context.Context, from From) (*bench.RangesAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.RangesAnswer, finding.List, error) { return c.Ranges(ctx) })
}

// Predict asks for the response at a setting.
type Predict struct {
	Set string    `json:"set"`
	At  []float64 `json:"at"` // hertz; none: the standard thirds of an octave of the audio range
	// NoRanges leaves out the ranges that the parts leave each gain, which is
	// most of the work.
	NoRanges bool `json:"no_ranges"`
	// Moving leaves out whether the circuit is stable as well: for a curve that
	// moves under a hand. Whoever asks so asks for all of it once the hand rests.
	Moving bool `json:"moving"`
}

// Ask answers.
func (q Predict) Ask(ctx context.Context, from From) (*bench.PredictAnswer, finding.List, error) {
	if len(q.At) == 0 {
		for _, third := range quantity.NominalThirds(20, 20000) {
			q.At = append(q.At, float64(third))
		}
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.PredictAnswer, finding.List, error) {
		switch {
		case q.Moving:
			a, err := c.Moving(ctx, q.Set, q.At)
			return a, nil, err
		case q.NoRanges:
			return c.Gains(ctx, q.Set, q.At)
		}
		return c.Predict(ctx, q.Set, q.At)
	})
}

// Shares asks for the total gain at a frequency and each slider's own share.
type Shares struct {
	Set string  `json:"set"`
	Hz  float64 `json:"hz"`
	// Moving leaves out whether the circuit is stable, as with Predict.
	Moving bool `json:"moving"`
}

// Ask answers.
func (q Shares) Ask(ctx context.Context, from From) (*bench.SharesAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.SharesAnswer, finding.List, error) {
		if q.Moving {
			a, err := c.MovingShares(ctx, q.Set, q.Hz)
			return a, nil, err
		}
		return c.Shares(ctx, q.Set, q.Hz)
	})
}

// Volts asks for the direct voltage of every point.
type Volts struct {
	Set string `json:"set"`
}

// Ask answers.
func (q Volts) Ask(ctx context.Context, from From) (*bench.VoltsAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.VoltsAnswer, finding.List, error) { return c.Volts(ctx, q.Set) })
}

// Noise asks for the hiss at the output.
type Noise struct {
	Set string `json:"set"`
}

// Ask answers.
func (q Noise) Ask(ctx context.Context, from From) (*bench.NoiseAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.NoiseAnswer, finding.List, error) { return c.Noise(ctx, q.Set) })
}

// Compare asks for the measured curves beside the prediction.
type Compare struct{}

// Ask answers.
func (Compare) Ask(ctx context.Context, from From) (*bench.CompareAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.CompareAnswer, finding.List, error) { return c.Compare(ctx) })
}

// Sheet asks for everything the job sheet says.
type Sheet struct {
	Drawer  string  `json:"drawer"` // a file: which of its parts the job's ids are; "": no pick list
	Mapping Mapping `json:"mapping"`
}

// SheetAnswer is what is on the sheet, and the files it was written to.
type SheetAnswer struct {
	Written []string           `json:"written"`
	Sheet   *bench.SheetAnswer `json:"sheet"`

	job *job.Job
}

// Job gives the job that the sheet is of; do not change it.
func (a *SheetAnswer) Job() *job.Job { return a.job }

// Ask answers; nothing is written.
func (q Sheet) Ask(ctx context.Context, from From) (*SheetAnswer, finding.List, error) {
	var of *job.Job
	sheet, found, err := plainly(ctx, from, func(c *bench.Case) (*bench.SheetAnswer, finding.List, error) {
		of = c.Job()
		sheet, found, err := c.Sheet(ctx)
		if err != nil || q.Drawer == "" {
			return sheet, found, err
		}
		drawer, err := parts(ctx, from, q.Drawer, q.Mapping)
		if err != nil {
			return nil, found, err
		}
		var more finding.List
		sheet.Picked, more = c.Pick(drawer)
		return sheet, append(found, more...), nil
	})
	if sheet == nil {
		return nil, found, err
	}
	return &SheetAnswer{Written: []string{}, Sheet: sheet, job: of}, found, err
}
