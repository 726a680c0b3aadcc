package fault_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fault"
	"bandwright/trials"
)

func humPlan(t testing.TB, c *circuit.Circuit) fault.HumPlan {
	t.Helper()
	return fault.HumPlan{Circuit: c, Kelvin: 308.15, Hertz: 50, Up: curve.Setting{}.WithSlider("63", 1),
		Coil: "63.coil", Lift: "lift", Rail: "rail", Source: "source", Out: "return"}
}

func humWays(t testing.TB, c *circuit.Circuit) []fault.HumWay {
	t.Helper()
	ways, err := fault.HumWays(context.Background(), humPlan(t, c))
	if err != nil {
		t.Fatal(err)
	}
	return ways
}

// TestHumWays: what hums in the coil or on the legs' common comes out not at all
// flat, and some two or three times with the low slider up (reckoned on a generic
// set of legs: 2.4 to 3.6 of the coil, 3 to 4 of the common with all up); what comes with the
// signal comes out as it came in flat, and with the boost at 50 Hz with the slider
// up.
func TestHumWays(t *testing.T) {
	e := studio(t, 6)
	ways := humWays(t, e.Circuit())
	by := map[string]fault.HumWay{}
	for _, w := range ways {
		by[w.Name] = w
	}
	coil, lead, before := by[fault.HumCoil], by[fault.HumLead], by[fault.HumBefore]
	for _, w := range []fault.HumWay{coil, lead} {
		if w.Gains[fault.HumFlat] > 0.02 || w.Gains[fault.HumUp] < 1.8 || w.Gains[fault.HumUp] > 4 {
			t.Errorf("%s: %v", w.Name, w.Gains)
		}
	}
	plan := humPlan(t, e.Circuit())
	for _, b := range e.Bands() {
		plan.Up = plan.Up.WithSlider(b, 1)
	}
	all, err := fault.HumWays(context.Background(), plan)
	if err != nil {
		t.Fatal(err)
	}
	if g := all[1].Gains[fault.HumUp]; all[1].Name != fault.HumLead || g < 2.5 || g > 4.5 {
		t.Errorf("on the legs' common, all up: %v", all[1])
	}
	st, err := e.Circuit().Solve(context.Background(), curve.Setting{}.WithSlider("63", 1), circuit.Conditions{Kelvin: 308.15})
	if err != nil {
		t.Fatal(err)
	}
	r, err := st.Response(context.Background(), "source", []string{"return"}, []float64{50})
	if err != nil {
		t.Fatal(err)
	}
	want := math.Hypot(real(r.Gains[0][0]), imag(r.Gains[0][0]))
	if got := before.Gains[fault.HumUp]; math.Abs(got-want) > 1e-9*want {
		t.Errorf("before: %.9g, want %.9g", got, want)
	}
}

// TestHumForced: takes that only one way gives name it, and the next take asked for
// is the one that tells.
func TestHumForced(t *testing.T) {
	ways := humWays(t, studio(t, 6).Circuit())
	level := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name  string
		takes [4]*float64
		next  int // −1: none
	}{
		{fault.HumCoil, [4]*float64{level(-70), level(-45), level(-45), level(-66)}, -1},
		{fault.HumLead, [4]*float64{level(-72), level(-40), level(-71), level(-40)}, -1},
		{fault.HumAfter, [4]*float64{level(-50), level(-50.4), level(-50), level(-49.8)}, -1},
		{string(fault.None), [4]*float64{level(-40), level(-75), level(-20), level(-75)}, -1},
		{"", [4]*float64{level(-70), level(-45), nil, nil}, int(fault.HumShorted)},
	} {
		v := fault.Hum(ways, c.takes)
		if c.name != "" && (v.Ranked[0].Name != c.name || v.Ranked[0].Probability < 0.8) {
			t.Errorf("%s: %+v", c.name, v.Ranked)
		}
		if got := v.Next; (got == nil) != (c.next < 0) || got != nil && int(*got) != c.next {
			t.Errorf("%s: next %v, want %d", c.name, got, c.next)
		}
	}
}

// TestHumTrials draws ways in, amplifiers within their tolerances, levels, what is
// left of a way that is shut and what else hums; the four takes must name the way,
// or those that no take tells from it.
func TestHumTrials(t *testing.T) {
	e := studio(t, 6)
	ways := humWays(t, e.Circuit())
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261128), 1))
	parts := within(e.Circuit(), map[string]float64{"Ohms": 0.01, "Henries": 0.02, "DCR": 0.03, "Farads": 0.02, "Track": 0.2, "BetaF": 0.5})
	n, hit, first := 0, map[string]int{}, map[string]int{}
	count := map[string]int{}
	for range max(20, many()/20) {
		var edits []circuit.Edit
		for _, u := range parts {
			v, err := e.Circuit().Value(u.Knob)
			if err != nil {
				t.Fatal(err)
			}
			edits = append(edits, circuit.Set(u.Knob.Part, u.Knob.Value, v+u.Low+(u.High-u.Low)*rng.Float64()))
		}
		drawn, err := e.Circuit().Edited(edits...)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range humWays(t, drawn) {
			for range 20 {
				v := fault.Hum(ways, humTaken(rng, w))
				n++
				count[w.Name]++
				if v.Ranked[0].Name == w.Name {
					first[w.Name]++
				}
				class := []string{w.Name}
				for _, g := range v.Alike {
					if slices.Contains(g, w.Name) {
						class = g
					}
				}
				if slices.Contains(class, v.Ranked[0].Name) {
					hit[w.Name]++
				}
			}
		}
	}
	for _, w := range ways {
		t.Logf("%-7s %5d trials, its class first %5.1f %%, itself %5.1f %%", w.Name, count[w.Name],
			100*float64(hit[w.Name])/float64(count[w.Name]), 100*float64(first[w.Name])/float64(count[w.Name]))
		if wilson(hit[w.Name], count[w.Name]) < leastClass {
			t.Errorf("%s: %d of %d", w.Name, hit[w.Name], count[w.Name])
		}
	}
	t.Log(n, "trials;", "alike:", fault.Hum(ways, [4]*float64{}).Alike)
}

// humTaken are four takes of a way that hums 12 to 40 dB above everything else, read
// to 1 dB.
func humTaken(rng *rand.Rand, w fault.HumWay) (takes [4]*float64) {
	most := slices.Max(w.Gains[:])
	rest := math.Pow(10, -(12+28*rng.Float64())/20)
	left := math.Pow(10, -(10+25*rng.Float64())/20)
	for i, g := range w.Gains {
		if i > 0 && fault.HumTake(i) == w.Shut {
			g *= left
		}
		v := 20*math.Log10(math.Hypot(g/most, rest)) - 40 + rng.NormFloat64()
		takes[i] = &v
	}
	return takes
}
