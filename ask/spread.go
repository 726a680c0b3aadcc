package ask

import (
	"context"
	"strings"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/report"
)

// Spread asks how far every band spreads with its parts.
type Spread struct {
	Count       int    `json:"count"`
	Seed        uint64 `json:"seed"`
	Marked      bool   `json:"marked"` // as if no part had been measured
	LimitCentre string `json:"limit_centre"`
	LimitBoost  string `json:"limit_boost"`
	LimitQ      string `json:"limit_q"`
	WhatIf      string `json:"what_if"` // "capacitor=1%"
}

// StandardSpread holds what stands for fields left out.
func StandardSpread() Spread { return Spread{Count: 10000, Seed: 1} }

// Ask answers; when the context ends, with the builds made by then.
func (q Spread) Ask(ctx context.Context, from From) (*bench.SpreadAnswer, finding.List, error) {
	put, err := q.question()
	if err != nil {
		return nil, nil, err
	}
	put.Workers, put.Hold = from.Workers, from.Hold
	c, found, err := from.Open(ctx)
	if err != nil {
		return nil, found, err
	}
	answer, more, err := c.Spread(ctx, put, from.Progress)
	return answer, report.Once(append(found, more...)), err
}

// question reads the fields; every one that cannot be read is named.
func (q Spread) question() (bench.SpreadQuestion, error) {
	put := bench.SpreadQuestion{Count: q.Count, Seed: q.Seed, AsMarked: q.Marked}
	var w wrongs
	share := func(text string) float64 {
		if text == "" {
			return 0
		}
		t, err := quantity.ParseTolerance(text)
		w.add(err)
		return min(t.Minus, t.Plus)
	}
	put.Limits.Centre, put.Limits.Q = share(q.LimitCentre), share(q.LimitQ)
	if q.LimitBoost != "" {
		db, err := quantity.ParseDecibels(q.LimitBoost)
		w.add(err)
		put.Limits.DB = max(float64(db), -float64(db))
	}
	if q.WhatIf != "" {
		other, err := whatIf(q.WhatIf)
		w.add(err)
		put.WhatIf = other
	}
	return put, w.err()
}

// whatIf reads "capacitor=1%".
func whatIf(text string) (*bench.WhatIf, error) {
	kinds := []string{"resistor", "capacitor", "inductor", "slider"}
	word, tolerance, _ := strings.Cut(text, "=")
	word = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(word)), "s")
	if word == "coil" {
		word = "inductor" // as the job calls it
	}
	kind, ok := job.KindNamed(word)
	for _, known := range kinds {
		if ok && kind.Name == known {
			t, err := quantity.ParseTolerance(tolerance)
			return &bench.WhatIf{Kind: kind.Name, Tolerance: t}, err
		}
	}
	return nil, refusal(IDWhatIf, finding.Args{"read": text, "kinds": strings.Join(kinds, ", ")})
}
