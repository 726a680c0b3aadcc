package reading

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// TestWrongQuestions: every mistake is a finding with its place.
func TestWrongQuestions(t *testing.T) {
	c := divider(t, 9, 1e3, 3e3)
	at := func(point string) finding.Place { return finding.Place{Point: point, Setting: "flat"} }
	for name, k := range map[string]struct {
		r     Reading
		id    finding.ID
		place finding.Place
	}{
		"no lead":         {Reading{Kind: Volts}, IDNoLead, at("")},
		"same point":      {Reading{Kind: Ohms, Red: "mid", Black: "mid"}, IDSamePoint, at("mid")},
		"ground twice":    {Reading{Kind: Volts, Red: "0"}, IDSamePoint, at("0")},
		"no frequency":    {Reading{Kind: Gain, Source: "rail", Red: "mid"}, IDNoFrequency, at("mid")},
		"0 Hz":            {Reading{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{1, 0}}, IDNoFrequency, at("mid")},
		"NaN Hz":          {Reading{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{math.NaN()}}, IDNoFrequency, at("mid")},
		"no point":        {Reading{Kind: Volts, Red: "there", Meter: HandMeter()}, circuit.IDNoPoint, finding.Place{Point: "there"}},
		"no point, gain":  {Reading{Kind: Gain, Source: "rail", Red: "mid", Black: "there", Hz: []float64{1}}, circuit.IDNoPoint, at("there")},
		"no point, ohms":  {Reading{Kind: Ohms, Red: "there"}, circuit.IDNoPoint, finding.Place{Point: "there"}},
		"no source":       {Reading{Kind: Gain, Source: "r1", Red: "mid", Hz: []float64{1}}, circuit.IDNoSource, finding.Place{Part: "r1"}},
		"no such source":  {Reading{Kind: Gain, Source: "r9", Red: "mid", Hz: []float64{1}}, circuit.IDNoPart, finding.Place{Part: "r9"}},
		"no slider":       {Reading{Kind: Volts, Red: "mid", Setting: curve.Setting{}.WithSlider("63", 1)}, circuit.IDNoSlider, finding.Place{Setting: "63=+1"}},
		"input ohms":      {Reading{Kind: Volts, Red: "mid", Meter: Meter{InputOhms: -1}}, IDBadInstrument, at("mid")},
		"share":           {Reading{Kind: Volts, Red: "mid", Meter: Meter{Volts: Accuracy{Share: math.NaN()}}}, IDBadInstrument, at("mid")},
		"test ohms":       {Reading{Kind: Ohms, Red: "mid", Meter: Meter{TestVolts: 3}}, IDBadInstrument, at("mid")},
		"level":           {Reading{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{1}, Interface: Interface{LevelDB: math.Inf(1)}}, IDBadInstrument, at("mid")},
		"both are named":  {Reading{Kind: Gain, Source: "rail", Red: "mid", Interface: Interface{Ohms: -2}}, IDBadInstrument, at("mid")},
		"both are named'": {Reading{Kind: Gain, Source: "rail", Red: "mid", Interface: Interface{Ohms: -2}}, IDNoFrequency, at("mid")},
	} {
		p, err := Predict(context.Background(), c, []Reading{{Kind: Volts, Red: "rail"}, k.r}, nil, Conditions{})
		wrong(t, name, err, k.id, k.place)
		if p != nil {
			t.Errorf("%s: an answer with an error", name)
		}
	}
}

func TestWrongUncertainties(t *testing.T) {
	c := divider(t, 9, 1e3, 3e3)
	r1, part := ohms("r1"), finding.Place{Part: "r1"}
	for name, k := range map[string]struct {
		u     []Uncertainty
		id    finding.ID
		place finding.Place
	}{
		"no part":       {[]Uncertainty{{Knob: ohms("r9")}}, circuit.IDNoPart, finding.Place{Part: "r9"}},
		"no value":      {[]Uncertainty{{Knob: farads("r1")}}, circuit.IDNoKnob, part},
		"twice":         {[]Uncertainty{{Knob: r1}, {Knob: r1}}, IDKnobTwice, part},
		"no limits":     {[]Uncertainty{{Knob: r1, SD: 1}}, IDBadUncertainty, part},
		"low above 0":   {[]Uncertainty{{Knob: r1, SD: 1, Low: 1, High: 9}}, IDBadUncertainty, part},
		"high below 0":  {[]Uncertainty{{Knob: r1, SD: 1, Low: -9, High: -1}}, IDBadUncertainty, part},
		"negative":      {[]Uncertainty{{Knob: r1, SD: -1, Low: -9, High: 9}}, IDBadUncertainty, part},
		"NaN":           {[]Uncertainty{{Knob: r1, SD: math.NaN(), Low: -9, High: 9}}, IDBadUncertainty, part},
		"endless":       {[]Uncertainty{{Knob: r1, SD: 1, Low: -9, High: math.Inf(1)}}, IDBadUncertainty, part},
		"too wide":      {[]Uncertainty{{Knob: r1, SD: 9.1, Low: -9, High: 9}}, IDBadUncertainty, part},
		"common over 1": {[]Uncertainty{{Knob: r1, SD: 1, Low: -9, High: 9, Group: "bag", Common: 1.1}}, IDBadUncertainty, part},
	} {
		_, err := Predict(context.Background(), c, []Reading{{Kind: Volts, Red: "mid"}}, k.u, Conditions{})
		wrong(t, name, err, k.id, k.place)
	}
}

// TestWarnings: what weakens an answer travels with it.
func TestWarnings(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 900},
		circuit.Resistor{Name: "r", A: "rail", B: "a", Ohms: 1e3},
		circuit.Capacitor{Name: "c", A: "a", B: "0", Farads: 1e-6})
	p := predicted(t, c, []Reading{{Kind: Volts, Red: "rail", Meter: HandMeter()}},
		[]Uncertainty{Within(circuit.Knob{Part: "c", Value: "ESR"}, 0.1), Within(farads("c"), 1e-7)})
	want := map[finding.ID]finding.Place{
		IDOverRange: {Point: "rail", Setting: "flat"}, IDNoEffect: {Part: "c"},
	}
	for _, f := range p.Findings {
		if place, ok := want[f.ID]; !ok || place != f.Place || f.Level != finding.Warning {
			t.Errorf("unexpected %v", f)
		}
		delete(want, f.ID)
	}
	if len(want) > 0 {
		t.Errorf("no %v", want)
	}
}

func TestMisuse(t *testing.T) {
	for name, f := range map[string]func(){
		"kind": func() {
			_, _ = Predict(context.Background(), divider(t, 1, 1, 1), []Reading{{Kind: "henries", Red: "mid"}}, nil, Conditions{})
		},
		"residuals": func() {
			w, _ := NewWhitener([][]float64{{1}})
			w.Whiten([]float64{1, 2})
		},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			f()
		}()
	}
}
