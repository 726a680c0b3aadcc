package bench

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"bandwright/fault"
	"bandwright/wiring"
)

// TestFaultsHaveTheHarness: every slip of what there is of the harness is among the
// causes, once, with its label and its share of the weight; no run and no link is a
// suspect beside that.
func TestFaultsHaveTheHarness(t *testing.T) {
	text, err := os.ReadFile("../demo/bass-head/wired.toml")
	if err != nil {
		t.Fatal(err)
	}
	whole, found := Open(context.Background(), "wired.toml", text, os.DirFS("../demo/bass-head"))
	if whole == nil {
		t.Fatal(found)
	}
	made, _, err := whole.AsMade()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		of *Case
		as wiring.As
	}{{whole, wiring.Complete}, {made, wiring.AsMade}} {
		plan, _ := c.of.faultPlan()
		names, labels, slips, parts := map[string]bool{}, map[string]int{}, 0.0, 0.0
		for _, h := range plan.Hypotheses {
			if names[h.Name] {
				t.Errorf("%s twice", h.Name)
			}
			names[h.Name] = true
			switch {
			case h.Label != "":
				labels[h.Label]++
				slips += h.Weight
			case h.Kind != fault.Pair:
				parts += h.Weight
				if at := h.Places[0].Part; strings.HasPrefix(at, "run.") || strings.HasPrefix(at, insulation) {
					t.Errorf("%s is a suspect by itself", h.Name)
				}
			}
		}
		want := harnessOf(c.of.job).Faults(c.as)
		for _, slip := range want {
			labels[slip.Label]--
		}
		for label, n := range labels {
			if n != 0 {
				t.Errorf("%s: %d too many", label, n)
			}
		}
		if len(want) < 5 || math.Abs(slips-wiringShare*parts) > 1e-9*parts {
			t.Errorf("%d slips weigh %g beside %g", len(want), slips, parts)
		}
	}
}

// TestFaultsNameCoilsAndLeads: what only a curve shows is among the causes.
func TestFaultsNameCoilsAndLeads(t *testing.T) {
	text, err := os.ReadFile("../demo/bass-head/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, found := Open(context.Background(), "job.toml", text, os.DirFS("../demo/bass-head"))
	if c == nil {
		t.Fatal(found)
	}
	plan, _ := c.faultPlan()
	coupled, leads := 0, 0
	for _, h := range plan.Hypotheses {
		if h.Kind == fault.Coupled {
			coupled++
		}
		if h.Name == "value lift.lead Farads" {
			leads++
		}
	}
	if coupled != 10 || leads != 1 { // five pairs of neighbours, each way round
		t.Errorf("%d pairs of coils, %d leads", coupled, leads)
	}
}
