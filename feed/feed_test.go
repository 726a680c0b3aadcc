package feed

import (
	"context"
	"math"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/quantity"
)

func wired(t *testing.T, parts ...circuit.Part) *circuit.Circuit {
	t.Helper()
	c, err := circuit.New(parts...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// worked is the zener circuit of a published text (LIEC III ch. 3, from the
// work): 45 V, a dropper, 12.6 V, a load.
func worked(dropper, load float64) []circuit.Part {
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "rail", Plus: "ht", Minus: "0", DC: 45},
		circuit.Resistor{Name: "dropper", A: "ht", B: "z", Ohms: dropper},
		// As sharp as can be made: the text's zener holds its volts at any current.
		circuit.Zener{Name: "zener", Anode: "0", Cathode: "z", Is: 1e-14, Volts: 12.6, TestAmperes: 0.01, SlopeOhms: 1e-3},
	}
	if load > 0 {
		parts = append(parts, circuit.Resistor{Name: "load", A: "z", B: "0", Ohms: load})
	}
	return parts
}

func nominal(t *testing.T, c *circuit.Circuit, part string) Load {
	t.Helper()
	list, _, err := Loads(context.Background(), c, Supply{Rail: "rail", Volts: 45, Zener: "zener"}, nil, Limits{}, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(list, func(l Load) bool { return l.Case == Nominal && l.Part == part })
	if i < 0 {
		t.Fatalf("no load of %s", part)
	}
	return list[i]
}

func TestLoadsAgainstTheWorkedExample(t *testing.T) {
	for _, k := range []struct {
		dropper, load       float64
		part                string
		volts, amps, watts  float64
		ofVolts, ofAmps, of float64 // tolerances, of the printed digits and the zener's sharpness
	}{
		{1e3, 0, "dropper", 32.4, 32.4e-3, 1.0498, 2e-3, 2e-6, 2e-4},
		{1e3, 0, "zener", 12.6, 32.4e-3, 408.24e-3, 2e-3, 2e-6, 2e-4},
		{100e3, 0, "dropper", 32.4, 324e-6, 10.498e-3, 2e-3, 1e-7, 4e-6},
		{100e3, 0, "zener", 12.6, 324e-6, 4.0824e-3, 2e-3, 1e-7, 4e-6},
		{1e3, 500, "load", 12.6, 25.2e-3, 0.31752, 2e-3, 5e-6, 2e-4},
		{1e3, 500, "zener", 12.6, 7.2e-3, 0.09072, 2e-3, 1e-5, 2e-4},
		{100e3, 500, "load", 224e-3, 447.76e-6, 0.1e-3, 2e-4, 1e-8, 2e-6},
	} {
		l := nominal(t, wired(t, worked(k.dropper, k.load)...), k.part)
		if math.Abs(l.Volts-k.volts) > k.ofVolts || math.Abs(l.Amperes-k.amps) > k.ofAmps || math.Abs(l.Watts-k.watts) > k.of {
			t.Errorf("%v ohm, load %v: %s carries %v V, %v A, %v W; printed %v, %v, %v", k.dropper, k.load, k.part, l.Volts, l.Amperes, l.Watts, k.volts, k.amps, k.watts)
		}
	}
}

// TestEnergyBalances: in every case the watts of all parts are those that the
// rail gives.
func TestEnergyBalances(t *testing.T) {
	s := Supply{Rail: "rail", Volts: 45, Zener: "zener", Board: []string{"load"}}
	c := wired(t, worked(1e3, 500)...)
	list, _, err := Loads(context.Background(), c, s, nil, Limits{}, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	rails, watts, amperes := map[CaseName]float64{}, map[CaseName]float64{}, map[CaseName]float64{}
	for _, k := range s.Cases() {
		rails[k.Name] = k.Rail
	}
	for _, l := range list {
		watts[l.Case] += l.Watts
		if l.Part == "dropper" {
			amperes[l.Case] = l.Amperes
		}
	}
	if len(watts) != 7 {
		t.Errorf("%d cases", len(watts))
	}
	for name, sum := range watts {
		gives := rails[name] * amperes[name]
		if name == ZenerGone { // the short takes its own, which is no part of the list
			continue
		}
		if math.Abs(sum-gives) > 1e-6*gives {
			t.Errorf("%s: parts take %v W, the rail gives %v", name, sum, gives)
		}
	}
}

// TestSeconds holds the discharge against printed values: a resistor maker's
// design sheet of 2005 (from the work) and a calculator's text (from the work).
func TestSeconds(t *testing.T) {
	if got := Seconds(50, 195e-6, 1500, 320); math.Abs(got-0.015062769) > 1e-9 {
		t.Errorf("%v s", got)
	}
	if got := Seconds(10e3, 470e-6, 400, 50); math.Abs(got-9.8) > 0.05 {
		t.Errorf("%v s", got)
	}
	if got := Seconds(1e3, 1e-6, 10, 20); got != 0 {
		t.Errorf("already below: %v s", got)
	}
	for _, ohms := range []float64{10, 4.7e3, 1e6} {
		if back := Bleed(Seconds(ohms, 22e-6, 412, 50), 22e-6, 412, 50); math.Abs(back-ohms) > 1e-9*ohms {
			t.Errorf("bleed for the time of %v ohm: %v", ohms, back)
		}
	}
}

func TestDischargeFindsThePath(t *testing.T) {
	parts := append(worked(47e3, 10e3),
		circuit.Capacitor{Name: "filter", A: "ht", B: "0", Farads: 10e-6},
		circuit.Capacitor{Name: "filter.2", A: "0", B: "ht", Farads: 22e-6},
		circuit.Capacitor{Name: "trapped", A: "peak", B: "0", Farads: 1e-6},
		circuit.Diode{Name: "peak.in", Anode: "ht", Cathode: "peak", Is: 1e-14},
		circuit.Diode{Name: "peak.back", Anode: "0", Cathode: "peak", Is: 1e-14})
	held, err := Discharge(context.Background(), wired(t, parts...), Supply{Rail: "rail", Volts: 300}, 50, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]Held{}
	for _, h := range held {
		by[h.Capacitor] = h
	}
	want := 57e3 * 32e-6 * math.Log(300*1.3*1.1/50)
	if h := by["filter"]; h.Never || math.Abs(h.Seconds-want) > 1e-6*want || math.Abs(h.Joules-10e-6*h.From*h.From/2) > 1e-12 {
		t.Errorf("filter: %+v, want %v s", h, want)
	}
	if h := by["trapped"]; !h.Never {
		t.Errorf("a charge behind diodes: %+v", h)
	}
}

// TestDropperKeepsEveryLimit solves every case anew with the chosen dropper,
// and finds the next larger value wanting.
func TestDropperKeepsEveryLimit(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "ht", Minus: "0", DC: 412},
		circuit.Resistor{Name: "dropper", A: "ht", B: "z", Ohms: 1e3},
		circuit.Zener{Name: "zener", Anode: "0", Cathode: "z", Is: 1e-14, Volts: 24, TestAmperes: 0.005, SlopeOhms: 20},
		circuit.Resistor{Name: "load", A: "z", B: "0", Ohms: 8200})
	q := DropperQuestion{
		Supply: Supply{Rail: "rail", Volts: 412, Dropper: []string{"dropper"}, Zener: "zener", Board: []string{"load"}},
		Series: quantity.E12, ZenerLeast: 2e-3, ZenerWatts: 1.3, Sizes: []float64{1, 2, 3, 5, 7, 10}, EachVolts: 500}
	d, err := ChooseDropper(context.Background(), c, q, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", d)
	fitted, err := c.Edited(circuit.Set("dropper", "Ohms", d.Each*float64(d.InSeries)))
	if err != nil {
		t.Fatal(err)
	}
	ratings := []Rating{{Part: "dropper", Volts: 500 * float64(d.InSeries), Watts: d.Watts * float64(d.InSeries)}}
	_, found, err := Loads(context.Background(), fitted, q.Supply, ratings, Limits{}, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		if f.ID == IDOver {
			t.Errorf("%v", f)
		}
	}
	if d.ZenerLeast < q.ZenerLeast || d.InSeries != 2 {
		t.Errorf("%+v: the cold rail's volts want two in series", d)
	}
	up, _, err := q.try(context.Background(), c, 1.25*d.Each, d.InSeries, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	if up.ZenerLeast >= q.ZenerLeast {
		t.Errorf("%v ohm would do too", up.Each)
	}
	q.ZenerLeast = 1
	if _, err := ChooseDropper(context.Background(), c, q, circuit.Conditions{}); err == nil {
		t.Error("an ampere from a rail of 412 V through any dropper")
	} else if list, ok := finding.From(err); !ok || list[0].ID != IDNoDropper {
		t.Errorf("%v", err)
	}
}

// TestRipple: an RC low-pass at its corner lets 1/√2 through (worked out from
// the definition).
func TestRipple(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "ht", Minus: "0", DC: 400},
		circuit.Resistor{Name: "r", A: "ht", B: "out", Ohms: 10e3},
		circuit.Capacitor{Name: "c", A: "out", B: "0", Farads: 1 / (2 * math.Pi * 100 * 10e3)},
		circuit.Resistor{Name: "bleed", A: "out", B: "0", Ohms: 1e12})
	st, err := (Case{Rail: 400}).solve(context.Background(), c, "rail", circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := RippleAt(context.Background(), st, Supply{Rail: "rail", Hertz: 50}, 2, "out")
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.AtOut-2/math.Sqrt2) > 1e-6 || r.Hertz != 100 {
		t.Errorf("%+v", r)
	}
}
