package main

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
)

// spec says the unit as drawn in the equaliser's terms; the driver is named
// only, so that its starter drawing is held against the values settled here.
func spec() equaliser.Spec {
	u := asDrawn()
	s := equaliser.Spec{Drawing: "two-transistor", SourceOhms: sourceOhms, LoadOhms: loadOhms, LoadFarads: loadFarads,
		LevelVolts: 0.388, Rail: u.rail, Feed: 1200, Feedback: 2200, Kelvin: chassisCelsius + zeroC,
		Lift:   &equaliser.Lift{OnOhms: liftContact, LeadFarads: leadFarads},
		Bypass: &equaliser.Bypass{OnOhms: panelContact, GroundsInput: true}}
	for _, l := range u.legs {
		parts := engineLeg(l)
		s.Bands = append(s.Bands, equaliser.Band{Name: l.band, Hz: l.hz,
			Slider: parts[0].(circuit.Slider), Resistor: parts[1].(circuit.Resistor),
			Coil: parts[2].(circuit.Inductor), Capacitor: parts[3].(circuit.Capacitor)})
	}
	return s
}

// The house's starter drawing, its chain of contacts and its search for
// centres and edges give what this one finds: the driver's output to
// microvolts, centres and widths to a part in ten thousand, decibels to 1e-5.
func TestAgreesWithTheEqualiser(t *testing.T) {
	ctx := context.Background()
	e, err := equaliser.Build(spec())
	if err != nil {
		t.Fatal(err)
	}
	state, err := e.Solve(ctx, curve.Setting{})
	if err != nil {
		t.Fatal(err)
	}
	u := asDrawn()
	a, _ := u.build(setting{}).operate()
	if v, ok := state.Volts("out"); !ok || math.Abs(v-real(a.volts("out"))) > 5e-6 {
		t.Errorf("out at %.6f V, here %.6f V", v, real(a.volts("out")))
	}
	features, found, err := e.Features(ctx, e.Solve, curve.Setting{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		t.Error(f)
	}
	for i, l := range u.legs {
		up, down, f := u.feature(l, 1), u.feature(l, -1), features[i]
		if f.LowHz == nil || f.HighHz == nil {
			t.Errorf("%s has no width", l.band)
			continue
		}
		near(t, l.band+" centre", f.CentreHz, up.hz, 1e-4)
		near(t, l.band+" cut centre", f.CutHz, down.hz, 1e-4)
		near(t, l.band+" boost", f.BoostDB, up.db, 1e-6)
		near(t, l.band+" cut", f.CutDB, down.db, 1e-6)
		near(t, l.band+" low edge", *f.LowHz, up.low, 1e-4)
		near(t, l.band+" high edge", *f.HighHz, up.hi, 1e-4)
	}
}
