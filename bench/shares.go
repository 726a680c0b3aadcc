package bench

import (
	"context"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
)

// SharesAnswer is the gain at one frequency of a setting, and what each slider
// has in it. The shares do not add up to the total: the sliders load each
// other, which is why both figures are given.
type SharesAnswer struct {
	Setting string        `json:"setting"`
	Hz      float64       `json:"hz"`
	TotalDB *float64      `json:"total_db"` // source to output; null: nothing comes through
	FlatDB  *float64      `json:"flat_db"`  // the same with every slider centred
	Sliders []SliderShare `json:"sliders"`
}

// SliderShare is one slider's own share: the total less what it would be with
// this slider alone centred, dB.
type SliderShare struct {
	Band     string   `json:"band"`
	Position float64  `json:"position"`
	DB       *float64 `json:"db"` // null: nothing comes through
}

// Shares gives the total gain at a setting and one frequency, and each
// slider's own share of it. Switches stay as the setting has them.
func (c *Case) Shares(ctx context.Context, set string, hz float64) (*SharesAnswer, finding.List, error) {
	a, err := c.sharesBy(ctx, set, hz, c.levelAt)
	if err != nil {
		return nil, nil, err
	}
	s, err := c.setting(set)
	if err != nil {
		return nil, nil, err
	}
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, nil, err
	}
	found, err := c.stability(ctx, st)
	return a, found, err
}

// MovingShares is Shares without what takes most of its time, whether the
// circuit is stable: for a readout that follows a hand.
func (c *Case) MovingShares(ctx context.Context, set string, hz float64) (*SharesAnswer, error) {
	return c.sharesBy(ctx, set, hz, c.movedLevel)
}

// level gives the gain at a setting and a frequency; nil when it is 0.
type level func(ctx context.Context, s curve.Setting, hz float64) (*float64, error)

func (c *Case) sharesBy(ctx context.Context, set string, hz float64, at level) (*SharesAnswer, error) {
	s, _, err := c.askable(set, []float64{hz})
	if err != nil {
		return nil, err
	}
	a := &SharesAnswer{Setting: s.String(), Hz: hz}
	if a.TotalDB, err = at(ctx, s, hz); err != nil {
		return nil, err
	}
	if a.FlatDB, err = at(ctx, curve.Setting{Switches: s.Switches}, hz); err != nil {
		return nil, err
	}
	for _, band := range c.equaliser.Bands() {
		share, err := at.share(ctx, s, band, a.TotalDB, hz)
		if err != nil {
			return nil, err
		}
		a.Sliders = append(a.Sliders, share)
	}
	return a, nil
}

func (at level) share(ctx context.Context, s curve.Setting, band string, total *float64, hz float64) (SliderShare, error) {
	a := SliderShare{Band: band, Position: s.Sliders[band]}
	if a.Position == 0 { // it has no share, whatever rounding would say
		a.DB = new(float64)
		return a, nil
	}
	without, err := at(ctx, s.WithSlider(band, 0), hz)
	if err != nil || total == nil || without == nil {
		return a, err
	}
	db := *total - *without
	a.DB = &db
	return a, nil
}

func (c *Case) levelAt(ctx context.Context, s curve.Setting, hz float64) (*float64, error) {
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, err
	}
	r, err := st.Response(ctx, equaliser.Source, []string{equaliser.OutputPoint}, []float64{hz})
	if err != nil {
		return nil, err
	}
	return decibelsOrNil(r.Gains[0][0]), nil
}

// movedLevel is levelAt as Moving has it.
func (c *Case) movedLevel(ctx context.Context, s curve.Setting, hz float64) (*float64, error) {
	gains, err := c.moved(ctx, s, []float64{hz})
	if err != nil {
		return nil, err
	}
	return decibelsOrNil(gains[0]), nil
}

func decibelsOrNil(gain complex128) *float64 {
	if db, ok := circuit.Decibels(gain); ok {
		return &db
	}
	return nil
}
