package circuit_test

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// kinSettings are those of studioSettings with more sliders off their middle.
func kinSettings() []curve.Setting {
	return append(studioSettings(), curve.Setting{}.WithSlider("63", -1), curve.Setting{}.WithSlider("2500", 0.5).WithSlider("400", 1),
		curve.Setting{}.WithSwitch("footswitch", "lifted").WithSlider("63", 1))
}

// TestKinAreMembers: what is taken over from a related member, and what is asked of
// several at once, changes no answer: each is that of the same member made alone,
// whose point is found from nothing.
func TestKinAreMembers(t *testing.T) {
	ctx, whole := context.Background(), studio(t)
	var kin []*circuit.Family
	for _, s := range kinSettings() {
		f, err := whole.Family(ctx, s, circuit.FamilyPlan{Hz: studioHz, Knobs: studioKnobs, Source: "source", Red: "return", Black: "0"})
		if err != nil {
			t.Fatal(err)
		}
		kin = append(kin, f)
	}
	circuit.Kin(kin)
	edits := append(studioEdits(), circuit.Scale("63", "Track", 0.2), circuit.OpenLeg("2500", 1), circuit.Swap("63", "400"), circuit.Couple("63.coil", "400.coil", 0.3))
	related, last := 0, map[*circuit.Circuit][]*circuit.Member{}
	var changed []*circuit.Circuit
	for _, e := range edits {
		edited, err := whole.Edited(e)
		if err != nil {
			t.Fatal(err)
		}
		changed = append(changed, edited)
	}
	for i, f := range kin {
		alone, err := whole.Family(ctx, kinSettings()[i], circuit.FamilyPlan{Hz: studioHz, Knobs: studioKnobs, Source: "source", Red: "return", Black: "0"})
		if err != nil {
			t.Fatal(err)
		}
		var members, twins []*circuit.Member
		for _, edited := range changed {
			var like *circuit.Member
			for k, g := range kin[:i] {
				if f.Related(g) {
					like = last[edited][k]
					related++
					break
				}
			}
			m, err := f.Member(ctx, edited, like)
			if err != nil {
				t.Fatal(err)
			}
			twin, err := alone.Member(ctx, edited, nil)
			if err != nil {
				t.Fatal(err)
			}
			last[edited] = append(last[edited], m)
			members, twins = append(members, m), append(twins, twin)
		}
		gains := new(circuit.Listener).Gains(members)
		for n, m := range members {
			same := func(what string, got, want circuit.Answer) {
				t.Helper()
				if got.None != want.None || !agree(got.Value, want.Value, 10, 1e-9) {
					t.Errorf("%s at %s, %s: %.12g (%t), alone %.12g (%t)", edits[n], kinSettings()[i], what, got.Value, got.None, want.Value, want.None)
				}
				for k, by := range want.By {
					value, _ := m.Value(studioKnobs[k])
					if math.Abs(got.By[k]-by)*value > 1e-6*(1+math.Abs(by)*value) {
						t.Errorf("%s at %s, %s by %v: %.9g, alone %.9g", edits[n], kinSettings()[i], what, studioKnobs[k], got.By[k], by)
					}
				}
			}
			for k, want := range twins[n].Gains() {
				if want.Value > -90 { // below, it is the rounding of what 1e12 ohm lets through
					same("gain", gains[n][k], want)
				}
			}
			for _, point := range []string{"q1.base", "out", "dc.mid", "boost"} {
				same(point, m.Volts(point, "0", 10e6), twins[n].Volts(point, "0", 10e6))
			}
		}
	}
	if related < 4*len(edits) {
		t.Errorf("only %d related members", related)
	}
}
