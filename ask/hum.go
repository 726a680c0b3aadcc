package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
)

// Hum asks by which way hum comes in. Levels are decibels at the output, against
// anything that is the same for all; null: not taken.
type Hum struct {
	Band    string   `json:"band"`  // whose slider is raised; "": the lowest
	Mains   float64  `json:"mains"` // hertz; 0: 50
	Flat    *float64 `json:"flat"`
	Up      *float64 `json:"up"`
	Shorted *float64 `json:"shorted"`
	Turned  *float64 `json:"turned"`
}

// Ask answers.
func (q Hum) Ask(ctx context.Context, from From) (*bench.HumAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.HumAnswer, finding.List, error) {
		return c.Hum(ctx, bench.HumQuestion{Band: q.Band, Hertz: q.Mains, Flat: q.Flat, Up: q.Up, Shorted: q.Shorted, Turned: q.Turned})
	})
}
