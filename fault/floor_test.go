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
	"bandwright/reading"
	"bandwright/trials"
)

// TestFloor: what the table expects of a level near the floor of noise, and its
// deviation, is what a recording shows of it that ends there.
func TestFloor(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261203), 1))
	for _, db := range []float64{-30, -60, -70, -75, -80, -85, -90, -130} {
		upper := 1e3 * (math.Pow(10, -db/20) - 1)
		c := wired(t, circuit.VoltageSource{Name: "source", Plus: "in", Minus: "0"},
			circuit.Resistor{Name: "upper", A: "in", B: "out", Ohms: upper},
			circuit.Resistor{Name: "lower", A: "out", B: "0", Ohms: 1e3})
		gain := reading.Reading{Kind: reading.Gain, Red: "out", Source: "source", Hz: []float64{1000}, Interface: reading.Interface{Name: "quiet", PointDB: 0.05}}
		table := tabled(t, fault.Plan{Circuit: c, Readings: allowed(gain), Hypotheses: fault.Singles(c, fault.Suspects{Sound: []string{"source"}})})
		sum, square, n := 0.0, 0.0, 20000
		for range n {
			v := 10 * math.Log10(math.Pow(10, (db+0.05*rng.NormFloat64())/10)+math.Pow(10, (-80+4*rng.NormFloat64())/10))
			sum, square = sum+v, square+v*v
		}
		middle := sum / float64(n)
		sd := math.Sqrt(square/float64(n) - middle*middle)
		if got := table.Predicted(0)[0]; math.Abs(got.Value-middle) > 0.1*sd+0.01 || math.Abs(got.SD-sd) > 0.12*sd+0.01 {
			t.Errorf("%g dB: %.3f ± %.3f expected, drawn %.3f ± %.3f", db, got.Value, got.SD, middle, sd)
		}
	}
}

// TestDeadTellsNothing: curves of which nothing is left but the floor, wherever it
// truly lies, tell the faults that leave nothing not from one another: they stay as
// likely as they were, those that move an operating point among them, and of what
// leaves a little none comes first where it would have been heard.
func TestDeadTellsNothing(t *testing.T) {
	plan := curvesAlone(curvePlan(t, curveBands))
	plan.Readings = slices.DeleteFunc(plan.Readings, func(a fault.Allowed) bool {
		return a.Setting.WithSlider("63", 0).WithSlider("160", 0).String() != curve.Setting{}.String()
	})
	plan.Hypotheses = slices.DeleteFunc(plan.Hypotheses, func(h fault.Hypothesis) bool { return len(h.Cases) > 1 || h.Kind == fault.Pair })
	whole, err := plan.Circuit.WithOhms(0.01)
	if err != nil {
		t.Fatal(err)
	}
	table := tabled(t, plan)
	dead := deadly(t, whole, plan)
	if len(dead) < 5 {
		t.Fatalf("only %v leave nothing", dead)
	}
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261204), 1))
	for _, floor := range []float64{-110, -86, -80} {
		for range trials.Count(3) {
			var taken []fault.Taken
			for _, a := range table.Readings {
				k := fault.Taken{Reading: a.Reading}
				for range a.Hz {
					k.Values = append(k.Values, floor+4*rng.NormFloat64())
				}
				taken = append(taken, k)
			}
			least, most := math.Inf(1), 0.0
			r := ranked(t, table, taken...)
			for _, k := range r.Ranked {
				if slices.Contains(dead, k.Name) {
					by := k.Probability / table.Prior(k.Hypothesis)
					least, most = min(least, by), max(most, by)
				}
			}
			if !(most < 1.05*least) || floor < -84 && r.Ranked[0].Kind != fault.None && !slices.Contains(dead, r.Ranked[0].Name) {
				t.Errorf("floor of %g dB: %.3g to %.3g times as likely as beforehand; %s first", floor, least, most, r.Ranked[0].Name)
			}
		}
	}
}

// deadly names the faults with which the twin has nothing above −120 dB in any curve.
func deadly(t *testing.T, whole *circuit.Circuit, plan fault.Plan) (names []string) {
	t.Helper()
	var list []reading.Reading
	for _, a := range plan.Readings {
		list = append(list, a.Reading)
	}
	for _, h := range plan.Hypotheses {
		edited, err := whole.Edited(h.Cases[0].Edits...)
		if err != nil {
			t.Fatal(err)
		}
		p, err := reading.Predict(context.Background(), edited, list, nil, plan.Cond)
		if err == nil && !slices.ContainsFunc(p.Rows, func(r reading.Row) bool { return r.Lack == reading.Nothing && r.Worst.Nominal > -120 }) {
			names = append(names, h.Name)
		}
	}
	return names
}

// TestOffAlike: what loads the input darkens every curve by the same. No fault in the
// list does, and a fault that darkens them all, but three times as much, is none.
func TestOffAlike(t *testing.T) {
	b := bedOf(t, curvesAlone(curvePlan(t, curveBands)))
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261205), 1))
	for _, farads := range []float64{12e-9, 21e-9, 25e-9} {
		for range trials.Count(2) {
			x, err := b.whole.Edited(b.drawn(t, rng)...)
			if err == nil {
				x, err = circuit.New(slices.Concat(x.Parts(), []circuit.Part{circuit.Capacitor{Name: "stray", A: "tap", B: "panel.a3", Farads: farads}})...)
			}
			if err != nil {
				t.Fatal(err)
			}
			var taken []fault.Taken
			for _, i := range threeCurves(b.table) {
				k, ok := takes(t, rng, x, b.table.Readings[i].Reading, b.plan.Cond, 0)
				if !ok {
					t.Fatal("no curve")
				}
				taken = append(taken, k)
			}
			if top := ranked(t, b.table, taken...).Ranked[0]; top.Kind != fault.None {
				t.Errorf("%g F across the input: %s %.3f", farads, top.Name, top.Probability)
			}
		}
	}
}
