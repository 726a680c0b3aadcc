package bench

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/wiring"
)

func asJSON(t testing.TB, v any) []byte {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func runsOf(t *testing.T, text string) (*RunsAnswer, finding.List) {
	t.Helper()
	a, found, err := wiredCase(t, text).Runs(context.Background())
	if err != nil {
		t.Fatal(found, err)
	}
	return a, found
}

// TestDemoRuns is the whole list of the demo, and that all it must do holds.
func TestDemoRuns(t *testing.T) {
	a, found := runsOf(t, wiredText(t))
	if len(a.Runs) != 11 || a.Made != 3 || a.NotYet != 8 || len(a.Links) != 1 || len(a.Held) != 2 || len(a.Switches) != 1 || len(a.Jacks) != 1 {
		t.Errorf("%+v", a)
	}
	for _, in := range a.Intents {
		if !in.Whole.Holds {
			t.Errorf("%s %s to %s is not %s", in.Setting, in.From, in.To, in.Want)
		}
	}
	if got := ids(found); !slices.Equal(got, []finding.ID{wiring.IDMainsUnsigned}) {
		t.Errorf("%v", got)
	}
	total := 0.0
	for _, c := range a.Cut {
		total += c.Metres
		if c.Pieces != len(c.Lengths)+c.Unknown {
			t.Errorf("%+v", c)
		}
	}
	sum := 0.0
	for _, r := range a.Runs {
		sum += *r.Metres
	}
	if total < sum-1e-9 || total > sum+1e-9 {
		t.Errorf("%v m to cut, %v m of runs", total, sum)
	}
	if w := a.Jacks[0].Plugs[0]; w.Position != "two-circuit" || len(w.Joins) != 3 {
		t.Errorf("%+v", w)
	}
	if len(a.Signs) != 1 || a.Signs[0].SignedBy != "" || a.Signs[0].Name != "pilot lamp" {
		t.Errorf("%+v", a.Signs)
	}
	for _, want := range [][2]string{{"board in", "to"}, {"from follower", "from"}} {
		i := slices.IndexFunc(a.Runs, func(r RunLine) bool { return r.Name == want[0] })
		if string(a.Runs[i].Screen) != want[1] {
			t.Errorf("%+v", a.Runs[i])
		}
	}
}

// TestWhatTheHarnessDoesWrong: one thing wrong a time, and what is found.
func TestWhatTheHarnessDoesWrong(t *testing.T) {
	text := wiredText(t)
	for name, k := range map[string]struct {
		old, new string
		want     finding.ID
		count    int // at least
	}{
		"a run to the wrong lug": {"to = \"panel.a1\"\nkind = \"screened\"", "to = \"panel.a3\"\nkind = \"screened\"", IDIntent, 1},
		"the output run gone":    {"last = true\nstate = \"not-yet\"\n\n[[link]]", "last = true\nstate = \"removed\"\n\n[[link]]", IDIntent, 1},
		"a long cable":           {"length = \"240 mm\"\ncolour = \"violet\"", "length = \"90 m\"\ncolour = \"violet\"", IDScreenLoss, 1},
		"the input left open": {"  { a = \"panel.a2\", b = \"panel.a3\", closed = [\"out\"] }, # the board's input is grounded when out\n", "",
			IDInputOpen, 1},
		"volts across a slider": {"[[part]]\nname = \"relay.coil\"", "[[part]]\nname = \"leak\"\nkind = \"resistor\"\npoints = [\"rail\", \"boost\"]\nvalue = \"22k\"\n\n[[part]]\nname = \"leak.too\"\nkind = \"resistor\"\npoints = [\"cut\", \"board.0\"]\nvalue = \"22k\"\n\n[[part]]\nname = \"relay.coil\"", IDSliderDC, 6},
		"a screen at both ends": {"screen_to = \"board.0\"", "screen_to = \"board.0\"\nscreen_from = \"0\"", wiring.IDScreenBoth, 1},
		"a screen at no end":    {"screen_to = \"board.0\"", "screen_to = \"\"", wiring.IDScreenNone, 1},
		"too many at a lug":     {"most_at_lug = 3", "most_at_lug = 2", wiring.IDLugFull, 1},
		"a bare mains lead":     {"sleeved = true", "sleeved = false", wiring.IDBareMains, 1},
	} {
		if k.want == wiring.IDBareMains {
			_, found, err := wiredCase(t, edited(t, text, k.old, k.new)).Runs(context.Background())
			if err != nil || found.Err() == nil || !slices.Contains(ids(found), k.want) {
				t.Errorf("%s: %v, %v", name, ids(found), err)
			}
			continue
		}
		a, found := runsOf(t, edited(t, text, k.old, k.new))
		count := 0
		for _, f := range found {
			if f.ID == k.want {
				count++
			}
		}
		if count < k.count {
			t.Errorf("%s: %v", name, ids(found))
		}
		if k.want == IDInputOpen && (len(a.Bypassed) != 1 || a.Bypassed[0].Crosstalk == nil || *a.Bypassed[0].Crosstalk > -10 || *a.Bypassed[0].Crosstalk < -120) {
			t.Errorf("%+v", a.Bypassed)
		}
		if k.want == wiring.IDLugFull {
			full := slices.IndexFunc(a.Lugs, func(l LugLine) bool { return l.Over })
			if full < 0 || a.Lugs[full].After <= 2 {
				t.Errorf("%+v", a.Lugs)
			}
		}
	}
}

// TestIntentOfNoPoint is an error with its line.
func TestIntentOfNoPoint(t *testing.T) {
	text := edited(t, wiredText(t), "[[intent]]\nsetting = \"jack:none\"\nfrom = \"legs\"", "[[intent]]\nsetting = \"jack:none\"\nfrom = \"leg\"")
	_, _, err := wiredCase(t, text).Runs(context.Background())
	list, _ := finding.From(err)
	line := 1 + strings.Count(text[:strings.Index(text, "from = \"leg\"")], "\n")
	if len(list) != 1 || list[0].ID != IDIntentPoint || list[0].Place.Point != "leg" || list[0].Place.Line > line || list[0].Place.Line < line-3 {
		t.Errorf("%v, the intent is about line %d", err, line)
	}
}
