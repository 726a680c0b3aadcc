package fault_test

import (
	"context"
	"errors"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// TestEveryFaultSettles: with every single part fault of the two-transistor
// driver, at every setting of its switches and at every state of its rail (off,
// half way up, mains 10 % down, nominal and up, and the whole high rail with its
// zener open), there is an operating point, or the device that has none is named.
func TestEveryFaultSettles(t *testing.T) {
	plan := studioPlan(t, 2)
	settings := []curve.Setting{{}, curve.Setting{}.WithSlider("63", 1).WithSlider("160", -1),
		curve.Setting{}.WithSwitch("footswitch", "lifted"), curve.Setting{}.WithSwitch("panel", "out")}
	settled, named := 0, 0
	for _, h := range plan.Hypotheses {
		if len(h.Places) > 1 {
			continue
		}
		for i, k := range []int{0, len(h.Cases) / 2, len(h.Cases) - 1} {
			if i > 0 && k == 0 {
				continue
			}
			for n, rail := range []float64{0, 12, 21.6, 24, 26.4, 412} {
				edits := append([]circuit.Edit{circuit.Set("rail", "DC", rail)}, h.Cases[k].Edits...)
				edited, err := plan.Circuit.Edited(edits...)
				if err != nil {
					t.Fatalf("%s: %v", h.Name, err)
				}
				_, err = edited.Solve(context.Background(), settings[(n+k)%len(settings)], circuit.Conditions{})
				var list finding.List
				switch {
				case err == nil:
					settled++
				case errors.As(err, &list) && list[0].ID == circuit.IDNoOperatingPoint && list[0].Place.Part != "":
					named++
					t.Logf("%s at %g V: %v", h.Name, rail, err)
				default:
					t.Errorf("%s at %g V: %v", h.Name, rail, err)
				}
			}
		}
	}
	t.Logf("%d settle, %d name a device", settled, named)
	if settled < 1000 || named*100 > settled {
		t.Errorf("%d settle, %d do not", settled, named)
	}
}
