package fault_test

import (
	"context"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/fault"
	"bandwright/reading"
)

func wired(t testing.TB, parts ...circuit.Part) *circuit.Circuit {
	t.Helper()
	c, err := circuit.New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func tabled(t testing.TB, plan fault.Plan) *fault.Table {
	t.Helper()
	table, err := fault.New(context.Background(), plan)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func ranked(t testing.TB, table *fault.Table, taken ...fault.Taken) *fault.Ranking {
	t.Helper()
	r, err := table.Rank(context.Background(), taken)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// explained is a ranking with what a person is told.
func explained(t testing.TB, r *fault.Ranking) *fault.Ranking {
	t.Helper()
	if err := r.Explain(context.Background()); err != nil {
		t.Fatal(err)
	}
	return r
}

func ohms(red, black string) reading.Reading {
	return reading.Reading{Kind: reading.Ohms, Red: red, Black: black, Meter: reading.HandMeter()}
}

func volts(red string) reading.Reading {
	return reading.Reading{Kind: reading.Volts, Red: red, Meter: reading.HandMeter()}
}

func reads(r reading.Reading, values ...float64) fault.Taken {
	return fault.Taken{Reading: r, Values: values}
}

func isOpen(r reading.Reading) fault.Taken { return fault.Taken{Reading: r, Open: true} }

func allowed(list ...reading.Reading) []fault.Allowed {
	var all []fault.Allowed
	for _, r := range list {
		all = append(all, fault.Allowed{Reading: r})
	}
	return all
}

// within gives every resistor, coil, capacitor and track of a circuit a
// tolerance, flat between its ends.
func within(c *circuit.Circuit, shares map[string]float64) []reading.Uncertainty {
	var list []reading.Uncertainty
	for _, p := range c.Parts() {
		for _, value := range []string{"Ohms", "Henries", "DCR", "Farads", "Track", "BetaF"} {
			k := circuit.Knob{Part: p.PartName(), Value: value}
			if v, err := c.Value(k); err == nil && v > 0 && shares[value] > 0 {
				list = append(list, reading.Within(k, shares[value]*v))
			}
		}
	}
	return list
}

// studioSpec is the equaliser of the studio's bass head (invented), so many of its
// six bands.
func studioSpec(count int) equaliser.Spec {
	var bands []equaliser.Band
	for _, b := range []struct {
		name                                            string
		hz, henries, dcr, core, self, farads, esr, ohms float64
	}{
		{"63", 63, 2.72, 255, 180e3, 400e-12, 2.23e-6, 0.15, 330},
		{"160", 160, 0.968, 138, 120e3, 260e-12, 982e-9, 0.12, 430},
		{"400", 400, 0.409, 82, 75e3, 180e-12, 384e-9, 0.1, 470},
		{"1000", 1000, 0.1685, 47, 47e3, 120e-12, 151.2e-9, 0.1, 470},
		{"2500", 2500, 0.0728, 28, 33e3, 85e-12, 55.4e-9, 0.1, 510},
		{"6300", 6300, 0.0303, 16, 33e3, 55e-12, 22.3e-9, 0.1, 560},
	} {
		bands = append(bands, equaliser.Band{Name: b.name, Hz: b.hz,
			Slider:    circuit.Slider{Track: 10e3, BoostEnd: 2, CutEnd: 2, WiperOhms: 5},
			Coil:      circuit.Inductor{Henries: b.henries, DCR: b.dcr, CoreOhms: b.core, SelfFarads: b.self},
			Capacitor: circuit.Capacitor{Farads: b.farads, Loss: 0.004, ESR: b.esr}, Resistor: circuit.Resistor{Ohms: b.ohms}})
	}
	return equaliser.Spec{
		Drawing: "two-transistor", Rail: 24, SourceOhms: 1000, LoadOhms: 470e3, LoadFarads: 120e-12, Feed: 1200, Feedback: 2200, Bands: bands[:count], Kelvin: 308.15,
		Lift:   &equaliser.Lift{OnOhms: 0.1, LeadFarads: 600e-12},
		Bypass: &equaliser.Bypass{OnOhms: 0.05, GroundsInput: true},
	}
}

// studio builds it.
func studio(t testing.TB, count int) *equaliser.Equaliser {
	t.Helper()
	e, err := equaliser.Build(studioSpec(count))
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// studioPlan has every single part fault of the studio's equaliser, some pairs, and
// the readings a bench takes: ohms of every part's legs, volts at every point of
// the driver, each band's curves.
func studioPlan(t testing.TB, bands int) fault.Plan {
	t.Helper()
	e := studio(t, bands)
	plan := planOf(e, nil, "lift.lead")
	plan.Readings = append(allowed(ohmsOf(e.Circuit())...), allowed(voltsOf()...)...)
	plan.Readings = append(plan.Readings, curvesOf(e, curve.Grid(30, 14000, 2))...)
	return plan
}

// planOf has every single fault of the parts, the slips given, and the likeliest
// pairs.
func planOf(e *equaliser.Equaliser, slips []fault.Hypothesis, sound ...string) fault.Plan {
	c := e.Circuit()
	parts := within(c, map[string]float64{"Ohms": 0.01, "Henries": 0.02, "DCR": 0.03, "Farads": 0.02, "Track": 0.2, "BetaF": 0.5})
	var coils, capacitors, resistors []string
	for _, b := range e.Bands() {
		coils, capacitors, resistors = append(coils, b+".coil"), append(capacitors, b+".capacitor"), append(resistors, b+".resistor")
	}
	s := fault.Suspects{
		Sound:  append(sound, "source", "source.ohms", "load", "load.capacitance", "rail"),
		Signed: []string{"C.in", "C.base", "C.emitter", "C.dc", "C.out"},
		Alike:  [][]string{coils, capacitors, resistors}, Parts: parts,
	}
	if slips != nil { // made to be heard: all that a curve shows
		s.Leads = []string{"lift.lead"}
		for i := 1; i < len(coils); i++ {
			s.Near = append(s.Near, [2]string{coils[i-1], coils[i]})
		}
	}
	singles := fault.Singles(c, s)
	weight := 0.0
	for _, h := range singles {
		weight += h.Weight
	}
	for _, h := range slips {
		h.Weight *= weight / 2
		singles = append(singles, h)
	}
	return fault.Plan{Circuit: c, Parts: parts, Cond: reading.Conditions{Kelvin: 308.15},
		Hypotheses: append(singles, fault.Pairs(singles, 40)...)}
}

func ohmsOf(c *circuit.Circuit) []reading.Reading {
	var list []reading.Reading
	for _, p := range c.Parts() {
		switch q := p.(type) {
		case circuit.Resistor:
			list = append(list, ohms(q.A, q.B))
		case circuit.Inductor:
			list = append(list, ohms(q.A, q.B))
		case circuit.Capacitor:
			list = append(list, ohms(q.A, q.B))
		case circuit.Slider:
			list = append(list, ohms(q.Boost, q.Wiper), ohms(q.Wiper, q.Cut))
		}
	}
	return unique(list)
}

func voltsOf() (list []reading.Reading) {
	for _, point := range []string{"q1.base", "q1.emitter", "q1.collector", "out", "dc.mid", "cut", "boost", "in"} {
		list = append(list, volts(point))
	}
	return list
}

// curvesOf are flat, lifted, and each band all up and all down.
func curvesOf(e *equaliser.Equaliser, hz []float64, more ...curve.Setting) []fault.Allowed {
	settings := append([]curve.Setting{{}, curve.Setting{}.WithSwitch("footswitch", "lifted")}, more...)
	for _, b := range e.Bands() {
		settings = append(settings, curve.Setting{}.WithSlider(b, 1), curve.Setting{}.WithSlider(b, -1))
	}
	var list []fault.Allowed
	for _, s := range settings {
		list = append(list, fault.Allowed{Effort: 2, Reading: reading.Reading{Kind: reading.Gain, Red: "return", Source: "source",
			Hz: hz, Setting: s, Interface: reading.LineInput()}})
	}
	return list
}

// unique drops readings of two points that are there already.
func unique(list []reading.Reading) []reading.Reading {
	seen := map[[3]string]bool{}
	var rest []reading.Reading
	for _, r := range list {
		key, turned := [3]string{string(r.Kind), r.Red, r.Black}, [3]string{string(r.Kind), r.Black, r.Red}
		if seen[key] || seen[turned] || r.Red == circuit.Ground {
			continue
		}
		seen[key] = true
		rest = append(rest, r)
	}
	return rest
}
