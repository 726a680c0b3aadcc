package fault_test

import (
	"cmp"
	"context"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fault"
	"bandwright/reading"
	"bandwright/trials"
)

// The trials by curves are of two bands, each the other's neighbour.
const curveBands = 2

// curvePlan has all faults of parts and harness, and for readings curves and ohms:
// the three that every record holds (flat, all up, all down), each band's own, and
// those lifted and bypassed.
func curvePlan(t testing.TB, bands int) fault.Plan {
	t.Helper()
	plan := wiredPlan(t, bands, curve.Grid(30, 14000, 2))
	plan.Readings = slices.DeleteFunc(plan.Readings, func(a fault.Allowed) bool { return a.Kind == reading.Volts })
	up, down := curve.Setting{}, curve.Setting{}
	for _, p := range plan.Circuit.Parts() {
		if s, ok := p.(circuit.Slider); ok {
			up, down = up.WithSlider(s.Name, 1), down.WithSlider(s.Name, -1)
		}
	}
	last := plan.Readings[len(plan.Readings)-1]
	for _, s := range []curve.Setting{up, down} {
		last.Setting = s
		plan.Readings = append(plan.Readings, last)
	}
	return plan
}

// threeCurves are the numbers of those that a trial starts with.
func threeCurves(table *fault.Table) []int {
	n := len(table.Readings)
	flat := slices.IndexFunc(table.Readings, func(a fault.Allowed) bool {
		return a.Kind == reading.Gain && a.Setting.String() == curve.Setting{}.String()
	})
	return []int{flat, n - 2, n - 1}
}

// heardBed scores what some curve shows: the rest is for ohms and volts.
func heardBed(t *testing.T) *bed {
	t.Helper()
	plan := curvePlan(t, curveBands)
	b := bedOf(t, plan)
	for _, h := range tabled(t, curvesAlone(plan)).Hidden() {
		b.hidden[h.Name] = h
	}
	return b
}

// curvesAlone is a plan without its ohms and volts.
func curvesAlone(plan fault.Plan) fault.Plan {
	plan.Readings = slices.DeleteFunc(slices.Clone(plan.Readings), func(a fault.Allowed) bool { return a.Kind != reading.Gain })
	return plan
}

// hear starts from three curves, and takes at most one more and two ohms, in the
// order in which they are asked for.
func (b *bed) hear(t *testing.T, rng *rand.Rand, x *truth) (*fault.Ranking, int) {
	t.Helper()
	level := 0.5 * (2*rng.Float64() - 1)
	var taken []fault.Taken
	take := func(i int) {
		if k, ok := takes(t, rng, x.circuit, b.table.Readings[i].Reading, b.plan.Cond, level); ok {
			taken = append(taken, k)
		}
	}
	for _, i := range threeCurves(b.table) {
		take(i)
	}
	left := map[reading.Kind]int{reading.Gain: 1, reading.Ohms: 2}
	for asked := 0; ; asked++ {
		r := ranked(t, b.table, taken...)
		next, err := r.NextOf(context.Background(), 1, func(a fault.Allowed) bool { return left[a.Kind] > 0 })
		if err != nil {
			t.Fatal(err)
		}
		if len(next) == 0 {
			return explained(t, r), asked
		}
		left[b.table.Readings[next[0].Reading].Kind]--
		take(next[0].Reading)
	}
}

// heard is how many are drawn, twice as many as by readings where it is thousands:
// three curves leave more causes as likely as one another, a lug's solder and the
// contact beside it, and which of them was drawn moves a tenth's share by luck.
func heard() int {
	n := many()
	if n > 150 {
		n *= 2
	}
	return n
}

// TestTrialsByCurves draws amplifiers in their harness and tells what is wrong from
// three curves of 0.05 dB, at most one more, and two ohms.
func TestTrialsByCurves(t *testing.T) {
	b := heardBed(t)
	list := b.run(t, trials.Seed(t, 20261127), make([]fault.Kind, heard()), b.hear)
	by := b.tally(t, list)
	b.judge(t, by)
	for _, kind := range slices.Sorted(maps.Keys(by)) {
		if s := by[kind]; float64(s.hit)+slack(s.n) < leastKind*float64(s.n) && kind != fault.None {
			t.Errorf("%s: %v", cmp.Or(kind, "faults"), *s)
		}
	}
	calibrated(t, list)
	b.sized(t, list)
}
