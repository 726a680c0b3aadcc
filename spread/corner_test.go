package spread_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/spread"
	"bandwright/trials"
)

// The corners of one leg are its laws' ends, both figures rising or falling
// throughout: exact values and exact knobs.
func TestCornersOfOneLeg(t *testing.T) {
	p := legPlan(t, 0.1, 0.05, 10_000, 2)
	p.Laws[knobResistor] = spread.Within(spread.Flat, legOhms, even(0.02))
	corners, found, err := spread.Corners(t.Context(), p)
	if err != nil || len(found) > 0 {
		t.Fatal(err, found)
	}
	l, c, r := p.Laws[0], p.Laws[1], p.Laws[2]
	for _, w := range []struct {
		what      string
		got       spread.Extreme
		want      float64
		coil, cap float64
	}{
		{"lowest resonance", corners[0].Low, legHz(l.High, c.High), l.High, c.High},
		{"highest resonance", corners[0].High, legHz(l.Low, c.Low), l.Low, c.Low},
		{"lowest Q", corners[1].Low, legQ(l.Low, c.High, r.High), l.Low, c.High},
		{"highest Q", corners[1].High, legQ(l.High, c.Low, r.Low), l.High, c.Low},
	} {
		if !near(*w.got.Value, w.want, 1e-9) || w.got.Knobs[0] != w.coil || w.got.Knobs[1] != w.cap {
			t.Errorf("%s: %.9g at %v, want %.9g", w.what, *w.got.Value, w.got.Knobs, w.want)
		}
	}
	if found := spread.CheckCorners(corners, mustRun(t, p)); len(found) > 0 {
		t.Error(found)
	}
}

// The corners of whole equalisers hold every sampled build, and measured anew
// from the circuit they are what they are said to be.
func TestCornersOfEqualisers(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 88), 2))
	for range trials.Count(2) {
		bands := randomBands(rng, 3)
		e := build(t, equaliser.DrawingIdeal, bands)
		knobs, laws := varied(rng, bands)
		sampling, r := sampled(t, e, knobs, laws, 3000, 5)
		corners, found, err := spread.Corners(t.Context(), spread.Plan{Ensemble: sampling.Ensemble, Measure: sampling.Measure, Laws: laws, Count: 1})
		if err != nil || len(found) > 0 {
			t.Fatal(err, found)
		}
		if found := spread.CheckCorners(corners, r); len(found) > 0 {
			t.Error(found)
		}
		for _, c := range corners {
			f := figure(t, r, c.Figure)
			if *c.Low.Value > f.Min || *c.High.Value < f.Max || *f.Nominal < *c.Low.Value || *f.Nominal > *c.High.Value {
				t.Errorf("%s: corners %g and %g, samples %g to %g", c.Figure, *c.Low.Value, *c.High.Value, f.Min, f.Max)
			}
		}
		again := solveCorner(t, e, knobs, corners[1].High.Knobs)
		if got := again[0].BoostDB; math.Abs(got-*corners[1].High.Value) > 1e-3 {
			t.Errorf("%s: the highest corner solved anew is %g, was %g", corners[1].Figure, got, *corners[1].High.Value)
		}
	}
}

// solveCorner makes the build of a corner a circuit of its own.
func solveCorner(t *testing.T, e *equaliser.Equaliser, knobs []circuit.Knob, values []float64) []equaliser.Feature {
	t.Helper()
	c := e.Circuit()
	for i, k := range knobs {
		part, _ := c.Part(k.Part)
		switch p := part.(type) {
		case circuit.Resistor:
			p.Ohms = values[i]
			part = p
		case circuit.Capacitor:
			p.Farads = values[i]
			part = p
		case circuit.Inductor:
			if k.Value == "DCR" {
				p.DCR = values[i]
			} else {
				p.Henries = values[i]
			}
			part = p
		}
		var err error
		if c, err = c.Replace(part); err != nil {
			t.Fatal(err)
		}
	}
	again := e.With(c)
	features, _, err := again.Features(context.Background(), nil, again.Flat())
	if err != nil {
		t.Fatal(err)
	}
	return features
}

// resonancePlan asks for the leg's gain at its resonance, which turns round
// between the ends of coil and capacitor.
func resonancePlan(t *testing.T, count int) spread.Plan {
	p := legPlan(t, 0, 0, count, 9)
	p.Laws[knobCoil] = spread.Within(spread.Normal, legHenries, even(0.05))
	p.Laws[knobCapacitor] = spread.Within(spread.Normal, legFarads, even(0.05))
	p.Measure = func() circuit.Measure {
		return p.Ensemble.CurveMeasure(0, []float64{legHz(legHenries, legFarads), 100})
	}
	return p
}

// A figure that turns round within the tolerances: the samples lie beyond its
// corner and its linear range is no range, and both are said; of the other
// figure nothing is said.
func TestBentFiguresAreSaid(t *testing.T) {
	p := resonancePlan(t, 4000)
	name := p.Measure().Figures()[0]
	r := mustRun(t, p)
	corners, _, err := spread.Corners(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	linear, _, err := spread.Linearised(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	beyond, bent := spread.CheckCorners(corners, r), spread.CompareLinear(linear, r)
	if !slices.Equal(ids(beyond), []finding.ID{spread.IDBeyondCorner}) || beyond[0].Args["figure"] != name {
		t.Errorf("beyond corners: %v", beyond)
	}
	if !slices.Equal(ids(bent), []finding.ID{spread.IDNotLinear}) || bent[0].Args["figure"] != name {
		t.Errorf("not linear: %v", bent)
	}
	f := figure(t, r, name)
	if f.Rest < 0.9 {
		t.Errorf("straight lines explain %.2f of a figure that turns round", 1-f.Rest)
	}
}

// Nothing is said of figures that are straight within their tolerances,
// batches among them.
func TestStraightFiguresAreNotSaid(t *testing.T) {
	for name, edit := range map[string]func(p *spread.Plan){
		"both":       func(*spread.Plan) {},
		"nearly one": func(p *spread.Plan) { p.Laws[knobCapacitor] = spread.Within(spread.Flat, legFarads, even(0.015)) },
		"one normal": func(p *spread.Plan) {
			p.Laws[knobCoil] = spread.MeasuredAs(legHenries, 0.01*legHenries)
			p.Laws[knobCapacitor] = spread.Within(spread.Flat, legFarads, even(0))
		},
		"a batch": func(p *spread.Plan) {
			p.Laws[knobCoil], p.Laws[knobCapacitor] = p.Laws[knobCoil].InBatch("lot", 0.6), p.Laws[knobCapacitor].InBatch("lot", 0.6)
		},
		"normal": func(p *spread.Plan) { p.Laws[knobCoil] = spread.Within(spread.Normal, legHenries, even(0.05)) },
	} {
		p := legPlan(t, 0.05, 0.05, 20_000, 21)
		edit(&p)
		linear, found, err := spread.Linearised(t.Context(), p)
		if err != nil || len(found) > 0 {
			t.Fatal(err, found)
		}
		r := mustRun(t, p)
		if bent := spread.CompareLinear(linear, r); len(bent) > 0 {
			t.Errorf("%s: %v", name, bent)
		}
		for _, l := range linear {
			if f := figure(t, r, l.Figure); f.SD > 1e-9*f.Mean && math.Abs(l.SD-f.SD) > 4*f.SDSE+0.02*f.SD {
				t.Errorf("%s: %s deviates by %g, by slopes %g", name, l.Figure, f.SD, l.SD)
			}
		}
	}
}

// A build without the figure makes no corner and no slope, and that is said.
func TestNoCorner(t *testing.T) {
	p := legPlan(t, 0.1, 0.05, 100, 2)
	p.Measure = func() circuit.Measure { return &legMeasure{hide: legHz(legHenries, legFarads)} }
	corners, found, err := spread.Corners(t.Context(), p)
	if err != nil || !slices.Contains(ids(found), spread.IDNoCorner) || corners[0].High.Value != nil {
		t.Errorf("%v %v %+v", err, found, corners[0])
	}
	linear, found, err := spread.Linearised(t.Context(), p)
	if err != nil || !slices.Equal(ids(found), []finding.ID{spread.IDNoLinear}) || len(linear) != 3 {
		t.Errorf("%v %v %d", err, found, len(linear))
	}
}
