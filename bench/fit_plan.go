package bench

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/fit"
)

// fitKind is a kind of value that may be fitted beside the legs' own.
type fitKind struct {
	word   string
	fields []string // of parts whose names prefix them
	belief float64  // standard deviation of the logarithm beforehand
	of     func(part circuit.Part, bands []string) bool
}

// fitKinds are what may be asked for. What is believed of each beforehand, where
// the job has no tolerance, is common practice without a source: copper is read
// but warms, core loss is seldom read, end resistances never.
func fitKinds() []fitKind {
	band := func(end string) func(circuit.Part, []string) bool {
		return func(p circuit.Part, bands []string) bool {
			name, ok := strings.CutSuffix(p.PartName(), end)
			return ok && slices.Contains(bands, name)
		}
	}
	named := func(names ...string) func(circuit.Part, []string) bool {
		return func(p circuit.Part, _ []string) bool { return slices.Contains(names, p.PartName()) }
	}
	return []fitKind{
		{"copper", []string{"DCR"}, 0.05, band(".coil")},
		{"core", []string{"CoreOhms"}, 0.5, band(".coil")},
		{"track", []string{"Track"}, 0.1, band("")},
		{"ends", []string{"BoostEnd", "CutEnd"}, 0.7, band("")},
		{"feed", []string{"Ohms"}, 0.05, named("feed", "feedback")},
		{"source", []string{"Ohms"}, 0.1, named(sourceOhms)},
		{"driver", []string{"Gain", "GainBandwidth"}, 0.5, func(p circuit.Part, _ []string) bool {
			_, is := p.(circuit.OpAmp) // of transistors curves tell nothing
			return is
		}},
	}
}

// FitAlso are the words for values that may be fitted beside the legs' own.
func FitAlso() []string {
	var words []string
	for _, k := range fitKinds() {
		words = append(words, k.word)
	}
	return words
}

// From nothing a core's loss is known to a factor of four or so, and feed and
// feedback by the maker's usual values: common practice, no source.
const (
	nothingCore = 1.5
	nothingFeed = 0.3
)

// FitLevels are the words for what is known of the curves' levels: each has one of
// its own, all share one, or they are volts per volt.
func FitLevels() []string { return []string{"free", "shared", "known"} }

// fitPlan asks for the legs' values and what goes with them. Tracks that the job
// has a tolerance for are never taken as exact: they are fitted within it.
func (c *Case) fitPlan(q FitQuestion) (fit.Plan, finding.List, error) {
	p := fit.Plan{Circuit: c.equaliser.Circuit(), Conditions: c.equaliser.Conditions(), Source: equaliser.Source, Out: equaliser.OutputPoint,
		Stage: q.Stage, NoiseDB: q.NoiseDB, PositionSD: fit.Within(q.SliderOff), Reset: q.Reset, FromNothing: q.Nothing}
	wrong := q.words(&p)
	found := c.legsAsked(&p)
	also := slices.Clone(q.Also)
	if q.Nothing {
		also = append(also, "core", "track", "feed")
	}
	beliefs := c.beliefs()
	for _, kind := range fitKinds() {
		asked := slices.Contains(also, kind.word)
		list := c.beside(kind, asked, q.Nothing, beliefs)
		if slices.Contains(q.Also, kind.word) && len(list) == 0 {
			wrong = append(wrong, finding.New(IDFitNone, finding.Error, finding.Place{}, finding.Args{"read": kind.word}))
		}
		p.Unknowns = append(p.Unknowns, list...)
	}
	return p, found, wrong.Err()
}

// words reads the question's words into the plan; every one that cannot be read is
// named.
func (q FitQuestion) words(p *fit.Plan) (wrong finding.List) {
	for _, word := range q.Also {
		if !slices.Contains(FitAlso(), word) {
			wrong = append(wrong, finding.New(IDFitAlso, finding.Error, finding.Place{},
				finding.Args{"read": word, "known": strings.Join(FitAlso(), ", ")}))
		}
	}
	switch q.Level {
	case "", "free":
		p.Level = fit.LevelFree
	case "shared":
		p.Level = fit.LevelShared
	case "known":
		p.Level = fit.LevelKnown
	default:
		wrong = append(wrong, finding.New(IDFitLevel, finding.Error, finding.Place{},
			finding.Args{"read": q.Level, "known": strings.Join(FitLevels(), ", ")}))
	}
	if q.Stage { // it holds the level
		p.Level = fit.LevelShared
	}
	return wrong
}

// legsAsked asks for ohms, henries and farads of every leg, and says which takes
// may be proposed.
func (c *Case) legsAsked(p *fit.Plan) (found finding.List) {
	for _, band := range c.equaliser.Bands() {
		p.Further = append(p.Further, c.equaliser.Cut(band), c.equaliser.Boost(band))
		if _, _, _, ok := legOf(p.Circuit, band); !ok {
			found = append(found, finding.New(IDFitLeg, finding.Warning, finding.Place{Band: band}, nil))
			continue
		}
		l := fit.Leg{Band: band, Slider: band, Resistor: band + ".resistor", Coil: band + ".coil", Capacitor: band + ".capacitor"}
		p.Legs = append(p.Legs, l)
		for _, k := range knobsOfLeg(l) {
			p.Unknowns = append(p.Unknowns, fit.Unknown{Knob: k})
		}
	}
	return found
}

func knobsOfLeg(l fit.Leg) [3]circuit.Knob {
	return [3]circuit.Knob{{Part: l.Resistor, Value: "Ohms"}, {Part: l.Coil, Value: "Henries"}, {Part: l.Capacitor, Value: "Farads"}}
}

// beliefs are the standard deviations of logarithms that the job's readings and
// tolerances come to.
func (c *Case) beliefs() map[circuit.Knob]float64 {
	all := map[circuit.Knob]float64{}
	for _, v := range c.lawsOf(SpreadQuestion{}).varied {
		half := (v.Law.High - v.Law.Low) / 2 / v.Law.Nominal
		if all[circuit.Knob{Part: v.Part, Value: v.Value}] = fit.Within(half / 2); v.Law.SD > 0 {
			all[circuit.Knob{Part: v.Part, Value: v.Value}] = v.Law.SD / v.Law.Nominal
		}
	}
	return all
}

// unmovedBelief is what is believed of a part that the job says nothing of:
// common practice, no source.
const unmovedBelief = 0.1

// believe leaves the legs whose slider no curve moves to what the job knows of
// them: the curves hardly tell, and neighbours that may be anything would take
// with them what is told of the others.
func (c *Case) believe(p *fit.Plan, beliefs map[circuit.Knob]float64) {
	for i := range p.Legs {
		moved := slices.ContainsFunc(p.Takes, func(t fit.Take) bool { return t.Curve.Setting.Slider(p.Legs[i].Slider) != 0 })
		for n, k := range knobsOfLeg(p.Legs[i]) {
			if belief := beliefs[k]; !moved && !p.FromNothing {
				p.Unknowns[3*i+n].Prior = cmp.Or(belief, unmovedBelief)
			}
		}
	}
}

// beside lists the unknowns of one kind: of all its parts if it is asked for,
// and of tracks those with a tolerance.
func (c *Case) beside(kind fitKind, asked, nothing bool, beliefs map[circuit.Knob]float64) []fit.Unknown {
	var list []fit.Unknown
	for _, part := range c.equaliser.Circuit().Parts() {
		if !kind.of(part, c.equaliser.Bands()) {
			continue
		}
		for _, field := range kind.fields {
			k := circuit.Knob{Part: part.PartName(), Value: field}
			v, err := c.equaliser.Circuit().Value(k)
			belief, stated := beliefs[k]
			if err != nil || !(v > 0) || !asked && !(stated && kind.word == "track") {
				continue
			}
			if !stated {
				belief = kind.belief
			}
			switch {
			case nothing && kind.word == "core":
				belief = nothingCore
			case nothing && kind.word == "feed":
				belief = nothingFeed
			}
			list = append(list, fit.Unknown{Knob: k, Prior: belief})
		}
	}
	return list
}
