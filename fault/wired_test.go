package fault_test

import (
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/wiring"
)

// studioHarness joins the studio's board to its amplifier (invented).
func studioHarness() wiring.Harness {
	run := func(name, from, to string, kind wiring.Kind, metres float64, screen wiring.Screen) wiring.Run {
		return wiring.Run{Name: name, From: from, To: to, Kind: kind, Metres: metres, Screen: screen, State: wiring.Made}
	}
	return wiring.Harness{
		Runs: []wiring.Run{
			run("from follower", "tap", "panel.a1", wiring.Screened, 0.22, wiring.Screen{AtFrom: "0"}),
			run("board in", "panel.a2", "in", wiring.Screened, 0.18, wiring.Screen{AtTo: "board.0"}),
			run("board out", "out.coupled", "panel.b1", wiring.Screened, 0.18, wiring.Screen{AtFrom: "board.0"}),
			run("round", "panel.a1", "panel.b3", wiring.Strap, 0.025, wiring.Screen{}),
			run("input to 0 V", "panel.a3", "board.0", wiring.Lead, 0.18, wiring.Screen{}),
			run("return", "board.0", "0", wiring.Earth, 0.2, wiring.Screen{}),
			run("rail", "amp.rail", "rail", wiring.Lead, 0.32, wiring.Screen{}),
			run("to inverter", "panel.b2", "return", wiring.Screened, 0.24, wiring.Screen{AtTo: "0"}),
		},
		Links: []wiring.Link{{Name: "follower to inverter", From: "tap", To: "return", State: wiring.Removed}},
		Switches: []wiring.Switch{{Name: "panel", Positions: []string{"in", "out"}, OnOhms: 0.05,
			Contacts: []wiring.Contact{
				{A: "panel.a2", B: "panel.a1", Closed: []string{"in"}}, {A: "panel.a2", B: "panel.a3", Closed: []string{"out"}},
				{A: "panel.b2", B: "panel.b1", Closed: []string{"in"}}, {A: "panel.b2", B: "panel.b3", Closed: []string{"out"}},
			},
			Pins: [][]string{{"panel.a1", "panel.a2", "panel.a3"}, {"panel.b1", "panel.b2", "panel.b3"}}}},
		Rows: [][]string{{"panel.a1", "panel.a2", "panel.a3"}, {"panel.b1", "panel.b2", "panel.b3"},
			{"in", "board.0", "out.coupled", "rail"}, {"tap", "return"}},
		Input: "board in", Output: "board out",
	}
}

// wiredStudio is the studio's equaliser in its harness.
func wiredStudio(t testing.TB, bands int) *equaliser.Equaliser {
	t.Helper()
	spec := studioSpec(bands)
	spec.Bypass = nil
	spec.Wired = &equaliser.Wired{BoardGround: "board.0", RailLug: "amp.rail"}
	spec.Extra = studioHarness().Parts(wiring.Complete)
	e, err := equaliser.Build(spec)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// wiredPlan has the parts' faults, the harness's slips and what only a curve
// shows, with ohms, volts and curves to take.
func wiredPlan(t testing.TB, bands int, hz []float64) fault.Plan {
	t.Helper()
	e := wiredStudio(t, bands)
	var sound []string
	for _, p := range studioHarness().Parts(wiring.Complete) {
		if _, contact := p.(circuit.Contact); !contact {
			sound = append(sound, p.PartName())
		}
	}
	var slips []fault.Hypothesis
	for _, s := range studioHarness().Faults(wiring.Complete) {
		if s.Slip == wiring.DryJoint {
			slips = append(slips, fault.Joint(s.Label, s.Edits[0].Part, s.Edits[0].Leg, s.Prior))
			continue
		}
		h := fault.Hypothesis{Name: s.Label + ": " + string(s.Slip), Kind: fault.Kind(s.Slip), Label: s.Label, Weight: s.Prior,
			Cases: []fault.Case{{Edits: s.Edits, Weight: 1}}}
		for _, e := range s.Edits {
			h.Places = append(h.Places, finding.Place{Part: e.Part, Point: e.From})
		}
		slips = append(slips, h)
	}
	plan := planOf(e, slips, sound...)
	list := ohmsOf(e.Circuit())
	out := curve.Setting{}.WithSwitch("panel", "out")
	for _, p := range e.Circuit().Parts() {
		if q, ok := p.(circuit.Contact); ok && q.Switch == "panel" {
			for _, s := range []curve.Setting{{}, out} {
				r := ohms(q.A, q.B)
				r.Setting = s
				list = append(list, r)
			}
		}
	}
	plan.Readings = append(allowed(list...), allowed(voltsOf()...)...)
	plan.Readings = append(plan.Readings, curvesOf(e, hz, out)...)
	return plan
}
