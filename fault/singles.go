package fault

import (
	"cmp"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/reading"
)

// Suspects says which parts of a circuit may be wrong, and how.
type Suspects struct {
	Sound   []string    // parts that are not in question: the amplifier's own source and load, supplies
	Signed  []string    // capacitors that have a plus: they may be the wrong way round
	Alike   [][]string  // parts that are easily taken for one another: bands' coils, bands' capacitors
	Bridges [][2]string // neighbouring points that solder may join
	Near    [][2]string // coils that lie in each other's field
	Leads   []string    // capacitances of leads, which a longer lead makes larger
	Parts   []reading.Uncertainty
}

// Singles lists every single fault of a circuit's parts that is in the table of
// weights: open, short, value out, dry joint, leak, swapped, reversed, legs
// exchanged. A value is out from beyond three deviations of what is known of it.
func Singles(c *circuit.Circuit, s Suspects) []Hypothesis {
	var list []Hypothesis
	for _, p := range c.Parts() {
		if !slices.Contains(s.Sound, p.PartName()) {
			list = append(list, s.of(c, p)...)
		}
	}
	for _, group := range s.Alike {
		for i, part := range group {
			for _, other := range group[i+1:] {
				list = append(list, definite(Swapped, weights.swapped/float64(len(group)-1), circuit.Swap(part, other)))
			}
		}
	}
	for _, pair := range s.Near {
		list = append(list, coupled(pair, 1, "aiding"), coupled(pair, -1, "opposing"))
	}
	for _, b := range s.Bridges {
		list = append(list, definite(Shorted, weights.bridge, circuit.Bridge(b[0], b[1], circuit.ShortOhms)))
	}
	return list
}

// of lists the faults of one part.
func (s Suspects) of(c *circuit.Circuit, p circuit.Part) []Hypothesis {
	name, w := p.PartName(), weights
	if slices.Contains(s.Leads, name) {
		return []Hypothesis{lead(name, w.lead)}
	}
	open := func(weight float64) Hypothesis { return definite(Opened, weight, circuit.Open(name)) }
	short := func(weight float64) Hypothesis {
		return definite(Shorted, weight, circuit.Short(name, 0, 1, circuit.ShortOhms))
	}
	switch q := p.(type) {
	case circuit.Resistor:
		return []Hypothesis{open(w.resistorOpen), short(w.resistorShort), s.value(c, name, "Ohms", w.resistorValue)}
	case circuit.Capacitor:
		list := []Hypothesis{open(w.capacitorOpen), short(w.capacitorShort), s.value(c, name, "Farads", w.capacitorValue),
			leak(name, w.capacitorLeak)}
		if slices.Contains(s.Signed, name) {
			list = append(list, sized(Reversed, "reverse "+name, finding.Place{Part: name}, w.capacitorReversed, decades(100, 10e3, 4),
				func(ohms float64) []circuit.Edit { return []circuit.Edit{circuit.ReverseElectrolytic(name, ohms)} }))
		}
		return list
	case circuit.Inductor:
		return []Hypothesis{open(w.coilOpen), short(w.coilShort), s.value(c, name, "Henries", w.coilValue), turns(q, w.coilTurns), joint(name, 0, w.coilJoint)}
	case circuit.Slider:
		return s.slider(c, name)
	case circuit.Transistor:
		return transistor(name)
	case circuit.Diode:
		return []Hypothesis{open(w.diodeOpen), short(w.diodeShort), definite(Reversed, w.diodeReversed, circuit.Reverse(name))}
	case circuit.Zener:
		return []Hypothesis{open(w.diodeOpen), short(w.diodeShort), definite(Reversed, w.diodeReversed, circuit.Reverse(name)), s.value(c, name, "Volts", w.zenerValue)}
	case circuit.Contact:
		return []Hypothesis{open(w.contactOpen), short(w.contactShort), joint(name, 0, w.contactJoint)}
	case circuit.Wire:
		return []Hypothesis{open(w.run)}
	case circuit.OpAmp:
		return []Hypothesis{definite(Legs, w.opAmpInputs, circuit.Permute(name, 1, 0, 2))}
	case circuit.Triode:
		var list []Hypothesis
		for leg := range 3 {
			list = append(list, definite(Opened, w.triodeOpen, circuit.OpenLeg(name, leg)))
		}
		return list
	}
	return nil
}

func (s Suspects) slider(c *circuit.Circuit, name string) []Hypothesis {
	return []Hypothesis{
		definite(Reversed, weights.sliderReversed, circuit.Reverse(name)),
		definite(Opened, weights.sliderEnd, circuit.OpenLeg(name, 0)),
		definite(Opened, weights.sliderWiper, circuit.OpenLeg(name, 1)),
		definite(Opened, weights.sliderEnd, circuit.OpenLeg(name, 2)),
		s.value(c, name, "Track", weights.sliderTrack),
		joint(name, 1, weights.sliderJoint),
	}
}

func transistor(name string) []Hypothesis {
	var list []Hypothesis
	for _, order := range [][]int{{0, 2, 1}, {1, 0, 2}, {2, 1, 0}, {1, 2, 0}, {2, 0, 1}} {
		list = append(list, definite(Legs, weights.transistorLegs, circuit.Permute(name, order...)))
	}
	for leg := range 3 {
		list = append(list,
			definite(Opened, weights.transistorOpen, circuit.OpenLeg(name, leg)),
			definite(Shorted, weights.transistorShort, circuit.Short(name, leg, (leg+1)%3, circuit.ShortOhms)))
	}
	return append(list, sized(Value, "value "+name+" BetaF", finding.Place{Part: name}, weights.transistorGain, cells([]float64{-3.4, -2.4, -1.6, -1}),
		func(factor float64) []circuit.Edit { return []circuit.Edit{circuit.Scale(name, "BetaF", factor)} }))
}

// value is a part whose value is out.
func (s Suspects) value(c *circuit.Circuit, part, value string, weight float64) Hypothesis {
	beyond := 0.05 // of a part nobody has said anything of
	if nominal, err := c.Value(circuit.Knob{Part: part, Value: value}); err == nil && nominal > 0 {
		for _, u := range s.Parts {
			if u.Knob.Part == part && u.Knob.Value == value {
				beyond = 3 * u.SD / nominal
			}
		}
	}
	return sized(Value, "value "+part+" "+value, finding.Place{Part: part}, weight, factors(beyond),
		func(factor float64) []circuit.Edit { return []circuit.Edit{circuit.Scale(part, value, factor)} })
}

// joint is a dry joint in series with a leg.
func joint(part string, leg int, weight float64) Hypothesis { return Joint("", part, leg, weight) }

// Joint is a dry joint in series with a leg of a part, of ohms that are not known;
// label says where, in words, if the part's own name does not.
func Joint(label, part string, leg int, weight float64) Hypothesis {
	h := sized(DryJoint, "joint "+cmp.Or(label, part), finding.Place{Part: part}, weight, decades(10, 1e6, 4),
		func(ohms float64) []circuit.Edit { return []circuit.Edit{circuit.Series(part, leg, ohms)} })
	h.Label = label
	return h
}

// leak is a path across a capacitor.
func leak(part string, weight float64) Hypothesis {
	return sized(Leak, "leak "+part, finding.Place{Part: part}, weight, decades(100, 1e6, 4),
		func(ohms float64) []circuit.Edit { return []circuit.Edit{circuit.Short(part, 0, 1, ohms)} })
}

// turns are shorted turns: a share of the inductance is left, with a heavy core
// loss beside it, as of a transformer with its secondary shorted (worked out from
// the definition: a loss resistance that makes Q 3 at the coil's own 1 kΩ).
func turns(l circuit.Inductor, weight float64) Hypothesis {
	return sized(Turns, "turns "+l.Name, finding.Place{Part: l.Name}, weight, cells([]float64{-1.5, -1.1, -0.8, -0.5, -0.3, -0.1}),
		func(share float64) []circuit.Edit {
			const reactance, q = 1e3, 3
			loss := q * reactance * share
			if l.CoreOhms > 0 {
				loss = 1 / (1/loss + 1/l.CoreOhms)
			}
			return []circuit.Edit{circuit.Scale(l.Name, "Henries", share), circuit.Set(l.Name, "CoreOhms", loss)}
		})
}

// coupled are two coils that lie in each other's field, one way round of the one or
// the other. From 0.03 on it shows (computed); above 0.6 no two
// coils on bobbins of their own come (from memory).
func coupled(pair [2]string, sign float64, way string) Hypothesis {
	h := sized(Coupled, "couple "+pair[0]+" "+pair[1]+" "+way, finding.Place{Part: pair[0]}, weights.coupled/2, decades(0.02, 0.6, 6),
		func(k float64) []circuit.Edit { return []circuit.Edit{circuit.Couple(pair[0], pair[1], sign*k)} })
	h.Places = append(h.Places, finding.Place{Part: pair[1]})
	return h
}

// lead is a lead of more capacitance than was reckoned with.
func lead(name string, weight float64) Hypothesis {
	return sized(Value, "value "+name+" Farads", finding.Place{Part: name}, weight, decades(1.5, 1.5*mostFactor, 8),
		func(factor float64) []circuit.Edit { return []circuit.Edit{circuit.Scale(name, "Farads", factor)} })
}

// Pairs lists the likeliest pairs of definite faults at two places, at most so
// many: the product of their weights decides, then their order.
func Pairs(singles []Hypothesis, most int) []Hypothesis {
	var sure []Hypothesis
	for _, h := range singles {
		if len(h.Cases) == 1 && len(h.Places) == 1 {
			sure = append(sure, h)
		}
	}
	slices.SortStableFunc(sure, func(a, b Hypothesis) int { return compare(b.Weight, a.Weight) })
	var list []Hypothesis
	for i, a := range sure {
		for _, b := range sure[i+1 : min(len(sure), i+1+most)] {
			if a.Places[0] == b.Places[0] {
				continue
			}
			h := definite(Pair, a.Weight*b.Weight, slices.Concat(a.Cases[0].Edits, b.Cases[0].Edits)...)
			if !slices.ContainsFunc(list, func(k Hypothesis) bool { return k.Name == h.Name }) { // two slips may join the same lugs
				list = append(list, h)
			}
		}
		if (i+1)*(i+2)/2 > 4*most { // of so many pairs the likeliest are among
			break
		}
	}
	slices.SortStableFunc(list, func(a, b Hypothesis) int { return compare(b.Weight, a.Weight) })
	return list[:min(most, len(list))]
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// log is ln with −∞ as a large number, so that sums stay numbers.
func log(x float64) float64 {
	if x <= 0 {
		return -1e9
	}
	return math.Log(x)
}
