package bench

import (
	"context"
	"io/fs"
	"strings"
	"testing"

	"bandwright/demo"
	"bandwright/feed"
	"bandwright/finding"
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
	if !over["C.filter"] {
		t.Errorf("over: %v", over)
	}
	onlyFilter(t, found)
}

// onlyFilter holds what the demo is to be warned of: the filter at an open zener,
// and nothing else.
func onlyFilter(t *testing.T, found finding.List) {
	t.Helper()
	for _, f := range found {
		if f.Level >= finding.Warning && (f.ID != feed.IDOver || f.Place.Part != "C.filter" || f.Args["case"] != string(feed.ZenerOpen)) {
			t.Errorf("the demo is warned of %v", f)
		}
	}
}

// TestFeedCured: with a second zener across the first the demo's feed passes
// every limit in every case, and with the first open nothing fails.
func TestFeedCured(t *testing.T) {
	text := demoFile(t, "feed.toml") + `
[[part]]
name = "zener.2"
kind = "zener"
points = ["0", "zener.top"]
value = "24 V"
tolerance = "5 %"
set = { test_current = "5 mA", slope = "25 ohm" }
rated = { watts = "1.3 W" }
`
	c, found := Open(context.Background(), "feed.toml", []byte(text), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	a, found, err := c.Feed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		if f.Level >= finding.Warning {
			t.Error(f)
		}
	}
	for _, p := range a.Parts {
		if p.Over {
			t.Errorf("%+v", p)
		}
	}
	if z := a.ZenerOpen; len(z.Fails) != 0 || z.Volts > 26 {
		t.Errorf("%+v", z)
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
