package bench

import (
	"context"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/demo"
	"bandwright/fault"
	"bandwright/feed"
	"bandwright/finding"
	"bandwright/trials"
	"bandwright/wiring"
)

// faulty is a circuit with one fault, and what it is called.
type faulty struct {
	name    string
	circuit *circuit.Circuit
}

// everyFault lists the circuits that one fault makes of a case: every single fault
// of a part (of one with a size the smallest and the largest), every slip of who
// fills the board, and every slip of who wires it.
func everyFault(t *testing.T, c *Case) (list []faulty) {
	t.Helper()
	whole := c.equaliser.Circuit()
	add := func(name string, edits []circuit.Edit) {
		broken, err := whole.Edited(edits...)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		list = append(list, faulty{name, broken})
	}
	parts, _ := c.uncertainties()
	for _, h := range fault.Singles(whole, c.suspects(parts)) {
		add(h.Name, h.Cases[0].Edits)
		if last := len(h.Cases) - 1; last > 0 {
			add(h.Name, h.Cases[last].Edits)
		}
	}
	for _, s := range c.equaliser.Slips() {
		add(string(s.Kind)+" "+s.Label, s.Edits)
	}
	if c.job.Wired() {
		for _, f := range harnessOf(c.job).Faults(wiring.Complete) {
			add(string(f.Slip)+" "+f.Label, f.Edits)
		}
	}
	return list
}

// rails gives the feed of a job; one that has none stands on its own rail, which
// rises, falls and starts cold like any other.
func rails(t *testing.T, c *Case) feed.Supply {
	t.Helper()
	if c.job.Feed == nil {
		p, _ := c.equaliser.Circuit().Part(usualRail)
		return feed.Supply{Rail: usualRail, Volts: p.(circuit.VoltageSource).DC}
	}
	s, err := c.supply()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestEveryFaultInEveryCase: every single fault, in every case of the feed, has
// an operating point or names the device or point that has none. The ordinary run
// takes a share of the faults, make prove all of them.
func TestEveryFaultInEveryCase(t *testing.T) {
	t.Parallel()
	step := 17
	if trials.Count(1) > 1 {
		step = 1
	}
	for name, fewest := range map[string]int{"feed.toml": 250, "wired.toml": 450} {
		c, found := Open(context.Background(), name, []byte(demoFile(t, name)), demo.BassHead())
		if c == nil {
			t.Fatal(found)
		}
		if c.job.Wired() {
			at, _, err := c.at(wiring.Complete)
			if err != nil {
				t.Fatal(err)
			}
			c = at
		}
		list, s := everyFault(t, c), rails(t, c)
		solved, named := 0, 0
		for i := 0; i < len(list); i += step {
			for _, in := range s.Cases() {
				switch err := operates(c, s, list[i].circuit, in); {
				case err == nil:
					solved++
				case namesPlace(err):
					named++
					t.Logf("%s, %s, %s: %v", name, list[i].name, in.Name, err)
				default:
					t.Errorf("%s, %s, %s: %v names no device", name, list[i].name, in.Name, err)
				}
			}
		}
		t.Logf("%s: %d faults, %d cases of the feed, every %dth: %d solved, %d not and their device named", name, len(list), len(s.Cases()), step, solved, named)
		if len(list) < fewest {
			t.Errorf("%s: only %d faults", name, len(list))
		}
	}
}

// operates solves a faulty circuit in a case.
func operates(c *Case, s feed.Supply, broken *circuit.Circuit, in feed.Case) error {
	at, err := in.In(broken, s.Rail)
	if err == nil {
		_, err = at.Solve(context.Background(), curve.Setting{}, c.conditions())
	}
	return err
}

func namesPlace(err error) bool {
	list, _ := finding.From(err)
	return len(list) > 0 && (list[0].Place.Part != "" || list[0].Place.Point != "")
}
