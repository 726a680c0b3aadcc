package fault_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/reading"
)

// dividerPlan is 24 V over 10k and 22k with a capacitor across the lower: known
// to the last digit, so that what each reading must mean is forced.
func dividerPlan(t testing.TB, list ...reading.Reading) fault.Plan {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.Resistor{Name: "r1", A: "rail", B: "mid", Ohms: 10e3},
		circuit.Resistor{Name: "r2", A: "mid", B: "0", Ohms: 22e3},
		circuit.Capacitor{Name: "c", A: "mid", B: "0", Farads: 10e-6})
	parts := within(c, map[string]float64{"Ohms": 0.01, "Farads": 0.2})
	return fault.Plan{Circuit: c, Parts: parts, Readings: allowed(list...),
		Hypotheses: fault.Singles(c, fault.Suspects{Sound: []string{"rail"}, Signed: []string{"c"}, Parts: parts})}
}

// TestForced: readings that only one cause can give put it first.
func TestForced(t *testing.T) {
	mid, lower, upper := volts("mid"), ohms("mid", "0"), ohms("rail", "mid")
	table := tabled(t, dividerPlan(t, mid, lower, upper))
	hidden := map[string]bool{} // with nothing to show them, they are as likely as they were
	for _, h := range table.Hidden() {
		hidden[h.Name] = h.All
	}
	for _, c := range []struct {
		name  string
		taken []fault.Taken
		first string
		size  float64
	}{
		{"healthy", []fault.Taken{reads(mid, 16.49), reads(lower, 22010), reads(upper, 9990)}, "as built", 0},
		{"upper open", []fault.Taken{reads(mid, 0), reads(lower, 22000), isOpen(upper)}, "open r1", 0},
		{"lower open", []fault.Taken{reads(mid, 23.97), isOpen(lower), reads(upper, 10000)}, "open r2", 0},
		{"lower a decade low", []fault.Taken{reads(mid, 4.327), reads(lower, 2200), reads(upper, 10000)}, "value r2 Ohms", 0.1},
		{"upper three times", []fault.Taken{reads(mid, 10.15), reads(upper, 30e3)}, "value r1 Ohms", 3},
		{"upper bridged", []fault.Taken{reads(mid, 24), reads(lower, 22000), reads(upper, 0.1)}, "short r1 0-1 0.05", 0},
	} {
		r := explained(t, ranked(t, table, c.taken...))
		shown := slices.DeleteFunc(slices.Clone(r.Ranked), func(k fault.Ranked) bool { return hidden[k.Name] })
		if top := shown[0]; top.Name != c.first {
			t.Errorf("%s: %s (%.3f) first, then %s (%.3f)", c.name, top.Name, top.Probability, r.Ranked[1].Name, r.Ranked[1].Probability)
		} else if c.size > 0 && (top.Size == nil || top.Size.Low > c.size || top.Size.High < c.size || top.Size.High > 1.1*top.Size.Low) {
			t.Errorf("%s: size %+v, want around %g", c.name, top.Size, c.size)
		}
		sum := 0.0
		for _, k := range r.Ranked {
			sum += k.Probability
			if !(k.Probability >= 0 && k.Probability <= 1) {
				t.Errorf("%s: %s has probability %g", c.name, k.Name, k.Probability)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: probabilities sum to %.12g", c.name, sum)
		}
	}
}

// TestOrderIsNothing: readings in another order give the same, to the last digit.
func TestOrderIsNothing(t *testing.T) {
	mid, lower, upper := volts("mid"), ohms("mid", "0"), ohms("rail", "mid")
	table := tabled(t, dividerPlan(t, mid, lower, upper))
	a := ranked(t, table, reads(mid, 12), reads(lower, 22300), reads(upper, 21800))
	b := ranked(t, table, reads(ohms("mid", "rail"), 21800), reads(mid, 12), reads(lower, 22300))
	for i := range a.Ranked {
		if a.Ranked[i].Name != b.Ranked[i].Name || a.Ranked[i].Probability != b.Ranked[i].Probability {
			t.Errorf("%s %g, then %s %g", a.Ranked[i].Name, a.Ranked[i].Probability, b.Ranked[i].Name, b.Ranked[i].Probability)
		}
	}
}

// TestNothingRead: without a reading everything is as likely as beforehand, and
// the sums are the shares of the table.
func TestNothingRead(t *testing.T) {
	r := ranked(t, tabled(t, dividerPlan(t, volts("mid"))))
	shares := map[fault.Kind]float64{}
	for _, k := range r.Ranked {
		shares[k.Kind] += k.Probability
	}
	if math.Abs(shares[fault.AsBuilt]-0.1) > 1e-12 || math.Abs(shares[fault.None]-0.1) > 1e-12 {
		t.Errorf("shares %v", shares)
	}
}

// TestContradiction: readings that no cause gives together, by themselves or with
// a second take, put "none of these" first, and it is said.
func TestContradiction(t *testing.T) {
	mid, lower, upper := volts("mid"), ohms("mid", "0"), ohms("rail", "mid")
	table := tabled(t, dividerPlan(t, mid, lower, upper))
	for _, taken := range [][]fault.Taken{
		{reads(mid, -7), reads(lower, 22000), reads(upper, 10000)},
		{reads(mid, 16.5), reads(lower, 1000), reads(upper, 90000)},
		{reads(mid, 16.5), reads(lower, 22000), reads(lower, 470), reads(upper, 10000)},
	} {
		r := ranked(t, table, taken...)
		if r.Ranked[0].Kind != fault.None {
			t.Errorf("%v: %s (%.3f) first", taken, r.Ranked[0].Name, r.Ranked[0].Probability)
		} else if len(r.Findings) != 1 || r.Findings[0].ID != fault.IDContradicted {
			t.Errorf("not said: %v", r.Findings)
		}
	}
}

// TestNonsense: what no instrument shows and what is nowhere in the circuit is
// refused with its place.
func TestNonsense(t *testing.T) {
	mid, lower := volts("mid"), ohms("mid", "0")
	gain := reading.Reading{Kind: reading.Gain, Red: "mid", Source: "rail", Hz: []float64{100, 1000}, Interface: reading.LineInput()}
	table := tabled(t, dividerPlan(t, mid, lower, gain))
	moved := mid
	moved.Setting = curve.Setting{}.WithSwitch("panel", "sideways")
	slid := lower
	slid.Setting = curve.Setting{}.WithSlider("63", 0.5)
	for _, c := range []struct {
		taken fault.Taken
		id    finding.ID
		place finding.Place
	}{
		{reads(lower, -4700), fault.IDImpossible, finding.Place{Point: "mid", Setting: "flat"}},
		{reads(mid, 1e9), fault.IDImpossible, finding.Place{Point: "mid", Setting: "flat"}},
		{reads(mid, math.NaN()), fault.IDNoNumber, finding.Place{Point: "mid", Setting: "flat"}},
		{reads(mid), fault.IDNoNumber, finding.Place{Point: "mid", Setting: "flat"}},
		{reads(gain, -3), fault.IDNoNumber, finding.Place{Point: "mid", Setting: "flat"}},
		{reads(gain, -3, 1000), fault.IDImpossible, finding.Place{Point: "mid", Setting: "flat"}},
		{reads(ohms("rail", "mid"), 10e3), fault.IDNotAllowed, finding.Place{Point: "rail", Setting: "flat"}},
		{reads(volts("nowhere"), 1), circuit.IDNoPoint, finding.Place{Point: "nowhere"}},
		{reads(ohms("nowhere", "0"), 1), circuit.IDNoPoint, finding.Place{Point: "nowhere"}},
		{reads(moved, 1), circuit.IDNoSwitch, finding.Place{Setting: moved.Setting.String()}},
		{reads(slid, 1), circuit.IDNoSlider, finding.Place{Setting: slid.Setting.String()}},
	} {
		_, err := table.Rank(context.Background(), []fault.Taken{c.taken})
		var list finding.List
		if !errors.As(err, &list) || list[0].ID != c.id || list[0].Place != c.place {
			t.Errorf("%v: %v, want %s at %v", c.taken, err, c.id, c.place)
		}
	}
}

// chainPlan is three resistors in a row of which only the ends and one middle can
// be reached.
func chainPlan(t testing.TB, list ...reading.Reading) fault.Plan {
	c := wired(t,
		circuit.Resistor{Name: "a", A: "1", B: "2", Ohms: 1000},
		circuit.Resistor{Name: "b", A: "2", B: "3", Ohms: 1000},
		circuit.Resistor{Name: "c", A: "3", B: "0", Ohms: 1000})
	parts := within(c, map[string]float64{"Ohms": 0.01})
	plan := fault.Plan{Circuit: c, Parts: parts, Readings: allowed(list...)}
	for _, h := range fault.Singles(c, fault.Suspects{Parts: parts}) {
		if h.Kind == fault.Opened {
			plan.Hypotheses = append(plan.Hypotheses, h)
		}
	}
	return plan
}

// TestClassesForced: what the ends alone cannot tell apart is one class; the
// middle splits it; and the reading asked for next is the one that does.
func TestClassesForced(t *testing.T) {
	whole, part, same := ohms("1", "0"), ohms("1", "3"), ohms("3", "0")
	r := ranked(t, tabled(t, chainPlan(t, whole)), isOpen(whole))
	if got := r.Classes[0].Members; !slices.Equal(got, []string{"open a", "open b", "open c"}) {
		t.Errorf("by the ends: %v", got)
	}
	if next, err := r.Next(context.Background(), 3); err != nil || len(next) != 0 {
		t.Errorf("nothing is left to read, and %v is asked", next)
	}
	table := tabled(t, chainPlan(t, whole, part, same))
	r = ranked(t, table, isOpen(whole))
	if got := r.Classes[0].Members; !slices.Equal(got, []string{"open a", "open b"}) {
		t.Errorf("with the middle: %v", r.Classes)
	}
	next, err := r.Next(context.Background(), 3)
	if err != nil || len(next) != 2 {
		t.Fatal(next, err)
	}
	// Two of three equally likely causes against the third: H(1/3) = 0.918 bits, and
	// up to H(0.02) = 0.14 for "none of these".
	if min(next[0].Bits, next[1].Bits) < 0.9 || next[0].Bits > 0.918+0.14 {
		t.Errorf("%.4f and %.4f bits, want 0.918", next[0].Bits, next[1].Bits)
	}
	if o := next[0].Outcomes; len(o) != 2 || !o[0].Open || math.Abs(o[0].Probability-2./3) > 0.02 || o[1].Low > 2000 || o[1].High < 2000 ||
		o[1].Means[0].Name != "open c" || !(o[1].Means[0].Probability > 0.9) {
		t.Errorf("outcomes %+v", o)
	}
}

// TestEffort: of two readings that tell as much, the easier is asked for.
func TestEffort(t *testing.T) {
	plan := chainPlan(t, ohms("1", "0"), ohms("1", "3"), ohms("3", "0"))
	plan.Readings[1].Effort = 3
	r := ranked(t, tabled(t, plan), isOpen(plan.Readings[0].Reading))
	next, err := r.Next(context.Background(), 1)
	if err != nil || len(next) != 1 || next[0].Reading != 2 {
		t.Errorf("%+v, %v", next, err)
	}
}

// TestHidden: with ohms alone no capacitor's value shows, nor that it is open; a
// short does.
func TestHidden(t *testing.T) {
	hidden := map[string]fault.Hidden{}
	for _, h := range tabled(t, dividerPlan(t, ohms("mid", "0"), ohms("rail", "mid"))).Hidden() {
		hidden[h.Name] = h
	}
	for _, name := range []string{"open c", "value c Farads"} {
		if !hidden[name].All {
			t.Errorf("%s is not hidden: %+v", name, hidden[name])
		}
	}
	for _, name := range []string{"open r1", "short c 0-1 0.05", "value r2 Ohms"} {
		if h, ok := hidden[name]; ok {
			t.Errorf("%s is hidden: %+v", name, h)
		}
	}
	// Beside 22k within 1 %, read to 1 %, a value that is out by less than some
	// two deviations does not show.
	plan := dividerPlan(t, ohms("mid", "0"))
	plan.Hypotheses = fault.Singles(plan.Circuit, fault.Suspects{Sound: []string{"rail", "r1", "c"}})
	plan.Parts = []reading.Uncertainty{reading.Within(circuit.Knob{Part: "r2", Value: "Ohms"}, 2200)}
	for _, h := range tabled(t, plan).Hidden() {
		if h.Name != "value r2 Ohms" || h.All || h.Low < 0.8 || h.High > 1.3 {
			t.Errorf("%+v", h)
		}
	}
}

// TestEvidence: a reading that only the first cause explains speaks for it and
// against the healthy circuit.
func TestEvidence(t *testing.T) {
	mid, lower := volts("mid"), ohms("mid", "0")
	r := explained(t, ranked(t, tabled(t, dividerPlan(t, mid, lower)), reads(mid, 23.97), isOpen(lower)))
	top := r.Ranked[0]
	if top.Name != "open r2" || len(top.Evidence) != 2 {
		t.Fatalf("%+v", top)
	}
	for _, e := range top.Evidence {
		if !(e.Weight > 0.5) {
			t.Errorf("%+v", e)
		}
	}
	if e := top.Evidence[0]; math.Abs(*e.Expected-23.976) > 0.01 || *e.Value != 23.97 || !(e.SD > 0 && e.SD < 0.2) {
		t.Errorf("%+v", e)
	}
}

// TestPairs: the likeliest two together are found where single causes fail.
func TestPairs(t *testing.T) {
	mid, lower, upper := volts("mid"), ohms("mid", "0"), ohms("rail", "mid")
	plan := dividerPlan(t, mid, lower, upper)
	plan.Hypotheses = append(plan.Hypotheses, fault.Pairs(plan.Hypotheses, 20)...)
	r := ranked(t, tabled(t, plan), reads(lower, 0.2), isOpen(upper), reads(mid, 0))
	if r.Ranked[0].Kind != fault.Pair || len(r.Ranked[0].Places) != 2 {
		t.Errorf("%+v", r.Ranked[:3])
	}
}

// TestStop: a table is stopped by its context, and progress runs to the end.
func TestStop(t *testing.T) {
	plan := dividerPlan(t, volts("mid"))
	ctx, stop := context.WithCancel(context.Background())
	plan.Progress = func(done, _ int) {
		if done == 5 {
			stop()
		}
	}
	if _, err := fault.New(ctx, plan); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want canceled", err)
	}
	last, whole := 0, 0
	plan.Progress = func(done, total int) { last, whole = max(last, done), total }
	tabled(t, plan)
	if last != whole || last < 50 {
		t.Errorf("progress ended at %d of %d", last, whole)
	}
}

// TestNothingReadContradictsNothing: before any reading there is nothing that no
// cause explains.
func TestNothingReadContradictsNothing(t *testing.T) {
	if r := ranked(t, tabled(t, studioPlan(t, 1))); len(r.Findings) > 0 {
		t.Errorf("found %v", r.Findings)
	}
}
