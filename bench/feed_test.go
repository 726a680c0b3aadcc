package bench

import (
	"context"
	"io/fs"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/demo"
	"bandwright/fault"
	"bandwright/feed"
	"bandwright/finding"
	"bandwright/trials"
)

func demoFile(t *testing.T, name string) string {
	t.Helper()
	text, err := fs.ReadFile(demo.BassHead(), name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// feedCase opens the demo's board with its feed.
func feedCase(t *testing.T) *Case {
	t.Helper()
	c, found := Open(context.Background(), "feed.toml", []byte(demoFile(t, "feed.toml")), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	return c
}

// TestFeedOfTheDemo: the watts of all parts are what the rail gives, in every case
// in which no part is replaced; the dropper chosen is the one fitted; with the
// zener open the filter goes first, a second zener cures it, and charge is gone
// in time.
func TestFeedOfTheDemo(t *testing.T) {
	c := feedCase(t)
	a, found, err := c.Feed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	watts, dropped, bled := map[feed.CaseName]float64{}, map[feed.CaseName]float64{}, map[feed.CaseName]float64{}
	for _, l := range a.Loads {
		watts[l.Case] += l.Watts
		switch l.Part {
		case "dropper.1":
			dropped[l.Case] = l.Amperes
		case "R.ht":
			bled[l.Case] = l.Amperes
		}
	}
	if len(a.Cases) != 7 {
		t.Errorf("%d cases", len(a.Cases))
	}
	for _, k := range a.Cases {
		gives := k.Rail * (dropped[k.Name] + bled[k.Name])
		if off := watts[k.Name] - gives; !k.Solved || k.Name != feed.ZenerGone && (off > 0.02*gives || off < -0.02*gives) {
			t.Errorf("%s: parts take %v W, the rail gives %v", k.Name, watts[k.Name], gives)
		}
	}
	d := a.Dropper
	if d == nil || d.Each != 18e3 || d.InSeries != 2 || d.Worst > 0.6*d.Watts || d.Volts > 0.8*500 || d.ZenerLeast < 2e-3 {
		t.Errorf("dropper: %+v", d)
	}
	z := a.ZenerOpen
	if z == nil || len(z.Fails) == 0 || z.Fails[0].Part != "C.filter" || z.Fails[0].Case != feed.ZenerOpenUnplugged || !z.SecondOK ||
		z.Volts < 571 || z.Volts > 572.1 {
		t.Errorf("zener open: %+v", z)
	}
	if len(a.Safe.Held) != 1 || a.Safe.Held[0].Capacitor != "C.ht" || a.Safe.Held[0].Seconds > a.Safe.Seconds || len(a.Safe.Bleeds) != 0 {
		t.Errorf("discharge: %+v", a.Safe)
	}
	if len(a.Hum) != 2 || a.Hum[0].Hertz != 100 || a.Hum[1].AtOut <= a.Hum[0].AtOut || *a.Hum[0].BelowDB < 60 {
		t.Errorf("hum: %+v", a.Hum)
	}
	over := map[string]bool{}
	for _, f := range found {
		if f.ID == feed.IDOver {
			over[f.Place.Part] = true
			if f.Place.Line == 0 {
				t.Errorf("%v has no line", f)
			}
		}
	}
	for _, p := range a.Parts {
		if p.Over != over[p.Part] {
			t.Errorf("%s: over is %v in the table and %v among the findings", p.Part, p.Over, over[p.Part])
		}
	}
	if !over["C.filter"] || over["dropper.1"] {
		t.Errorf("over: %v", over)
	}
}

// TestFeedRefused: names that are not the circuit's are told with the line of
// the feed, all at once; a job without a feed says so.
func TestFeedRefused(t *testing.T) {
	text := demoFile(t, "feed.toml")
	text = strings.Replace(text, `dropper = ["dropper.1", "dropper.2"]`, `dropper = ["zener", "none"]`, 1)
	text = strings.Replace(text, `zener = "zener"`, `zener = "plug"`, 1)
	text = strings.Replace(text, "[feed]", "[feed]\nrail = \"R.ht\"", 1)
	c, found := Open(context.Background(), "feed.toml", []byte(text), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	_, _, err := c.Feed(context.Background())
	list, _ := finding.From(err)
	if len(list) != 4 {
		t.Fatalf("%v", err)
	}
	for i, read := range []string{"R.ht", "zener", "none", "plug"} {
		if f := list[i]; f.ID != IDFeedPart || f.Args["read"] != read || f.Place.Line != 1+strings.Count(text[:strings.Index(text, "[feed]")], "\n") {
			t.Errorf("%v, want %s", f, read)
		}
	}
	_, _, err = demoCase(t).Feed(context.Background())
	if list, _ := finding.From(err); len(list) != 1 || list[0].ID != IDNoFeed {
		t.Errorf("%v", err)
	}
}

// TestFeedSingleFaults: every single fault of every part, in every case of the
// feed, has an operating point or names the device that has none.
func TestFeedSingleFaults(t *testing.T) {
	t.Parallel()
	c := feedCase(t)
	s, err := c.supply()
	if err != nil {
		t.Fatal(err)
	}
	whole, ctx := c.equaliser.Circuit(), context.Background()
	solved, named := 0, 0
	singles := fault.Singles(whole, fault.Suspects{Sound: []string{"source", "source.ohms", "load", "load.capacitance", s.Rail}})
	var faulty []*circuit.Circuit
	var names []string
	for _, h := range singles {
		ends := []fault.Case{h.Cases[0]} // of a fault that has a size, the smallest and the largest
		if len(h.Cases) > 1 {
			ends = append(ends, h.Cases[len(h.Cases)-1])
		}
		for _, k := range ends {
			list, err := whole.Edited(k.Edits...)
			if err != nil {
				t.Fatalf("%s: %v", h.Name, err)
			}
			faulty = append(faulty, list)
			names = append(names, h.Name)
		}
	}
	step := 3 // make prove takes all of them
	if trials.Count(2) > 2 {
		step = 1
	}
	for i, broken := range faulty {
		if i%step != 0 {
			continue
		}
		for _, in := range s.Cases() {
			at, err := in.In(broken, s.Rail)
			if err == nil {
				_, err = at.Voltmeter(ctx, curve.Setting{}, c.conditions(), 0, "out", circuit.Ground)
			}
			if err == nil {
				solved++
				continue
			}
			list, _ := finding.From(err)
			if len(list) == 0 || list[0].Place.Part == "" && list[0].Place.Point == "" {
				t.Errorf("%s, %s: %v names no device", names[i], in.Name, err)
			}
			named++
			t.Logf("%s, %s: %v", names[i], in.Name, err)
		}
	}
	t.Logf("%d hypotheses, %d circuits, %d cases solved, %d not and their device named", len(singles), len(faulty), solved, named)
	if solved+named < 700 {
		t.Errorf("only %d cases", solved+named)
	}
}
