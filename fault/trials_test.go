package fault_test

import (
	"context"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/fault"
	"bandwright/reading"
	"bandwright/trials"
)

// truth is an amplifier as it came out of the solder: parts drawn within their
// tolerances, one fault at a size drawn from the whole range, not from the grid.
type truth struct {
	circuit *circuit.Circuit
	name    string
	kind    fault.Kind
	size    float64
}

// draw makes a truth. It knows the hypotheses by their edits alone; sizes are
// even in their logarithm, and fall between the cases.
func draw(t *testing.T, rng *rand.Rand, plan fault.Plan, whole *circuit.Circuit) truth {
	t.Helper()
	var edits []circuit.Edit
	for _, u := range plan.Parts {
		v, err := whole.Value(u.Knob)
		if err != nil {
			t.Fatal(err)
		}
		edits = append(edits, circuit.Set(u.Knob.Part, u.Knob.Value, v+u.Low+(u.High-u.Low)*rng.Float64()))
	}
	built := truth{name: "as built", kind: fault.AsBuilt}
	switch u := rng.Float64(); {
	case u < 0.1:
	case u < 0.2:
		built.name, built.kind = "none of these", fault.None
		edits = append(edits, outsider(rng, whole)...)
	default:
		h := single(rng, plan.Hypotheses)
		built.name, built.kind = h.Name, h.Kind
		c := h.Cases[rng.IntN(len(h.Cases))]
		wrong := slices.Clone(c.Edits)
		if c.Width > 0 {
			by := math.Exp(c.Width * (rng.Float64() - 0.5))
			built.size = c.Size * by
			for i := range wrong {
				if wrong[i].Kind == circuit.EditScale {
					wrong[i].Factor *= by
				} else {
					wrong[i].Ohms *= by
				}
			}
		}
		edits = append(edits, wrong...)
	}
	var err error
	if built.circuit, err = whole.Edited(edits...); err != nil {
		t.Fatal(built.name, err)
	}
	return built
}

// single draws one fault, each kind as often as another.
func single(rng *rand.Rand, list []fault.Hypothesis) fault.Hypothesis {
	byKind := map[fault.Kind][]fault.Hypothesis{}
	var kinds []fault.Kind
	for _, h := range list {
		if h.Kind == fault.Pair {
			continue
		}
		if byKind[h.Kind] == nil {
			kinds = append(kinds, h.Kind)
		}
		byKind[h.Kind] = append(byKind[h.Kind], h)
	}
	of := byKind[kinds[rng.IntN(len(kinds))]]
	return of[rng.IntN(len(of))]
}

// outsider is what no hypothesis has: a path between two points that are no
// neighbours, of ohms that are no short.
func outsider(rng *rand.Rand, whole *circuit.Circuit) []circuit.Edit {
	points := whole.Points()
	for {
		a, b := points[rng.IntN(len(points))], points[rng.IntN(len(points))]
		joined := slices.ContainsFunc(whole.Parts(), func(p circuit.Part) bool {
			return slices.Contains(p.Terminals(), a) && slices.Contains(p.Terminals(), b)
		})
		if a != b && !joined && a != "generator" && b != "generator" {
			return []circuit.Edit{circuit.Bridge(a, b, 100*math.Pow(30, rng.Float64()))}
		}
	}
}

// takes reads a truth with an instrument that errs.
func takes(t *testing.T, rng *rand.Rand, c *circuit.Circuit, r reading.Reading, cond reading.Conditions, level float64) (fault.Taken, bool) {
	t.Helper()
	p, err := reading.Predict(context.Background(), c, []reading.Reading{r}, nil, cond)
	if err != nil {
		return fault.Taken{}, false
	}
	k := fault.Taken{Reading: r}
	even := func(limit float64) float64 { return limit * (2*rng.Float64() - 1) }
	for _, row := range p.Rows {
		v := row.Worst.Nominal
		switch {
		case row.Lack != reading.Nothing && r.Kind == reading.Gain:
			v = -150
		case row.Lack != reading.Nothing:
			k.Open = true
		case r.Kind == reading.Ohms:
			v = max(0, v+even(r.Meter.Ohms.Limit(v))+even(r.Meter.LeadOhms))
		case r.Kind == reading.Volts:
			v += even(r.Meter.Volts.Limit(v))
		default:
			v += level + r.Interface.PointDB*rng.NormFloat64()
			v = 10 * math.Log10(math.Pow(10, v/10)+math.Pow(10, (-80+4*rng.NormFloat64())/10)) // noise and hum
		}
		k.Values = append(k.Values, v)
	}
	return k, true
}

// score counts what came of trials.
type score struct{ n, hit, right int }

// tally gathers the outcomes of trials.
type tally struct {
	byKind map[fault.Kind]*score
	tenths [10]struct {
		said float64
		n    int
		true int
	}
	asked []int
}

// add counts one outcome; false: the truth is in neither of the first two classes.
func (y *tally) add(x truth, r *fault.Ranking, asked int) bool {
	y.asked = append(y.asked, asked)
	s := y.byKind[x.kind]
	if s == nil {
		s = &score{}
		y.byKind[x.kind] = s
	}
	s.n++
	found := false
	for _, class := range r.Classes[:min(2, len(r.Classes))] {
		found = found || slices.Contains(class.Members, x.name)
	}
	if found {
		s.hit++
	}
	if r.Ranked[0].Name == x.name {
		s.right++
	}
	for _, k := range r.Ranked {
		if k.Probability < 0.01 {
			break
		}
		bin := &y.tenths[min(9, int(10*k.Probability))]
		bin.n++
		bin.said += k.Probability
		if k.Name == x.name {
			bin.true++
		}
	}
	return found
}

// of gives a kind's score, and that of all single faults for "".
func (y *tally) of(kind fault.Kind) score {
	if kind != "" {
		if s := y.byKind[kind]; s != nil {
			return *s
		}
		return score{}
	}
	all := score{}
	for k, s := range y.byKind {
		if k != fault.None && k != fault.AsBuilt {
			all.n, all.hit, all.right = all.n+s.n, all.hit+s.hit, all.right+s.right
		}
	}
	return all
}

func (y *tally) print(t *testing.T) {
	t.Helper()
	for _, k := range slices.Sorted(maps.Keys(y.byKind)) {
		s := y.byKind[k]
		t.Logf("%-14s %4d trials, class first or second %5.1f %%, first by name %5.1f %%", k, s.n, 100*float64(s.hit)/float64(s.n), 100*float64(s.right)/float64(s.n))
	}
	all := y.of("")
	slices.Sort(y.asked)
	t.Logf("faults: %d of %d classes first or second (at least %.1f %%), %d first by name; %d readings asked in the middle",
		all.hit, all.n, 100*wilson(all.hit, all.n), all.right, y.asked[len(y.asked)/2])
	for i, b := range y.tenths {
		if b.n > 0 {
			t.Logf("tenth %d: said %.3f, true %.3f of %d", i, b.said/float64(b.n), float64(b.true)/float64(b.n), b.n)
		}
	}
}

// TestTrials draws faults and lets the table ask its way to them: a symptom and at
// most six readings that it chose itself. What no reading shows is not counted.
func TestTrials(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261125), 5))
	plan := studioPlan(t, 2)
	whole, err := plan.Circuit.WithOhms(0.01)
	if err != nil {
		t.Fatal(err)
	}
	table := tabled(t, plan)
	hidden := map[string]fault.Hidden{}
	for _, h := range table.Hidden() {
		hidden[h.Name] = h
	}
	y := &tally{byKind: map[fault.Kind]*score{}}
	for range trials.Count(40) {
		x := draw(t, rng, plan, whole)
		if h, ok := hidden[x.name]; ok && (h.All || x.size >= h.Low && x.size <= h.High) {
			continue
		}
		r, asked := diagnose(t, rng, table, plan, x)
		if !y.add(x, r, asked) {
			t.Logf("missed: %s (size %.3g) after %d: %s %.2f, %s %.2f", x.name, x.size, asked,
				r.Ranked[0].Name, r.Ranked[0].Probability, r.Ranked[1].Name, r.Ranked[1].Probability)
		}
	}
	y.print(t)
	if all := y.of(""); float64(all.hit) < 0.9*float64(all.n) {
		t.Errorf("class first or second in %d of %d", all.hit, all.n)
	}
	if s := y.of(fault.AsBuilt); s.hit < s.n-1-s.n/20 {
		t.Errorf("healthy called healthy in %d of %d", s.hit, s.n)
	}
}

// wilson is the lower end of the 95 % interval of a share (Wilson 1927; memory).
func wilson(hit, n int) float64 {
	const z = 1.96
	p, m := float64(hit)/float64(n), float64(n)
	return (p + z*z/(2*m) - z*math.Sqrt(p*(1-p)/m+z*z/(4*m*m))) / (1 + z*z/m)
}

// shows finds what the person noticed: a curve that is off by three deviations
// somewhere, else volts that are, else any curve.
func shows(t *testing.T, rng *rand.Rand, table *fault.Table, plan fault.Plan, x truth) int {
	t.Helper()
	expected := table.Predicted(0)
	any := -1
	for _, kind := range []reading.Kind{reading.Gain, reading.Volts} {
		for _, i := range rng.Perm(len(table.Readings)) {
			if table.Readings[i].Kind != kind {
				continue
			}
			if any < 0 {
				any = i
			}
			k, ok := takes(t, rng, x.circuit, table.Readings[i].Reading, plan.Cond, 0)
			at := slices.IndexFunc(expected, func(p fault.Predicted) bool { return p.Reading == i })
			for n, v := range k.Values {
				if ok && !k.Open && math.Abs(v-expected[at+n].Value) > 3*expected[at+n].SD {
					return i
				}
			}
		}
	}
	return any
}

// diagnose starts from a symptom, and follows what is asked until a class is sure
// or six were asked.
func diagnose(t *testing.T, rng *rand.Rand, table *fault.Table, plan fault.Plan, x truth) (*fault.Ranking, int) {
	t.Helper()
	level := 0.5 * (2*rng.Float64() - 1)
	var taken []fault.Taken
	take := func(i int) {
		if k, ok := takes(t, rng, x.circuit, table.Readings[i].Reading, plan.Cond, level); ok {
			taken = append(taken, k)
		}
	}
	if symptom := shows(t, rng, table, plan, x); symptom >= 0 {
		take(symptom)
	}
	r := ranked(t, table, taken...)
	for count := range 6 {
		next, err := r.Next(context.Background(), 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(next) == 0 || count >= 4 && r.Classes[0].Probability > 0.995 {
			return r, count
		}
		take(next[0].Reading)
		r = ranked(t, table, taken...)
	}
	return r, 6
}
