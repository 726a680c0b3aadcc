package bench

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"bandwright/curve"
	"bandwright/demo"
	"bandwright/feed"
	"bandwright/finding"
	"bandwright/wiring"
)

// A relay that a footswitch calls in, and a lamp that a plug grounds, draw from
// the zener: the finished demo's feed is taken with both, and every load is that
// of the worst, as solving each by itself says.
func TestFeedInEverySetting(t *testing.T) {
	c, found := Open(context.Background(), "done.toml", []byte(demoFile(t, "done.toml")), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	a, _, err := c.Feed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(a.Settings, "footswitch:lifted") || len(a.Settings) < 3 || a.Settings[0] != "flat" {
		t.Errorf("taken at %q", a.Settings)
	}
	relay := a.Parts[slices.IndexFunc(a.Parts, func(p FeedPart) bool { return p.Part == "relay.coil" })]
	if relay.Volts.Carries < 22 {
		t.Errorf("the relay is never called in: %+v", relay)
	}
	whole, _, err := c.at(wiring.Complete)
	if err != nil {
		t.Fatal(err)
	}
	most := map[string]float64{}
	for _, text := range a.Settings {
		set, err := whole.setting(text)
		if err != nil {
			t.Fatal(err)
		}
		st, err := whole.equaliser.Circuit().Solve(context.Background(), set, whole.conditions())
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range a.Loads {
			amperes, _ := st.Current(l.Part)
			most[l.Part] = max(most[l.Part], math.Abs(amperes))
		}
	}
	for _, l := range a.Loads {
		if l.Case == feed.Nominal && math.Abs(l.Amperes-most[l.Part]) > 1e-9+1e-6*most[l.Part] {
			t.Errorf("%s carries %g A, and %g at its worst setting", l.Part, l.Amperes, most[l.Part])
		}
	}
}

// More kept for the zener than the fitted dropper leaves it is told, with how
// much it leaves.
func TestFeedStarved(t *testing.T) {
	text := strings.Replace(demoFile(t, "feed.toml"), `zener_keep = "2 mA"`, `zener_keep = "3.5 mA"`, 1)
	c, found := Open(context.Background(), "feed.toml", []byte(text), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	a, found, err := c.Feed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.ID == feed.IDStarved })
	if i < 0 {
		t.Fatal("nothing is said")
	}
	keeps := found[i].Args["keeps"].(float64)
	if keeps < 3.4e-3 || keeps > 3.45e-3 || found[i].Args["case"] != string(feed.MainsLow) || found[i].Place.Part != "zener" {
		t.Errorf("%v", found[i])
	}
	if a.Dropper == nil || a.Dropper.ZenerLeast < 3.5e-3 {
		t.Errorf("chosen: %+v", a.Dropper)
	}
}

// Switches that move no direct current, as most, add no setting.
func TestStandings(t *testing.T) {
	c, found := Open(context.Background(), "feed.toml", []byte(demoFile(t, "feed.toml")), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	list, err := c.drawingSettings(context.Background())
	if err != nil || len(list) != 1 || list[0].String() != (curve.Setting{}).String() {
		t.Errorf("%v, %v", list, err)
	}
}
