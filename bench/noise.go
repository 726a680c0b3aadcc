package bench

import (
	"cmp"
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

// Noise gives the hiss at the output at a setting, 20 Hz to 20 kHz: thermal
// noise of every resistance and shot noise of every junction. Hum is not in
// it.
func (c *Case) Noise(ctx context.Context, set string) (*NoiseAnswer, finding.List, error) {
	s, err := c.setting(set)
	if err != nil {
		return nil, nil, err
	}
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, nil, err
	}
	n, err := st.Noise(ctx, equaliser.OutputPoint, AudioGrid())
	if err != nil {
		return nil, nil, err
	}
	a := &NoiseAnswer{Setting: s.String(), SourceOhms: c.equaliser.Spec().SourceOhms}
	a.Volts, a.Weighted = n.Band(nil), n.Band(circuit.AWeight)
	a.DBu, a.DBuA = dBu(a.Volts), dBu(a.Weighted)
	if level := c.equaliser.Spec().LevelVolts; level > 0 && a.DBu != nil {
		below := *dBu(level) - *a.DBu
		a.BelowDB = &below
	}
	for k, hz := range n.Hz {
		a.Density = append(a.Density, NoisePoint{Hz: hz, Density: n.Density(k)})
	}
	a.Share = shares(n, a.Volts)
	found, err := c.stability(ctx, st)
	return a, found, err
}

// dBu gives a level in dBu; nil when there is none.
func dBu(volts float64) *float64 {
	if volts == 0 {
		return nil
	}
	v := float64(quantity.Level(volts).DBu())
	return &v
}

// shares sorts the parts by their share of the noise power, ties by name.
func shares(n *circuit.Noise, total float64) []NoiseShare {
	list := make([]NoiseShare, 0, len(n.Parts))
	for _, p := range n.Parts {
		share := 0.0
		if volts := p.Band(n.Hz, nil); total > 0 {
			share = volts * volts / (total * total)
		}
		list = append(list, NoiseShare{Part: p.Part, Share: share})
	}
	slices.SortStableFunc(list, func(a, b NoiseShare) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Part, b.Part))
	})
	return list
}
