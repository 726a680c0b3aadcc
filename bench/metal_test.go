package bench

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"bandwright/demo"
	"bandwright/finding"
)

func metalCase(t *testing.T, changes ...string) *Case {
	t.Helper()
	text := strings.NewReplacer(changes...).Replace(demoFile(t, "metal.toml"))
	c, found := Open(context.Background(), "metal.toml", []byte(text), demo.BassHead())
	if found.Err() != nil {
		t.Fatal(found)
	}
	return c
}

// TestMarksAreWherePredictSays puts every mark of every scale back into the
// question: the lever there, the others centred, the prediction less flat at the
// band's centre is the mark, to 0.01 dB. Tapers too, and steps that are not whole.
func TestMarksAreWherePredictSays(t *testing.T) {
	const within = 0.01
	ctx := context.Background()
	for name, changes := range map[string][]string{
		"linear, 2 dB": nil,
		"S, 1.5 dB":    {`travel = "30 mm"`, `travel = "30 mm", shape = "S 80 %"`, `letters = "stated"`, "letters = \"predicted\"\nscale_step = \"1.5 dB\""},
		"audio, 3 dB":  {`travel = "30 mm"`, `travel = "30 mm", shape = "audio 30 %"`, `letters = "stated"`, "letters = \"measured\"\nscale_step = \"3 dB\""},
	} {
		c := metalCase(t, changes...)
		a, found, err := c.Panel(ctx, PanelQuestion{})
		if err != nil {
			t.Fatal(name, found, err)
		}
		worst, marks := 0.0, 0
		for _, s := range a.Sliders {
			flat, _, err := c.Gains(ctx, "flat", []float64{s.AtHz})
			if err != nil {
				t.Fatal(err)
			}
			zero := false
			for _, m := range s.Marks {
				moved, _, err := c.Gains(ctx, fmt.Sprintf("%s=%v", s.Band, m.Travel), []float64{s.AtHz})
				if err != nil {
					t.Fatal(err)
				}
				off := math.Abs(*moved.Rows[0].DB - *flat.Rows[0].DB - m.DB)
				worst, marks, zero = math.Max(worst, off), marks+1, zero || m.DB == 0 && m.Travel == 0
				if off > within {
					t.Errorf("%s: %s at %+g dB is %.4f dB off", name, s.Band, m.DB, off)
				}
				if math.Abs(m.Above-m.Travel*s.Travel/2) > 1e-9 {
					t.Errorf("%s: %s: %v of travel at %v mm", name, s.Band, m.Travel, m.Above)
				}
			}
			if !zero {
				t.Errorf("%s: %s has no flat mark", name, s.Band)
			}
		}
		if marks < 6*4 {
			t.Errorf("%s: only %d marks", name, marks)
		}
		t.Logf("%s: %d marks, the worst %.2g dB off", name, marks, worst)
	}
}

// What cannot be is an error that names its place in the file and the size at
// fault; what merely does not fit is an answer with a warning.
func TestImpossibleMetal(t *testing.T) {
	ctx := context.Background()
	tab := func(c *Case) (finding.List, error) { _, found, err := c.Tab(ctx, TabQuestion{}); return found, err }
	panel := func(c *Case) (finding.List, error) {
		_, found, err := c.Panel(ctx, PanelQuestion{})
		return found, err
	}
	for name, k := range map[string]struct {
		ask      func(*Case) (finding.List, error)
		old, new string
		want     finding.ID
		arg      string
		value    any
	}{
		"bend inside":         {tab, `radius = "0.4 mm"`, `radius = "6 mm"`, "artwork.bend-inside", "needs", 12.0},
		"aluminium":           {tab, `metal = "tinplate"`, `metal = "aluminium"`, "artwork.metal", "metal", "aluminium"},
		"tongue in slot":      {tab, `tongue = { width = "2.5 mm"`, `tongue = { width = "3.2 mm"`, "artwork.tongue", "has", 3.2},
		"tongue too long":     {tab, `beyond = "2 mm"`, `beyond = "9 mm"`, "artwork.tongues-meet", "short", nil},
		"slots of tabs meet":  {tab, `one = "65.1 mm"`, `one = "53.9 mm"`, "artwork.cuts-meet", "other", "slot 63.2"},
		"tabs meet":           {tab, `pitch = "22 mm"`, `pitch = "10 mm"`, "artwork.tabs-meet", "other", "63"},
		"hole off the panel":  {panel, `name = "lamp", across = "185 mm"`, `name = "lamp", across = "198 mm"`, "artwork.off-panel", "over", 2.0},
		"slots meet":          {panel, `pitch = "22 mm"`, `pitch = "3 mm"`, "artwork.cuts-meet", "least", 1.5},
		"hole in a slot":      {panel, `name = "lamp", across = "185 mm"`, `name = "lamp", across = "156 mm"`, "artwork.cuts-meet", "least", 1.5},
		"no room behind":      {panel, `room = "34 mm"`, `room = "30 mm"`, "artwork.height", "needs", 30.6},
		"lever too short":     {panel, `lever_stands = "15 mm"`, `lever_stands = "10 mm"`, "artwork.lever", "out", 8.5},
		"no travel":           {panel, `travel = "30 mm"`, `travel = ""`, "bench.no-travel", "", nil},
		"no new hole":         {panel, `size = "8 mm", moved = "pilot lamp", label`, `size = "8 mm", label`, "bench.no-new-hole", "", nil},
		"lettering off":       {panel, `{ text = "equaliser (invented)", across = "100 mm"`, `{ text = "equaliser (invented)", across = "190 mm"`, "artwork.word-off", "text", "equaliser (invented)"},
		"lettering in a hole": {panel, `{ text = "equaliser (invented)", across = "100 mm", down = "76 mm"`, `{ text = "equaliser (invented)", across = "100 mm", down = "36 mm"`, "artwork.word-over", "text", "equaliser (invented)"},
	} {
		c := metalCase(t, k.old, k.new)
		found, err := k.ask(c)
		if list, ok := finding.From(err); ok {
			found = append(found, list...)
		}
		is := func(f finding.Finding) bool { return f.ID == k.want && (k.value == nil || f.Args[k.arg] == k.value) }
		met := false
		for _, f := range found {
			met = met || is(f) && f.Place.File == "metal.toml" && f.Place.Line > 0 && (f.Level == finding.Error) == (err != nil)
			if f.ID == k.want && !is(f) {
				t.Logf("%s: %v", name, f)
			}
		}
		if !met {
			t.Errorf("%s: %v %v", name, found, err)
		}
	}
}

// A job without metalwork says so; papers and bars that are none are named.
func TestMetalQuestions(t *testing.T) {
	ctx := context.Background()
	bare, found := Open(ctx, "job.toml", []byte(demoFile(t, "job.toml")), demo.BassHead())
	if found.Err() != nil {
		t.Fatal(found)
	}
	if _, _, err := bare.Tab(ctx, TabQuestion{}); !isFinding(err, IDNoTab) {
		t.Error(err)
	}
	if _, _, err := bare.Panel(ctx, PanelQuestion{}); !isFinding(err, IDNoPanel) {
		t.Error(err)
	}
	if _, _, err := bare.Drill(ctx, DrillQuestion{}); !isFinding(err, IDNoPanel) {
		t.Error(err)
	}
	c := metalCase(t)
	if _, _, err := c.Tab(ctx, TabQuestion{Right: -1}); !isFinding(err, IDTabCount) {
		t.Error(err)
	}
	if _, _, err := c.Panel(ctx, PanelQuestion{PrintQuestion{Paper: "a4"}}); !isFinding(err, IDPaper) {
		t.Error(err)
	}
	if _, _, err := c.Drill(ctx, DrillQuestion{PrintQuestion{BarDown: 89}}); !isFinding(err, IDCheckBar) {
		t.Error(err)
	}
	a, _, err := c.Drill(ctx, DrillQuestion{PrintQuestion{BarAcross: 100 / 1.003}})
	if err != nil || math.Abs(a.Print.Across-1.003) > 1e-12 || math.Abs(a.Print.Down-100/99.9) > 1e-12 {
		t.Errorf("%+v %v", a.Print, err)
	}
	holes := 0
	for _, row := range a.Table {
		holes += row.Count
	}
	if holes != len(a.Spots) || holes != 6*4+3 || len(a.Old) != 2 {
		t.Errorf("%d holes in the table, %d places, old %v", holes, len(a.Spots), a.Old)
	}
}

func isFinding(err error, id finding.ID) bool {
	list, ok := finding.From(err)
	return ok && len(list) == 1 && list[0].ID == id
}
