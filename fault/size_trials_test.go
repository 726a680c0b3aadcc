package fault_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/fault"
	"bandwright/trials"
)

// leastInside is how often the size of a value that is out must lie within the
// interval told of it.
const leastInside = 0.90

// TestSizesByCurves draws values that are out alone: of those rightly named by
// curves and ohms the size lies within its interval.
func TestSizesByCurves(t *testing.T) {
	b := heardBed(t)
	b.sized(t, b.run(t, trials.Seed(t, 20261201), slices.Repeat([]fault.Kind{fault.Value}, trials.Count(40)), b.hear))
}

// TestSizeInACell: sizes away from the middle of a wide cell, across which curves bend
// or jump, are told as they are when all else is as built.
func TestSizeInACell(t *testing.T) {
	b := bedOf(t, curvePlan(t, curveBands))
	for name, size := range map[string]float64{"value R.b2 Ohms": 9, "value R.e Ohms": 0.43, "value feedback Ohms": 15, "value 63.capacitor Farads": 0.254} {
		c, err := b.whole.Edited(b.hypothesis(name).At(size)...)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(trials.Seed(t, 20261202), 1))
		r, _ := b.hear(t, rng, &truth{circuit: c})
		if top := r.Ranked[0]; top.Name != name || top.Size.Low > size || top.Size.High < size || top.Size.High > 1.2*top.Size.Low {
			t.Errorf("%s at %g: %s of %+v", name, size, top.Name, top.Size)
		}
	}
}

// sized holds the sizes told of values that were rightly named against those drawn.
func (b *bed) sized(t *testing.T, list []outcome) {
	t.Helper()
	inside, of := 0, 0
	var widths []float64
	for _, o := range list {
		top := o.ranking.Ranked[0]
		if o.kind != fault.Value || o.hidden || top.Name != o.name {
			continue
		}
		if of++; top.Size == nil {
			t.Errorf("%s: no size", o.name)
			continue
		}
		s, size := top.Size, b.factor(t, o.truth)
		widths = append(widths, math.Log(s.High/s.Low))
		if size >= s.Low && size <= s.High {
			inside++
		} else {
			t.Logf("%s is %.4g, told %.4g (%.4g to %.4g), probability %.3f", o.name, size, s.Middle, s.Low, s.High, top.Probability)
		}
	}
	if of == 0 {
		t.Fatal("no value that is out was named")
	}
	slices.SortFunc(widths, cmp.Compare)
	t.Logf("size within its interval: %d of %d (%.1f %%, at least %.1f); intervals ±%.2g %% in the middle", inside, of,
		100*float64(inside)/float64(of), 100*wilson(inside, of), 50*widths[len(widths)/2])
	if float64(inside)+slack(of) < leastInside*float64(of) {
		t.Errorf("size within its interval: %d of %d", inside, of)
	}
}

// factor is what a value that is out is by what it should be: the size that was
// drawn is of a part that has a tolerance of its own, and a reading shows both.
func (b *bed) factor(t *testing.T, x truth) float64 {
	t.Helper()
	e := b.hypothesis(x.name).Cases[0].Edits[0]
	k := circuit.Knob{Part: e.Part, Value: e.Value}
	should, err := b.whole.Value(k)
	if err != nil {
		t.Fatal(err)
	}
	is, err := x.circuit.Value(k)
	if err != nil {
		t.Fatal(err)
	}
	return is / should
}

func (b *bed) hypothesis(name string) fault.Hypothesis {
	i := slices.IndexFunc(b.plan.Hypotheses, func(h fault.Hypothesis) bool { return h.Name == name })
	return b.plan.Hypotheses[i]
}
