package main

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// engineParts draws the same unit for the house's engine, part by part.
func engineParts(u unit) []circuit.Part {
	contact := func(name, a, b, panel string) circuit.Part {
		return circuit.Contact{Name: name, A: a, B: b, Switch: "panel", Closed: []string{panel}, OnOhms: panelContact}
	}
	transistor := func(name string, t transistor) circuit.Part {
		return circuit.Transistor{Name: name, Collector: t.collector, Base: t.base, Emitter: t.emitter, PNP: t.pnp,
			Is: t.is, BetaF: t.betaF, BetaR: t.betaR, EarlyVolts: t.early,
			BaseEmitterFarads: t.baseEmitter, BaseCollectorFarads: t.baseCollector}
	}
	q1, q2 := pair(u.beta1, u.beta2)
	parts := []circuit.Part{
		circuit.VoltageSource{Name: "source", Plus: "generator", Minus: circuit.Ground},
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: circuit.Ground, DC: u.rail},
		circuit.Resistor{Name: "source.ohms", A: "generator", B: "tap", Ohms: sourceOhms},
		circuit.Switch{Name: "panel", Positions: []string{"in", "out"}},
		contact("panel.in", "tap", "in", "in"), contact("panel.out", "out.coupled", "return", "in"),
		contact("panel.by", "tap", "return", "out"), contact("panel.ground", "in", circuit.Ground, "out"),
		circuit.Switch{Name: "footswitch", Positions: []string{"in", "lifted"}},
		circuit.Contact{Name: "lift", A: "legs", B: circuit.Ground, Switch: "footswitch", Closed: []string{"in"}, OnOhms: liftContact},
		circuit.Capacitor{Name: "lift.lead", A: "legs", B: circuit.Ground, Farads: leadFarads},
		circuit.Resistor{Name: "load", A: "return", B: circuit.Ground, Ohms: loadOhms},
		circuit.Capacitor{Name: "load.capacitance", A: "return", B: circuit.Ground, Farads: loadFarads},
		transistor("q1", q1), transistor("q2", q2),
	}
	for _, p := range u.driver {
		if p.name[0] == 'C' {
			parts = append(parts, circuit.Capacitor{Name: p.name, A: p.a, B: p.b, Farads: p.value})
		} else {
			parts = append(parts, circuit.Resistor{Name: p.name, A: p.a, B: p.b, Ohms: p.value})
		}
	}
	for _, l := range u.legs {
		parts = append(parts, engineLeg(l)...)
	}
	return parts
}

func engineLeg(l leg) []circuit.Part {
	slider := circuit.Slider{Name: l.band, Boost: "boost", Wiper: l.band + ".wiper", Cut: "cut",
		Track: l.track, BoostEnd: l.end, CutEnd: l.end, WiperOhms: l.wiper}
	if l.reversed {
		slider.Boost, slider.Cut = slider.Cut, slider.Boost
	}
	return []circuit.Part{slider,
		circuit.Resistor{Name: l.band + ".resistor", A: l.band + ".wiper", B: l.band + ".a", Ohms: l.resistor},
		circuit.Inductor{Name: l.band + ".coil", A: l.band + ".a", B: l.band + ".b",
			Henries: l.henries, DCR: l.dcr, CoreOhms: l.core, SelfFarads: l.self},
		circuit.Capacitor{Name: l.band + ".capacitor", A: l.band + ".b", B: "legs", Farads: l.farads, Loss: l.loss, ESR: l.esr},
	}
}

// engineSetting says the same setting in the engine's words.
func engineSetting(s setting) curve.Setting {
	var to curve.Setting
	for _, l := range bands() {
		to = to.WithSlider(l.band, s.position(l.band))
	}
	if s.lifted {
		to = to.WithSwitch("footswitch", "lifted")
	}
	if s.bypassed {
		to = to.WithSwitch("panel", "out")
	}
	return to
}

// Two solvers that share no line agree on every setting of every unit: the
// operating point within microvolts (the engine puts a tiny leak across each
// junction, this one to ground), the response to a part in a hundred million.
func TestAgreesWithTheEngine(t *testing.T) {
	ctx := context.Background()
	for _, u := range []unit{asDrawn(), unitA(), unitB()} {
		engine, err := circuit.New(engineParts(u)...)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range settings() {
			n := u.build(s)
			a, bias := n.operate()
			state, err := engine.Solve(ctx, engineSetting(s), circuit.Conditions{Kelvin: chassisCelsius + zeroC})
			if err != nil {
				t.Fatal(err)
			}
			for _, point := range []string{"out", "q1.base", "q1.emitter", "q1.collector", "dc.mid"} {
				if v, ok := state.Volts(point); !ok || math.Abs(v-real(a.volts(point))) > 5e-6 {
					t.Errorf("unit %s, %s: %s at %.9f V, here %.9f V", u.name, s.name, point, v, real(a.volts(point)))
				}
			}
			hz := []float64{20, 63, 160, 400, 1000, 2500, 6300, 20e3}
			response, err := state.Response(ctx, "source", []string{"return", "out"}, hz)
			if err != nil {
				t.Fatal(err)
			}
			for k, f := range hz {
				here := n.respond(f, bias)
				for o, point := range []string{"return", "out"} {
					got, want := response.Gains[o][k], here.volts(point)
					if cmplx.Abs(got-want) > 1e-8*cmplx.Abs(want)+1e-12 {
						t.Errorf("unit %s, %s, %s at %g Hz: engine %v, here %v", u.name, s.name, point, f, got, want)
					}
				}
			}
		}
	}
}

// Two ways of counting poles in the right half plane: round the return ratio
// here, round the whole determinant there.
func TestEngineSeesMotorboating(t *testing.T) {
	for poles, u := range map[int]unit{0: asDrawn(), 2: motorboat()} {
		engine, err := circuit.New(engineParts(u)...)
		if err != nil {
			t.Fatal(err)
		}
		state, err := engine.Solve(context.Background(), curve.Setting{}, circuit.Conditions{Kelvin: chassisCelsius + zeroC})
		if err != nil {
			t.Fatal(err)
		}
		got, err := state.Stability(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !got.Known || got.RightHalfPoles != poles {
			t.Errorf("engine counts %d, want %d", got.RightHalfPoles, poles)
		}
	}
}
