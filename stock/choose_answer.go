package stock

import (
	"context"
	"math"
	"slices"
	"strings"

	"bandwright/finding"
)

// answer writes the board that was chosen.
func (c *chooser) answer(ctx context.Context) (*Chosen, error) {
	a := &Chosen{Error: c.best.error, Bound: min(c.bound, c.best.error), ModelError: slices.Max(c.differs), Settled: c.settled, Findings: c.notes}
	a.Proven = c.proven || a.Bound == 0
	a.Gap = a.Error - a.Bound
	if !c.settled {
		a.Findings = append(a.Findings, finding.New(IDChooseUnsettled, finding.Warning, finding.Place{}, nil))
	}
	for band := range c.best.legs {
		a.Bands = append(a.Bands, c.band(band))
		a.Findings = append(a.Findings, c.unmet(band)...)
		a.Findings = append(a.Findings, c.said(band)...)
	}
	if c.Draws > 0 {
		chance, alone, err := c.chance(ctx)
		if err != nil {
			return nil, err
		}
		a.Chance = chance
		for band := range a.Bands {
			a.Bands[band].Chance = alone[band]
		}
	}
	a.Solved = c.room.solved
	a.Picks, a.Left = c.picks()
	if !a.finite() {
		return nil, finding.List{finding.New(IDChooseShort, finding.Error, finding.Place{}, finding.Args{"why": "no peak"})}.Err()
	}
	return a, nil
}

// finite says whether every figure is there: no board without a peak is
// handed out.
func (a *Chosen) finite() bool {
	for _, b := range a.Bands {
		if math.IsInf(b.Error, 0) || math.IsNaN(b.Error) {
			return false
		}
	}
	return true
}

func (c *chooser) band(band int) ChosenBand {
	b, w, k, did := c.Bands[band], c.want[band], &c.best.legs[band], c.best.figures[band]
	at := c.at[band]
	taken := func(part int, value float64) Taken {
		if part < 0 {
			return Taken{Value: value}
		}
		return Taken{c.Parts[part].ID, value, c.Parts[part].Place}
	}
	out := ChosenBand{Band: b.Band, Coil: taken(k.coil, k.leg.Henries), InSeries: k.series, Leg: k.leg,
		Resistor: taken(k.resistor, k.leg.Ohms), Centre: Reached{w.hertz, did[0]}, Boost: Reached{w.dB, did[1]}, Error: c.best.errors[band]}
	for _, part := range k.capacitors {
		if part >= 0 {
			out.Capacitors = append(out.Capacitors, taken(part, at[part].Model.Farads))
		}
	}
	if w.q >= 0 {
		out.Q = &Reached{w.Q, did[2]}
	}
	return out
}

// unmet names the figures of a band that are not within their limits, and why.
func (c *chooser) unmet(band int) (found finding.List) {
	w, did := c.want[band], c.best.figures[band]
	for i, v := range c.off(band, did) {
		if math.Abs(v) <= 1 || math.IsInf(v, 0) {
			continue
		}
		figure := [...]string{"centre", "boost", "Q"}[i]
		found = append(found, finding.New(IDChooseUnmet, finding.Warning, finding.Place{Band: c.Bands[band].Band}, finding.Args{
			"figure": figure, "wanted": [...]float64{w.hertz, w.dB, w.Q}[i], "reached": did[i],
			"unit": [...]string{"hertz", "decibel", ""}[i], "why": c.why(band, figure, v), "cannot": c.beyond[band]}))
	}
	return found
}

// why gives the reason for a figure that is off.
func (c *chooser) why(band int, figure string, off float64) string {
	k := &c.best.legs[band]
	if figure == "boost" && off < 0 && k.ohms-k.leg.Ohms > c.aimed[band].ohms {
		return "copper"
	}
	coil := len(c.ofKind(c.fixed[band], Coil)) > 0
	if figure == "boost" && len(c.ofKind(c.fixed[band], Resistor)) > 0 ||
		figure != "boost" && coil && len(c.ofKind(c.fixed[band], Capacitor)) > 0 {
		return "fixed"
	}
	return "parts"
}

// said hands on what the readings of the chosen parts say of themselves.
func (c *chooser) said(band int) (found finding.List) {
	for _, part := range c.best.legs[band].parts() {
		if part < 0 {
			continue
		}
		for _, f := range c.at[band][part].Findings {
			f.Place.Band = c.Bands[band].Band
			found = append(found, f)
		}
	}
	return found
}

// picks lists what to take, place by place, and what is then left.
func (c *chooser) picks() (list []Pick, left []Part) {
	left = slices.Clone(c.Parts)
	add := func(p Pick, band int) {
		name := c.Bands[band].Band
		for i := range list {
			if list[i].Part == p.Part && list[i].Kind == p.Kind && (p.Part != "" || list[i].Value == p.Value) {
				list[i].Count++
				if !slices.Contains(list[i].Bands, name) {
					list[i].Bands = append(list[i].Bands, name)
				}
				return
			}
		}
		p.Count, p.Bands = 1, []string{name}
		list = append(list, p)
	}
	for band := range c.best.legs {
		k := &c.best.legs[band]
		for _, part := range k.parts() {
			if part >= 0 {
				p := &left[part]
				p.Count--
				add(Pick{Place: p.Place, Part: p.ID, Kind: p.Kind, Value: c.at[band][part].Value}, band)
			}
		}
		if k.resistor < 0 {
			add(Pick{Kind: Resistor, Value: k.leg.Ohms}, band)
		}
	}
	slices.SortStableFunc(list, func(a, b Pick) int {
		if (a.Part == "") != (b.Part == "") { // what is to be bought comes last
			return strings.Compare(b.Part, a.Part)
		}
		if by := strings.Compare(a.Place, b.Place); by != 0 {
			return by
		}
		return strings.Compare(a.Part, b.Part)
	})
	return list, slices.DeleteFunc(left, func(p Part) bool { return p.Count < 1 })
}
