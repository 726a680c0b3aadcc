package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/spread"
)

func spreadOf(t *testing.T, c *Case, q SpreadQuestion) (*SpreadAnswer, finding.List) {
	t.Helper()
	a, found, err := c.Spread(context.Background(), q, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a, found
}

// The same question has the same bytes with one worker and with two.
func TestSpreadIsTheSameWithAnyWorkers(t *testing.T) {
	c := demoCase(t)
	q := SpreadQuestion{Count: 2100, Seed: 7, AsMarked: true, Limits: SpreadLimits{Centre: 0.05, DB: 0.5, Q: 0.1},
		WhatIf: &WhatIf{Kind: "capacitor", Tolerance: quantity.Tolerance{Minus: 0.01, Plus: 0.01}}}
	var texts [2][]byte
	for i := range texts {
		q.Workers = i + 1
		a, found := spreadOf(t, c, q)
		text, err := json.Marshal(struct {
			A *SpreadAnswer
			F finding.List
		}{a, found})
		if err != nil {
			t.Fatal(err)
		}
		texts[i] = text
	}
	if !bytes.Equal(texts[0], texts[1]) {
		t.Error("two workers give other bytes than one")
	}
}

// The figures are those of the bands: nominal is what Bands says, and the
// order statistics lie as they must, the worst cases outside.
func TestSpreadIsOfTheBands(t *testing.T) {
	c := demoCase(t)
	bands, _, err := c.Bands(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	a, _ := spreadOf(t, c, SpreadQuestion{Count: 1000, Seed: 3})
	if len(a.Bands) != len(bands.Bands) || a.Yield != nil || a.WhatIf != nil {
		t.Fatalf("%d bands, yield %v, what-if %v", len(a.Bands), a.Yield, a.WhatIf)
	}
	for i, s := range a.Bands {
		f := bands.Bands[i]
		for j, want := range [...]float64{f.CentreHz, f.BoostDB, f.CutDB, *f.Q} {
			g := s.figures()[j]
			if g.Nominal == nil || !near(*g.Nominal, want, 1e-4) {
				t.Errorf("%s: nominal %v, bands say %g", g.Name, g.Nominal, want)
			}
			low, mid, high := g.At(2.5).Value, g.At(50).Value, g.At(97.5).Value
			if !(*g.WorstLow <= g.Min && g.Min <= low && low < mid && mid < high && high <= g.Max && g.Max <= *g.WorstHigh) {
				t.Errorf("%s out of order: %g %g %g %g %g %g %g", g.Name, *g.WorstLow, g.Min, low, mid, high, g.Max, *g.WorstHigh)
			}
			if len(g.Shares) == 0 || len(g.Shares) > mostShares {
				t.Errorf("%s: %d shares", g.Name, len(g.Shares))
			}
		}
	}
}

func near(a, b, part float64) bool { return a-b <= part*b*sign(b) && b-a <= part*b*sign(b) }

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// A centre goes with 1/√(LC): so the relative variance of one is a quarter of
// the sum of both parts', worked out from the definition. Neighbours and the
// copper move it a little beyond that.
func TestSpreadOfACentreIsHalfOfItsParts(t *testing.T) {
	c := demoCase(t)
	a, _ := spreadOf(t, c, SpreadQuestion{Count: 4000, Seed: 5, AsMarked: true})
	relative := map[string]float64{}
	for _, v := range a.Varied {
		mean, sd := v.Law.Moments()
		relative[v.Part+" "+v.Value] = sd / mean
	}
	for _, b := range a.Bands {
		l, f := relative[b.Band+".coil Henries"], relative[b.Band+".capacitor Farads"]
		got := b.Centre.SD / b.Centre.Mean
		if want := (l*l + f*f) / 4; l == 0 || f == 0 || !near(got*got, want, 0.15) {
			t.Errorf("%s: relative variance %g, parts give %g", b.Band, got*got, want)
		}
	}
}

// Limits bring yields; tighter ones no higher. Better capacitors narrow every
// centre and no build is drawn anew.
func TestSpreadLimitsAndWhatIf(t *testing.T) {
	c := demoCase(t)
	q := SpreadQuestion{Count: 1500, Seed: 2, Workers: 2, AsMarked: true, Limits: SpreadLimits{Centre: 0.05, DB: 1},
		WhatIf: &WhatIf{Kind: "capacitor", Tolerance: quantity.Tolerance{Minus: 0.01, Plus: 0.01}}}
	wide, _ := spreadOf(t, c, q)
	for _, change := range wide.WhatIf.Changes[:1] {
		if change.Figure != wide.Bands[0].Centre.Name || !(change.After.Value < change.Before.Value) {
			t.Errorf("1 %% capacitors bring %s from ±%g to ±%g", change.Figure, change.Before.Value, change.After.Value)
		}
	}
	q.Limits.Centre = 0.02
	tight, _ := spreadOf(t, c, q)
	if !(tight.Yield.Good < wide.Yield.Good) || tight.Yield.Of != 1500 || !(wide.WhatIf.Yield.Good > wide.Yield.Good) {
		t.Errorf("yields: 5 %% %v, 2 %% %v, with 1 %% capacitors %v", *wide.Yield, *tight.Yield, *wide.WhatIf.Yield)
	}
	for _, b := range tight.Bands {
		if b.Centre.Yield == nil || b.Boost.Yield == nil || b.Cut.Yield == nil || b.Q.Yield != nil {
			t.Errorf("%s: limits on centre, boost and cut show on others", b.Band)
		}
	}
}

// Stopped while under way it gives whole blocks and says so; stopped before
// there is nothing to give.
func TestSpreadStopped(t *testing.T) {
	c := demoCase(t)
	ctx, stop := context.WithCancel(context.Background())
	a, found, err := c.Spread(ctx, SpreadQuestion{Count: 50_000, Seed: 1}, func(done, _ int) { stop() })
	if err != nil || a.Builds < 1 || a.Builds >= 50_000 || a.Bands[0].Centre.WorstLow != nil {
		t.Fatalf("%v %+v", err, a)
	}
	if !said(found, spread.IDStopped) {
		t.Errorf("not said: %v", found)
	}
	if _, _, err := c.Spread(ctx, SpreadQuestion{Count: 10, Seed: 1}, nil); err == nil {
		t.Error("an answer after the end")
	}
}

func said(list finding.List, id finding.ID) bool {
	for _, f := range list {
		if f.ID == id {
			return true
		}
	}
	return false
}

const spreadJob = `format = 1
title = "invented"
[tap_in]
source = "1k"
[driver]
drawing = "two-transistor"
[[band]]
name = "400"
centre = "400 Hz"
slider = { value = "10k" }
resistor = { value = "470R", tolerance = "1 %" }
coil = { value = "400 mH", tolerance = "10 %", dcr = "80 ohm" }
capacitor = { value = "390n", tolerance = "5 %", measured = { value = "400n", frequency = "1 kHz" } }
[[part]]
name = "feedback"
tolerance = "2 %"
[[part]]
name = "R.b1"
tolerance = "5 %"
[[part]]
name = "400.resistor"
value = "500R"
tolerance = "2 %"
`

// Each value follows the law that the job gives it, and what stands still or
// is held is named.
func TestSpreadLaws(t *testing.T) {
	c, found := Open(context.Background(), "job.toml", []byte(spreadJob), nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	a, found := spreadOf(t, c, SpreadQuestion{Count: 300, Seed: 1})
	want := map[string]spread.Shape{"400.resistor Ohms": spread.Flat, "400.coil Henries": spread.Flat,
		"400.coil DCR": spread.Measured, "400.capacitor Farads": spread.Measured, "feedback Ohms": spread.Flat}
	for _, v := range a.Varied {
		key := v.Part + " " + v.Value
		if want[key] != v.Law.Shape {
			t.Errorf("%s follows %+v, want %q", key, v.Law, want[key])
		}
		delete(want, key)
		switch key {
		case "400.resistor Ohms":
			if !near(v.Law.Low, 490, 1e-12) || !near(v.Law.High, 510, 1e-12) {
				t.Errorf("the part's own value and tolerance: %+v", v.Law)
			}
		case "400.capacitor Farads": // 0.7 % and 3 digits of 1 nF (2000 counts) over √3
			if !near(v.Law.Nominal, 400e-9, 1e-9) || !near(v.Law.SD, (0.007*400e-9+3e-9)/1.7320508, 1e-4) {
				t.Errorf("by its reading: %+v", v.Law)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("not varied: %v", want)
	}
	if !said(found, IDNotVaried) || !said(found, IDBiasHeld) {
		t.Errorf("not said: %v", found)
	}
	flat, err := c.solve(context.Background(), curve.Setting{})
	if err != nil {
		t.Fatal(err)
	}
	if !flat.MovesBias(circuit.Knob{Part: "R.b1", Value: "Ohms"}) {
		t.Error("R.b1 is said to be held for no reason")
	}
	marked, _ := spreadOf(t, c, SpreadQuestion{Count: 300, Seed: 1, AsMarked: true})
	for _, v := range marked.Varied {
		if v.Part == "400.capacitor" && (v.Law.Shape != spread.Flat || v.Law.Nominal != 390e-9) {
			t.Errorf("as marked: %+v", v.Law)
		}
	}
}

// bentJob has one band; the tolerances of coil and capacitor are filled in.
const bentJob = `format = 1
title = "invented"
[tap_in]
source = "1k"
[driver]
drawing = "ideal"
[[band]]
name = "400"
centre = "400 Hz"
slider = { value = "10k" }
resistor = { value = "470R", tolerance = "5 %" }
coil = { value = "400 mH", tolerance = "TOLERANCE", dcr = "80 ohm" }
capacitor = { value = "390n", tolerance = "TOLERANCE" }
`

// A centre goes with 1/√(LC). Within 5 % that is a straight line and nothing is
// said of any figure; within −50 to +100 % it is none, and that is said of
// the centre by name, with the linear range that is off.
func TestSpreadSaysWhereStraightLinesFail(t *testing.T) {
	ask := func(tolerance string) (FigureSpread, finding.List) {
		text := strings.ReplaceAll(bentJob, "TOLERANCE", tolerance)
		c, found := Open(context.Background(), "job.toml", []byte(text), nil)
		if err := found.Err(); err != nil {
			t.Fatal(err)
		}
		a, found := spreadOf(t, c, SpreadQuestion{Count: 4000, Seed: 11})
		return a.Bands[0].Centre, found
	}
	straight, found := ask("5 %")
	if f, ok := has(found, spread.IDNotLinear); ok {
		t.Errorf("said of straight lines: %v", f)
	}
	low, high := straight.At(2.5).Value, straight.At(97.5).Value
	if by := 0.1 * (high - low); !near(*straight.LinearLow-low+by, by, 1) || !near(*straight.LinearHigh-high+by, by, 1) {
		t.Errorf("linear %g to %g, sampled %g to %g", *straight.LinearLow, *straight.LinearHigh, low, high)
	}
	bent, found := ask("-50/+100 %")
	said := false
	for _, f := range found {
		said = said || f.ID == spread.IDNotLinear && f.Args["figure"] == bent.Name
	}
	low, high = bent.At(2.5).Value, bent.At(97.5).Value
	if !said || *bent.LinearLow > low && *bent.LinearHigh > high {
		t.Errorf("not said: linear %g to %g, sampled %g to %g\n%v", *bent.LinearLow, *bent.LinearHigh, low, high, found)
	}
}
