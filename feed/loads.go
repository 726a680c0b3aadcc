package feed

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/finding"
)

// Findings of the feed.
const (
	// IDOver, a warning: a part carries more of its rating than the limit.
	// Place: the part. case; what, one of "volts", "watts", "amperes"; carries,
	// rated: numbers; share, limit: percent.
	IDOver finding.ID = "feed.over"
	// IDUnrated, a warning: a part on the high rail has no rating entered.
	// Place: the part. volts: the most across it.
	IDUnrated finding.ID = "feed.unrated"
	// IDCaseUnsolved, a warning: the circuit of a case has no operating point.
	// case; why: what the circuit says.
	IDCaseUnsolved finding.ID = "feed.case-unsolved"
)

// Rating is what a part may carry; 0: not stated.
type Rating struct {
	Part    string
	Volts   float64
	Amperes float64
	Watts   float64
}

// Limits are how much of its rating a part may carry in the worst case, as
// shares; zeros: 0.6 of the watts, 0.8 of the volts, all of the amperes (common
// practice, no source).
type Limits struct {
	Volts, Amperes, Watts float64
}

// Filled gives the limits with what stands for zeros.
func (l Limits) Filled() Limits {
	fill := func(v *float64, standard float64) {
		if *v == 0 {
			*v = standard
		}
	}
	fill(&l.Volts, 0.8)
	fill(&l.Amperes, 1)
	fill(&l.Watts, 0.6)
	return l
}

// Load is the most that one part carries in one case, at any setting of it.
type Load struct {
	Case    CaseName `json:"case"`
	Part    string   `json:"part"`
	Volts   float64  `json:"volts"`   // the most between any two of its legs
	Amperes float64  `json:"amperes"` // the most in any leg that is known
	Watts   float64  `json:"watts"`
	// Shares of what it is rated for; 0: no rating.
	OfVolts   float64 `json:"of_volts,omitempty"`
	OfAmperes float64 `json:"of_amperes,omitempty"`
	OfWatts   float64 `json:"of_watts,omitempty"`
}

// highVolts is where a part without a rating is asked after: above what any
// ordinary part stands. 60 V direct is the limit of several standards for
// voltages that may be touched (as quoted by a second text).
const highVolts = 60

// Loads lists what every part carries in every case, at rest (no signal), and
// warns of what is over its limits. A case without an operating point is said
// and left out.
func Loads(ctx context.Context, whole *circuit.Circuit, s Supply, ratings []Rating, limits Limits, cond circuit.Conditions) ([]Load, finding.List, error) {
	rated := map[string]Rating{}
	for _, r := range ratings {
		rated[r.Part] = r
	}
	var list []Load
	var found finding.List
	type loaded struct {
		in   CaseName
		part string
	}
	at := map[loaded]int{}
	for _, c := range s.Cases() {
		st, err := c.solve(ctx, whole, s.Rail, cond)
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		if err != nil {
			found = append(found, finding.New(IDCaseUnsolved, finding.Warning, finding.Place{Setting: c.setting()},
				finding.Args{"case": string(c.Name), "why": err.Error()}))
			continue
		}
		for _, p := range whole.Parts() {
			l, ok := loadOf(st, p.PartName())
			if !ok {
				continue
			}
			key := loaded{c.Name, l.Part}
			i, seen := at[key]
			if !seen {
				i = len(list)
				at[key], list = i, append(list, Load{Case: c.Name, Part: l.Part})
			}
			list[i].take(l)
			list[i].share(rated[l.Part])
		}
	}
	return list, append(found, judge(list, rated, limits.Filled())...), nil
}

// take keeps the larger of each figure.
func (l *Load) take(other Load) {
	l.Volts, l.Amperes, l.Watts = max(l.Volts, other.Volts), max(l.Amperes, other.Amperes), max(l.Watts, other.Watts)
}

// setting names where a case stands; at rest it needs no name.
func (c Case) setting() string {
	if len(c.Setting.Switches)+len(c.Setting.Sliders) == 0 {
		return ""
	}
	return c.Setting.String()
}

func (c Case) solve(ctx context.Context, whole *circuit.Circuit, rail string, cond circuit.Conditions) (*circuit.State, error) {
	in, err := c.In(whole, rail)
	if err != nil {
		return nil, err
	}
	return in.Solve(ctx, c.Setting, cond)
}

// loadOf reads one part's load off a state. A part that the case has taken out
// carries nothing; a wire or contact that joins two points has no load.
func loadOf(st *circuit.State, name string) (Load, bool) {
	p, there := st.Circuit().Part(name)
	if !there || len(p.Terminals()) < 2 {
		return Load{}, false
	}
	switch p.(type) {
	case circuit.Wire, circuit.Contact, circuit.VoltageSource, circuit.CurrentSource:
		return Load{}, false
	}
	volts := legVolts(st, p)
	l := Load{Part: name}
	for i, a := range volts {
		for _, b := range volts[:i] {
			l.Volts = math.Max(l.Volts, math.Abs(a-b))
		}
	}
	amperes, ok := st.Current(name)
	if !ok {
		return l, true
	}
	l.Amperes = math.Abs(amperes)
	// Of a device with three legs, between the two that carry the current.
	from, to := volts[0], volts[len(volts)-1]
	if _, slider := p.(circuit.Slider); slider {
		to = volts[1]
	}
	l.Watts = math.Abs(amperes * (from - to))
	return l, true
}

// legVolts are against ground; a floating leg is taken to be where the part's
// first is, since nothing decides it.
func legVolts(st *circuit.State, p circuit.Part) []float64 {
	var list []float64
	for _, point := range p.Terminals() {
		v, ok := st.Volts(point)
		if !ok && len(list) > 0 {
			v = list[0]
		}
		list = append(list, v)
	}
	return list
}

func (l *Load) share(r Rating) {
	of := func(carries, rated float64) float64 {
		if rated == 0 {
			return 0
		}
		return carries / rated
	}
	l.OfVolts, l.OfAmperes, l.OfWatts = of(l.Volts, r.Volts), of(l.Amperes, r.Amperes), of(l.Watts, r.Watts)
}

// judge warns of the worst case of every part, what and where.
func judge(list []Load, rated map[string]Rating, limits Limits) (found finding.List) {
	var order []string
	worst := map[string]*[3]Load{} // by volts, amperes, watts
	for _, l := range list {
		w := worst[l.Part]
		if w == nil {
			w = &[3]Load{l, l, l}
			worst[l.Part] = w
			order = append(order, l.Part)
		}
		for i, figure := range [...]func(Load) float64{
			func(l Load) float64 { return l.Volts }, func(l Load) float64 { return l.Amperes }, func(l Load) float64 { return l.Watts }} {
			if figure(l) > figure(w[i]) {
				w[i] = l
			}
		}
	}
	for _, part := range order {
		w, r := worst[part], rated[part]
		if r.Volts == 0 && r.Watts == 0 && w[0].Volts > highVolts {
			found = append(found, finding.New(IDUnrated, finding.Warning, finding.Place{Part: part}, finding.Args{"volts": w[0].Volts}))
		}
		for i, figure := range [...]struct {
			what                          string
			carries, rated, share, limits float64
		}{
			{"volts", w[0].Volts, r.Volts, w[0].OfVolts, limits.Volts},
			{"amperes", w[1].Amperes, r.Amperes, w[1].OfAmperes, limits.Amperes},
			{"watts", w[2].Watts, r.Watts, w[2].OfWatts, limits.Watts},
		} {
			if figure.share > figure.limits {
				found = append(found, finding.New(IDOver, finding.Warning, finding.Place{Part: part}, finding.Args{
					"case": string(w[i].Case), "what": figure.what, "carries": figure.carries, "rated": figure.rated,
					"share": 100 * figure.share, "limit": 100 * figure.limits}))
			}
		}
	}
	return found
}
